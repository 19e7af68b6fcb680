"""One table of a garden description, read value by value; mistakes are collected, so that all can be told at once."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from difflib import get_close_matches

LONGEST_NAME, LONGEST_PATH = 80, 1000


@dataclass(frozen=True)
class Mistake:
    """One thing wrong with a description: where, the rule and the value; then what to do."""

    message: str
    remedy: str


@dataclass(frozen=True)
class Section:
    """A table, the words for where it stands, and the list its mistakes go into.

    Every reading returns a usable value, also after a mistake, so that reading goes on to the next one. `default` is
    what an absent key means; None makes the key required.
    """

    table: Mapping[str, object]
    where: str
    mistakes: list[Mistake]

    def wrong(self, message: str, remedy: str) -> None:
        """Note a mistake."""
        self.mistakes.append(Mistake(f"{self.where}: {message}", remedy))

    def only(self, *keys: str) -> None:
        """Note every key that is not one of these, with the likeliest meant."""
        for key in self.table:
            if key in keys:
                continue
            near = get_close_matches(key, keys, n=1, cutoff=0.5)
            remedy = f"Did you mean {near[0]}?" if near else f"Known here: {', '.join(keys)}."
            self.wrong(f"there is no setting called {key!r}.", remedy)

    def number(self, key: str, low: float, high: float, *, default: float | None = None) -> float:
        """A number from low to high."""
        value = self._present(key, default, f"{key} = …, a number from {low:g} to {high:g}")
        if value is None:
            return low
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            self.wrong(f"{key} is {shown(value)}, which is not a number.", f"Write {key} without quotes or unit.")
            return low
        if not low <= value <= high:
            self.wrong(
                f"{key} is {value:g}; it must lie between {low:g} and {high:g}.",
                "Correct the number; its unit is the end of its name." if "_" in key else "Correct the number.",
            )
            return low
        return float(value)

    def whole(self, key: str, low: int, high: int, *, default: int | None = None) -> int:
        """A whole number from low to high."""
        value = self.number(key, low, high, default=default)
        if value != int(value):
            self.wrong(f"{key} is {value:g}; it must be a whole number.", f"Write {int(value)} or {int(value) + 1}.")
        return int(value)

    def truth(self, key: str, *, default: bool) -> bool:
        """true or false."""
        value = self.table.get(key, default)
        if not isinstance(value, bool):
            self.wrong(f"{key} is {shown(value)}.", "Write true or false, without quotes.")
            return default
        return value

    def maybe(self, key: str) -> bool | None:
        """true or false, or None where nobody said."""
        return self.truth(key, default=False) if key in self.table else None

    def text(self, key: str, *, default: str | None = None, longest: int = LONGEST_NAME) -> str:
        """One line of text of at most `longest` letters, not empty unless that is the default."""
        value = self._present(key, default, f'{key} = "…"')
        if value is None:
            return ""
        if not isinstance(value, str):
            self.wrong(f"{key} is {shown(value)}, which is not text.", f'Write it in quotes: {key} = "…".')
            return ""
        if value == default:
            return value
        if not value.strip() or len(value) > longest or not value.isprintable():
            self.wrong(
                f"{key} is {shown(value)}; it must be one line of 1 to {longest} letters.", "Write a short name."
            )
        return value

    def choice(self, key: str, choices: tuple[str, ...], *, default: str | None = None) -> str:
        """One of several words."""
        value = self._present(key, default, f'{key} = "{choices[0]}"')
        if value is not None and value not in choices:
            self.wrong(f"{key} is {shown(value)}.", f"Write one of {', '.join(choices)}, in quotes.")
        return value if isinstance(value, str) and value in choices else choices[0]

    def day(self, key: str) -> date:
        """A date."""
        return self._date(key, self._present(key, None, f"{key} = 2026-03-01"))

    def days(self, key: str) -> tuple[date, ...]:
        """A list of dates; none if absent."""
        return tuple(self._date(key, value) for value in self.items(key))

    def items(self, key: str) -> list[object]:
        """A list of anything; empty if absent."""
        value = self.table.get(key, [])
        if not isinstance(value, list):
            self.wrong(f"{key} is {shown(value)}, which is not a list.", f"Write {key} = [ … ].")
            return []
        return value

    def inner(self, key: str, *, required: bool = False) -> "Section":
        """The table under a key; an empty one if absent."""
        value = self.table.get(key)
        if value is None and required:
            self.wrong(f"there is no [{key}].", f"Add a line [{key}] and its settings under it.")
        elif value is not None and not isinstance(value, dict):
            self.wrong(f"{key} is {shown(value)}, which is not a table.", f"Write [{key}] and its settings under it.")
        return Section(value if isinstance(value, dict) else {}, self._below(key), self.mistakes)

    def each(self, key: str) -> list["Section"]:
        """The tables listed under a key, each called by its name or, without one, by its number."""
        found = []
        for number, value in enumerate(self.items(key), start=1):
            if not isinstance(value, dict):
                self.wrong(f"{key} {number} is {shown(value)}, which is not a table.", f"Write [[{key}]] above each.")
                continue
            name = value.get("name")
            label = f"{key} {shown(name) if isinstance(name, str) and name.strip() else number}"
            found.append(Section(value, self._below(label), self.mistakes))
        return found

    def _below(self, label: str) -> str:
        return f"{self.where}, {label}"

    def _present(self, key: str, default: object, example: str) -> object:
        if key not in self.table and default is None:
            self.wrong(f"{key} is missing.", f"Write {example}.")
        return self.table.get(key, default)

    def _date(self, key: str, value: object) -> date:
        if isinstance(value, date) and not isinstance(value, datetime) and 1900 <= value.year <= 2200:
            return value
        if value is not None:
            self.wrong(
                f"{key} holds {shown(value)}; it must be a date from 1900 to 2200.",
                "Write year-month-day without quotes, such as 2026-03-01.",
            )
        return date(1900, 1, 1)


def shown(value: object) -> str:
    """A value as a message shows it: text in quotes, everything cut to a readable length, nothing unprintable."""
    text = str(value) if isinstance(value, date) else repr(value)
    return text if len(text) <= 60 else text[:57] + "…"

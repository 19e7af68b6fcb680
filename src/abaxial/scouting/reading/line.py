"""One look as it stands in a table or in a row of a file, read cell by cell; the first mistake is told with its place."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import NoReturn

from abaxial.errors import ScoutingError
from abaxial.scouting import scales

_BLANK = ("", "-", "–", "na", "nan", "?")
_LONGEST = {"note": 2000, "file": 1000, "planting": 80, "by": 80, "scale": 80}


@dataclass(frozen=True)
class Line:
    """The cells of one look by field name.

    folder : where scales of one's own lie. spelled : how a file names the fields; empty for tables, whose values have
    types. comma : whether a comma may stand for the point. scales_read : the scales met so far.
    """

    cells: Mapping[str, object]
    where: str
    folder: Path
    spelled: Mapping[str, str] = field(default_factory=dict)
    comma: bool = False
    scales_read: dict[str, scales.Scale] = field(default_factory=dict)

    def refuse(self, name: str, rule: str, remedy: str) -> NoReturn:
        """Raise ScoutingError for a field, with its place."""
        place = f"{self.where}, {self.spelled.get(name, name)}"
        raise ScoutingError(f"{place}: {rule}.", remedy=remedy, where=place)

    def value(self, name: str) -> object:
        """What stands in a field; None where nothing does."""
        value = self.cells.get(name)
        return None if isinstance(value, str) and value.strip().casefold() in _BLANK else value

    def text(self, name: str, default: str = "") -> str:
        """A text; only a note may have several lines."""
        value = self.value(name)
        if value is None:
            return default
        longest = _LONGEST.get(name, 80)
        if not isinstance(value, str) or len(value) > longest:
            self.refuse(name, f"it is {shown(value)}; it must be text of at most {longest} letters", "Shorten it.")
        if not value.replace("\n", " ").isprintable() or ("\n" in value and name != "note"):
            self.refuse(name, f"{shown(value)} holds letters that cannot be shown", "Write it anew.")
        return value.strip()

    def word(self, name: str, default: str) -> str:
        """A text in small letters."""
        return self.text(name, default).casefold()

    def number(self, name: str, low: float, high: float, value: object = None) -> float | None:
        """A number from low to high; of `value` instead of the field where it is given."""
        value = self.value(name) if value is None else value
        if value is None:
            return None
        number = _number(value, comma=self.comma, typed=not self.spelled)
        if number is None:
            self.refuse(name, f"{shown(value)} is not a number", "Write a number, or leave it out if not counted.")
        if not low <= number <= high:
            self.refuse(name, f"it is {number:g}; it must lie between {low:g} and {high:g}", "Correct the number.")
        return number

    def whole(self, name: str, low: int, high: int) -> int | None:
        """A whole number from low to high."""
        number = self.number(name, low, high)
        if number is not None and number != int(number):
            self.refuse(name, f"it is {number:g}; it must be a whole number", "Count whole leaves or plants.")
        return None if number is None else int(number)

    def share(self, name: str) -> float | None:
        """A share given as name_frac or as name_percent."""
        percent = self.number(f"{name}_percent", 0.0, 100.0)
        share = self.number(f"{name}_frac", 0.0, 1.0)
        if percent is not None and share is not None:
            self.refuse(f"{name}_frac", "the share is given twice", f"Leave out {name}_percent.")
        return share if percent is None else percent / 100.0

    def day(self, name: str) -> date:
        """A date."""
        value = self.value(name)
        try:
            day = date.fromisoformat(value.strip()) if isinstance(value, str) else value
        except ValueError:
            day = None
        if not isinstance(day, date) or isinstance(day, datetime) or not 1900 <= day.year <= 2200:
            said = "it is missing" if value is None else f"{shown(value)} is not a date from 1900 to 2200"
            self.refuse(name, said, "Write dates like 2026-03-04.")
        return day

    def scale(self, key: str) -> scales.Scale:
        """A severity scale, read once for all lines of a file."""
        if key not in self.scales_read:
            self.scales_read[key] = scales.read_scale(key, self.folder)
        return self.scales_read[key]

    def only(self, names: Iterable[str], known: Sequence[str]) -> None:
        """Refuse a name that is not known, with the likeliest meant."""
        for name in names:
            if name not in known:
                near = get_close_matches(name, known, n=1, cutoff=0.5)
                remedy = f"Did you mean {near[0]}?" if near else f"Known here: {', '.join(known)}."
                self.refuse(name or "an empty heading", "nobody here knows it", remedy)


def shown(value: object) -> str:
    """A value as a message shows it: text in quotes, everything cut to a readable length."""
    text = str(value) if isinstance(value, date) else repr(value)
    return text if len(text) <= 60 else text[:57] + "…"


def _number(value: object, *, comma: bool, typed: bool) -> float | None:
    """A number as written. comma : whether a comma may stand for the point; typed : whether text is no number here."""
    if isinstance(value, bool) or not isinstance(value, str | int | float) or (typed and isinstance(value, str)):
        return None
    if isinstance(value, str):
        value = value.strip().removesuffix("%")
        value = value.replace(",", ".") if comma else value
    try:
        number = float(value)
    except (ValueError, OverflowError):
        return None
    return number if math.isfinite(number) else None

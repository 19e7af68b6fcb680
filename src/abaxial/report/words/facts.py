"""The details of a reason, read safely: what is not there is None, and a sentence leaves that part out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from abaxial.report.answers.week import Band
from abaxial.report.words.quantities import Units


@dataclass(frozen=True)
class Facts:
    """Details by name, with the units to speak in, and the day it is said, where that is known."""

    details: Mapping[str, object]
    units: Units
    today: date | None = None

    def number(self, name: str) -> float | None:
        """A number (the middle of a band), or None if there is none or it is missing (NaN)."""
        value = self.details.get(name)
        if isinstance(value, Band):
            value = value.mid
        try:
            number = float(value)  # type: ignore[arg-type]  # whatever it is: what is no number raises
        except (TypeError, ValueError):
            return None
        return number if number == number else None

    def band(self, name: str) -> Band | None:
        """A value with its doubt, or None if it is no band or part of it is missing."""
        value = self.details.get(name)
        return value if isinstance(value, Band) and value.low <= value.mid <= value.high else None

    def day(self, name: str) -> date | None:
        """A date, or None. Text in ISO form counts."""
        value = self.details.get(name)
        if isinstance(value, datetime):
            return value.date()
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value) if isinstance(value, str) else None
        except ValueError:
            return None

    def moment(self, name: str) -> datetime | None:
        """A day with its hour, or None. Text in ISO form counts."""
        value = self.details.get(name)
        if isinstance(value, datetime):
            return value
        try:
            return datetime.fromisoformat(value) if isinstance(value, str) and len(value) > 10 else None
        except ValueError:
            return None

    def yes(self, name: str) -> bool:
        """Whether it is told to be so; what is not told is not."""
        return self.details.get(name) is True

    def text(self, name: str) -> str | None:
        """A short text, or None if there is none."""
        value = self.details.get(name)
        if isinstance(value, list | tuple):
            return ", ".join(str(each) for each in value) or None
        return str(value) if value not in (None, "") else None

    def names(self, name: str) -> tuple[str, ...]:
        """Names, or none: a list as it is, a text as the only one."""
        value = self.details.get(name)
        if isinstance(value, list | tuple):
            return tuple(str(each) for each in value)
        return (str(value),) if value not in (None, "") else ()


def always(sentences: Mapping[str, str]) -> dict[str, Callable[[Facts], str]]:
    """Kinds that are always said alike, whatever their details."""
    return {kind: _saying(sentence) for kind, sentence in sentences.items()}


def _saying(sentence: str) -> Callable[[Facts], str]:
    return lambda _: sentence

"""What every answer is made of: values and dates with their doubt, and things to say."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Band:
    """A value with its doubt: one in ten lies below `low`, one in ten above `high`."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True)
class DateBand:
    """A date with its doubt: 10, 50 and 90 %. `open_ended`: the last lies beyond the outlook."""

    low: date
    mid: date
    high: date
    open_ended: bool = False


@dataclass(frozen=True)
class Reason:
    """Something to say, as a kind and numbers; `report.words` makes the sentence."""

    kind: str
    details: Mapping[str, object]

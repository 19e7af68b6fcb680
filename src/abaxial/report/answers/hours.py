"""The answer of `abaxial when`: for every bottle and bed the hours in which it may be sprayed, and what closes the others."""

from dataclasses import dataclass
from datetime import date, datetime

from abaxial.provenance import Passport
from abaxial.report.answers.plan import OpenHours
from abaxial.report.answers.reason import Reason


@dataclass(frozen=True)
class ClosedHours:
    """Hours on end that one thing closes first. kind : one of label.window.closings.KINDS. also : others that close most
    of them as well. members_frac : in what share of the possible weathers kind does, on average."""

    start: datetime
    end: datetime
    kind: str
    also: tuple[str, ...]
    members_frac: float


@dataclass(frozen=True)
class BedHours:
    """One bottle on one bed.

    minutes : that the work takes. open : the surest first. closed : all other hours, in order. shut : what closes most of
    the hours in which somebody could be there, commonest first; told where none is open. asks : what has to be answered
    before any hour can be called fit. hindered : why no mix can be made for some of its plantings; where it can for none, no
    hour is open, and plantings are all of them; else those that it can be made for.
    """

    bottle: str
    bed: str
    plantings: tuple[str, ...]
    minutes: int
    open: tuple[OpenHours, ...]
    closed: tuple[ClosedHours, ...]
    shut: tuple[Reason, ...]
    asks: tuple[Reason, ...]
    hindered: tuple[Reason, ...] = ()


@dataclass(frozen=True)
class HoursAnswer:
    """The whole page. beds : every bottle and bed that was asked for. precautions : of spraying, never empty where an hour
    is open. until : where the weather ahead ends, as text."""

    garden: str
    invented: bool
    today: date
    beds: tuple[BedHours, ...]
    precautions: tuple[Reason, ...]
    until: str
    unknown: tuple[Reason, ...]
    passport: Passport

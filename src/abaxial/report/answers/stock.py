"""The answer of `abaxial stock`: what healthy stock there will be, what may be divided, where an infection came from."""

from dataclasses import dataclass
from datetime import date

from abaxial.provenance import Passport
from abaxial.report.answers.reason import Band, Reason


@dataclass(frozen=True)
class SafetyBed:
    """Safety divisions for one bed."""

    bed: str
    divisions: int


@dataclass(frozen=True)
class SafetyDivisions:
    """The fewest divisions that make a cultivar safe enough, from the planting that is likeliest to be clean.

    level_frac : chance of healthy stock that is wanted. beds : where they go. healthy_frac : with them; without_frac :
    without any. enough : whether the level is reached. proven : whether it is certain that no fewer would do.
    """

    mother: str
    level_frac: float
    beds: tuple[SafetyBed, ...]
    healthy_frac: float
    without_frac: float
    enough: bool
    proven: bool


@dataclass(frozen=True)
class CultivarStock:
    """How safe a cultivar is. healthy_frac : chance that at least one healthy clump of it exists on the last day.
    if_apart_frac : what one would think if plantings failed each by itself. healthy_clumps : to be expected. safety : None
    where nobody asked."""

    cultivar: str
    plantings: int
    clumps: int
    healthy_frac: float
    if_apart_frac: float
    healthy_clumps: float
    safety: SafetyDivisions | None


@dataclass(frozen=True)
class PlantingStock:
    """Whether and when a planting may be divided.

    parent, how : where it came from, "" where nobody knows; how is "moved" or "divided". may_divide : today. reasons : why
    not. first_on : the first day on which time and rain will do; None where that lies beyond the outlook. leaves_needed : to turn,
    free of rust. any_rust_frac : chance that it has rust, hidden included. watched_since : the day its clock was set.
    periods : latent periods passed since then; periods_needed : for the quarantine clock. apart_until : when it has run out
    in nine of ten versions; None beyond the outlook.
    """

    planting: str
    bed: str
    cultivar: str
    parent: str
    how: str
    came_on: date
    may_divide: bool
    reasons: tuple[Reason, ...]
    first_on: date | None
    leaves_needed: int
    any_rust_frac: float
    watched_since: date
    periods: Band
    periods_needed: float
    apart_until: date | None


@dataclass(frozen=True)
class TraceStep:
    """A planting that it can have come from, or gone to. on, how, via : as in collection.lineage.Trace. caught_frac : of a division,
    the chance that it brought rust along or caught it on the wind since; None where that is not reckoned."""

    planting: str
    on: date
    how: str
    via: str
    caught_frac: float | None = None


@dataclass(frozen=True)
class WindStep:
    """A planting that gets the same rust, and what the wind carried between it and the one that is traced. share_frac : of the spores
    that came over the taker from all other plantings, those of the giver. caught_frac : chance that a patch came of them."""

    planting: str
    bed: str
    share_frac: Band
    caught_frac: float


@dataclass(frozen=True)
class Traced:
    """Where an infection can have come from and gone to. seen_on : the day rust was seen; None where it never was, and today
    stands for it. since : the first day it can have begun; known : whether the record reaches back so far. wind_from, wind_to : where
    the wind can have brought it from, and carried it, the likeliest first."""

    planting: str
    seen_on: date | None
    since: date
    known: bool
    back: tuple[TraceStep, ...]
    exposed: tuple[TraceStep, ...]
    wind_from: tuple[WindStep, ...] = ()
    wind_to: tuple[WindStep, ...] = ()


@dataclass(frozen=True)
class StockAnswer:
    """The whole page. until : the last day that is looked at. traced : None where nobody asked. precautions : of dividing,
    never empty where something may be divided or divisions are proposed."""

    garden: str
    invented: bool
    today: date
    until: date
    cultivars: tuple[CultivarStock, ...]
    plantings: tuple[PlantingStock, ...]
    traced: Traced | None
    precautions: tuple[Reason, ...]
    unknown: tuple[Reason, ...]
    passport: Passport

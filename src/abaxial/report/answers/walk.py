"""The answer of `abaxial walk`: where the next minutes are worth most, stop by stop, as frozen values."""

from dataclasses import dataclass
from datetime import date

from abaxial.provenance import Passport
from abaxial.report.answers.week import Reason


@dataclass(frozen=True)
class Stop:
    """One stop of a walk.

    order : from 1. part : "lower", "upper", "stem" or "any". leaves : to turn. plants : over which to spread them.
    minutes : how long it takes. why : what makes it worth them. if_none : what finding nothing would mean; None where
    it would mean little.
    """

    order: int
    planting: str
    bed: str
    part: str
    leaves: int
    plants: int
    minutes: int
    why: Reason
    if_none: Reason | None


@dataclass(frozen=True)
class WalkAnswer:
    """The whole page.

    minutes : that the person has. headline : the one line that matters. stops : in the order of walking. not_worth :
    plantings where a look would tell little today. unknown : what cannot be known.
    """

    garden: str
    invented: bool
    today: date
    minutes: int
    headline: Reason
    stops: tuple[Stop, ...]
    not_worth: tuple[str, ...]
    unknown: tuple[Reason, ...]
    passport: Passport

"""The answer of `abaxial dispose`: what becomes of what was cut, how blades are cleaned, what a compost log is worth."""

from dataclasses import dataclass
from datetime import date

from abaxial.provenance import Passport
from abaxial.report.answers.reason import Band, Reason


@dataclass(frozen=True)
class RefusedWay:
    """A way that is not open. way : one of label.sanitation.disposal.ways. kind : the reason."""

    way: str
    kind: str


@dataclass(frozen=True)
class Dilution:
    """One mix to disinfect with, as label.sanitation.disinfect gives it. bought_frac : strength on the bottle, 0 to 1."""

    disinfectant: str
    purpose: str
    bought_frac: float
    product_ml: float
    water_ml: float
    strength_frac: float
    contact_min: float
    use_within_h: float
    rinse: bool
    steps: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Shortfall:
    """What a compost log lacks for a standard. kind : as in label.sanitation.compost. found : None where not measured."""

    kind: str
    needed: float
    found: float | None


@dataclass(frozen=True)
class StandardJudged:
    """One standard held against a log. frees_rust : whether meeting it is enough where rusted leaves went in."""

    name: str
    passes: bool
    frees_rust: bool
    shortfalls: tuple[Shortfall, ...]


@dataclass(frozen=True)
class CompostJudged:
    """Whether what came of a heap may be used in the garden, and why. reasons : kinds of label.sanitation.compost.Fit."""

    fit: bool
    reasons: tuple[str, ...]
    judged: tuple[StandardJudged, ...]


@dataclass(frozen=True)
class BagJudged:
    """How far a closed bag of leaves in full sun has come.

    ready : whether it may be buried. reasons : kinds: "ready", or what is lacking or against it: "time", "heat", "outlives_the_sun". days,
    needed_d : in full sun. doses, needed_doses : of the heat that leaves no rust, None where nobody measured. hot_h : hours at or above
    the mark, None the same.
    """

    ready: bool
    reasons: tuple[str, ...]
    days: float
    needed_d: float
    doses: float | None
    needed_doses: float
    hot_h: float | None


@dataclass(frozen=True)
class WorkTurn:
    """One planting in the order of work. before : what to do before it, as label.sanitation.order names it."""

    planting: str
    before: tuple[str, ...]


@dataclass(frozen=True)
class DisposalAnswer:
    """The whole page.

    troubles : what the leaves have or may have: "rust", "virus", "bud_rot". way : the best open one, "" where none is known
    to be. before : what to do with them until then. cautions : of the way. left_frac : share of the spores that stays in the
    garden. questions : to ask about what can be done here. compost, bag : None where nobody asked. precautions : never empty.
    """

    garden: str
    invented: bool
    today: date
    plantings: tuple[str, ...]
    troubles: tuple[str, ...]
    way: str
    before: str
    others: tuple[str, ...]
    refused: tuple[RefusedWay, ...]
    cautions: tuple[str, ...]
    left_frac: Band
    questions: tuple[str, ...]
    dilutions: tuple[Dilution, ...]
    compost: CompostJudged | None
    order: tuple[WorkTurn, ...]
    precautions: tuple[Reason, ...]
    unknown: tuple[Reason, ...]
    passport: Passport
    bag: BagJudged | None = None

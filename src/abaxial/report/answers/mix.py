"""The answer of `abaxial mix`: one mix for one bed with everything a person needs, or what stands in the way."""

from dataclasses import dataclass
from datetime import date

from abaxial.provenance import Passport
from abaxial.report.answers.plan import Mix
from abaxial.report.answers.reason import Reason


@dataclass(frozen=True)
class MixAnswer:
    """The whole page.

    bottles : that share the tank. ground_m2, leaf_area_m2 : of what is sprayed. mix : None where hindrances, or refusals,
    stand in the way. notes : what held the volume. precautions : never empty where there is a mix. wear : by the labels.
    """

    garden: str
    invented: bool
    today: date
    planting: str
    bed: str
    bottles: tuple[str, ...]
    ground_m2: float
    leaf_area_m2: float
    mix: Mix | None
    hindrances: tuple[Reason, ...]
    refusals: tuple[Reason, ...]
    notes: tuple[Reason, ...]
    wear: tuple[str, ...]
    precautions: tuple[Reason, ...]
    unknown: tuple[Reason, ...]
    passport: Passport

"""The answer of `abaxial shelf`: every bottle, what is left, what its label still lacks, when it may be used next."""

from dataclasses import dataclass
from datetime import date

from abaxial.provenance import Passport
from abaxial.report.answers.reason import Reason


@dataclass(frozen=True)
class NextUse:
    """When one bottle may be used on one planting. on : the first day from today; None where none of the days ahead is
    allowed. refusals : what stands against today, most important first."""

    planting: str
    on: date | None
    refusals: tuple[Reason, ...]


@dataclass(frozen=True)
class ShelfBottle:
    """One bottle, by the gardener's name for it.

    kind : "bottle" or "home_brew". actives, codes : what is in it. left : in unit, "ml" or "g"; None where nobody said.
    use_before : the first day on which it may no longer be used. missing : fields of its label that nobody has written
    down, "label" where there is none at all. uses : for every planting that has a rust.
    """

    bottle: str
    kind: str
    actives: tuple[str, ...]
    codes: tuple[str, ...]
    left: float | None
    unit: str
    use_before: date | None
    missing: tuple[str, ...]
    uses: tuple[NextUse, ...]


@dataclass(frozen=True)
class ShelfAnswer:
    """The whole page. warnings : rules that are near. unknown : what the journal cannot settle by itself."""

    garden: str
    invented: bool
    today: date
    bottles: tuple[ShelfBottle, ...]
    warnings: tuple[Reason, ...]
    unknown: tuple[Reason, ...]
    passport: Passport

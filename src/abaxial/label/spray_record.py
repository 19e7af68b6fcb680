"""A record of spraying as the law asks for it: which fields it lacks, and whether its amounts agree."""

from collections.abc import Mapping
from typing import NamedTuple

#: fields by the rule that asks for them; who sprays a garden of their own gains by the same ones
STANDARDS: Mapping[str, tuple[str, ...]] = {
    "eu2009": ("product", "start", "amount", "area_m2", "plants"),
    "eu2023": ("product", "registration", "start", "amount", "unit", "area_m2", "place", "plants", "host_code", "use"),
    "us2006": (
        "product",
        "registration",
        "amount",
        "unit",
        "place",
        "area_m2",
        "plants",
        "start",
        "who",
        "certificate",
    ),
}
#: years that a record is kept
KEPT_YEARS: Mapping[str, int] = {"eu2009": 3, "eu2023": 3, "us2006": 2}
#: a product amount may differ from rate times volume or area by this share
MISFIT_FRAC = 0.02


class Amounts(NamedTuple):
    """The amounts of a record that have to agree.

    rate : product per litre of spray or per square metre of ground. of : litres of spray, or square metres, that the rate is
    for. product : what was used, in the product's own unit.
    """

    rate: float
    of: float
    product: float


def lacking(record: Mapping[str, object], standard: str) -> tuple[str, ...]:
    """Fields that a rule asks for and a record has not got, in the rule's order.

    record : field to value; None and "" are as good as absent. standard : key of STANDARDS.
    Source: eu2009, Article 67; eu2023; us2006, 110.3.
    """
    return tuple(name for name in STANDARDS[standard] if record.get(name) in (None, ""))


def misfit_frac(amounts: Amounts) -> float:
    """How far the product used is off rate times what it is for, as a share of the latter; both are above 0."""
    due = amounts.rate * amounts.of
    return abs(amounts.product - due) / due


def agrees(amounts: Amounts) -> bool:
    """Whether the product used is what rate and volume, or area, ask for, within 2 %."""
    sound = amounts.rate > 0.0 and amounts.of > 0.0
    return sound and misfit_frac(amounts) <= MISFIT_FRAC * (1.0 + 1e-9)

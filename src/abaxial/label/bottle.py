"""A bottle on the shelf and what is printed on it, in the units of the house; what is not known is said to be so."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal, NamedTuple

Form = Literal["liquid", "powder"]

#: every field that a bottle's owner is asked for before the bottle is used
ASKED = (
    "actives",
    "rate",
    "sites",
    "pests",
    "interval_d",
    "most_applications",
    "most_product",
    "reentry_h",
    "rain_fast_h",
    "protective",
    "registration",
)
#: from mild to severe; the severest of a mix counts
SIGNALS = ("", "caution", "warning", "danger")


class Rate(NamedTuple):
    """How much product the label allows at once.

    amount : the most [unit]. unit : "ml_per_l" or "g_per_l" of spray, "ml_per_m2" or "g_per_m2" of ground. least_amount :
    the least that the label expects to work [unit]. tank_l : the tank that a rate "per tank" was printed for [L].
    least_l_per_m2, most_l_per_m2 : water on the ground treated [L/m²]; None where the label says nothing.
    """

    amount: float
    unit: str
    least_amount: float
    tank_l: float | None = None
    least_l_per_m2: float | None = None
    most_l_per_m2: float | None = None


@dataclass(frozen=True)
class Label:
    """What is printed on a container. Amounts of product are millilitres of a liquid and grams of a powder.

    form : "liquid" or "powder". actives : key of a material, or the name as printed, to its strength. strength_unit :
    "g_per_g" or "g_per_ml" of product. rate : None where it was not written down. sites, sites_not, pests : as printed.
    interval_d : shortest time between two applications [d]. most_applications : in most_over_d days. most_product_per_m2 :
    in most_over_d days, on a square metre. reentry_h : from the end of spraying [h], 0 and reentry_when_dry where it says
    "until dry". rain_fast_h : [h]. protective : clothing and gear. registration : number. signal : one of SIGNALS.
    temperature_least_c, temperature_most_c, wind_most_m_s : while spraying. buffer_m : from open water. harvest_d : before
    anything is picked to be eaten. spare_open_flowers : not on open flowers. licensed_only : not for everybody. codes :
    FRAC codes as printed. apart_d : days from another kind. never_with : kinds or actives. harvest and all others are None,
    or empty, where the label says nothing. unwritten : fields of ASKED that nobody has written down yet.
    """

    form: Form
    actives: Mapping[str, float] = field(hash=False)
    strength_unit: str
    rate: Rate | None
    sites: tuple[str, ...]
    pests: tuple[str, ...]
    interval_d: int | None
    most_applications: int | None
    most_product_per_m2: float | None
    reentry_h: float | None
    rain_fast_h: float | None
    protective: tuple[str, ...]
    registration: str
    most_over_d: int = 365
    reentry_when_dry: bool = False
    sites_not: tuple[str, ...] = ()
    signal: str = ""
    density_g_per_ml: float | None = None
    temperature_least_c: float | None = None
    temperature_most_c: float | None = None
    wind_most_m_s: float | None = None
    buffer_m: float | None = None
    harvest_d: int | None = None
    spare_open_flowers: bool = False
    licensed_only: bool = False
    codes: tuple[str, ...] = ()
    apart_d: Mapping[str, int] | None = field(default=None, hash=False)
    never_with: tuple[str, ...] = ()
    unwritten: tuple[str, ...] = ()


@dataclass(frozen=True)
class Bottle:
    """One container, or a brew made at home.

    key : the gardener's own name for it. kind : "bottle" or "home_brew". left : what is in it, millilitres of a liquid or
    grams of a powder, None where nobody said. use_before : the first day on which it may no longer be used.
    """

    key: str
    kind: str
    label: Label | None
    left: float | None = None
    bought_on: date | None = None
    use_before: date | None = None

    @property
    def product(self) -> str:
        """What it is whichever bottle it stands in: the registration number, else the gardener's name for it."""
        return (self.label.registration if self.label else "") or self.key


def missing(bottle: Bottle) -> tuple[str, ...]:
    """Fields of the label to ask for before the bottle is used; "label" where there is none, nothing for a home brew."""
    if bottle.kind == "home_brew":
        return ()
    return ("label",) if bottle.label is None else bottle.label.unwritten

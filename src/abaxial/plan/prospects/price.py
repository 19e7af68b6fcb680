"""What a programme costs besides leaves and minutes: harm it may do, product it uses, and what it teaches the rust."""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import NamedTuple

from abaxial.label.contents import Contents
from abaxial.plan import cost
from abaxial.plan.cost import Values
from abaxial.plan.programmes.laid_out import Work
from abaxial.plan.programmes.step import Programme
from abaxial.remedy import residue, resistance
from abaxial.remedy.material import Material

# after so many days an application teaches next to nothing more
_TEACHES_D = 28.0


class Prices(NamedTuple):
    """contents : of bottles by name. unit_money : of a unit of product by bottle, where somebody said. taught : code to what
    the season's applications so far have taught. materials : by key."""

    contents: Mapping[str, Contents]
    unit_money: Mapping[str, float]
    taught: Mapping[str, float]
    materials: Mapping[str, Material]
    values: Values


def price_money(programme: Programme, work: Work, prices: Prices, *, near_water: bool, share_frac: float) -> float:
    """The price of one planting's programme [money].

    near_water : whether a pond or a stream is near. share_frac : of the garden's leaf that stands in this planting, by which
    what it teaches the rust is counted.
    """
    total = 0.0
    for step in programme.sprays:
        total += cost.harm_money(prices.contents[step.bottle].cautions, prices.values, near_water=near_water)
        total += prices.unit_money.get(step.bottle, 0.0) * work.product[step.bottle]
    taught = teaching((prices.contents[step.bottle].actives for step in programme.sprays), prices.materials)
    failing = {
        code: resistance.price_frac(resistance.risk_of(code, prices.materials), prices.taught.get(code, 0.0), shift)
        for code, shift in taught.items()
    }
    return total + share_frac * cost.selection_money(failing, prices.values)


def teaching(applications: Iterable[Iterable[str]], materials: Mapping[str, Material]) -> Mapping[str, float]:
    """What applications teach the rust of each code, as a shift of the logit; each alone, with no rain to shorten it.

    applications : keys of the materials of each.
    """
    taught: dict[str, float] = {}
    for keys in applications:
        for key in keys:
            material = materials.get(key)
            if material is not None and material.acts_on_rust:
                for code in material.codes:
                    taught[code] = taught.get(code, 0.0) + _shift(material)
    return taught


def _shift(material: Material) -> float:
    most = max(material[name] for name in ("protect_most_frac", "cure_most_frac") if name in material.numbers)
    return _of_one_dose(most, material["protect_per_dose"], material["decay_per_d"])


@cache
def _of_one_dose(most_frac: float, per_dose: float, decay_per_d: float) -> float:
    curve = {
        "growth_per_d": residue.constants("resistance")["growth_per_d"].value,
        "most_frac": most_frac,
        "per_dose": per_dose,
        "decay_per_d": decay_per_d,
    }
    return resistance.selection_of_doses([0.0], [1.0], _TEACHES_D, curve)

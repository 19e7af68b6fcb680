"""What is to be mixed, and for what: products with their label rates, the bed, the sprayer."""

import math
from typing import NamedTuple

from abaxial.errors import RequestError
from abaxial.label.mixing.order import form_named
from abaxial.label.window.site import SiteFacts, demand_answers

UNITS = ("ml", "g")
PER = ("l", "m2")


class Product(NamedTuple):
    """One bottle as its label has it; the label's own words stand above all of it.

    bottle : the gardener's name for it. form : see order.toml. unit : "ml" or "g", of every amount here. amount : of the
    rate, above 0. per : "l" of spray or "m2" of ground. most_per_m2 : on ground at one time; most_per_l : the strongest
    mix; least_l_per_m2, most_l_per_m2 : spray on ground; None where the label says nothing. left : in the bottle, None
    where nobody knows. container_l : size of the bottle, None where nobody knows.
    """

    bottle: str
    form: str
    unit: str
    amount: float
    per: str
    most_per_m2: float | None = None
    most_per_l: float | None = None
    least_l_per_m2: float | None = None
    most_l_per_m2: float | None = None
    left: float | None = None
    container_l: float | None = None


class Job(NamedTuple):
    """What is to be sprayed, with what. ground_m2 : that the plants stand on, above 0. leaf_area_m2 : one side counted,
    above 0. tank_l : what the sprayer takes, above 0. facts : what lies around."""

    ground_m2: float
    leaf_area_m2: float
    tank_l: float
    facts: SiteFacts


def judge(products: tuple[Product, ...], job: Job) -> None:
    """Raise RequestError, with all that is wrong at once, for what cannot be a mix; and while a question is open."""
    demand_answers(job.facts)
    wrong = [] if products else ["there is nothing to mix"]
    wrong += [_not_above(name, getattr(job, name)) for name in ("ground_m2", "leaf_area_m2", "tank_l")]
    for each in products:
        form_named(each.form)
        if each.unit not in UNITS:
            wrong.append(f"{each.bottle}: the unit {each.unit!r} is none of {', '.join(UNITS)}")
        if each.per not in PER:
            wrong.append(f"{each.bottle}: an amount per {each.per!r}; it must be per {' or '.join(PER)}")
        wrong.append(_not_above(f"{each.bottle}: amount", each.amount))
        limits = ("most_per_m2", "most_per_l", "least_l_per_m2", "most_l_per_m2", "container_l")
        said = [name for name in limits if getattr(each, name) is not None]
        wrong += [_not_above(f"{each.bottle}: {name}", getattr(each, name)) for name in said]
        if each.left is not None and not 0.0 <= each.left < math.inf:
            wrong.append(f"{each.bottle}: what is left is {each.left!r}; it must be 0 or more")
    if len({each.bottle for each in products}) < len(products):
        wrong.append("one bottle is named twice")
    told = [each for each in wrong if each]
    if told:
        raise RequestError(f"This cannot be mixed: {'; '.join(told)}.", remedy="Correct it from the label and the bed.")


def _not_above(name: str, value: float) -> str:
    good = isinstance(value, int | float) and 0.0 < value < math.inf
    return "" if good else f"{name} is {value!r}; it must be a number above 0"

"""The card for one mix: everything a person needs, in the order in which they do it; or what stands in the way."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from abaxial.errors import FaultError
from abaxial.label.mixing import amounts, rinsing
from abaxial.label.mixing.habits import RINSES, Habits
from abaxial.label.mixing.job import Job, Product, judge
from abaxial.label.mixing.order import form_named, in_order
from abaxial.label.mixing.tankfuls import Tankfuls, equal_tankfuls, measured
from abaxial.label.mixing.volume import Volume, amount_per_l, amount_per_m2, spray_volume, thinnest_l
from abaxial.label.precautions import kinds_for
from abaxial.label.window.limits import Limits
from abaxial.label.window.site import site_cautions

#: on every card for mixing, whatever is mixed: those of all work with pesticides, and those of measuring
USUAL = (
    *kinds_for(("pesticide",)),
    "measure_outdoors",
    "kitchen_things_never",
    "never_stronger",
    "mix_only_for_today",
)
# an amount of a label, worked out in floating point, may be missed by this share
_ROUNDING = 1e-9


class Hindrance(NamedTuple):
    """What stands in the way of a mix. kind : too_small, too_little_water, too_little_to_wet, labels_disagree,
    not_enough_left. details : numbers and the bottle."""

    kind: str
    details: Mapping[str, float | str]


class Dose(NamedTuple):
    """One product in every tankful. per_tankful, whole : in unit, "ml" or "g". rate_frac : of what the label's rate would be,
    just below 1 because it is measured down to a graduation. paste : whether it is stirred with a little water first."""

    bottle: str
    unit: str
    per_tankful: float
    whole: float
    rate_frac: float
    paste: bool


class Step(NamedTuple):
    """One thing to do. kind : words are made of it elsewhere. details : numbers and the bottle."""

    kind: str
    details: Mapping[str, float | str]


@dataclass(frozen=True)
class MixCard:
    """One mix. It cannot be made without its cautions, and never holds more than a tank.

    cautions : before all else. tankfuls, tankful_l : equal tanks. tank_l : of the sprayer. doses : in the order they go in.
    volume : what the bed gets. left_over_l : mixed beyond that. steps : what to do, in order.
    """

    cautions: tuple[str, ...]
    tankfuls: int
    tankful_l: float
    tank_l: float
    doses: tuple[Dose, ...]
    volume: Volume
    left_over_l: float
    steps: tuple[Step, ...]

    def __post_init__(self) -> None:
        """Refuse to be a card without its cautions, or one that does not fit the sprayer."""
        lacking = set(USUAL) - set(self.cautions)
        if lacking or not self.doses or self.tankful_l > self.tank_l * (1.0 + _ROUNDING):
            raise FaultError(
                f"A card for mixing lacks {', '.join(sorted(lacking)) or 'a dose or a tank that holds it'}."
            )


@dataclass(frozen=True)
class NoMix:
    """Why there is no card: all that stands in the way, at least one."""

    hindrances: tuple[Hindrance, ...]


def mix_card(products: tuple[Product, ...], job: Job, habits: Habits, limits: Limits) -> MixCard | NoMix:
    """The card for spraying one bed with one or more products in one mix.

    products : that may be mixed and may be used there, which the rules say. limits : for what lies around. Raises
    RequestError for numbers that cannot be, and while a question about the bed is open.
    """
    judge(products, job)
    volume = spray_volume(products, job, habits)
    hindrances = _no_volume(volume, job, habits)
    tanks = None if hindrances else _tanks(volume, job, habits)
    if not tanks:
        least_l = amounts.least_measurable(0.01, habits.left_over_frac)
        dry = Hindrance("too_little_water", {"needed_l": volume.needed_l, "least_l": least_l})
        return NoMix(tuple(hindrances) or (dry,))
    order = in_order([each.form for each in products])
    doses = tuple(_dose(products[each], tanks, job, habits) for each in order)
    hindrances = [
        each
        for place, dose in zip(order, doses, strict=True)
        for each in _no_dose(products[place], dose, tanks, job, habits)
    ]
    if hindrances:
        return NoMix(tuple(hindrances))
    return MixCard(
        cautions=(*USUAL, *site_cautions(job.facts, limits)),
        tankfuls=tanks.number,
        tankful_l=tanks.tankful_l,
        tank_l=job.tank_l,
        doses=doses,
        volume=volume,
        left_over_l=max(tanks.number * tanks.tankful_l - volume.needed_l, 0.0),
        steps=_steps(tanks, doses, {each.bottle: each for each in products}, job, habits),
    )


def _no_volume(volume: Volume, job: Job, habits: Habits) -> list[Hindrance]:
    if volume.most_l < volume.least_l:
        return [Hindrance("labels_disagree", {"least_l": volume.least_l, "most_l": volume.most_l})]
    thin_l = thinnest_l(job, habits)
    if volume.needed_l < thin_l:
        return [Hindrance("too_little_to_wet", {"allowed_l": volume.needed_l, "least_l": thin_l})]
    return []


def _tanks(volume: Volume, job: Job, habits: Habits) -> Tankfuls | None:
    """A little more than needed where that is allowed, else a little less."""
    over_l = min(volume.needed_l * (1.0 + habits.left_over_frac), volume.most_l)
    under_l = max(volume.needed_l * (1.0 - habits.left_over_frac), volume.least_l, thinnest_l(job, habits))
    more = equal_tankfuls(volume.needed_l, over_l, job.tank_l)
    return more or equal_tankfuls(min(under_l, volume.needed_l), volume.needed_l, job.tank_l)


def _exact(product: Product, tanks: Tankfuls, job: Job) -> float:
    """What the label's rate comes to in one tankful."""
    if product.per == "l":
        return amount_per_l(product) * tanks.tankful_l
    return amount_per_m2(product) * job.ground_m2 / tanks.number


def _graduation(product: Product, habits: Habits) -> float:
    return habits.graduation_ml if product.unit == "ml" else habits.graduation_g


def _dose(product: Product, tanks: Tankfuls, job: Job, habits: Habits) -> Dose:
    exact = _exact(product, tanks, job)
    each = measured(exact, _graduation(product, habits))
    return Dose(product.bottle, product.unit, each, each * tanks.number, each / exact, form_named(product.form).dry)


def _no_dose(product: Product, dose: Dose, tanks: Tankfuls, job: Job, habits: Habits) -> list[Hindrance]:
    exact, graduation = _exact(product, tanks, job), _graduation(product, habits)
    smallest = amounts.least_measurable(graduation, habits.misread_frac)
    found = []
    if exact < smallest * (1.0 - _ROUNDING):
        details: dict[str, float | str] = {
            "bottle": product.bottle, "unit": product.unit, "amount": exact, "smallest": smallest,
            "enough_for_l": tanks.tankful_l * smallest / exact, "graduation_needed": exact * habits.misread_frac,
        }  # fmt: skip
        found.append(Hindrance("too_small", details))
    if product.left is not None and product.left < dose.whole:
        lack: dict[str, float | str] = {
            "bottle": product.bottle, "unit": product.unit, "left": product.left, "needed": dose.whole
        }  # fmt: skip
        found.append(Hindrance("not_enough_left", lack))
    return found


def _steps(
    tanks: Tankfuls, doses: tuple[Dose, ...], products: Mapping[str, Product], job: Job, habits: Habits
) -> tuple[Step, ...]:
    first_l = tanks.tankful_l * habits.first_water_frac
    steps = [Step("read_label", {}), Step("dress", {}), Step("try_with_water", {})]
    if len(doses) > 1:
        steps.append(Step("jar_test", {"wait_min": habits.jar_test_min}))
    steps += [Step("tankfuls", {"number": float(tanks.number)}), Step("first_water", {"volume_l": first_l})]
    for dose in doses:
        kind = "paste_and_add" if dose.paste else "measure_and_add"
        steps.append(Step(kind, {"bottle": dose.bottle, "amount": dose.per_tankful, "unit": dose.unit}))
        steps.append(Step("stir", {}))
    room_l = (tanks.tankful_l - first_l) / RINSES
    for product in _emptied(doses, products):
        how: dict[str, float | str] = {
            "bottle": product.bottle, "times": float(RINSES), "tankful": float(tanks.number)
        }  # fmt: skip
        steps.append(Step("rinse_container", how | _rinsing_of(product, room_l, habits)))
    rinses = rinsing.sprayer_rinses_l(job.tank_l, habits)
    steps += [
        Step("fill_up", {"volume_l": tanks.tankful_l}),
        Step("spray_all_on_bed", {}),
        Step("rinse_sprayer", {"times": float(len(rinses)), "volume_l": rinses[0]}),
        Step("rinsings_on_bed", {}),
        Step("wash", {}),
        Step("write_down", {}),
    ]
    return tuple(steps)


def _rinsing_of(product: Product, room_l: float, habits: Habits) -> dict[str, float | str]:
    """How full an emptied bottle is filled for each rinse: fill_frac, and volume_l where its size is known.

    room_l : water that one rinse may bring into the tank [L]. What clings to the bottle is part of what was said to be left
    in it, and so of this mix.
    """
    if product.container_l is None:
        return {"fill_frac": habits.small_rinse_frac}
    rinse_l = min(rinsing.container_rinse_l(product.container_l, habits), 0.9 * room_l)
    return {"fill_frac": rinse_l / product.container_l, "volume_l": rinse_l}


def _emptied(doses: tuple[Dose, ...], products: Mapping[str, Product]) -> list[Product]:
    """Bottles that this mix uses up; they are rinsed into the last tank before it is filled up."""
    return [
        products[dose.bottle]
        for dose in doses
        if (left := products[dose.bottle].left) is not None and left - dose.whole <= _ROUNDING * max(left, 1.0)
    ]

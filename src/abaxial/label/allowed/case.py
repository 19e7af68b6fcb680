"""One application that somebody thinks of, and the kinds of reasons against it."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from abaxial.label.bottle import Bottle, Label
from abaxial.label.contents import Contents
from abaxial.label.done import Done, Site
from abaxial.label.limits import Rules
from abaxial.remedy.material import Material

#: every reason to refuse, in the order they are told, with the details it comes with
REFUSALS: Mapping[str, tuple[str, ...]] = {
    # the bottle
    "home_brew": ("bottle",),
    "no_label": ("bottle",),
    "label_incomplete": ("bottle", "fields"),
    "active_unknown": ("bottle", "actives"),
    "not_a_fungicide": ("bottle",),
    "expired": ("bottle", "use_before"),
    "empty": ("bottle",),
    "too_little_left": ("bottle", "left", "needed"),
    "licensed_only": ("bottle",),
    # the plants, and what ails them
    "site_not_named": ("planting", "sites"),
    "site_excepted": ("planting", "sites"),
    "crop_not_named": ("planting", "sites"),
    "pest_not_named": ("pests", "named"),
    # the day
    "too_hot": ("warmest_c", "most_c"),
    "too_cold": ("coldest_c", "least_c"),
    "wilted": ("planting",),
    "stressed": ("planting",),
    "newly_planted": ("planting",),
    "open_flowers": ("planting",),
    "water_not_asked": ("planting", "buffer_m"),
    "water_too_near": ("planting", "water_m", "buffer_m"),
    # the amount
    "area_not_known": ("planting",),
    "too_much_at_once": ("planting", "amount", "most"),
    "too_much_in_a_year": ("planting", "amount", "most", "over_d"),
    "too_often_in_a_year": ("planting", "times", "most", "over_d"),
    # what was there before
    "too_soon": ("planting", "other", "on", "days", "least_d"),
    "closed": ("planting", "other", "until"),
    "too_near_another": ("planting", "other", "on", "days", "least_d"),
    "never_together": ("planting", "other", "what"),
    # taking turns
    "too_many_running": ("code", "turns", "most"),
    "too_much_alone": ("code", "turns", "of", "most_frac"),
    "too_much_of_a_code": ("code", "turns", "of", "most_frac"),
}
#: what is allowed and yet to be thought about
WARNINGS: Mapping[str, tuple[str, ...]] = {
    "warm": ("warmest_c", "better_c"),
    "plants_not_at_ease": ("planting",),
    "bees": ("planting",),
    "better_apart": ("planting", "other", "on", "days", "better_d"),
    "last_of_its_code": ("code", "turns", "most"),
    "last_of_the_year": ("planting", "times", "most", "over_d"),
    "wait_before_eating": ("planting", "days"),
    "beware": ("bottle", "of"),
}


class Refusal(NamedTuple):
    """One reason, as a kind of REFUSALS or WARNINGS with names and numbers; words are made where it is shown."""

    kind: str
    details: Mapping[str, object]


class Case(NamedTuple):
    """A bottle with its label to be put on a site on a day, and all that bears on it.

    there : what was done on the same planting. history : what was done in the whole garden.
    """

    bottle: Bottle
    label: Label
    contents: Contents
    site: Site
    on: date
    there: Sequence[Done]
    history: Sequence[Done]
    rules: Rules
    materials: Mapping[str, Material]


def refuse(kind: str, /, **details: object) -> Refusal:
    """A reason with the details of its kind, and no others."""
    return Refusal(kind, {name: details[name] for name in REFUSALS[kind]})


def warn(kind: str, /, **details: object) -> Refusal:
    """A warning with the details of its kind, and no others."""
    return Refusal(kind, {name: details[name] for name in WARNINGS[kind]})

"""The cautions that go with every kind of work that can hurt; a card of such work cannot be made without them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from abaxial.errors import FaultError
from abaxial.label.allowed.on_label import heat_stop_c
from abaxial.label.bottle import Label
from abaxial.label.contents import Contents
from abaxial.label.limits import Rules

#: what stands first on every card
ALWAYS = ("label_first", "local_law", "licensed_practice")
#: what stands on the card of a kind of work, in the order in which it is told
USUAL: Mapping[str, tuple[str, ...]] = {
    "pesticide": (
        "long_sleeves_gloves_and_shoes", "goggles_while_mixing", "gear_of_the_label", "nobody_near",
        "no_eating_or_smoking", "no_wind_and_no_still_air", "bees", "water_and_drains", "keep_out", "wash_yourself_and_clothes",
        "rest_never_poured_away", "own_container_locked", "poison_help",
    ),
    "oil": ("not_in_heat", "not_on_thirsty_plants", "try_a_few_leaves", "not_near_sulfur"),
    "bleach": (
        "never_with_acid_ammonia_or_alcohol", "gloves_and_goggles", "fresh_air", "fresh_solution", "rinse_tools", "poison_help",
    ),
    "alcohol": ("no_flame", "fresh_air", "gloves_and_goggles"),
    "blade": ("cut_away_from_yourself", "gloves_and_shoes", "closed_when_carried"),
    "heat": ("burns", "fire_rules", "nobody_near"),
}  # fmt: skip
#: numbers and names that some of them come with
DETAILS: Mapping[str, tuple[str, ...]] = {
    "licensed_practice": ("needed",),
    "gear_of_the_label": ("gear",),
    "keep_out": ("reentry_h", "when_dry"),
    "water_and_drains": ("buffer_m",),
    "not_in_heat": ("most_c",),
    "not_near_sulfur": ("least_d", "better_d"),
    "fresh_solution": ("most_h",),
}
#: a bleach solution is used within this time [h]; iowastate
BLEACH_KEEPS_H = 2.0


class Precaution(NamedTuple):
    """One caution. kind : of ALWAYS or USUAL. details : as DETAILS says; None where nobody has written it down."""

    kind: str
    details: Mapping[str, object]


class Known(NamedTuple):
    """What the numbers of cautions are taken from. label, contents : None where no bottle is used."""

    rules: Rules
    label: Label | None = None
    contents: Contents | None = None


@dataclass(frozen=True)
class Card:
    """What somebody is asked to do, with the cautions that belong to it.

    works : keys of USUAL, one at least. what : the work itself, anything. Raises FaultError where a caution is lacking.
    """

    works: tuple[str, ...]
    what: object
    precautions: tuple[Precaution, ...]

    def __post_init__(self) -> None:
        """Refuse a card that would let somebody come to harm."""
        needed = kinds_for(self.works)
        lacking = [kind for kind in needed if kind not in {each.kind for each in self.precautions}]
        if lacking:
            raise FaultError(
                f"A card for {', '.join(self.works)} lacks its cautions {', '.join(lacking)}.",
                remedy="Make it with label.precautions.card.",
            )


def kinds_for(works: Sequence[str]) -> tuple[str, ...]:
    """The cautions of some kinds of work, each once, in order. Raises FaultError for no work and for an unknown one."""
    strange = [work for work in works if work not in USUAL]
    if strange or not works:
        raise FaultError(
            f"There are no cautions for {', '.join(strange) or 'a card of no work'}.",
            remedy=f"Known are {', '.join(USUAL)}.",
        )
    return tuple(dict.fromkeys((*ALWAYS, *(kind for work in works for kind in USUAL[work]))))


def precautions_for(works: Sequence[str], known: Known) -> tuple[Precaution, ...]:
    """The cautions of some kinds of work with their numbers. Raises FaultError as `kinds_for` does."""
    numbers = _numbers(known)
    return tuple(Precaution(kind, {name: numbers[name] for name in DETAILS.get(kind, ())}) for kind in kinds_for(works))


def works_of(contents: Contents) -> tuple[str, ...]:
    """The kinds of work that putting on a bottle is."""
    return ("pesticide", "oil") if "oil" in contents.kinds else ("pesticide",)


def card(works: Sequence[str], what: object, known: Known) -> Card:
    """A card with everything that belongs on it. Raises FaultError as `kinds_for` does."""
    return Card(tuple(works), what, precautions_for(works, known))


def _numbers(known: Known) -> Mapping[str, object]:
    label, contents, rules = known.label, known.contents, known.rules
    stop_c = None if contents is None else heat_stop_c(contents, rules, label.temperature_most_c if label else None)
    return {
        "needed": label is not None and label.licensed_only,
        "gear": label.protective if label else (),
        "reentry_h": label.reentry_h if label else None,
        "when_dry": label is not None and label.reentry_when_dry,
        "buffer_m": label.buffer_m if label else None,
        "most_c": rules.oil_stop_c if stop_c is None else stop_c,
        "least_d": rules.oil_sulfur_d,
        "better_d": rules.oil_sulfur_better_d,
        "most_h": BLEACH_KEEPS_H,
    }

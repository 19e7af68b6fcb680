"""What lies around a bed that spray must not reach: asked once, before any card for spraying exists."""

from collections.abc import Iterable
from typing import NamedTuple

from abaxial.errors import RequestError
from abaxial.label.window.limits import Limits


class SiteFacts(NamedTuple):
    """What lies around one bed; None is a question not yet asked.

    hives_m : to the nearest beehive; infinity where there is none. fish_m : to the nearest pond, ditch or stream. animals :
    whether pets, poultry or grazing animals come there. children : whether children do. washing : whether washing or
    bedding hangs near. roof_water_tank : whether rain from a roof near by is kept for drinking, animals or the kitchen.
    """

    hives_m: float | None = None
    fish_m: float | None = None
    animals: bool | None = None
    children: bool | None = None
    washing: bool | None = None
    roof_water_tank: bool | None = None


_WHEN_SO = {
    "animals": ("animals_away_until_dry", "bowls_and_feed_in"),
    "children": ("children_away_until_dry", "toys_in"),
    "washing": ("washing_in",),
    "roof_water_tank": ("inlet_of_tank_off",),
}


def unasked(facts: SiteFacts) -> tuple[str, ...]:
    """The questions about a bed that nobody has answered, in the order of SiteFacts."""
    return tuple(name for name, value in facts._asdict().items() if value is None)


def demand_answers(facts: SiteFacts) -> None:
    """Raise RequestError while a question about a bed is open, or where a distance is none."""
    left = unasked(facts)
    if left:
        raise RequestError(
            f"Nothing can be said about spraying this bed before these are answered: {', '.join(left)}.",
            remedy="Answer them once for the bed; where there is none, say so.",
        )
    for name in ("hives_m", "fish_m"):
        if not getattr(facts, name) >= 0.0:
            raise RequestError(
                f"{name} is {getattr(facts, name)!r}; a distance is 0 or more.",
                remedy="Give metres, or inf where there is none.",
            )


def closed_for_good(
    facts: SiteFacts, limits: Limits, *, buffer_m: float | None, harms: Iterable[str]
) -> tuple[str, ...]:
    """What keeps a bed shut to a product in every hour: "water_too_near".

    buffer_m : to water, of the label; None where it says nothing. harms : kinds of caution of the materials. The larger
    of the label's distance and, for what harms fish, ours is kept. Raises RequestError while a question is open.
    """
    demand_answers(facts)
    apart_m = max(buffer_m or 0.0, limits.water_m if "fish" in harms else 0.0)
    return ("water_too_near",) if (facts.fish_m or 0.0) < apart_m else ()


def bees_count(facts: SiteFacts, limits: Limits, *, flowers_open: bool | None) -> bool:
    """Whether spraying must wait until bees are home: flowers are open or may be, or hives stand near.

    flowers_open : in or under the bed, weeds counted; None where nobody knows. Raises RequestError while a question is open.
    """
    demand_answers(facts)
    return flowers_open is not False or (facts.hives_m or 0.0) < limits.hive_m


def site_cautions(facts: SiteFacts, limits: Limits) -> tuple[str, ...]:
    """What the surroundings of a bed add to every card for spraying it. Raises RequestError while a question is open."""
    demand_answers(facts)
    said = [caution for name, kinds in _WHEN_SO.items() if getattr(facts, name) for caution in kinds]
    if (facts.hives_m or 0.0) < limits.tell_keeper_m:
        said.append("tell_beekeeper")
    if (facts.fish_m or 0.0) < limits.cover_pond_m:
        said.append("cover_pond")
    return tuple(said)

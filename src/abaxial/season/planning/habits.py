"""The nights ahead if a planting were thinned, or watered at the foot: what else they would let in."""

from collections.abc import Container, Mapping, Sequence

from abaxial.garden.parts import Bed, Garden
from abaxial.infection import kernel, leaves
from abaxial.infection.kernel import Nights
from abaxial.microclimate import exposure, nights, wetness
from abaxial.microclimate.exposure import Canopy
from abaxial.plan.prospects.plot import work
from abaxial.season.planting_week import Grown, Here
from abaxial.season.stand import RUN_IN_D, levels_between, watered_at_the_foot, with_less


def habits_of(
    garden: Garden, grown: Grown, days: tuple[int, int], places: Container[int]
) -> Sequence[Mapping[str, Nights]]:
    """Of every planting whose rust is known, the nights that other habits would bring. days : first and the one after the last.
    places : plantings for which it matters; others have none."""
    asked = [
        (place, kind, *_kept(each, kind))
        for place, each in enumerate(grown.here)
        if place in places
        for kind in _possible(each)
    ]
    found: list[dict[str, Nights]] = [{} for _ in grown.here]
    if not asked:
        return found
    sky, first = grown.sky, max(days[0] - RUN_IN_D, 0)
    span, when = exposure.days_between(sky.when, first, days[1])
    levels = [
        levels_between(grown.here[place].stand, bed, foliage, when, (first, days[1]))
        for place, _, bed, foliage in asked
    ]
    air = sky.air[span]
    wet = wetness.leaf_wetness(air, [one for pair in levels for one in pair], when, garden.place, grown.members)
    for number, (place, kind, _, _) in enumerate(asked):
        biology = grown.here[place].biology
        on_leaves = leaves.leaf_hours(
            wet, slice(2 * number, 2 * number + 2), biology.rust.face, air, levels[number], when
        )
        all_nights = kernel.infect(on_leaves, biology.curves, nights.day_starts(when))
        found[place][kind] = Nights(*(each[:, :, days[0] - first :] for each in all_nights))
    return found


def _possible(each: Here) -> tuple[str, ...]:
    thin = each.stand.planting.clumps > 1
    overhead = each.stand.bed.watering.manner == "overhead"
    return (*(("thin",) if thin else ()), *(("water_at_the_foot",) if overhead else ()))


def _kept(each: Here, kind: str) -> tuple[Bed, Canopy]:
    bed, foliage = each.stand.bed, each.stand.foliage
    if kind == "water_at_the_foot":
        return watered_at_the_foot(bed), foliage
    return bed, with_less(foliage, 1.0 - work()["thinned_frac"].value)

"""What would change if the same nights came again with another habit: hours wet, and what gets in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from abaxial.garden import horizon
from abaxial.garden.parts import Bed, Garden, Obstacle
from abaxial.host import growth
from abaxial.infection import kernel, leaves, outlook
from abaxial.infection.kernel import Nights
from abaxial.microclimate import exposure, nights, wetness
from abaxial.microclimate.exposure import Canopy, Floats
from abaxial.report.answers.week import WhatIf
from abaxial.season.planting_week import Biology, band
from abaxial.season.stand import RUN_IN_D, Sky, Stand, levels_between, watered_at_the_foot, with_less

DAYS_BACK, DAYS_AHEAD = 21, 7
# what is left of the low leaves when they are taken off, and how much farther apart "wider" is
LOW_LEFT_FRAC, WIDER = 0.1, 1.5


@dataclass(frozen=True)
class Habit:
    """One way of keeping a planting. lower_kept_frac : share of the low leaves that stay on."""

    change: str
    bed: Bed
    foliage: Canopy
    lower_kept_frac: float
    possible: bool


def habits_of(each: Stand) -> tuple[Habit, ...]:
    """Today's habits first, then the four changes."""
    bed, foliage, planting = each.bed, each.foliage, each.planting
    obstacles = tuple(_half_open(one) for one in bed.obstacles)
    more_wind = horizon.open_wind_frac(obstacles) / horizon.open_wind_frac(bed.obstacles)
    sunny = replace(bed, obstacles=obstacles, shelter_frac=min(bed.shelter_frac * more_wind, 1.0))
    return (
        Habit("as_now", bed, foliage, 1.0, True),
        Habit("water_at_dawn_on_soil", watered_at_the_foot(bed), foliage, 1.0, bed.watering.manner == "overhead"),
        Habit(
            "low_leaves_off",
            bed,
            _without_low_leaves(foliage),
            LOW_LEFT_FRAC,
            bool(foliage.leaf_area_index_lower.any()),
        ),
        Habit("wider_spacing", bed, with_less(foliage, 1.0 / WIDER**2), 1.0, planting.clumps > 1),
        Habit("more_sun", sunny, foliage, 1.0, bool(bed.obstacles)),
    )


def changes(
    sky: Sky, stands: Sequence[tuple[Stand, Biology]], garden: Garden, members: Floats
) -> list[tuple[WhatIf, ...]]:
    """The what-if table of each planting, over the last three weeks and the next. What is so already is not tried."""
    first = max(sky.today - DAYS_BACK - RUN_IN_D, 0)
    end = min(sky.today + DAYS_AHEAD, sky.days)
    span, when = exposure.days_between(sky.when, first, end)
    air = sky.air[span]
    tables = []
    for each, biology in stands:
        habits = habits_of(each)
        tried = [habit for habit in habits if habit.possible]
        levels = [levels_between(each, habit.bed, habit.foliage, when, (first, end)) for habit in tried]
        wet = wetness.leaf_wetness(air, [one for pair in levels for one in pair], when, garden.place, members)
        wet_h = nights.wet_h(wet, when)
        infected = [
            kernel.infect(
                leaves.leaf_hours(wet, slice(2 * i, 2 * i + 2), biology.rust.face, air, pair, when),
                biology.curves,
                nights.day_starts(when),
            )
            for i, pair in enumerate(levels)
        ]
        upper = growth.upper_weight_frac(each.growth)[first:end]
        window = max(sky.today - DAYS_BACK, 0) - first, end - first
        rows = {
            habit.change: _row(habit, infected[0], infected[i], wet_h[2 * i : 2 * i + 2], upper, window)
            for i, habit in enumerate(tried)
        }
        as_now = rows["as_now"]
        tables.append(
            tuple(rows.get(habit.change) or replace(as_now, change=habit.change, possible=False) for habit in habits)
        )
    return tables


def _row(habit: Habit, now: Nights, then: Nights, wet_h: Floats, upper: Floats, window: tuple[int, int]) -> WhatIf:
    """One line of the table. Low leaves that are gone neither count as leaves nor take anything in."""
    first, end = window
    kept = habit.lower_kept_frac
    upper_then = upper / (upper + (1.0 - upper) * kept)
    leaves_left = upper + (1.0 - upper) * kept
    then = outlook.thinned(then, leaves_left)
    change = outlook.compare(now, then, weights=(upper, upper_then), first_day=first, end_day=end)
    weights = upper_then[first:end, None]
    hours_wet = (wet_h[0, first:end] * (1.0 - weights) + wet_h[1, first:end] * weights).mean(axis=0) * 7.0
    return WhatIf(
        change=habit.change,
        wet_h_per_week=band(nights.band(hours_wet)),
        infection_per_week=band(change.infections_per_week),
        gain_frac=band(change.gain_frac),
        possible=habit.possible,
        window_days=end - first,
    )


def _half_open(obstacle: Obstacle) -> Obstacle:
    """The obstacle when half of the light and wind it keeps away comes through."""
    return replace(obstacle, transmission_frac=0.5 * (1.0 + obstacle.transmission_frac))


def _without_low_leaves(foliage: Canopy) -> Canopy:
    return replace(foliage, leaf_area_index_lower=foliage.leaf_area_index_lower * LOW_LEFT_FRAC)

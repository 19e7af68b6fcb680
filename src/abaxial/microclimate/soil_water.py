"""Water in the soil of a bed, day by day: a bucket that rain fills, leaves empty, and that spills when full.

Depletion is what the root zone lacks to its full capacity [mm]: 0 when it has just drained, up to all that plants can
take. Source of all formulas: allen1998, chapter 8.
"""

from typing import Any

import numpy as np

from abaxial.compiled import formula


@formula
def available_water_mm(field_capacity_frac: Any, wilting_point_frac: Any, root_depth_m: Any) -> Any:
    """Water that plants can take from a full root zone [mm]; any shape.

    field_capacity_frac, wilting_point_frac : water over soil by volume, 0 to 0.6. root_depth_m : 0.1 to 2. Eq. 82.
    """
    return 1000.0 * (field_capacity_frac - wilting_point_frac) * root_depth_m


@formula
def easy_share_frac(share_at_5_mm_frac: Any, evapotranspiration_mm_d: Any) -> Any:
    """Share of the available water that plants take without closing their pores, 0.1 to 0.8; any shape.

    share_at_5_mm_frac : that share on a day of 5 mm, 0.2 to 0.7. evapotranspiration_mm_d : of the planting [mm/d].
    Table 22, footnote.
    """
    return np.minimum(np.maximum(share_at_5_mm_frac + 0.04 * (5.0 - evapotranspiration_mm_d), 0.1), 0.8)


@formula
def stress_frac(depletion_mm: Any, available_mm: Any, easy_share_frac: Any) -> Any:
    """Evapotranspiration over that of the same plants without thirst, 0 to 1; any shape. Eq. 84."""
    thirsty = (available_mm - depletion_mm) / ((1.0 - easy_share_frac) * available_mm)
    return np.minimum(np.maximum(thirsty, 0.0), 1.0)


@formula
def step(depletion_mm: Any, water_mm: Any, wanted_mm: Any, available_mm: Any, easy_share_frac: Any) -> Any:
    """One day of the bucket: depletion at its end, water drained below and evapotranspiration [mm], all of any shape.

    depletion_mm : at the day's start, 0 to available_mm. water_mm : rain and watering that went into the soil.
    wanted_mm : evapotranspiration of plants without thirst. Eq. 85; thirst is judged at the day's start.
    """
    taken = wanted_mm * stress_frac(depletion_mm, available_mm, easy_share_frac)
    lacking = depletion_mm - water_mm + taken
    return np.minimum(np.maximum(lacking, 0.0), available_mm), np.maximum(-lacking, 0.0), taken


def depletion_over_days_mm(
    start_mm: Any, water_mm: Any, wanted_mm: Any, *, available_mm: Any, easy_share_frac: float
) -> Any:
    """Depletion at the end of each day [mm], shape of water_mm: (days,) or (days, members).

    start_mm : before the first day, 0 to available_mm. water_mm, wanted_mm : as in `step`, by day.
    """
    water_mm, wanted_mm = np.broadcast_arrays(np.asarray(water_mm, float), np.asarray(wanted_mm, float))
    depletion_mm = np.broadcast_to(np.asarray(start_mm, float), water_mm.shape[1:])
    by_day = np.empty(water_mm.shape)
    for day in range(len(by_day)):
        depletion_mm, _, _ = step(depletion_mm, water_mm[day], wanted_mm[day], available_mm, easy_share_frac)
        by_day[day] = depletion_mm
    return by_day

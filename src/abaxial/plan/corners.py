"""From the estimate to the corners a walk may go to: what a look would meet there, and what the decision hangs on."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import garden_story
from abaxial.assimilation.estimate import Posterior
from abaxial.epidemic.kernel import VISIBLE_OUT
from abaxial.plan.ground import Corner

Floats = NDArray[np.float64]
WEEK_D = 7
#: rusted shares of leaf area smaller than this are alike to a gardener
_LEAST_FRAC = 1e-4


class Standing(NamedTuple):
    """A planting as one walks up to it. plants : 0 or more. leaves_per_plant : on all its shoots. leaf_area_m2 : of all its
    plants. east_m, north_m : of its bed [m]. Plantings stand in the posterior's order."""

    planting: str
    bed: str
    plants: int
    leaves_per_plant: float
    leaf_area_m2: float
    east_m: float
    north_m: float


def corners_of(posterior: Posterior, standings: Sequence[Standing], *, now: int) -> tuple[Corner, ...]:
    """The low and the high leaves of every planting that has leaves.

    now : the garden day at whose end one walks, within the record. What the decision hangs on is the rusted leaf area a week
    and a half ahead with nothing done; a planting counts by its leaf area.
    """
    here = now - posterior.first_day
    later = min(here + WEEK_D + WEEK_D // 2, len(posterior.record) - 1)
    soon = min(here + WEEK_D, len(posterior.record) - 1)
    worn = posterior.unknowns.values(posterior.cloud.known)
    found = []
    for place, each in enumerate(standings):
        if each.plants <= 0 or each.leaves_per_plant <= 0.0:
            continue
        rust = posterior.unknowns.rusts[posterior.unknowns.rust_of[place]]
        leaves = garden_story.bearing(posterior.unknowns, worn, rust)
        rusted = garden_story.of_part(posterior.record[later, place].sum(axis=1), "any")
        for part in ("lower", "upper"):
            shows, then = (
                garden_story.of_part(posterior.record[row, place, :, VISIBLE_OUT], part) for row in (here, soon)
            )
            found.append(
                Corner(
                    planting=each.planting,
                    bed=each.bed,
                    part=part,
                    predicted=leaves._replace(visible_frac=shows),
                    concern=np.log(rusted + _LEAST_FRAC),
                    weight=0.5 * each.leaf_area_m2,
                    due_frac=np.maximum(then - shows, 0.0),
                    plants=each.plants,
                    leaves_per_plant=0.5 * each.leaves_per_plant,
                    east_m=each.east_m,
                    north_m=each.north_m,
                    rusted_frac=float(np.median(shows)),
                )
            )
    return tuple(found)

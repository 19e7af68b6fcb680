"""What there is to lose in a planting over the days ahead."""

import numpy as np

from abaxial.epidemic import leaf_area
from abaxial.plan.cost import Stake
from abaxial.plan.prospects.plot import Plot, work


def stake_of(
    plot: Plot, days: tuple[int, int], versions: int, *, flowering: bool, worth: tuple[float, bool], stem_frac: float
) -> Stake:
    """The stake of one planting. days : the first ahead and the one after the last. worth : of its leaves and clumps against the
    usual, and whether they can be bought again. stem_frac : chance that the stem is attacked."""
    area = leaf_area.hanging(plot.leaves())[0].sum(axis=0)[slice(*days)].sum()
    per_clump = work()["flowers_per_clump_d"].value * (days[1] - days[0])
    return Stake(
        ground_m2=plot.ground_m2,
        potential_area_d=np.full(versions, area),
        flowers=per_clump * plot.clumps if flowering else 0.0,
        clumps=float(plot.clumps),
        worth_factor=worth[0],
        replaceable=worth[1],
        stem_frac=np.full(versions, stem_frac),
    )

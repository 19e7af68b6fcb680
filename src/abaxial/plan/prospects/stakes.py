"""What there is to lose in a planting over the days ahead."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial.plan.cost import Stake
from abaxial.plan.prospects.plot import Plot


def stake_of(
    plot: Plot, days: tuple[int, int], versions: int, *, flowers: float, worth: tuple[float, bool], stem_frac: float
) -> Stake:
    """The stake of one planting. days : the first ahead and the one after the last. flowers : stems expected in these days,
    0 or more. worth : of its leaves, flowers and clumps against the usual, and whether they can be bought again. stem_frac :
    chance that the stem is attacked."""
    area = plot.area[slice(*days)].sum()
    return Stake(
        ground_m2=plot.ground_m2,
        potential_area_d=np.full(versions, area),
        flowers=flowers,
        clumps=float(plot.clumps),
        worth_factor=worth[0],
        replaceable=worth[1],
        stem_frac=np.full(versions, stem_frac),
    )


def beside(stakes: Sequence[Stake], arriving: NDArray[np.float64]) -> tuple[Stake, ...]:
    """The stakes of a garden, each with what the leaf is worth that its spores come over.

    arriving : (to, from) as `epidemic.rollout` counts it. Where a planting's spores come over no other, they are counted as
    though those were ordinary: they may reach what is not described.
    """
    reached = arriving * np.array([each.ground_m2 for each in stakes])[:, np.newaxis]
    worth = np.array([each.worth_factor for each in stakes])
    total = reached.sum(axis=0)
    factors = np.where(total > 0.0, worth @ reached / np.where(total > 0.0, total, 1.0), 1.0)
    return tuple(each._replace(others_worth_factor=float(one)) for each, one in zip(stakes, factors, strict=True))

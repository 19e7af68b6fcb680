"""How doubtful a whole garden is, and what is left of that after looks that were chosen already.

Plantings of one garden share their weather and their rust, so that a look at one tells of the others too, and a second
look tells less. What looks would tell is taken as linear in what each would make one believe (goldstein2007): for one
look this is exact for the part looked at, for several it never promises more than they hold.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

#: correlations between versions smaller than this many of their standard errors are taken for chance
_CHANCE_SD = 3.0
#: share of a look's own variance below which nothing new is left in it
_SPENT_FRAC = 1e-9


@dataclass(frozen=True)
class Ahead:
    """Every look that might be made, whatever was chosen.

    corner, leaves : (looks,) which corner, how many leaves, rising within a corner. told_variance : (looks,), told :
    (looks, versions) as in `gain.Prospect`. concern : (corners, versions), less its mean. worth : (corners,) of each unit
    of its variance.
    """

    corner: Whole
    leaves: Whole
    told_variance: Floats
    told: Floats
    concern: Floats
    worth: Floats


@dataclass(frozen=True)
class Doubt:
    """What is left after some looks.

    kin : (corners, corners) whether a look at the one tells of the other, more than chance would make it seem.
    left_variance : (corners,) of the concerns. new_variance : (looks,) of what each look would make one believe. shared :
    (corners, looks) covariance of the two. known : (chosen, looks) covariance of each look with what was news in the
    chosen ones, over its standard deviation.
    """

    ahead: Ahead
    kin: NDArray[np.bool_]
    left_variance: Floats
    new_variance: Floats
    shared: Floats
    known: Floats


def before_looking(ahead: Ahead) -> Doubt:
    """The doubt before any look."""
    kin = _kin(ahead)
    shared = ahead.concern @ ahead.told.T / ahead.concern.shape[1]
    shared[~kin[:, ahead.corner]] = 0.0
    own = np.arange(ahead.leaves.size)
    shared[ahead.corner, own] = ahead.told_variance
    return Doubt(
        ahead,
        kin,
        left_variance=np.mean(ahead.concern**2, axis=1),
        new_variance=ahead.told_variance.copy(),
        shared=shared,
        known=np.zeros((0, ahead.leaves.size)),
    )


def values(doubt: Doubt) -> Floats:
    """What each look would add, over all corners: variance it is expected to take away times its worth, (looks,)."""
    new = np.maximum(doubt.new_variance, _SPENT_FRAC * doubt.ahead.told_variance)
    taken = np.square(doubt.shared)
    taken /= np.where(new > 0.0, new, np.inf)
    np.minimum(taken, doubt.left_variance[:, None], out=taken)
    return np.asarray(doubt.ahead.worth @ taken)


def after(doubt: Doubt, look: int) -> Doubt:
    """The doubt after one more look. look : its place; of one corner only with more leaves than before.

    Leaves already turned are part of the larger count, so what the two make one believe differs by what the added leaves
    say: their covariance is the variance of the smaller.
    """
    ahead = doubt.ahead
    corner = ahead.corner[look]
    row = np.where(doubt.kin[corner, ahead.corner], ahead.told @ ahead.told[look] / ahead.told.shape[1], 0.0)
    row = np.where(ahead.corner == corner, np.minimum(ahead.told_variance, ahead.told_variance[look]), row)
    row = row - doubt.known[:, look] @ doubt.known
    new = max(row[look], _SPENT_FRAC * ahead.told_variance[look])
    if new <= 0.0:
        return doubt
    row /= np.sqrt(new)
    taken = doubt.shared[:, look] / np.sqrt(new)
    shared = np.outer(-taken, row)
    shared += doubt.shared
    return replace(
        doubt,
        left_variance=np.maximum(doubt.left_variance - taken**2, 0.0),
        new_variance=np.maximum(doubt.new_variance - row**2, 0.0),
        shared=shared,
        known=np.vstack([doubt.known, row]),
    )


def _kin(ahead: Ahead) -> NDArray[np.bool_]:
    """Which corners tell of each other, by what the largest look at each would tell."""
    last = np.flatnonzero(np.diff(ahead.corner, append=-1))
    told, versions = ahead.told[last], ahead.concern.shape[1]
    joint = np.abs(ahead.concern @ told.T) / versions
    by_chance = np.outer(ahead.concern.std(axis=1), told.std(axis=1)) * (_CHANCE_SD / np.sqrt(versions))
    kin = np.zeros((ahead.worth.size, ahead.worth.size), np.bool_)
    kin[:, ahead.corner[last]] = joint > by_chance
    return np.asarray(kin | kin.T)

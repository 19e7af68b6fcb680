"""What turning some leaves would tell, before they are turned: expected, over all counts that might come of it."""

import math
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import counts
from abaxial.assimilation.looks import Looks

Floats = NDArray[np.float64]

#: share of the variance below which what a look seems to tell comes from rounding
_ROUNDING_FRAC = 1e-12


class Prospect(NamedTuple):
    """What looks of several sizes at one part of a planting would tell of its concern.

    told_variance : (sizes,) by how much the variance of the concern is expected to fall. told : (sizes, versions) the
    concern that would be held after the look, less the one held now, on average over the counts that a version gives.
    """

    told_variance: Floats
    told: Floats


def prospect(seen_frac: Floats, concern: Floats, leaves: Sequence[int], looks: Looks) -> Prospect:
    """What looks of several sizes would tell, each variance without unit (concern is a logarithm).

    seen_frac : (versions,) chance that a turned leaf is counted as rusted, 0 to 1. concern : (versions,) finite. leaves :
    to turn, rising, each 1 to 100. looks : what a look is worth; leaves are alike, and a few looks are blunders.
    Source: raiffa1961: Var(c) − E Var(c | k) = Var(E(c | k)), with k of n leaves beta-binomial in each version.
    """
    held = concern - concern.mean()
    alpha, beta = counts.beta_shapes(seen_frac, looks.correlation_frac)
    most = leaves[-1] if leaves else 0
    rusted, clean = _rising(alpha, most), _rising(beta, most)
    told_variance, told = np.zeros(len(leaves)), np.zeros((len(leaves), held.size))
    for place, turned in enumerate(leaves):
        chance = rusted[: turned + 1] * clean[turned::-1]
        chance *= _ways(turned, looks.correlation_frac)
        chance *= 1.0 - looks.blunder_frac
        chance += looks.blunder_frac / (turned + 1)
        often = chance.mean(axis=1)
        after = chance @ held / (held.size * often)
        told_variance[place] = often @ after**2
        told[place] = after @ chance
    nothing = told_variance <= _ROUNDING_FRAC * np.mean(held**2)
    told_variance[nothing], told[nothing] = 0.0, 0.0
    return Prospect(told_variance, told)


def met_frac(rusting_frac: Floats, leaves: Sequence[int], looks: Looks) -> Floats:
    """Chance that at least one of the turned leaves is of a kind [0 to 1], mean over versions, shape (sizes,).

    rusting_frac : (versions,) share of leaves of that kind, 0 to 1. leaves : to turn, rising, each 1 to 100.
    """
    if not leaves:
        return np.zeros(0)
    _, beta = counts.beta_shapes(rusting_frac, looks.correlation_frac)
    none = _rising(beta, leaves[-1])[list(leaves)].mean(axis=1)
    total = np.array([_all_rising(size, looks.correlation_frac) for size in leaves])
    return np.asarray(np.clip(1.0 - none / total, 0.0, 1.0))


def _rising(shape: Floats, most: int) -> Floats:
    """shape (shape + 1) … of 0, 1, … most factors, (most + 1, versions)."""
    product = np.ones((most + 1, shape.size))
    for factors in range(most):
        np.multiply(product[factors], shape + factors, out=product[factors + 1])
    return product


@cache
def _ways(turned: int, correlation_frac: float) -> Floats:
    """The part of the beta-binomial chance of each count that is the same in all versions, (turned + 1, 1)."""
    total = _all_rising(turned, correlation_frac)
    return np.array([[math.comb(turned, count) / total] for count in range(turned + 1)])


def _all_rising(turned: int, correlation_frac: float) -> float:
    """The same of α + β, which is alike in all versions."""
    shapes = 1.0 / correlation_frac - 1.0
    return math.prod(shapes + leaf for leaf in range(turned))

"""What turning some leaves would tell, before they are turned: expected, over all counts that might come of it."""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import counts
from abaxial.assimilation.looks import Looks

Floats = NDArray[np.float64]


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
    rusted, clean = _risings(seen_frac, looks.correlation_frac, leaves[-1] if leaves else 0)
    told_variance, told = np.zeros(len(leaves)), np.zeros((len(leaves), held.size))
    for place, turned in enumerate(leaves):
        chance = rusted[: turned + 1] * clean[turned::-1]
        chance *= _ways(turned, looks.correlation_frac)[:, None]
        chance *= 1.0 - looks.blunder_frac
        chance += looks.blunder_frac / (turned + 1)
        often = chance.mean(axis=1)
        after = chance @ held / (held.size * often)
        told_variance[place] = often @ after**2
        told[place] = after @ chance
    return Prospect(told_variance, told)


def met_frac(rusting_frac: Floats, leaves: Sequence[int], looks: Looks) -> Floats:
    """Chance that at least one of the turned leaves is of a kind [0 to 1], mean over versions, shape (sizes,).

    rusting_frac : (versions,) share of leaves of that kind, 0 to 1. leaves : to turn, rising, each 1 to 100.
    """
    if not leaves:
        return np.zeros(0)
    _, clean = _risings(rusting_frac, looks.correlation_frac, leaves[-1])
    sizes = list(leaves)
    total = np.array([_rising_log(size, looks.correlation_frac) for size in sizes])
    return np.asarray(np.clip(1.0 - clean[sizes].mean(axis=1) / np.exp(total), 0.0, 1.0))


def _risings(mean_frac: Floats, correlation_frac: float, most: int) -> tuple[Floats, Floats]:
    """α (α + 1) … and β (β + 1) … of 0, 1, … most factors, each (most + 1, versions)."""
    step = np.arange(most, dtype=np.float64)[:, None]
    one = np.ones((1, mean_frac.size))
    alpha, beta = (np.concatenate([one, shape + step]) for shape in counts.beta_shapes(mean_frac, correlation_frac))
    return np.cumprod(alpha, axis=0), np.cumprod(beta, axis=0)


def _ways(turned: int, correlation_frac: float) -> Floats:
    """The part of the beta-binomial chance of each count that is the same in all versions, (turned + 1,)."""
    total = math.exp(_rising_log(turned, correlation_frac))
    return np.array([math.comb(turned, count) / total for count in range(turned + 1)])


def _rising_log(turned: int, correlation_frac: float) -> float:
    """Logarithm of s (s + 1) … with so many factors, s = α + β."""
    shapes = 1.0 / correlation_frac - 1.0
    return math.fsum(math.log(shapes + leaf) for leaf in range(turned))

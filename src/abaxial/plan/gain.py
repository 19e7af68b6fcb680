"""What turning some leaves would tell, before they are turned: expected, over all counts that might come of it."""

import math
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import counts

Floats = NDArray[np.float64]

#: share of the variance below which what a look seems to tell comes from rounding
_ROUNDING_FRAC = 1e-12


class Size(NamedTuple):
    """A look at some leaves. leaves : to turn, 1 to 100. among_frac : how alike they will be taken to be, above 0, below 1."""

    leaves: int
    among_frac: float


class Prospect(NamedTuple):
    """What looks of several sizes at one part of a planting would tell of its concern.

    told_variance : (sizes,) by how much the variance of the concern is expected to fall. told : (sizes, versions) the
    concern that would be held after the look, less the one held now, on average over the counts that a version gives.
    """

    told_variance: Floats
    told: Floats


def prospect(seen_frac: Floats, concern: Floats, sizes: Sequence[Size], *, blunder_frac: float) -> Prospect:
    """What looks of several sizes would tell, each variance without unit (concern is a logarithm).

    seen_frac : (versions,) chance that a turned leaf is counted as rusted, 0 to 1. concern : (versions,) finite. sizes :
    of rising leaves. blunder_frac : share of looks that say nothing of the planting, above 0.
    Source: raiffa1961: Var(c) − E Var(c | k) = Var(E(c | k)), with k of n leaves beta-binomial in each version.
    """
    held = concern - concern.mean()
    told_variance, told = np.zeros(len(sizes)), np.zeros((len(sizes), held.size))
    risings = {among: _risings(seen_frac, among, sizes[-1].leaves) for among in {each.among_frac for each in sizes}}
    for place, (turned, among) in enumerate(sizes):
        rusted, clean = risings[among]
        chance = rusted[: turned + 1] * clean[turned::-1]
        chance *= _ways(turned, among)
        chance *= 1.0 - blunder_frac
        chance += blunder_frac / (turned + 1)
        often = chance.mean(axis=1)
        after = chance @ held / (held.size * often)
        told_variance[place] = often @ after**2
        told[place] = after @ chance
    nothing = told_variance <= _ROUNDING_FRAC * np.mean(held**2)
    told_variance[nothing], told[nothing] = 0.0, 0.0
    return Prospect(told_variance, told)


def met_frac(rusting_frac: Floats, sizes: Sequence[Size]) -> Floats:
    """Chance that at least one of the turned leaves is of a kind [0 to 1], mean over versions, shape (sizes,).

    rusting_frac : (versions,) share of leaves of that kind, 0 to 1. sizes : of any leaves.
    """
    none = [counts.none_frac(leaves, rusting_frac, among).mean() for leaves, among in sizes]
    return np.clip(1.0 - np.array(none), 0.0, 1.0)


def _risings(mean_frac: Floats, among_frac: float, most: int) -> tuple[Floats, Floats]:
    """α (α + 1) … and β (β + 1) … of 0, 1, … most factors, each (most + 1, versions)."""
    alpha, beta = counts.beta_shapes(mean_frac, among_frac)
    return _rising(alpha, most), _rising(beta, most)


def _rising(shape: Floats, most: int) -> Floats:
    """shape (shape + 1) … of 0, 1, … most factors, (most + 1, versions)."""
    product = np.ones((most + 1, shape.size))
    for factors in range(most):
        np.multiply(product[factors], shape + factors, out=product[factors + 1])
    return product


@cache
def _ways(turned: int, among_frac: float) -> Floats:
    """The part of the beta-binomial chance of each count that is the same in all versions, (turned + 1, 1)."""
    shapes = 1.0 / among_frac - 1.0
    total = math.prod(shapes + leaf for leaf in range(turned))
    return np.array([[math.comb(turned, count) / total] for count in range(turned + 1)])

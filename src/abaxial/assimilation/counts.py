"""Counts of leaves that are alike: the beta-binomial distribution of the rusted among those turned."""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.assimilation.special import beta_log, binomial_log, gamma_log

Floats = NDArray[np.float64]

# a share nearer to 0 or 1 than this is taken as this near, so that no count is wholly ruled out
_NEAREST = 1e-12
# up to so many leaves a product is quicker than log gammas, and far from what a number can hold
_FEW = 40
# numbers held at once while a distribution is worked out
_AT_ONCE = 2_000_000


def beta_shapes(mean_frac: ArrayLike, correlation_frac: float) -> tuple[Floats, Floats]:
    """The two shapes of the beta distribution from which each group of leaves draws its own share, without unit.

    mean_frac : any shape, 0 to 1. correlation_frac : correlation within a group, above 0, below 1.
    Source: madden2007, alpha = p (1/rho − 1), beta = (1 − p)(1/rho − 1).
    """
    mean = np.clip(np.asarray(mean_frac, np.float64), _NEAREST, 1.0 - _NEAREST)
    total = 1.0 / correlation_frac - 1.0
    return mean * total, (1.0 - mean) * total


def count_log(turned: int, rusted: int, mean_frac: ArrayLike, correlation_frac: float) -> Floats:
    """Natural logarithm of the chance of that count, the shape of mean_frac.

    turned, rusted : 0 <= rusted <= turned. mean_frac : chance that one leaf counts. correlation_frac : as in `beta_shapes`.
    """
    alpha, beta = beta_shapes(mean_frac, correlation_frac)
    fixed = _alike_log(turned, rusted, correlation_frac)
    if turned <= _FEW:
        return np.asarray(np.log(_rising(alpha, rusted) * _rising(beta, turned - rusted)) + fixed)
    # the two shapes add up to the same everywhere, so that only four of the six log gammas are arrays
    upper = gamma_log(np.stack([alpha + rusted, beta + (turned - rusted), alpha, beta]))
    return np.asarray(upper[0] + upper[1] - upper[2] - upper[3] + fixed)


@lru_cache(maxsize=4096)
def _alike_log(turned: int, rusted: int, correlation_frac: float) -> float:
    """The part of `count_log` that is alike for every share."""
    total = 1.0 / correlation_frac - 1.0
    return binomial_log(turned, rusted) + float(gamma_log(total) - gamma_log(total + turned))


def _rising(shape: Floats, times: int) -> Floats:
    """shape (shape + 1) … (shape + times − 1), which is a quotient of two gammas."""
    product = np.ones_like(shape)
    for step in range(times):
        product *= shape + step
    return product


def count_frac(turned: int, rusted: ArrayLike, mean_frac: float, correlation_frac: float) -> Floats:
    """Chance of each count [0 to 1], the shape of rusted. Arguments as in `count_log`."""
    rusted = np.asarray(rusted, np.float64)
    alpha, beta = beta_shapes(mean_frac, correlation_frac)
    ways = -beta_log(rusted + 1.0, turned - rusted + 1.0) - np.log(turned + 1.0)
    return np.asarray(np.exp(ways + beta_log(alpha + rusted, beta + turned - rusted) - beta_log(alpha, beta)))


def none_frac(turned: int, mean_frac: ArrayLike, correlation_frac: float) -> Floats:
    """Chance that none of a few leaves counts [0 to 1], the shape of mean_frac. turned : best below 100."""
    _, beta = beta_shapes(mean_frac, correlation_frac)
    total = 1.0 / correlation_frac - 1.0
    chance = np.ones_like(beta)
    for leaf in range(turned):
        chance *= (beta + leaf) / (total + leaf)
    return chance


def few_frac(turned: int, most: int, mean_frac: ArrayLike, correlation_frac: float) -> Floats:
    """Chance that at least one and at most `most` of a few leaves count [0 to 1], the shape of mean_frac.

    turned : best below 100. most : 0 <= most < turned.
    """
    alpha, beta = beta_shapes(mean_frac, correlation_frac)
    chance = none_frac(turned, mean_frac, correlation_frac)
    total = np.zeros_like(chance)
    for count in range(most):
        chance = chance * ((alpha + count) / (beta + (turned - count - 1)) * ((turned - count) / (count + 1)))
        total += chance
    return total


def every_count_frac(turned: int, mean_frac: Floats, correlation_frac: float) -> Floats:
    """Chance of every count from 0 to turned [0 to 1], shape (turned + 1, versions). mean_frac : (versions,)."""
    alpha, beta = beta_shapes(mean_frac, correlation_frac)
    total = 1.0 / correlation_frac - 1.0
    leaves = np.arange(turned, dtype=np.float64)[:, None]
    begin = np.zeros((1, mean_frac.size))
    # log of alpha (alpha + 1) … for every count, and of the same of beta for what is left
    taken = np.concatenate([begin, np.cumsum(np.log(alpha + leaves), axis=0)])
    left = np.concatenate([begin, np.cumsum(np.log(beta + leaves), axis=0)])[::-1]
    ways = np.array([binomial_log(turned, count) for count in range(turned + 1)])[:, None]
    return np.asarray(np.exp(taken + left + (ways - float(np.log(total + leaves).sum()))))


def weighed_counts_frac(turned: int, mean_frac: Floats, correlation_frac: float, weights: Floats) -> Floats:
    """Chance of every count from 0 to turned over all versions [0 to 1], shape (turned + 1,), adding up to 1.

    mean_frac, weights : (versions,); weights need not add up to 1.
    """
    at_once = max(_AT_ONCE // (turned + 1), 1)
    weighed = np.zeros(turned + 1)
    for start in range(0, mean_frac.size, at_once):
        part = slice(start, start + at_once)
        weighed += every_count_frac(turned, mean_frac[part], correlation_frac) @ weights[part]
    return np.asarray(weighed / weighed.sum())

"""The negative binomial: counts without a limit that differ from unit to unit, set against the Poisson."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError
from abaxial.scouting.aggregation.tally import Tally, counted, normal_tail_frac

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class NegativeBinomial:
    """A negative binomial of greatest likelihood.

    mean_count : per unit. shape : k, small where counts are clumped, ∞ where they are not. shape_se : its standard error,
    NaN at ∞. likelihood_log, poisson_likelihood_log, likelihood_ratio, chance_frac : as in BetaBinomial.
    """

    mean_count: float
    shape: float
    shape_se: float
    likelihood_log: float
    poisson_likelihood_log: float
    likelihood_ratio: float
    chance_frac: float


def fit_negative_binomial(count: ArrayLike, *, times: ArrayLike | None = None) -> NegativeBinomial:
    """The negative binomial of greatest likelihood: its mean is that of the counts, its shape a root found by halving.

    count, times : as in dispersion_of_counts. Model: bliss1953. Raises ScoutingError where nothing was counted.
    """
    tally = counted(count, times)
    units = float(tally.times.sum())
    mean = float(tally.times @ tally.found) / units
    if mean == 0.0:
        raise ScoutingError(
            "Clumping cannot be told where nothing was counted.", remedy="Look again when there is rust."
        )
    poisson = float(tally.times @ (tally.found * math.log(mean) - mean - _log_factorial(tally)))
    if float(tally.times @ (tally.found - mean) ** 2) / units <= mean:
        return NegativeBinomial(mean, math.inf, math.nan, poisson, poisson, 0.0, 1.0)
    shape = _shape(tally, mean)
    steps = np.arange(int(tally.found.max()), dtype=float)
    risen = _up_to(np.log(shape + steps))[tally.found] - _log_factorial(tally)
    each = risen + tally.found * math.log(mean / (shape + mean)) - shape * math.log1p(mean / shape)
    bend = float(tally.times @ _up_to((shape + steps) ** -2.0)[tally.found]) - units * mean / (shape * (shape + mean))
    reached = float(tally.times @ each)
    ratio = max(2.0 * (reached - poisson), 0.0)
    return NegativeBinomial(
        mean, shape, bend**-0.5 if bend > 0.0 else math.nan, reached, poisson, ratio, normal_tail_frac(math.sqrt(ratio))
    )


def _shape(tally: Tally, mean: float) -> float:
    """Where the likelihood neither rises nor falls with the shape; it rises below and falls above."""
    steps = np.arange(int(tally.found.max()), dtype=float)
    units = float(tally.times.sum())

    def rising(shape: float) -> bool:
        risen = float(tally.times @ _up_to(1.0 / (shape + steps))[tally.found])
        return risen > units * math.log1p(mean / shape)

    low, high = -40.0, 0.0
    while rising(math.exp(high)) and high < 40.0:
        high += 1.0
    for _ in range(100):
        middle = (low + high) / 2.0
        low, high = (middle, high) if rising(math.exp(middle)) else (low, middle)
    return math.exp((low + high) / 2.0)


def _log_factorial(tally: Tally) -> Floats:
    return _up_to(np.log(np.arange(1.0, int(tally.found.max()) + 1.0)))[tally.found]


def _up_to(terms: Floats) -> Floats:
    return np.concatenate([[0.0], np.cumsum(terms)])

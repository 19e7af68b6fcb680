"""How well a person's estimates of severity agree with the truth: how exact, how true, and how far off."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError


@dataclass(frozen=True)
class Agreement:
    """Lin's concordance and its parts.

    concordance : 1 where every estimate is right, 0 where they tell nothing. correlation : Pearson's, −1 to 1, how
    closely the estimates follow a straight line. accuracy : concordance over correlation, 0 to 1, how near that line
    lies to the truth. scale_shift : spread of the actual over that of the estimates, 1 where they are equal.
    location_shift : mean of the actual less that of the estimates, in units of both spreads; above 0 where the
    estimates are too low.
    """

    concordance: float
    correlation: float
    accuracy: float
    scale_shift: float
    location_shift: float


def agreement(actual: ArrayLike, estimated: ArrayLike) -> Agreement:
    """Agreement of estimates with what was there. actual, estimated : same shape, in one unit, at least two leaves.

    Moments divide by n and not by n − 1. Source: lin1989. Raises ScoutingError where either never varies, because
    then nothing can be told.
    """
    there, said = _pairs(actual, estimated)
    spread_there, spread_said = float(there.std()), float(said.std())
    if min(spread_there, spread_said) <= 1e-12 * max(1.0, float(np.abs(there).max()), float(np.abs(said).max())):
        raise ScoutingError(
            "All actual values, or all estimates, are the same.", remedy="Judge leaves that differ from each other."
        )
    together = float(np.mean((there - there.mean()) * (said - said.mean())))
    apart = float(there.mean() - said.mean())
    concordance = 2.0 * together / (spread_there**2 + spread_said**2 + apart**2)
    # the accuracy from the two shifts, so that it is there where the correlation is nought
    scale, location = spread_there / spread_said, apart / math.sqrt(spread_there * spread_said)
    return Agreement(
        concordance=concordance,
        correlation=together / (spread_there * spread_said),
        accuracy=2.0 / (scale + 1.0 / scale + location**2),
        scale_shift=scale,
        location_shift=location,
    )


def bias_factor(actual: ArrayLike, estimated: ArrayLike) -> float:
    """By how much a person over-estimates severity: the geometric mean of estimated over actual; 1 where right.

    Leaves where either is 0 are left out. Raises ScoutingError where none is left.
    """
    return float(math.exp(_log_ratios(actual, estimated).mean()))


def scatter_log_sd(actual: ArrayLike, estimated: ArrayLike) -> float:
    """How much a person's estimates scatter about their own bias: standard deviation of the logarithm, by n − 1."""
    ratios = _log_ratios(actual, estimated)
    return float(ratios.std(ddof=1)) if ratios.size > 1 else math.nan


def _log_ratios(actual: ArrayLike, estimated: ArrayLike) -> NDArray[np.float64]:
    there, said = _pairs(actual, estimated)
    both = (there > 0.0) & (said > 0.0)
    if not both.any():
        raise ScoutingError("No leaf has rust in truth and estimate.", remedy="Judge leaves with some rust.")
    return np.log(said[both] / there[both])


def _pairs(actual: ArrayLike, estimated: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    there, said = np.asarray(actual, float).ravel(), np.asarray(estimated, float).ravel()
    if there.size != said.size or there.size < 2 or not np.isfinite([there, said]).all():
        raise ScoutingError(
            f"There are {there.size} actual values and {said.size} estimates; both must be known numbers, two or more.",
            remedy="Give one estimate for each leaf.",
        )
    return there, said

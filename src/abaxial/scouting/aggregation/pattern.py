"""How clumping goes with the amount of rust, and how alike neighbours along a row are."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError
from abaxial.scouting.curves.straight import straight_line

Floats = NDArray[np.float64]

#: by what an autocovariance is divided: the pairs that lie so far apart, or all units
DIVISORS = ("pairs", "all")


@dataclass(frozen=True)
class PowerLaw:
    """Variance of the share rusted between units, as a power of that which chance would give.

    multiplier : variance where chance would give 1. exponent : 1, with multiplier 1, where rust stands by chance; above
    1 it is the more clumped the nearer to half is rusted. exponent_se, multiplier_log_se : standard errors.
    explained_frac : share of the spread that the line explains, on logarithms. visits : how many pairs it was drawn by.
    """

    multiplier: float
    exponent: float
    multiplier_log_se: float
    exponent_se: float
    explained_frac: float
    visits: int


class PowerLawScales(NamedTuple):
    """One law written in four ways: for shares or for numbers, against p(1 − p)/n (capital) or p(1 − p) (small)."""

    shares_multiplier: float
    small_shares_multiplier: float
    numbers_multiplier: float
    small_numbers_multiplier: float


def fit_power_law(mean_frac: ArrayLike, variance_frac2: ArrayLike, *, turned: ArrayLike) -> PowerLaw:
    """The binary power law through several visits, as a straight line on logarithms.

    mean_frac : (visits,) share rusted, between 0 and 1. variance_frac2 : (visits,) variance of the share between units,
    above 0. turned : looked at in each unit, one number or (visits,). Source: madden2007, delponte2023.
    """
    share, variance = np.asarray(mean_frac, float), np.asarray(variance_frac2, float)
    if not ((share > 0.0) & (share < 1.0)).all() or not (variance > 0.0).all():
        raise ScoutingError(
            "A visit on which all units were alike has no place on the power law.",
            remedy="Leave out visits with none rusted, all rusted, or the same share in every unit.",
        )
    by_chance = share * (1.0 - share) / np.asarray(turned, float)
    line = straight_line(np.log(by_chance), np.log(variance))
    return PowerLaw(
        float(np.exp(line.intercept)), line.slope, line.intercept_se, line.slope_se, line.explained_frac, share.size
    )


def power_law_variance_frac(mean_frac: ArrayLike, *, turned: ArrayLike, multiplier: float, exponent: float) -> Floats:
    """Variance of the share rusted between units that the binary power law expects. Arguments as in fit_power_law."""
    share = np.asarray(mean_frac, float)
    return np.asarray(multiplier * (share * (1.0 - share) / np.asarray(turned, float)) ** exponent)


def power_law_scales(multiplier: float, exponent: float, *, turned: int) -> PowerLawScales:
    """The four multipliers of one binary power law. multiplier, exponent : as in PowerLaw. Source: delponte2023."""
    return PowerLawScales(
        shares_multiplier=multiplier,
        small_shares_multiplier=multiplier * turned**-exponent,
        numbers_multiplier=multiplier * turned ** (2.0 * (1.0 - exponent)),
        small_numbers_multiplier=multiplier * turned ** (2.0 - exponent),
    )


def autocorrelation(count: ArrayLike, apart: ArrayLike, *, divisor: str) -> Floats:
    """Likeness of units so many places apart along a row, against the spread of all; may pass 1 where pairs are few.

    count : (units,) along the row, not all the same. apart : places, from 0 to units − 1, any shape. divisor : of
    DIVISORS; printed tables use both, and they differ. Source: madden2007 ("pairs").
    """
    row, lags = np.asarray(count, float), np.asarray(apart, dtype=np.int64)
    if divisor not in DIVISORS:
        raise ScoutingError(f"There is no divisor called {divisor!r}.", remedy=f"Known are {', '.join(DIVISORS)}.")
    if row.ndim != 1 or row.size < 2 or not np.isfinite(row).all() or np.ptp(row) == 0.0:
        raise ScoutingError("A row needs two units or more that differ.", remedy="Fill no gaps: give a shorter row.")
    if (lags < 0).any() or (lags >= row.size).any():
        raise ScoutingError(f"The row has {row.size} units; none lie {apart!r} apart.", remedy="Ask for fewer places.")
    away = row - row.mean()
    by_lag = [_lagged(away, int(lag), divisor) for lag in lags.ravel()]
    return np.reshape(by_lag, lags.shape)


def _lagged(away: Floats, lag: int, divisor: str) -> float:
    pairs = float(away[: away.size - lag] @ away[lag:])
    return pairs / (away.size - lag if divisor == "pairs" else away.size) / float(np.mean(away**2))

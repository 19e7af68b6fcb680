"""Whether an estimate may be believed: sharpness, scores, and whether the truth ranks evenly among the versions."""

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.assimilation.special import chi_square_above_frac
from abaxial.errors import FaultError

Floats = NDArray[np.float64]

#: of all sets of even ranks, the share that stays within the limit of the largest deviation
BELIEF_FRAC = 0.95
_MOST_BINS = 20
_LEAST_CASES_IN_BIN = 5
_MOST_POINTS = 32
_BISECTIONS = 24
# nineteen in twenty stay within this at any places: where one case alone goes beyond, it comes up too seldom
_WIDEST_SD = 8.0


class Evenness(NamedTuple):
    """Whether ranks are even.

    chi_square : over bins of ranks. degrees : its degrees of freedom. chance_frac : chance of so much or more if ranks
    were even. deviation_sd : largest distance of the cumulated ranks from a straight line, in standard deviations of
    its place. limit_sd : 95 of 100 sets of even ranks stay within it everywhere at once.
    """

    chi_square: float
    degrees: int
    chance_frac: float
    deviation_sd: float
    limit_sd: float


def effective_sample_size(weights: ArrayLike) -> float:
    """How many equally weighted versions would say as much; between 1 and their number.

    weights : (versions,), 0 or more, not all 0; they need not add up to 1.
    """
    weights = _shares(weights)
    return float(1.0 / (weights @ weights))


def weighted_quantiles(values: ArrayLike, weights: ArrayLike, shares: ArrayLike) -> Floats:
    """Values below which the given shares of the weight lie, (…, shares).

    values : (…, versions). weights : (versions,). shares : (shares,), 0 to 1. Each version stands at the middle of its
    own weight; between two the line is straight, outside the first and last it is level.
    """
    values, weights, shares = np.asarray(values, np.float64), _shares(weights), np.atleast_1d(shares)
    held = weights > 0.0  # a version without weight is no value that may occur
    rows, weights = values.reshape(-1, values.shape[-1])[:, held], weights[held]
    order = np.argsort(rows, axis=1, kind="stable")
    sorted_weights = weights[order]
    middles = np.cumsum(sorted_weights, axis=1) - 0.5 * sorted_weights
    found = [
        np.interp(shares, middle, row)
        for middle, row in zip(middles, np.take_along_axis(rows, order, axis=1), strict=True)
    ]
    return np.asarray(found).reshape(*values.shape[:-1], shares.size)


def rank_of(truth: float, versions: ArrayLike, weights: ArrayLike, uniform: float) -> int:
    """How many of the versions, in weight, the truth exceeds: 0 to their number.

    versions, weights : (versions,). uniform : a number in [0, 1) that decides between ties and rounds.
    The truth takes a place of mean weight among them, so that with equal weights every rank is equally likely where the
    truth is one draw more.
    """
    versions, weights = np.asarray(versions, np.float64), _shares(weights)
    own = 1.0 / effective_sample_size(weights)
    below, beside = weights[versions < truth].sum(), weights[versions == truth].sum()
    place = (below + uniform * (beside + own)) / (1.0 + own)
    return min(int(place * (versions.size + 1)), versions.size)


def rank_uniformity(ranks: ArrayLike, versions: int) -> Evenness:
    """Whether ranks from `rank_of` are as even as chance makes them.

    ranks : (cases,), whole numbers from 0 to versions, at least ten. Two readings: a chi-square over bins, and the
    largest deviation of the cumulated ranks against a limit that holds everywhere at once, found by an exact recursion
    over the points as in sailynoja2022. Raises FaultError for fewer than ten or a rank out of bounds.
    """
    ranks = np.asarray(ranks)
    if ranks.size < 2 * _LEAST_CASES_IN_BIN or ranks.min() < 0 or ranks.max() > versions:
        raise FaultError(f"There are {ranks.size} ranks; at least ten are needed, each between 0 and {versions}.")
    bins = min(_MOST_BINS, versions + 1, ranks.size // _LEAST_CASES_IN_BIN)
    edges = _edges(versions, bins)
    expected = np.diff(edges) / (versions + 1) * ranks.size
    counted = np.diff(np.searchsorted(np.sort(ranks), edges))
    chi_square = float(((counted - expected) ** 2 / expected).sum())
    inner = _edges(versions, min(_MOST_POINTS, versions + 1))[1:-1]
    places = tuple(float(edge) / (versions + 1) for edge in inner)
    below = np.searchsorted(np.sort(ranks), inner)
    spread = [math.sqrt(ranks.size * place * (1.0 - place)) for place in places]
    deviation = float(np.max(np.abs(below - ranks.size * np.array(places)) / spread))
    limit = deviation_limit_sd(int(ranks.size), places)
    return Evenness(chi_square, bins - 1, chi_square_above_frac(chi_square, bins - 1), deviation, limit)


@lru_cache(maxsize=256)
def deviation_limit_sd(cases: int, places: tuple[float, ...]) -> float:
    """The deviation that 95 of 100 sets of even numbers stay within at all places, in standard deviations.

    cases : how many numbers a set has. places : rising, between 0 and 1, where their cumulated share is looked at.
    """
    low, high = 0.0, _WIDEST_SD
    for _ in range(_BISECTIONS):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if within_frac(cases, places, middle) >= BELIEF_FRAC else (middle, high)
    return high


def within_frac(cases: int, places: tuple[float, ...], deviation_sd: float) -> float:
    """Chance that a set of even numbers stays within a deviation at all places [0 to 1].

    Exact: from one place to the next, each number not yet passed is passed with the same chance, so that the counts are
    a chain of binomial steps. Arguments as in `deviation_limit_sd`.
    """
    log_factorials = np.array([math.lgamma(count + 1.0) for count in range(cases + 1)])
    before, held, passed = np.array([0]), np.array([1.0]), 0.0
    for place in places:
        reach = deviation_sd * math.sqrt(cases * place * (1.0 - place)) + 1e-9
        first, last = max(math.ceil(cases * place - reach), 0), min(math.floor(cases * place + reach), cases)
        counts = np.arange(first, last + 1)
        step = (place - passed) / (1.0 - passed)
        more, left = counts[:, None] - before, cases - before
        rest = left - more
        possible = (more >= 0) & (rest >= 0)
        more, rest = np.where(possible, more, 0), np.where(possible, rest, 0)
        ways = log_factorials[left] - log_factorials[more] - log_factorials[rest]
        chance_log = ways + more * math.log(step) + rest * math.log1p(-step)
        held = np.exp(np.where(possible, chance_log, -np.inf)) @ held
        before, passed = counts, place
    return float(held.sum())


def coverage_frac(truth: ArrayLike, low: ArrayLike, high: ArrayLike) -> float:
    """Share of truths that lie within their limits, limits included [0 to 1]. All (cases,)."""
    truth = np.asarray(truth)
    return float(np.mean((np.asarray(low) <= truth) & (truth <= np.asarray(high))))


def brier_score(chance_frac: ArrayLike, happened: ArrayLike) -> float:
    """Mean squared distance between chances and what happened, 0 (best) to 1.

    chance_frac : (cases,), 0 to 1. happened : (cases,), 0 or 1, or truth values. Source: brier1950, for two outcomes.
    """
    return float(np.mean((np.asarray(chance_frac, np.float64) - np.asarray(happened, np.float64)) ** 2))


def crps_of_versions(truth: ArrayLike, versions: ArrayLike, weights: ArrayLike | None = None) -> Floats:
    """Continuous ranked probability score of weighted versions, in the unit of what is forecast, 0 best.

    truth : (…). versions : (…, versions). weights : (versions,), equal where not given. Exact for the versions as they
    stand: mean distance from the truth less half the mean distance from each other. Source: gneiting2007.
    """
    versions = np.asarray(versions, np.float64)
    shares = _shares(np.ones(versions.shape[-1]) if weights is None else weights)
    distance = versions - np.asarray(truth, np.float64)[..., None]
    order = np.argsort(distance, axis=-1, kind="stable")
    distance, shares = np.take_along_axis(distance, order, axis=-1), shares[order]
    # twice the share of weight below the middle of each, less one
    lean = 2.0 * np.cumsum(shares, axis=-1) - shares - 1.0
    return np.asarray((shares * (np.abs(distance) - lean * distance)).sum(axis=-1))


def crps_of_quantiles(truth: ArrayLike, shares: ArrayLike, values: ArrayLike) -> Floats:
    """Continuous ranked probability score of a forecast given by its quantiles, in the unit of what is forecast, 0 best.

    truth : (…). shares : (quantiles,), rising, between 0 and 1. values : (…, quantiles). Each quantile stands for the
    shares nearer to it than to another; the finer they are, the nearer to the score of the whole distribution.
    Source: gneiting2007, the score as twice the integral of the quantile loss.
    """
    shares, values = np.asarray(shares, np.float64), np.asarray(values, np.float64)
    edges = np.concatenate([[0.0], 0.5 * (shares[1:] + shares[:-1]), [1.0]])
    over = values - np.asarray(truth, np.float64)[..., None]
    loss = np.where(over >= 0.0, (1.0 - shares) * over, -shares * over)
    return np.asarray(2.0 * loss @ np.diff(edges))


def crps_of_counts(found: int, chances: ArrayLike) -> float:
    """Continuous ranked probability score of a forecast of a count, as a share of the most there could be, 0 best.

    found : what was counted. chances : (most + 1,), of 0, 1 … found; most at least 1. Source: gneiting2007, the ranked
    probability score, over the most there could be.
    """
    below = np.cumsum(np.asarray(chances, np.float64))[:-1]
    return float(np.mean((below - (np.arange(below.size) >= found)) ** 2))


def interval_score(truth: ArrayLike, low: ArrayLike, high: ArrayLike, *, level_frac: float) -> Floats:
    """Score of limits that should hold the truth: their distance and a fine for missing it, in the unit of what is forecast.

    truth, low, high : broadcast, low <= high. level_frac : share that the limits should hold, above 0, below 1.
    Source: gneiting2007, interval score.
    """
    truth, low, high = (np.asarray(each, np.float64) for each in (truth, low, high))
    missed = np.maximum(low - truth, 0.0) + np.maximum(truth - high, 0.0)
    return np.asarray(high - low + 2.0 / (1.0 - level_frac) * missed)


def _shares(weights: ArrayLike) -> Floats:
    weights = np.asarray(weights, np.float64)
    return np.asarray(weights / weights.sum())


def _edges(versions: int, parts: int) -> NDArray[np.int64]:
    """Ranks at which parts of nearly equal size begin, with the end, (parts + 1,)."""
    return np.round(np.arange(parts + 1) * ((versions + 1) / parts)).astype(np.int64)

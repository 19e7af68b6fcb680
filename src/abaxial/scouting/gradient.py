"""How rust thins out with the distance from where it came: four curves fitted on the logarithm of what was counted.

| form           | y of the distance s |
|----------------|---------------------|
| exponential    | a·exp(−b·s)         |
| power          | a·s^−b              |
| modified power | a·(s + c)^−b        |
| lambert        | a·exp(−b·s^c)       |

Source: delponte2023, sackett2005.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError
from abaxial.scouting.curves.straight import Line, straight_line

Floats = NDArray[np.float64]
#: the scale of distance on which a form is straight
Bend = Callable[[Floats], Floats]

FORMS = ("exponential", "power", "modified power", "lambert")
_LAMBERT_EXPONENTS = (0.05, 5.0)
_GOLDEN = (np.sqrt(5.0) - 1.0) / 2.0
_GRID = 81


@dataclass(frozen=True)
class Gradient:
    """A curve of counts against distance.

    form : of FORMS. amount : a, what the curve gives at its own unit distance: at 0 m for exponential and lambert, at 1 m
    for power, 1 m past −offset_m for modified power. steepness : b, above 0 where rust thins out, per metre for
    exponential. steepness_se : its standard error, as if offset or exponent were known. offset_m : c of modified power, 0
    elsewhere. exponent : c of lambert, 1 elsewhere. explained_frac, adjusted_frac, error : R², adjusted R² and spread
    left over, on logarithms, and so comparable between forms. points : used. left_out : numbers of the points with a
    count of 0, from 0. inside : whether a searched offset or exponent lies within what was searched, not on its edge.
    """

    form: str
    amount: float
    steepness: float
    steepness_se: float
    offset_m: float
    exponent: float
    explained_frac: float
    adjusted_frac: float
    error: float
    points: int
    left_out: tuple[int, ...]
    inside: bool = True


def fit_exponential(distance_m: ArrayLike, count: ArrayLike) -> Gradient:
    """A gradient that falls by the same share with every metre. distance_m, count : (points,), 0 or more.

    Raises ScoutingError where fewer than three points with a count above 0 are left, or no line can be drawn.
    """
    distance, log_count, left_out = _points(distance_m, count)
    return _gradient("exponential", straight_line(distance, log_count), left_out, distance.size)


def fit_power(distance_m: ArrayLike, count: ArrayLike) -> Gradient:
    """A gradient that falls by the same share with every doubling of the distance, which must be above 0.

    Arguments and errors as in fit_exponential.
    """
    return fit_modified_power(distance_m, count, offset_m=0.0)


def fit_modified_power(distance_m: ArrayLike, count: ArrayLike, *, offset_m: float | None = None) -> Gradient:
    """A power of the distance past an offset, so that it is finite at the source.

    offset_m : 0 or more; searched from a hundredth of the nearest to ten times the farthest distance, where not given.
    Arguments and errors as in fit_exponential.
    """
    distance, log_count, left_out = _points(distance_m, count)
    if offset_m is not None:
        if not distance.min() + offset_m > 0.0 or offset_m < 0.0:
            raise ScoutingError(
                f"At a distance of {distance.min():g} m and an offset of {offset_m:g} m a power has no value.",
                remedy="Leave out the point at the source, or give an offset above 0.",
            )
        line = straight_line(np.log(distance + offset_m), log_count)
        form = "power" if offset_m == 0.0 else "modified power"
        return _gradient(form, line, left_out, distance.size, offset_m=offset_m)
    nearest = float(np.min(distance[distance > 0.0], initial=distance.max()))
    offset, inside = _searched(
        lambda c: lambda s: np.asarray(np.log(s + c)), (nearest / 100.0, 10.0 * distance.max()), distance, log_count
    )
    line = straight_line(np.log(distance + offset), log_count)
    return _gradient("modified power", line, left_out, distance.size, offset_m=offset, inside=inside)


def fit_lambert(distance_m: ArrayLike, count: ArrayLike) -> Gradient:
    """An exponential of a power of the distance; the power is searched from 0.05 to 5.

    Arguments and errors as in fit_exponential.
    """
    distance, log_count, left_out = _points(distance_m, count)
    exponent, inside = _searched(lambda c: lambda s: np.asarray(s**c), _LAMBERT_EXPONENTS, distance, log_count)
    line = straight_line(distance**exponent, log_count)
    return _gradient("lambert", line, left_out, distance.size, exponent=exponent, inside=inside)


def amount_at(gradient: Gradient, distance_m: ArrayLike) -> Floats:
    """What the curve gives at distances, in the unit of the counts. distance_m : any shape, 0 or more."""
    distance = np.asarray(distance_m, float)
    if gradient.form in ("power", "modified power"):
        with np.errstate(divide="ignore"):
            return gradient.amount * (distance + gradient.offset_m) ** -gradient.steepness
    return gradient.amount * np.exp(-gradient.steepness * distance**gradient.exponent)


def left_after_frac(gradient: Gradient, *, from_m: float, to_m: float) -> float:
    """Share of what comes down at one distance that still comes down at another [0 or more]. from_m, to_m : [m]."""
    return float(amount_at(gradient, to_m) / amount_at(gradient, from_m))


def half_distance_m(gradient: Gradient, *, from_m: float = 0.0) -> float:
    """Metres further on at which half is left [m]; ∞ where the curve does not fall.

    from_m : where one starts; only for an exponential it makes no difference. A power needs one above −offset_m.
    """
    steep = gradient.steepness
    if not steep > 0.0:
        return float("inf")
    if gradient.form in ("power", "modified power"):
        start = from_m + gradient.offset_m
        if not start > 0.0:
            raise ScoutingError("At the source a power has no half.", remedy="Give a distance above 0 to start from.")
        return float(start * (2.0 ** (1.0 / steep) - 1.0))
    power = gradient.exponent
    return float((from_m**power + np.log(2.0) / steep) ** (1.0 / power) - from_m)


def _points(distance_m: ArrayLike, count: ArrayLike) -> tuple[Floats, Floats, tuple[int, ...]]:
    distance, counted = np.asarray(distance_m, float), np.asarray(count, float)
    if distance.ndim != 1 or distance.shape != counted.shape:
        raise ScoutingError(
            f"There are {distance.size} distances and {counted.size} counts.",
            remedy="Give one count for each distance.",
        )
    if not np.isfinite([distance, counted]).all() or (distance < 0.0).any() or (counted < 0.0).any():
        raise ScoutingError("A distance or a count is missing or below 0.", remedy="Leave out what was not counted.")
    kept = counted > 0.0
    if int(kept.sum()) < 3:
        raise ScoutingError(
            f"Rust was found at {int(kept.sum())} distances; a gradient needs three.", remedy="Look at more distances."
        )
    return distance[kept], np.log(counted[kept]), tuple(int(each) for each in np.flatnonzero(~kept))


def _gradient(
    form: str, line: Line, left_out: tuple[int, ...], points: int, *, inside: bool = True, **bent: float
) -> Gradient:
    return Gradient(
        form, float(np.exp(line.intercept)), -line.slope, line.slope_se, bent.get("offset_m", 0.0),
        bent.get("exponent", 1.0), line.explained_frac, line.adjusted_frac, line.error, points, left_out, inside,
    )  # fmt: skip


def _searched(
    bend_by: Callable[[float], Bend], limits: tuple[float, float], distance: Floats, log_count: Floats
) -> tuple[float, bool]:
    """The bend that leaves least over, and whether it lies within the limits: a grid of ratios, then golden sections."""

    def left_over(log_bend: float) -> float:
        return straight_line(bend_by(float(np.exp(log_bend)))(distance), log_count).error

    grid = np.linspace(float(np.log(limits[0])), float(np.log(limits[1])), _GRID)
    best = int(np.argmin([left_over(each) for each in grid]))
    low, high = grid[max(best - 1, 0)], grid[min(best + 1, _GRID - 1)]
    for _ in range(60):
        first, second = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        low, high = (low, second) if left_over(first) < left_over(second) else (first, high)
    middle = float(low + high) / 2.0
    near_edge = min(middle - grid[0], grid[-1] - middle) < 1e-3
    return float(np.exp(middle)), not near_edge

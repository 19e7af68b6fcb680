"""Least squares for a curve that is not straight: damped steps, and an honest word on whether they arrived."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
#: parameters to residuals, and to how each of these changes with each parameter
Evaluate = Callable[[Floats], tuple[Floats, Floats]]

_NEAR = 1e-9
_NEAR_ENOUGH = 1e-5
_STIFF = 1e12


class Minimum(NamedTuple):
    """Where the steps ended. parameters : (k,). inverse : (k, k) inverse of JᵀJ there, NaN where there is none.
    squares : sum of squared residuals. converged : whether a further step would not have moved it."""

    parameters: Floats
    inverse: Floats
    squares: float
    steps: int
    converged: bool


def least_squares(evaluate: Evaluate, start: Floats, *, most_steps: int = 200) -> Minimum:
    """The parameters with the smallest sum of squared residuals near a start, by damped Gauss-Newton steps.

    evaluate : parameters (k,) → residuals (points,) and their derivatives (points, k). start : (k,).
    Derived from the textbook method of Levenberg and Marquardt; the damping is scaled by the diagonal of JᵀJ.
    """
    with np.errstate(over="ignore", invalid="ignore"):  # a step too far is refused below
        return _walk(evaluate, np.asarray(start, float), most_steps)


def _walk(evaluate: Evaluate, start: Floats, most_steps: int) -> Minimum:
    place, damping, steps = start, 1e-3, 0
    left, slope = evaluate(place)
    squares = float(left @ left)
    while steps < most_steps:
        steps += 1
        if _remaining(place, left, slope) < _NEAR or damping > _STIFF:
            break
        moved = place - _step(left, slope, damping)
        left_there, slope_there = evaluate(moved)
        squares_there = float(left_there @ left_there)
        if np.isfinite(squares_there) and squares_there < squares:
            place, left, slope, squares = moved, left_there, slope_there, squares_there
            damping = max(damping / 10.0, 1e-12)
        else:
            damping *= 10.0
    return Minimum(place, _inverse(slope), squares, steps, _remaining(place, left, slope) < _NEAR_ENOUGH)


def _step(left: Floats, slope: Floats, damping: float) -> Floats:
    """The damped step, as the least-squares answer of a taller system, which is steadier than JᵀJ itself."""
    scale = np.maximum(np.linalg.norm(slope, axis=0), np.finfo(float).tiny)
    tall = np.vstack([slope / scale, np.sqrt(damping) * np.eye(slope.shape[1])])
    answer = np.linalg.lstsq(tall, np.concatenate([left, np.zeros(slope.shape[1])]), rcond=None)[0]
    return np.asarray(answer / scale)


def _remaining(place: Floats, left: Floats, slope: Floats) -> float:
    """Length of the undamped step against that of the parameters, both as the curve feels them; ∞ where there is none."""
    scale = np.linalg.norm(slope, axis=0)
    if not np.isfinite(scale).all() or (scale == 0.0).any():
        return np.inf
    answer, _, rank, _ = np.linalg.lstsq(slope / scale, left, rcond=None)
    if rank < slope.shape[1]:
        return np.inf
    return float(np.linalg.norm(answer) / max(np.linalg.norm(place * scale), np.finfo(float).tiny))


def _inverse(slope: Floats) -> Floats:
    try:
        inverse = np.linalg.inv(slope.T @ slope)
    except np.linalg.LinAlgError:
        return np.full((slope.shape[1],) * 2, np.nan)
    return np.where((np.diag(inverse) > 0.0).all(), inverse, np.nan)

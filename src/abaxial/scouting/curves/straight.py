"""A straight line through points by least squares, with how sure it is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError
from abaxial.scouting.agreement import agreement

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Line:
    """y = intercept + slope · x.

    intercept_se, slope_se : their standard errors. error : spread of what is left over, with two degrees of freedom
    spent. explained_frac : share of the spread of y that the line explains (R²). adjusted_frac : the same, counting
    what the line cost. concordance : of y with the line.
    """

    intercept: float
    slope: float
    intercept_se: float
    slope_se: float
    error: float
    explained_frac: float
    adjusted_frac: float
    concordance: float


def straight_line(x: ArrayLike, y: ArrayLike) -> Line:
    """The line of least squares. x, y : (points,), three or more, neither of them the same throughout.

    Raises ScoutingError where no line can be drawn.
    """
    across, up = np.asarray(x, float), np.asarray(y, float)
    if across.ndim != 1 or across.shape != up.shape or not np.isfinite([across, up]).all():
        raise ScoutingError(
            f"A line needs two lists of the same length without gaps; they have {across.shape} and {up.shape}.",
            remedy="Leave out a point where either number is missing.",
        )
    if across.size < 3 or _alike(across) or _alike(up):
        raise ScoutingError(
            f"{across.size} points do not make a line with its error.",
            remedy="Give three points or more, not all at one place and not all of one height.",
        )
    middle = across.mean()
    away = across - middle
    slope = float(away @ (up - up.mean()) / (away @ away))
    intercept = float(up.mean() - slope * middle)
    drawn = intercept + slope * across
    left = up - drawn
    variance = float(left @ left) / (up.size - 2)
    explained = 1.0 - float(left @ left) / float(np.sum((up - up.mean()) ** 2))
    return Line(
        intercept=intercept,
        slope=slope,
        intercept_se=float(np.sqrt(variance * (1.0 / up.size + middle**2 / (away @ away)))),
        slope_se=float(np.sqrt(variance / (away @ away))),
        error=float(np.sqrt(variance)),
        explained_frac=explained,
        adjusted_frac=1.0 - (1.0 - explained) * (up.size - 1) / (up.size - 2),
        concordance=concordance_with(up, drawn),
    )


def _alike(numbers: Floats) -> bool:
    return bool(np.ptp(numbers) <= 1e-13 * np.abs(numbers).max())


def concordance_with(seen: Floats, drawn: Floats) -> float:
    """How near pairs lie to the line of equality, −1 to 1; 0 where either does not vary. seen, drawn : (points,)."""
    if min(seen.std(), drawn.std()) <= 1e-11 * max(1.0, float(np.abs([seen, drawn]).max())):
        return 0.0
    return agreement(seen, drawn).concordance

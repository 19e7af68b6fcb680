"""One form of curve fitted to what was seen on several days: straight on its own scale, or bent on the scale seen."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError
from abaxial.scouting.curves.forms import seen_back_frac, speed_per_d, straightened
from abaxial.scouting.curves.least_squares import least_squares
from abaxial.scouting.curves.straight import concordance_with, straight_line

Floats = NDArray[np.float64]

METHODS = ("line", "curve")
#: why there is no fit: fewer than three usable visits, or two days; the same share throughout; no lowest point was found
REASONS = ("too few", "constant", "no minimum")
_LEAST = 3
#: shares of leaf area nearer than this are the same
_ALIKE = 1e-12
#: by how much shares of 0 and 1 are moved in, only to say where to begin
_INWARD = 1e-3


@dataclass(frozen=True)
class Fit:
    """A curve through what was seen.

    form : of FORMS. method : of METHODS. start_frac : the share it has on day 0, outside 0 to 1 where the form allows.
    rate_per_d : the form's own rate; rates of two forms are not to be compared. start_se_frac, rate_se_per_d : standard
    errors. intercept : start_frac on the form's straight scale. error, explained_frac, concordance : spread left over,
    R² and concordance on the scale of the fit. error_frac, seen_concordance : the same on the scale seen, over every
    visit, which is what may be compared between forms. visits : visits used. left_out : numbers of the visits whose
    share of 0 or 1 has no place on the straight scale, from 0. converged : whether the steps arrived, after `steps`.
    """

    form: str
    method: str
    intercept: float
    start_frac: float
    start_se_frac: float
    rate_per_d: float
    rate_se_per_d: float
    error: float
    explained_frac: float
    concordance: float
    error_frac: float
    seen_concordance: float
    visits: int
    left_out: tuple[int, ...] = ()
    converged: bool = True
    steps: int = 0


@dataclass(frozen=True)
class Unfitted:
    """A form that could not be fitted. reason : of REASONS. visits : visits that could be used. left_out : as in Fit."""

    form: str
    method: str
    reason: str
    visits: int
    left_out: tuple[int, ...] = ()


def fit_line(day: ArrayLike, seen_frac: ArrayLike, *, form: str) -> Fit | Unfitted:
    """The form fitted as a straight line on its own scale. It weighs a hundredth more near 0 and 1 than in the middle.

    day : (visits,), a day may come more than once. seen_frac : (visits,), 0 to 1. form : of FORMS.
    Raises ScoutingError where the visits cannot be read; what merely stands in the way of a fit comes back as Unfitted.
    """
    days, seen = _visits(day, seen_frac)
    scaled = straightened(seen, form)
    usable = np.isfinite(scaled)
    left_out = tuple(int(each) for each in np.flatnonzero(~usable))
    reason = _why_not(days[usable], seen[usable])
    if reason:
        return Unfitted(form, "line", reason, int(usable.sum()), left_out)
    line = straight_line(days[usable], scaled[usable])
    drawn = seen_back_frac(line.intercept + line.slope * days, form)
    start = float(seen_back_frac(line.intercept, form))
    return Fit(
        form, "line", line.intercept, start, float(speed_per_d(start, line.intercept_se, form=form)),
        line.slope, line.slope_se, line.error, line.explained_frac, line.concordance,
        _error(seen, drawn), concordance_with(seen, drawn), int(usable.sum()), left_out,
    )  # fmt: skip


def fit_curve(day: ArrayLike, seen_frac: ArrayLike, *, form: str, most_steps: int = 200) -> Fit | Unfitted:
    """The form fitted as it bends, by least squares on the shares seen; shares of 0 and 1 are as good as others.

    day, seen_frac, form, errors : as in fit_line. most_steps : after which it stops and says that it did not arrive.
    """
    days, seen = _visits(day, seen_frac)
    reason = _why_not(days, seen)
    if reason:
        return Unfitted(form, "curve", reason, seen.size)
    middle = days.mean()
    after = np.stack([np.ones(days.size), days - middle], axis=1)

    def evaluate(place: Floats) -> tuple[Floats, Floats]:
        drawn = seen_back_frac(after @ place, form)
        return drawn - seen, speed_per_d(drawn, 1.0, form=form)[:, None] * after

    walks = [least_squares(evaluate, start, most_steps=most_steps) for start in _starts(after, seen, form)]
    found = min(walks, key=lambda each: each.squares)
    if not np.isfinite(found.inverse).all():
        return Unfitted(form, "curve", "no minimum", seen.size)
    rate = float(found.parameters[1])
    intercept = float(found.parameters[0] - rate * middle)
    variance = found.squares / (seen.size - 2)
    intercept_se = float(np.sqrt(variance * _quadratic(found.inverse, np.array([1.0, -middle]))))
    start = float(seen_back_frac(intercept, form))
    drawn = seen_back_frac(after @ found.parameters, form)
    error, concordance = _error(seen, drawn), concordance_with(seen, drawn)
    return Fit(
        form, "curve", intercept, start, float(speed_per_d(start, intercept_se, form=form)),
        rate, float(np.sqrt(variance * found.inverse[1, 1])), error,
        1.0 - found.squares / float(np.sum((seen - seen.mean()) ** 2)), concordance,
        error, concordance, seen.size, (), found.converged, found.steps,
    )  # fmt: skip


def _visits(day: ArrayLike, seen_frac: ArrayLike) -> tuple[Floats, Floats]:
    days, seen = np.asarray(day, float), np.asarray(seen_frac, float)
    if days.ndim != 1 or days.shape != seen.shape:
        raise ScoutingError(
            f"There are {days.size} days and {seen.size} shares; each visit needs one of both.",
            remedy="Leave out a visit on which nothing was counted.",
        )
    for number, (when, share) in enumerate(zip(days, seen, strict=True), start=1):
        if not np.isfinite(when) or not 0.0 <= share <= 1.0:
            raise ScoutingError(
                f"Visit {number}, day {when:g}: the share is {share:g}; it must lie between 0 and 1.",
                remedy="A visit without a count is not a visit with none: leave it out. Percent are hundredths.",
            )
    return days, seen


def _why_not(days: Floats, seen: Floats) -> str:
    if days.size < _LEAST or np.unique(days).size < 2:
        return "too few"
    return "constant" if np.ptp(seen) < _ALIKE else ""


def _starts(after: Floats, seen: Floats, form: str) -> tuple[Floats, Floats]:
    """A straight line weighted by how much a step on the straight scale shows, and a level one: there may be two dips."""
    known = np.clip(seen, _INWARD, 1.0 - _INWARD)
    weight = np.maximum(speed_per_d(known, 1.0, form=form), 1e-6)
    line = np.linalg.lstsq(weight[:, None] * after, weight * straightened(known, form), rcond=None)[0]
    return np.asarray(line, float), np.array([float(straightened(known.mean(), form)), 0.0])


def _error(seen: Floats, drawn: Floats) -> float:
    return float(np.sqrt(np.sum((seen - drawn) ** 2) / (seen.size - 2)))


def _quadratic(inverse: Floats, along: Floats) -> float:
    return float(along @ inverse @ along)

"""How an epidemic went, from visits: the area under its curve, how fast it grew between two visits, and what time that gives."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError
from abaxial.scouting.curves.forms import straightened

Floats = NDArray[np.float64]


def area_under_progress_frac_d(day: ArrayLike, seen_frac: ArrayLike) -> float:
    """Area under the curve of disease progress, by trapezoids between visits (AUDPC) [share of leaf · days].

    day : (visits,) rising, two or more; visits need not be evenly spaced. seen_frac : (visits,), 0 to 1, one for every
    visit: a visit without a count is refused, because it is not a visit with none. Source: shaner1977.
    Young leaves dilute the share, so it may fall while nothing heals; compare only the same stretch of time.
    """
    days, seen = _visits(day, seen_frac)
    return float(np.sum(np.diff(days) * (seen[1:] + seen[:-1]) / 2.0))


def area_under_steps_frac_d(day: ArrayLike, seen_frac: ArrayLike) -> float:
    """Area under steps, in which first and last visit count as much as the others (AUDPS) [share of leaf · days].

    Arguments as in area_under_progress_frac_d. Source: simko2012.
    """
    days, seen = _visits(day, seen_frac)
    ends = (seen[0] + seen[-1]) / 2.0 * (days[-1] - days[0]) / (days.size - 1)
    return area_under_progress_frac_d(days, seen) + float(ends)


def mean_under_progress_frac(day: ArrayLike, seen_frac: ArrayLike) -> float:
    """The area under the curve over the days it spans [0 to 1]: what may be compared between stretches of time.

    Arguments as in area_under_progress_frac_d. For shares the standardised and the relative area are this one number;
    for percent the relative one is a hundredth of the standardised.
    """
    days, _ = _visits(day, seen_frac)
    return area_under_progress_frac_d(day, seen_frac) / float(days[-1] - days[0])


def mean_under_steps_frac(day: ArrayLike, seen_frac: ArrayLike) -> float:
    """The area under steps over the days that the steps span, which are one visit's worth more [0 to 1].

    Arguments as in area_under_progress_frac_d. Source: simko2012.
    """
    days, _ = _visits(day, seen_frac)
    spanned = float(days[-1] - days[0]) * days.size / (days.size - 1)
    return area_under_steps_frac_d(day, seen_frac) / spanned


def apparent_rate_per_d(earlier_frac: ArrayLike, later_frac: ArrayLike, *, apart_d: ArrayLike, form: str) -> Floats:
    """Rate at which a curve of that form went from one share to another [1/d]; below 0 where it fell.

    earlier_frac, later_frac : any shape, between 0 and 1; 0 only where the form is monomolecular, 1 only where it is
    exponential. apart_d : days between, above 0. form : of curves.FORMS. Raises ScoutingError.
    """
    apart = np.asarray(apart_d, float)
    if not (apart > 0.0).all():
        raise ScoutingError("Two visits must lie apart in time.", remedy="Give the days between them, above 0.")
    return np.asarray((_placed(later_frac, form) - _placed(earlier_frac, form)) / apart)


def days_to_level_d(start_frac: ArrayLike, level_frac: ArrayLike, *, rate_per_d: ArrayLike, form: str) -> Floats:
    """Days until a curve reaches a share [d]: 0 where it is there already, ∞ where it will not come.

    start_frac, level_frac : as the shares in apparent_rate_per_d. rate_per_d : of the form, any sign.
    """
    ahead = _placed(level_frac, form) - _placed(start_frac, form)
    rate = np.asarray(rate_per_d, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        wait = np.where(rate > 0.0, ahead / rate, np.inf)
    return np.where(ahead <= 0.0, 0.0, wait)


def doubling_time_d(rate_per_d: ArrayLike) -> Floats:
    """Days in which a small epidemic doubles [d]; ∞ where it does not grow. rate_per_d : exponential or logistic."""
    rate = np.asarray(rate_per_d, float)
    with np.errstate(divide="ignore"):
        return np.where(rate > 0.0, np.log(2.0) / np.maximum(rate, 0.0), np.inf)


def sanitation_delay_d(removed_frac: ArrayLike, *, rate_per_d: ArrayLike) -> Floats:
    """Days by which an epidemic comes later when a share of what begins it is taken away [d]; ∞ where all of it is.

    removed_frac : any shape, 0 to 1. rate_per_d : at which it grows, above 0. It buys time, not safety: the curve is the
    same and only later. Source: vanderplank1963.
    """
    removed, rate = np.asarray(removed_frac, float), np.asarray(rate_per_d, float)
    if not ((removed >= 0.0) & (removed <= 1.0)).all() or not (rate > 0.0).all():
        raise ScoutingError(
            f"A share of {removed_frac!r} taken away at a rate of {rate_per_d!r} gives no delay.",
            remedy="Give a share between 0 and 1 and a rate above 0.",
        )
    with np.errstate(divide="ignore"):
        return np.asarray(-np.log1p(-removed) / rate)


def logistic_area_frac_d(start_frac: ArrayLike, rate_per_d: ArrayLike, *, until_d: ArrayLike) -> Floats:
    """Area under a logistic curve from day 0 on, without a step between visits [share of leaf · days].

    start_frac : between 0 and 1. rate_per_d : not 0. until_d : 0 or more. What ever denser visits come to; derived.
    """
    start, rate, until = np.asarray(start_frac, float), np.asarray(rate_per_d, float), np.asarray(until_d, float)
    return np.asarray(np.logaddexp(np.log1p(-start), np.log(start) + rate * until) / rate)


def _placed(share_frac: ArrayLike, form: str) -> Floats:
    share = np.asarray(share_frac, float)
    placed = straightened(np.where((share >= 0.0) & (share <= 1.0), share, np.nan), form)
    if not np.isfinite(placed).all():
        raise ScoutingError(
            f"A share of {share_frac!r} has no place on a curve of the form {form}.",
            remedy="Give shares between 0 and 1; where nothing was found, use what one leaf would have made.",
        )
    return placed


def _visits(day: ArrayLike, seen_frac: ArrayLike) -> tuple[Floats, Floats]:
    days, seen = np.asarray(day, float), np.asarray(seen_frac, float)
    if days.ndim != 1 or days.shape != seen.shape or days.size < 2:
        raise ScoutingError(
            f"There are {days.size} days and {seen.size} shares; an area needs two visits or more, each with both.",
            remedy="Leave out a visit on which nothing was counted.",
        )
    if not np.isfinite(days).all() or not (np.diff(days) > 0.0).all():
        raise ScoutingError("The days of the visits do not rise.", remedy="Put them in order, one visit to a day.")
    for when, share in zip(days, seen, strict=True):
        if not 0.0 <= share <= 1.0:
            raise ScoutingError(
                f"On day {when:g} the share is {share:g}; it must lie between 0 and 1.",
                remedy="A visit without a count is not a visit with none: leave it out. Percent are hundredths.",
            )
    return days, seen

"""Quarantine clocks: they count latent periods and not days, and stand still in cold and heat."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import RequestError

Floats = NDArray[np.float64]


class Clock(NamedTuple):
    """How far a clock has come.

    passed : (members,) latent periods since it was set. over_frac : share of the members in which it has run out. early_day,
    middle_day, late_day : days on which it runs out in one of ten members, in half, and in nine of ten; infinite where
    that lies beyond the days given.
    """

    passed: Floats
    over_frac: float
    early_day: float
    middle_day: float
    late_day: float


class Began(NamedTuple):
    """The first day on which an infection can have begun. known : whether the record reaches back that far; otherwise
    `day` is 0, the first of the record."""

    day: int
    known: bool


def ripened(ripening_per_d: Floats) -> Floats:
    """Latent periods passed by the start of each day, (days + 1, members), from 0.

    ripening_per_d : (days, members) share of the latent period that passes on each day, 0 or more.
    """
    start = np.zeros((1, ripening_per_d.shape[1]))
    return np.concatenate((start, np.cumsum(ripening_per_d, axis=0)))


def runs_out_day(progress: Floats, set_day: int, periods: float) -> Floats:
    """First day on which so many latent periods have passed since a day, (members,); infinite where none given has.

    progress : (days, members) latent periods passed by the start of each day, never falling. set_day : 0 to the last day.
    periods : 0 or more.
    """
    _refuse(progress, set_day)
    done = progress[set_day:] - progress[set_day] >= periods * (1.0 - 1e-12)
    return np.where(done.any(axis=0), set_day + done.argmax(axis=0), np.inf)


def clock(progress: Floats, *, set_day: int, now_day: int, periods: float) -> Clock:
    """How far a clock has come that was set on a day; arguments as in runs_out_day. now_day : set_day or later."""
    _refuse(progress, now_day)
    ends = runs_out_day(progress, set_day, periods)
    passed = progress[max(now_day, set_day)] - progress[set_day]
    early, middle, late = (share_day(ends, share) for share in (0.1, 0.5, 0.9))
    return Clock(passed, float(np.mean(ends <= now_day)), early, middle, late)


def share_day(ends_day: Floats, sure_frac: float) -> float:
    """First day by which a share of the members is through [d]. ends_day : (members,). sure_frac : above 0, to 1."""
    if not 0.0 < sure_frac <= 1.0:
        raise RequestError(f"The share is {sure_frac:g}; it must lie above 0, up to 1.", remedy="Take 0.9.")
    needed = int(np.ceil(sure_frac * ends_day.size - 1e-9))
    return float(np.sort(ends_day)[needed - 1])


def could_have_begun(progress: Floats, *, seen_day: int, periods: float) -> Began:
    """The first day on which an infection can have begun that was seen on a day.

    progress : as in runs_out_day. periods : latent periods after which the last of it would have shown, and been seen, before;
    the slowest member counts.
    """
    _refuse(progress, seen_day)
    passed = np.min(progress[seen_day] - progress[: seen_day + 1], axis=1)
    long_ago = np.flatnonzero(passed >= periods * (1.0 - 1e-12))
    return Began(int(long_ago[-1]), True) if long_ago.size else Began(0, False)


def _refuse(progress: Floats, day: int) -> None:
    if not 0 <= day < len(progress):
        raise RequestError(
            f"Day {day} lies outside the {len(progress)} days of the record.", remedy="Add weather for that day."
        )
    if np.any(np.diff(progress, axis=0) < 0.0) or not np.all(np.isfinite(progress)):
        raise RequestError("Latent periods passed cannot fall or be missing.", remedy="Give them added up, day by day.")

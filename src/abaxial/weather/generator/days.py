"""Day after day of an invented climate: wet or dry, how much rain, how warm, how sunny; for all members at once."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.hours import standard_offset_h
from abaxial.place import Place
from abaxial.weather.generator.climate import DailyClimate
from abaxial.weather.generator.matrices import gamma_quantile, next_residual

Floats = NDArray[np.float64]
#: the day's highest stays at least this far above its lowest [K]
_LEAST_SWING_K = 1.0
_BLOCK_D = 32


@dataclass(frozen=True)
class State:
    """What a day hands to the next. is_wet : (members,). residual : (members, 3) standardised figures."""

    is_wet: NDArray[np.bool_]
    residual: Floats


@dataclass(frozen=True)
class Days:
    """Simulated days. is_wet, rain_mm, max_c, min_c, clear_frac : (days, members). pick : uniform numbers, same
    shape."""

    is_wet: NDArray[np.bool_]
    rain_mm: Floats
    max_c: Floats
    min_c: Floats
    clear_frac: Floats
    pick: Floats


def first_midnight(hour: int, place: Place) -> int:
    """The local standard midnight at or before an hour, in hours since 1970 UTC."""
    ahead = round(standard_offset_h(place.zone))
    return (hour + ahead) // 24 * 24 - ahead


def day_of_year(midnights: NDArray[np.int64], place: Place) -> NDArray[np.int64]:
    """Day of the year, 0 to 365, of days named by their first hour; shape (days,)."""
    days = (midnights + round(standard_offset_h(place.zone))) // 24
    dates = days.astype("datetime64[D]")
    return np.asarray((dates - dates.astype("datetime64[Y]")).astype(np.int64))


def simulate_days(
    daily: DailyClimate, course: NDArray[np.int64], counter: int, members: int, seed: int, state: State | None
) -> Days:
    """A run of days.

    course : (days,) day of the year of each. counter : number of the first day, so that a day's luck is its own
    whatever the run begins with. state : of the day before; drawn from the climate if None.
    """
    days = course.size
    is_wet, residual = np.zeros((days, members), bool), np.zeros((days, members, 3))
    # the day before the first gives its luck to the state the run begins with
    luck = _by_day(chance.uniforms, seed, "generator/rain", counter - 1, days + 1, members)
    draws = _by_day(chance.normals, seed, "generator/figures", counter - 1, days + 1, members)
    before = state or _drawn(daily, int(course[0]), luck[0], draws[0])
    luck, draws = luck[1:], draws[1:]
    for number in range(days):
        likely = np.where(before.is_wet, daily.after_wet_frac[course[number]], daily.after_dry_frac[course[number]])
        is_wet[number] = luck[number, :, 0] < likely
        residual[number] = next_residual(before.residual, draws[number], daily.a, daily.b)
        before = State(is_wet[number], residual[number])
    which = is_wet.astype(np.int64)
    figures = daily.mean[which, course[:, None]] + daily.sd[which] * residual
    rain_mm = np.where(
        is_wet, gamma_quantile(luck[:, :, 1], daily.rain_shape) * daily.rain_mean_mm[course][:, None], 0.0
    )
    return Days(
        is_wet=is_wet,
        rain_mm=rain_mm,
        max_c=np.maximum(figures[..., 0], figures[..., 1] + _LEAST_SWING_K),
        min_c=figures[..., 1],
        clear_frac=np.clip(figures[..., 2], 0.05, 1.0),
        pick=luck[:, :, 2],
    )


def _by_day(draw: Callable[..., Floats], seed: int, purpose: str, counter: int, days: int, members: int) -> Floats:
    """Three numbers for each day and member, shape (days, members, 3), drawn in blocks of days that never move."""
    first, last = counter // _BLOCK_D, (counter + days - 1) // _BLOCK_D
    blocks = [
        draw(seed, purpose, block, members * _BLOCK_D * 3).reshape(members, _BLOCK_D, 3).transpose(1, 0, 2)
        for block in range(first, last + 1)
    ]
    start = counter - first * _BLOCK_D
    return np.concatenate(blocks)[start : start + days]


def _drawn(daily: DailyClimate, course: int, luck: Floats, draws: Floats) -> State:
    after_dry, after_wet = daily.after_dry_frac[course], daily.after_wet_frac[course]
    return State(luck[:, 0] < after_dry / (1.0 + after_dry - after_wet), draws)

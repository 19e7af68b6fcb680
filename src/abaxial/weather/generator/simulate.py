"""Hours of weather that might come: simulated days dressed in the hours of the place's own most similar days."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from abaxial.weather import disaggregation, sun
from abaxial.weather.generator.climate import Climate, DailyClimate, Examples
from abaxial.weather.generator.days import Days, State, day_of_year, first_midnight, simulate_days
from abaxial.weather.generator.matrices import constant

Floats = NDArray[np.float64]
#: hours on either side of midnight over which two days are drawn together
_SEAM = np.array([0.125, 0.375, 0.625, 0.875])


@dataclass(frozen=True)
class Simulated:
    """Simulated hours. All arrays (hours, members), without gaps; units as in Weather. dew_point_c at most the
    air's."""

    first_hour: int
    temperature_c: Floats
    dew_point_c: Floats
    wind_speed_m_s: Floats
    rain_mm: Floats
    shortwave_w_m2: Floats
    cloud_frac: Floats


def simulate(
    climate: Climate, *, first_hour: int, hours: int, members: int, seed: int, state: State | None = None
) -> Simulated:
    """A run of hours for each member.

    state : how the day before ended; drawn from the climate if None. hours : 1 or more.
    Sources: richardson1981 for the days; their hours are resampled from the history the climate was learnt from.
    """
    place = climate.place
    begin = first_midnight(first_hour, place)
    count = -(-(first_hour + hours - begin) // 24)
    midnights = begin + 24 * np.arange(count)
    course = day_of_year(midnights, place)
    days = simulate_days(climate.daily, course, midnights[0] // 24, members, seed, state)
    chosen = _similar(climate.examples, climate.daily, days, course)
    here = slice(first_hour - begin, first_hour - begin + hours)

    def hourly(values: Floats) -> Floats:
        """(days, members, 24) as (hours, members)."""
        return np.asarray(values.transpose(0, 2, 1).reshape(count * 24, members))

    air_c, depression_k = _air(climate.examples, days, chosen)
    air_c, depression_k = _seamless(hourly(air_c)), np.maximum(_seamless(hourly(depression_k)), 0.0)
    clear = sun.clear_sky_w_m2(sun.solar_elevation_deg(begin + np.arange(count * 24) + 0.5, place), place.elevation_m)
    light = np.minimum(hourly(climate.examples.clear_frac[chosen]), 1.0) * clear[:, None]
    rain_mm = hourly(climate.examples.rain_share_frac[chosen] * days.rain_mm[:, :, None])
    return Simulated(
        first_hour=first_hour,
        temperature_c=air_c[here],
        dew_point_c=(air_c - depression_k)[here],
        wind_speed_m_s=hourly(climate.examples.wind_speed_m_s[chosen])[here],
        rain_mm=rain_mm[here],
        shortwave_w_m2=light[here],
        cloud_frac=hourly(climate.examples.cloud_frac[chosen])[here],
    )


def state_after(climate: Climate, *, is_wet: NDArray[np.bool_], figures: Floats, midnight: int) -> State:
    """The state at the end of a known day. is_wet : (members,). figures : (members, 3) highest [°C], lowest [°C],
    share of clear-sky sun. midnight : the day's first hour."""
    course = int(day_of_year(np.array([midnight]), climate.place)[0])
    which = is_wet.astype(np.int64)
    residual = (figures - climate.daily.mean[which, course]) / climate.daily.sd[which]
    return State(is_wet, np.clip(residual, -3.0, 3.0))


def _similar(examples: Examples, daily: DailyClimate, days: Days, course: NDArray[np.int64]) -> NDArray[np.int64]:
    """For each simulated day one of the most similar examples, shape (days, members): wet like it, of its season,
    near in highest, lowest and sunlight."""
    wanted = np.stack([days.max_c, days.min_c, days.clear_frac], axis=-1)
    chosen = np.zeros(days.is_wet.shape, np.int64)
    for kind in (False, True):
        mine = days.is_wet == kind
        of_kind = np.flatnonzero(examples.is_wet == kind)
        # a place without one wet (or dry) day in its history borrows from the others
        pool = of_kind if of_kind.size else np.arange(examples.is_wet.size)
        if not mine.any():
            continue
        distance = np.zeros((int(mine.sum()), pool.size), np.float32)
        for item in range(3):
            difference = wanted[mine][:, item, None] - examples.figures[pool, item]
            distance += np.float32(1.0) * ((difference / daily.sd[int(kind), item]) ** 2).astype(np.float32)
        on = np.broadcast_to(course[:, None], mine.shape)[mine]
        apart_d = np.abs(on[:, None] - examples.day_of_year[pool])
        apart_d = np.minimum(apart_d, 366 - apart_d)
        distance += ((apart_d / constant("fit", "season_width_d")) ** 2).astype(np.float32)
        nearest = min(int(constant("fit", "nearest_days")), pool.size)
        candidates = np.argpartition(distance, nearest - 1, axis=1)[:, :nearest]
        # argpartition gives no order; sort so that the draw means the same on every machine
        candidates = np.sort(candidates, axis=1)
        number = np.minimum((days.pick[mine] * nearest).astype(np.int64), nearest - 1)
        chosen[mine] = pool[candidates[np.arange(number.size), number]]
    return chosen


def _air(examples: Examples, days: Days, chosen: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """Temperature [°C] and dew-point depression [K], each (days, members, 24): the example stretched to the simulated
    extremes, its depression with it, so that a moist night stays a moist night."""
    shape_c = examples.temperature_c[chosen]
    low_c, high_c = shape_c.min(axis=2, keepdims=True), shape_c.max(axis=2, keepdims=True)
    ratio = (days.max_c - days.min_c)[:, :, None] / np.maximum(high_c - low_c, 1.0)
    air_c = days.min_c[:, :, None] + (shape_c - low_c) * ratio
    depression_k = (shape_c - examples.dew_point_c[chosen]) * np.clip(ratio, 0.5, 2.0)
    return air_c, depression_k


def _seamless(hourly: Floats) -> Floats:
    """The same hours without the jump at midnight, shape (hours, members)."""
    days = hourly.shape[0] // 24
    blocks = hourly.reshape(days, 24, -1).copy()
    jump = (blocks[1:, 0] - blocks[:-1, 23])[:, None, :]
    blocks[:-1, 20:] += jump / 2 * _SEAM[None, :, None]
    blocks[1:, :4] -= jump / 2 * _SEAM[::-1][None, :, None]
    return np.asarray(blocks.reshape(hourly.shape))


def relative_humidity_frac(simulated: Simulated) -> Floats:
    """Relative humidity of simulated hours, 0 to 1, shape (hours, members)."""
    return disaggregation.relative_humidity_frac(simulated.temperature_c, simulated.dew_point_c)

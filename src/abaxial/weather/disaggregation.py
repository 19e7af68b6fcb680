"""From days to hours: temperature, humidity, sun and rain within a day of which only the day's figures are known."""

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.place import Place
from abaxial.provenance import read_parameter, read_table
from abaxial.weather import sun

Floats = NDArray[np.float64]

_PATH = Path(__file__).with_name("disaggregation.toml")
_LIMITS = {"min_lag_h": (-3.0, 3.0), "moist_hour_preference": (0.0, 40.0)}


@cache
def constant(name: str) -> float:
    """One constant of disaggregation.toml by name. Raises ParameterError if the file breaks its rules."""
    table = read_table(_PATH)
    return read_parameter(name, table.get(name), limits=_LIMITS.get(name, (0.0, 24.0)), path=_PATH).value


def saturation_kpa(temperature_c: ArrayLike) -> Floats:
    """Vapour pressure of saturated air over water [kPa]; temperature_c : any shape [°C], -40 to 60.

    Source: allen1998, Eq. 11, the same as in the rooms above, which this room may not call.
    """
    air_c = np.asarray(temperature_c, float)
    return np.asarray(0.6108 * np.exp(17.27 * air_c / (air_c + 237.3)))


def relative_humidity_frac(temperature_c: ArrayLike, dew_point_c: ArrayLike) -> Floats:
    """Relative humidity of air with that dew point, 0 to 1, held at 1 where the dew point lies above the air."""
    return np.asarray(np.minimum(saturation_kpa(dew_point_c) / saturation_kpa(temperature_c), 1.0))


def dew_point_c(temperature_c: ArrayLike, humidity_frac: ArrayLike) -> Floats:
    """Dew point [°C] of air at a temperature [°C] and relative humidity, 0.01 to 1; the inverse of allen1998, Eq.
    11."""
    pressure_kpa = saturation_kpa(temperature_c) * np.clip(humidity_frac, 0.01, 1.0)
    ratio = np.log(pressure_kpa / 0.6108)
    return np.asarray(237.3 * ratio / (17.27 - ratio))


def parton_logan_c(
    hour_h: ArrayLike,
    *,
    min_c: ArrayLike,
    max_c: ArrayLike,
    sunrise_h: ArrayLike,
    day_length_h: ArrayLike,
    lags: tuple[float, float, float] | None = None,
) -> Floats:
    """Temperature at an hour of a day that repeats itself [°C].

    hour_h : hour of the day, 0 to 24, on the clock of sunrise_h. min_c, max_c : the day's extremes [°C].
    day_length_h : sunrise to sunset [h], above 0, below 24. lags : lag of the maximum after noon [h], night decay,
    lag of the minimum after sunrise [h]; those of disaggregation.toml if not given.
    Source: parton1981, as published: the night curve only approaches the minimum, so a step of up to 1 K remains at
    dawn.
    """
    a, b, c = _lags() if lags is None else lags
    length_h, low_c = np.asarray(day_length_h, float), np.asarray(min_c, float)
    swing_k = np.asarray(max_c, float) - low_c
    since_min_h = np.mod(np.asarray(hour_h, float) - sunrise_h - c, 24.0)
    by_day_c = low_c + swing_k * np.sin(np.pi * since_min_h / (length_h + 2 * a))
    at_sunset_k = swing_k * np.sin(np.pi * (length_h - c) / (length_h + 2 * a))
    by_night_c = low_c + at_sunset_k * np.exp(-b * (since_min_h + c - length_h) / (24.0 - length_h))
    return np.asarray(np.where(since_min_h <= length_h - c, by_day_c, by_night_c))


def hourly_temperature_c(min_c: Floats, max_c: Floats, sunrise_h: Floats, day_length_h: Floats) -> Floats:
    """Temperature of the hours of consecutive days, at mid-hour [°C], shape (days, 24, …).

    min_c, max_c : (days, …) [°C]. sunrise_h, day_length_h : (days,) [h], on the clock in which the day's hours count.
    The *closed* variant of parton1981: each night curve is rescaled to end at the next morning's minimum, so that the
    temperature has no step.
    """
    a, b, c = _lags()
    days, rest = min_c.shape[0], (1,) * (min_c.ndim - 1)
    hour_h: Floats = np.asarray(np.arange(24) + 0.5, float).reshape(1, 24, *rest)
    rise_h, length_h = (each.reshape(days, 1, *rest) for each in (sunrise_h, day_length_h))
    low_c, high_c = min_c[:, None], max_c[:, None]

    def evening(
        sunrise: Floats, length: Floats, minimum: Floats, maximum: Floats, following: Floats, now_h: Floats
    ) -> Floats:
        sunset_c = minimum + (maximum - minimum) * np.sin(np.pi * (length - c) / (length + 2 * a))
        end = (24.0 + c - length) / (24.0 - length)
        # days near the poles change their length by hours, and some clocks stand far from the sun's
        share = np.clip((now_h - sunrise - length) / (24.0 - length), 0.0, end)
        left = (np.exp(-b * share) - np.exp(-b * end)) / (1.0 - np.exp(-b * end))
        return np.asarray(following + (sunset_c - following) * left)

    since_min_h = hour_h - rise_h - c
    by_day_c = low_c + (high_c - low_c) * np.sin(np.pi * np.clip(since_min_h / (length_h + 2 * a), 0.0, 1.0))
    tonight_c = evening(rise_h, length_h, low_c, high_c, _shifted(low_c, 1), hour_h)
    last_night_c = evening(
        _shifted(rise_h, -1), _shifted(length_h, -1), _shifted(low_c, -1), _shifted(high_c, -1), low_c, hour_h + 24.0
    )
    before = since_min_h < 0
    after = hour_h > rise_h + length_h
    return np.asarray(np.where(before, last_night_c, np.where(after, tonight_c, by_day_c)))


def air_and_dew_point_c(
    place: Place, midnights: NDArray[np.int64], *, min_c: Floats, max_c: Floats, dew_at_dawn_c: Floats
) -> tuple[Floats, Floats]:
    """Temperature and dew point of all hours of consecutive days [°C], each shape (hours,).

    midnights : local standard midnights, hours since 1970 UTC. min_c, max_c, dew_at_dawn_c : (days,) [°C]. The dew
    point drifts from one dawn to the next and never lies above the air. Source: parton1981, closed variant.
    """
    rise_h, length_h = daylight_h(place, midnights)
    air_c = hourly_temperature_c(min_c, max_c, rise_h, length_h).ravel()
    dawns = 24.0 * np.arange(midnights.size) + rise_h
    dew_c = np.interp(np.arange(air_c.size) + 0.5, dawns, dew_at_dawn_c)
    return air_c, np.minimum(dew_c, air_c)


def daily_to_hourly_sun_frac(hour_angle_rad: ArrayLike, sunset_angle_rad: ArrayLike) -> Floats:
    """Share of a day's sunlight that falls in the hour centred on an hour angle, 0 to 1.

    hour_angle_rad : from solar noon, any shape. sunset_angle_rad : above 0, up to π. Zero at night.
    Source: collarespereira1979, Eqs. for a and b.
    """
    w, ws = np.asarray(hour_angle_rad, float), np.asarray(sunset_angle_rad, float)
    a = 0.409 + 0.5016 * np.sin(ws - 1.047)
    b = 0.6609 - 0.4767 * np.sin(ws - 1.047)
    share = np.pi / 24 * (a + b * np.cos(w)) * (np.cos(w) - np.cos(ws)) / (np.sin(ws) - ws * np.cos(ws))
    return np.asarray(np.where(np.abs(w) < ws, np.maximum(share, 0.0), 0.0))


def daylight_h(place: Place, first_hours: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """Sunrise and day length [h] of days that begin at given hours, each shape (days,); sunrise counts from there.

    first_hours : local standard midnights, hours since 1970 UTC. In polar day and polar night the length is held
    between 2 and 22 hours, so that a warmest and a coldest hour remain.
    """
    minutes_h = np.arange(0.0, 24.0, 1 / 6) + 1 / 12
    elevation_deg, _ = sun.solar_position(first_hours[:, None] + minutes_h, place.latitude_deg, place.longitude_deg)
    length_h = np.clip((elevation_deg > -0.833).mean(axis=1) * 24.0, 2.0, 22.0)
    noon_h = minutes_h[np.argmax(elevation_deg, axis=1)]
    return noon_h - length_h / 2, length_h


def dimmed_frac(cloud_frac: ArrayLike) -> Floats:
    """Share of clear-sky sunlight that comes through a cloud cover of 0 to 1. Source: kasten1980."""
    return np.asarray(
        1.0 - constant("cloud_dimming_frac") * np.clip(cloud_frac, 0.0, 1.0) ** constant("cloud_dimming_power")
    )


def cloud_from_dimming_frac(share_frac: ArrayLike) -> Floats:
    """Cloud cover, 0 to 1, under which that share of clear-sky sunlight arrives; the inverse of `dimmed_frac`."""
    taken = np.clip(1.0 - np.asarray(share_frac, float), 0.0, constant("cloud_dimming_frac"))
    return np.asarray((taken / constant("cloud_dimming_frac")) ** (1.0 / constant("cloud_dimming_power")))


def cloud_from_range_frac(min_c: ArrayLike, max_c: ArrayLike) -> Floats:
    """A day's mean cloud cover, 0 to 1, from how far its temperature swung [°C]. Source: hargreaves1982, kasten1980."""
    swing_k = np.maximum(np.asarray(max_c, float) - np.asarray(min_c, float), 0.0)
    clearness = constant("temperature_range_sun") * np.sqrt(swing_k) / constant("clear_day_sun_frac")
    return cloud_from_dimming_frac(clearness)


def rain_hours_mm(amount_mm: Floats, moist_frac: Floats, draws: Floats) -> Floats:
    """One rainy spell in a stretch of hours, preferring moist hours [mm], shape (hours, members).

    amount_mm : (members,) total [mm], 0 or more. moist_frac : (hours, members) relative humidity, 0 to 1.
    draws : (3 + hours, members) uniform numbers: where it begins, how long it lasts, and how it is spread.
    """
    hours = moist_frac.shape[0]
    weight = np.clip(moist_frac, 0.05, 1.0) ** constant("moist_hour_preference")
    reached = np.cumsum(weight, axis=0) / weight.sum(axis=0)
    start = (reached < draws[0]).sum(axis=0)
    length = np.ceil(-constant("shower_h") * np.log(draws[1]))
    index = np.arange(hours)[:, None]
    inside = (index >= start) & (index < start + np.maximum(length, 1.0))
    spread = np.where(inside, -np.log(draws[3:]), 0.0)
    return np.asarray(amount_mm * spread / spread.sum(axis=0))


def _lags() -> tuple[float, float, float]:
    return constant("max_lag_h"), constant("night_decay"), constant("min_lag_h")


def _shifted(values: Floats, days: int) -> Floats:
    """The values of the neighbouring day; the first and the last day are their own neighbours."""
    last = values.shape[0] - 1
    return np.asarray(values[np.clip(np.arange(last + 1) + days, 0, last)])

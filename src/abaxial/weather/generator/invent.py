"""Weather for a place that does not exist: hours made from a sketch of its climate alone."""

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.place import Place
from abaxial.provenance import digest
from abaxial.weather import disaggregation, doubt, sun
from abaxial.weather.generator.climate import ClimateSketch, daily_of_sketch
from abaxial.weather.generator.days import day_of_year, first_midnight, simulate_days
from abaxial.weather.series import VARIABLES, Finding, Floats, Weather

#: how far a day's dew point strays from its habit [K]; how far cloud and the logarithm of wind stray within hours
_DEW_SD_K, _CLOUD_SD_FRAC, _WIND_LOG_SD = 1.0, 0.15, 0.35


def invent(place: Place, sketch: ClimateSketch, *, first_hour: int, hours: int, seed: int) -> Weather:
    """Invented hourly weather, with a finding that says so.

    first_hour : hours since 1970 UTC. hours : above 0. The same seed gives the same weather.
    Sources: richardson1981, geng1986, parton1981, kasten1980.
    """
    begin = first_midnight(first_hour, place)
    count = -(-(first_hour + hours - begin) // 24) + 1
    midnights = begin + 24 * np.arange(count)
    days = simulate_days(daily_of_sketch(sketch), day_of_year(midnights, place), begin // 24, 1, seed, None)
    low_c = days.min_c[:, 0]
    stray_k = _DEW_SD_K * chance.normals(seed, "generator/dew", begin // 24, count)
    air_c, dew_c = disaggregation.air_and_dew_point_c(
        place,
        midnights,
        min_c=low_c,
        max_c=days.max_c[:, 0],
        dew_at_dawn_c=low_c - sketch.dew_point_below_min_k + stray_k,
    )
    humidity = disaggregation.relative_humidity_frac(air_c, dew_c)
    rain_mm = _rain_mm(days.rain_mm[:, 0], humidity.reshape(count, 24), begin, seed)
    humidity = np.where(rain_mm > 0, np.maximum(humidity, doubt.value("rain", "moist_rain_frac")), humidity)
    cloud = _cloud_frac(days.clear_frac[:, 0], rain_mm > 0, begin, seed)
    clear = sun.clear_sky_w_m2(sun.solar_elevation_deg(begin + np.arange(count * 24) + 0.5, place), place.elevation_m)
    columns: dict[str, Floats] = {
        "temperature_c": air_c,
        "relative_humidity_frac": humidity,
        "wind_speed_m_s": _wind_m_s(sketch.wind_m_s, place, midnights, seed),
        "rain_mm": rain_mm,
        "shortwave_w_m2": clear * disaggregation.dimmed_frac(cloud),
        "cloud_frac": cloud,
    }
    return Weather(
        first_hour,
        marks={name: np.zeros(hours, np.uint8) for name in VARIABLES},
        source="invented",
        digest=digest(f"{place}/{sketch}/{seed}/{first_hour}/{hours}"),
        findings=(Finding("invented_weather", {"hours": hours, "seed": seed}),),
        **{name: values[first_hour - begin :][:hours].copy() for name, values in columns.items()},
    )


def _rain_mm(amount_mm: Floats, humidity: Floats, begin: int, seed: int) -> Floats:
    """Each day's rain in one spell, shape (hours,). Each day is a column of its own."""
    count = amount_mm.size
    draws = chance.uniforms(seed, "generator/rain hours", begin // 24, 27 * count).reshape(count, 27).T
    return disaggregation.rain_hours_mm(amount_mm, humidity.T, draws).T.ravel()


def _cloud_frac(clear_frac: Floats, raining: NDArray[np.bool_], begin: int, seed: int) -> Floats:
    """Each day's cloud, straying from hour to hour, and thick where it rains; shape (hours,)."""
    of_day = np.repeat(disaggregation.cloud_from_dimming_frac(clear_frac), 24)
    straying = np.clip(of_day + _CLOUD_SD_FRAC * _wander(seed, "cloud", begin, clear_frac.size), 0.0, 1.0)
    return np.where(raining, np.maximum(straying, doubt.value("rain", "rainy_cloud_frac")), straying)


def _wind_m_s(mean_m_s: float, place: Place, midnights: NDArray[np.int64], seed: int) -> Floats:
    """Calm nights and breezy afternoons about a mean, shape (hours,)."""
    rise_h, length_h = disaggregation.daylight_h(place, midnights)
    since_noon_h = (np.arange(24) + 0.5) - (rise_h + length_h / 2)[:, None] - 2.0
    daily = 1.0 + 0.55 * np.cos(2 * np.pi * since_noon_h / 24.0)
    gusty = np.exp(_WIND_LOG_SD * _wander(seed, "wind", int(midnights[0]), midnights.size) - _WIND_LOG_SD**2 / 2)
    return np.asarray(mean_m_s * daily.ravel() * gusty)


def _wander(seed: int, what: str, begin: int, count: int) -> Floats:
    return doubt.passing(seed, f"generator/{what}", begin, count * 24, 1)[:, 0]

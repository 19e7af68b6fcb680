"""Weather for a place that does not exist: hours made from a sketch of its climate alone."""

import numpy as np

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
    Sources: richardson1981, geng1986 for the days; parton1981, kasten1980 for their hours.
    """
    begin = first_midnight(first_hour, place)
    count = -(-(first_hour + hours - begin) // 24) + 1
    midnights = begin + 24 * np.arange(count)
    days = simulate_days(daily_of_sketch(sketch), day_of_year(midnights, place), begin // 24, 1, seed, None)
    low_c = days.min_c[:, 0]
    rise_h, length_h = disaggregation.daylight_h(place, midnights)
    air_c = disaggregation.hourly_temperature_c(low_c, np.maximum(days.max_c[:, 0], low_c), rise_h, length_h).ravel()
    stray_k = _DEW_SD_K * chance.normals(seed, "generator/dew", begin // 24, count)
    dew_at_dawn_c = low_c - sketch.dew_point_below_min_k + stray_k
    dew_c = np.interp(np.arange(count * 24), 24 * np.arange(count) + rise_h, dew_at_dawn_c)
    humidity = disaggregation.relative_humidity_frac(air_c, dew_c)
    rain_mm = _rain_mm(days.rain_mm[:, 0], humidity.reshape(count, 24), begin, seed)
    raining = rain_mm > 0
    humidity = np.where(raining, np.maximum(humidity, doubt.value("rain", "moist_rain_frac")), humidity)
    cloud = np.repeat(disaggregation.cloud_from_dimming_frac(days.clear_frac[:, 0]), 24)
    cloud = np.clip(cloud + _CLOUD_SD_FRAC * _wander(seed, "cloud", begin, count), 0.0, 1.0)
    cloud = np.where(raining, np.maximum(cloud, doubt.value("rain", "rainy_cloud_frac")), cloud)
    clear = sun.clear_sky_w_m2(sun.solar_elevation_deg(begin + np.arange(count * 24) + 0.5, place), place.elevation_m)
    columns: dict[str, Floats] = {
        "temperature_c": air_c,
        "relative_humidity_frac": humidity,
        "wind_speed_m_s": _wind_m_s(sketch.wind_m_s, rise_h + length_h / 2, begin, count, seed),
        "rain_mm": rain_mm,
        "shortwave_w_m2": clear * disaggregation.dimmed_frac(cloud),
        "cloud_frac": cloud,
    }
    here = slice(first_hour - begin, first_hour - begin + hours)
    return Weather(
        first_hour,
        marks={name: np.zeros(hours, np.uint8) for name in VARIABLES},
        source="invented",
        digest=digest(f"{place}/{sketch}/{seed}/{first_hour}/{hours}"),
        findings=(Finding("invented_weather", {"hours": hours, "seed": seed}),),
        **{name: values[here].copy() for name, values in columns.items()},
    )


def _rain_mm(amount_mm: Floats, humidity: Floats, begin: int, seed: int) -> Floats:
    """Each day's rain in one spell, shape (hours,). Each day is a column of its own."""
    count = amount_mm.size
    draws = chance.uniforms(seed, "generator/rain hours", begin // 24, 27 * count).reshape(count, 27).T
    return disaggregation.rain_hours_mm(amount_mm, humidity.T, draws).T.ravel()


def _wind_m_s(mean_m_s: float, noon_h: Floats, begin: int, count: int, seed: int) -> Floats:
    """Calm nights and breezy afternoons about a mean, shape (hours,)."""
    since_noon_h = (np.arange(24) + 0.5) - noon_h[:, None] - 2.0
    daily = 1.0 + 0.55 * np.cos(2 * np.pi * since_noon_h / 24.0)
    gusty = np.exp(_WIND_LOG_SD * _wander(seed, "wind", begin, count) - _WIND_LOG_SD**2 / 2)
    return np.asarray(mean_m_s * daily.ravel() * gusty)


def _wander(seed: int, what: str, begin: int, count: int) -> Floats:
    return doubt.passing(seed, f"generator/{what}", begin, count * 24, 1)[:, 0]

"""Places of very different years, and weather invented for them, as the files of a station or of a forecast service."""

import json
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np

from abaxial import hours
from abaxial.place import Place
from abaxial.weather import generator, series
from abaxial.weather.generator import ClimateSketch
from abaxial.weather.series import Weather


class Site(NamedTuple):
    """A place and its climate."""

    place: Place
    climate: ClimateSketch

    @property
    def toml(self) -> str:
        """The site of a garden description."""
        place = self.place
        return (
            f'[site]\nname = "Trial"\nlatitude_deg = {place.latitude_deg}\nlongitude_deg = {place.longitude_deg}\n'
            f'elevation_m = {place.elevation_m}\nzone = "{place.zone}"\n'
        )


def _level(value: float) -> tuple[float, ...]:
    return (value,) * 12


# all year alike, but for rain in March to May and in October and November
_TWO_RAINS = ClimateSketch(
    min_c=_level(16.5),
    max_c=_level(26.5),
    rain_days=(4, 5, 14, 18, 16, 5, 3, 4, 6, 15, 17, 9),
    rain_per_wet_day_mm=_level(9.0),
    dew_point_below_min_k=1.5,
    wind_m_s=1.5,
    day_sd_k=1.2,
    wet_day_cooler_k=1.5,
    clear_dry_frac=0.75,
    clear_wet_frac=0.45,
    clear_sd_frac=0.14,
)
_SOUTHERN = replace(
    _TWO_RAINS,
    min_c=(15.5, 15.7, 14.2, 11.5, 9.2, 7.2, 6.5, 7.2, 8.7, 10.5, 12.2, 14.2),
    max_c=(23.8, 24.2, 22.6, 20.0, 17.3, 14.9, 14.2, 15.0, 16.6, 18.2, 20.0, 22.2),
    rain_days=(8, 7, 9, 10, 13, 15, 16, 14, 13, 12, 10, 9),
    wind_m_s=2.5,
    day_sd_k=1.8,
)
_COLD_WINTER = replace(
    _TWO_RAINS,
    min_c=(-16.0, -14.5, -8.0, 0.5, 7.0, 12.0, 15.0, 13.5, 8.5, 2.5, -4.0, -11.5),
    max_c=(-7.0, -4.5, 2.0, 11.5, 19.5, 24.5, 27.0, 25.5, 20.5, 12.5, 3.0, -4.0),
    rain_days=_level(9),
    day_sd_k=3.0,
)
_POLAR = replace(
    _TWO_RAINS,
    min_c=(-14.0, -14.0, -14.0, -10.0, -3.0, 2.0, 5.0, 4.0, 0.0, -6.0, -10.0, -12.0),
    max_c=(-8.0, -8.0, -8.0, -4.0, 2.0, 8.0, 11.0, 9.0, 4.0, -2.0, -5.0, -7.0),
    rain_days=_level(8),
)

EQUATOR = Site(Place(0.3, 32.6, 1150.0, "Africa/Kampala"), _TWO_RAINS)
SOUTHERN = Site(Place(-37.8, 175.3, 40.0, "Pacific/Auckland"), _SOUTHERN)
COLD_WINTER = Site(Place(46.8, -96.8, 275.0, "America/Chicago"), _COLD_WINTER)
POLAR = Site(Place(69.6, 18.9, 10.0, "Europe/Oslo"), _POLAR)

_HEADER = "time,temp,rh,wind,rain,cloud,sun"


@cache
def weather_of(site: Site, first: datetime, days: int, seed: int = 7) -> Weather:
    """Invented hours from a moment of UTC on."""
    return generator.invent(
        site.place, site.climate, first_hour=hours.hour_of(first.replace(tzinfo=UTC)), hours=24 * days, seed=seed
    )


def write_station(folder: Path, weather: Weather, name: str = "station.csv") -> None:
    """A station's file, as `steady_weather.STATION` describes it; a missing value is an empty field."""
    columns = (
        (weather.temperature_c, "{:.2f}"), (weather.relative_humidity_frac, "{:.4f}"), (weather.wind_speed_m_s, "{:.2f}"),
        (weather.rain_mm, "{:.2f}"), (weather.cloud_frac, "{:.3f}"), (weather.shortwave_w_m2, "{:.1f}"),
    )  # fmt: skip
    rows = [
        ",".join(
            [f"{hours.moment_of(weather.first_hour + i):%Y-%m-%d %H:%M}"]
            + ["" if np.isnan(values[i]) else form.format(values[i]) for values, form in columns]
        )
        for i in range(weather.hours)
    ]
    (folder / name).write_text("\n".join([_HEADER, *rows]) + "\n", encoding="utf-8")


def write_forecast(folder: Path, weather: Weather, place: Place, name: str = "garden_forecast.json") -> None:
    """The answer of a forecast service in its documented shape, instants and sums of the hour before."""
    before = slice(0, weather.hours - 1)
    hourly = {
        "time": [f"{hours.moment_of(weather.first_hour + i):%Y-%m-%dT%H:%M}" for i in range(weather.hours)],
        "temperature_2m": np.round(weather.temperature_c, 1).tolist(),
        "relative_humidity_2m": np.round(100.0 * weather.relative_humidity_frac).tolist(),
        "wind_speed_10m": np.round(weather.wind_speed_m_s * 1.34, 1).tolist(),
        "precipitation": [0.0, *np.round(weather.rain_mm[before], 1).tolist()],
        "shortwave_radiation": [0.0, *np.round(weather.shortwave_w_m2[before]).tolist()],
        "cloud_cover": np.round(100.0 * weather.cloud_frac).tolist(),
    }
    units = dict(zip(hourly, ("iso8601", "°C", "%", "m/s", "mm", "W/m²", "%"), strict=True))
    answer = {
        "latitude": place.latitude_deg, "longitude": place.longitude_deg, "elevation": place.elevation_m,
        "utc_offset_seconds": 0, "hourly_units": units, "hourly": hourly,
    }  # fmt: skip
    (folder / name).write_text(json.dumps(answer), encoding="utf-8")


def without(weather: Weather, name: str, first_hour: int, end_hour: int) -> Weather:
    """The same weather in which nobody recorded one variable over some hours."""
    values = weather.variable(name).copy()
    values[max(first_hour - weather.first_hour, 0) : max(end_hour - weather.first_hour, 0)] = np.nan
    return replace(weather, **{name: values})


def lived(weather: Weather, at: datetime) -> Weather:
    """Its hours up to a moment of UTC."""
    return series.between(weather, weather.first_hour, hours.hour_of(at.replace(tzinfo=UTC)))

"""The invented garden, laid out in a folder with weather that never was."""

import csv
import io
import json
from datetime import datetime
from pathlib import Path

from abaxial import hours
from abaxial.garden import description, writing
from abaxial.place import Place
from abaxial.weather import generator, series
from abaxial.weather.generator import ClimateSketch
from abaxial.weather.series import Weather

_DESCRIPTION = Path(__file__).parent / "demo_garden.toml"
#: the invented moment the demo is looked at, on the garden's clock
TODAY = "2026-03-12T06:30"
_FIRST_DAY = "2025-08-25"
_FORECAST_DAYS = 7
_SEED = 20260312

# The island's climate is invented too: warm, with showers all year and two wetter seasons, about March and about October.
_CLIMATE = ClimateSketch(
    min_c=(19.5, 19.8, 19.2, 17.6, 15.7, 14.2, 13.4, 13.4, 14.2, 15.4, 16.8, 18.4),
    max_c=(25.8, 26.2, 25.4, 23.6, 21.6, 19.9, 19.0, 19.2, 20.3, 21.6, 23.0, 24.6),
    rain_days=(9, 10, 12, 10, 8, 7, 6, 6, 8, 11, 10, 8),
    rain_per_wet_day_mm=(8.0, 9.0, 10.0, 8.0, 7.0, 7.0, 6.0, 6.0, 6.0, 8.0, 8.0, 7.0),
    dew_point_below_min_k=2.5,
    wind_m_s=2.2,
    day_sd_k=1.6,
    wet_day_cooler_k=1.2,
    clear_dry_frac=0.78,
    clear_wet_frac=0.45,
    clear_sd_frac=0.14,
)
#: how the station's file is to be read
LAYOUT: dict[str, object] = {
    "time": ["utc"],
    "time_format": "%Y-%m-%d %H:%M",
    "clock": "utc",
    "labels": "start",
    "wind_height_m": 2.0,
    "columns": {
        "temperature": {"heading": "air_c", "unit": "degC"},
        "humidity": {"heading": "humidity_percent", "unit": "percent"},
        "wind": {"heading": "wind_m_s", "unit": "m/s"},
        "rain": {"heading": "rain_mm", "unit": "mm"},
        "shortwave": {"heading": "sun_w_m2", "unit": "W/m2"},
    },
}


def lay_out(folder: Path, *, moment: str = TODAY) -> Path:
    """Write garden.toml, weather.csv and forecast.json, all invented, into a folder, and return the first one's path.

    moment : on the garden's clock, from September 2025 to TODAY; the weather is observed until then, and foretold from there on.
    A folder that holds them already is written anew, of one moment always to the same contents. OSError where nothing can
    be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    text = _DESCRIPTION.read_text(encoding="utf-8")
    garden = description.garden_from_text(text, where=str(_DESCRIPTION), folder=folder)
    place = garden.place
    zone = hours.zone_named(place.zone)
    first, now, today = (
        hours.hour_of(datetime.fromisoformat(each).replace(tzinfo=zone)) for each in (_FIRST_DAY, moment, TODAY)
    )
    ahead = 24 * _FORECAST_DAYS
    weather = generator.invent(place, _CLIMATE, first_hour=first, hours=today + ahead - first, seed=_SEED)
    _write(folder / "weather.csv", _station_text(series.between(weather, first, now)))
    _write(folder / "forecast.json", _forecast_text(series.between(weather, now, now + ahead), place))
    blocks = (
        writing.weather_block("weather.csv", "delimited", LAYOUT),
        writing.weather_block("forecast.json", "forecast_json", {}),
    )
    path = folder / "garden.toml"
    _write(path, "\n".join((text.rstrip("\n"), "", *blocks)))
    return path


def _write(path: Path, text: str) -> None:
    """The whole file or none of it."""
    part = path.with_name(path.name + ".part")
    part.write_text(text, encoding="utf-8")
    part.replace(path)


def _station_text(weather: Weather) -> str:
    """The file of an invented station: one row an hour, UTC, named by the hour's start."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(("utc", "air_c", "humidity_percent", "wind_m_s", "rain_mm", "sun_w_m2"))
    for i in range(weather.hours):
        rows.writerow(
            (
                hours.moment_of(weather.first_hour + i).strftime("%Y-%m-%d %H:%M"),
                f"{weather.temperature_c[i]:.1f}",
                f"{100.0 * weather.relative_humidity_frac[i]:.0f}",
                f"{weather.wind_speed_m_s[i]:.1f}",
                f"{weather.rain_mm[i]:.1f}",
                f"{weather.shortwave_w_m2[i]:.0f}",
            )
        )
    return text.getvalue()


def _forecast_text(weather: Weather, place: Place) -> str:
    """An invented forecast in the shape of a public service's answer: stamps at the instant, sums for the hour before."""
    stamps = [hours.moment_of(weather.first_hour + i).strftime("%Y-%m-%dT%H:%M") for i in range(weather.hours)]
    rain = [0.0, *weather.rain_mm[:-1]]
    sun = [0.0, *weather.shortwave_w_m2[:-1]]
    wind_at_10_m = weather.wind_speed_m_s * 1.34
    hourly = {
        "time": stamps,
        "temperature_2m": [round(float(each), 1) for each in weather.temperature_c],
        "relative_humidity_2m": [round(100.0 * float(each)) for each in weather.relative_humidity_frac],
        "wind_speed_10m": [round(float(each), 1) for each in wind_at_10_m],
        "precipitation": [round(float(each), 1) for each in rain],
        "shortwave_radiation": [round(float(each)) for each in sun],
    }
    units = {
        "time": "iso8601",
        "temperature_2m": "°C",
        "relative_humidity_2m": "%",
        "wind_speed_10m": "m/s",
        "precipitation": "mm",
        "shortwave_radiation": "W/m²",
    }
    answer = {
        "invented": True,
        "latitude": place.latitude_deg,
        "longitude": place.longitude_deg,
        "elevation": place.elevation_m,
        "utc_offset_seconds": 0,
        "hourly_units": units,
        "hourly": hourly,
    }
    return json.dumps(answer, indent=1)

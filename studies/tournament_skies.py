"""The weather of a season of the tournament as files that come week by week: what a station measured, and what was forecast.

A forecast is what the planner believed, as far as seven days: members that are right for some days and then are another year's.
"""

import csv
import io
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from pathlib import Path
from typing import NamedTuple, cast

import numpy as np

from abaxial import hours
from abaxial.garden.parts import WeatherSource
from abaxial.season import demo
from abaxial.weather import series
from abaxial.weather.readers.measured import wind_at_2m_factor
from abaxial.weather.series import VARIABLES, Floats, Weather
from studies import tournament_climate as climates
from studies.tournament_climate import AHEAD_WEEKS, MEMBERS, setup
from studies.tournament_scene import Scene

#: days for which anything is foretold, the longest for which a member is right
FORETOLD_D = 7
_CLOUD = {"heading": "cloud_percent", "unit": "percent"}
#: how the station's files are to be read: as the invented garden's, with the cloud besides
LAYOUT: dict[str, object] = {
    **demo.LAYOUT,
    "columns": {**cast(dict[str, object], demo.LAYOUT["columns"]), "cloud": _CLOUD},
}
_HEADINGS = ("utc", "air_c", "humidity_percent", "wind_m_s", "rain_mm", "sun_w_m2", "cloud_percent")
#: what a forecast calls each variable, in which unit, and what one of ours is in it
_FORETOLD = {
    "temperature_c": ("temperature_2m", "°C", 1.0),
    "relative_humidity_frac": ("relative_humidity_2m", "%", 100.0),
    "wind_speed_m_s": ("wind_speed_10m", "m/s", 1.0 / wind_at_2m_factor(10.0)),
    "rain_mm": ("precipitation", "mm", 1.0),
    "shortwave_w_m2": ("shortwave_radiation", "W/m²", 1.0),
    "cloud_frac": ("cloud_cover", "%", 100.0),
}


class Came(NamedTuple):
    """A weather file and the moment at which it came; what lies ahead of it is a forecast."""

    source: WeatherSource
    at: datetime


@dataclass(frozen=True)
class Skies:
    """The weather of a season as it was, and the other years that the planner thinks of."""

    scene: Scene
    actual: Weather
    others: tuple[Weather, ...]

    def noon(self, week: int) -> datetime:
        """Noon of the day on which a week's work is done, on the garden's clock: what the planner knew by then, a garden knows."""
        zone = hours.zone_named(self.scene.climate.garden.place.zone)
        return datetime.combine(self.scene.on(week), time(12), zone)

    def measured(self, week: int) -> Weather:
        """The hours of a station from the noon of the week before to that of a week; those of the first run-in before it."""
        first = self.actual.first_hour if week == 0 else hours.hour_of(self.noon(week - 1))
        return series.between(self.actual, first, min(hours.hour_of(self.noon(week)), self.actual.end_hour))

    def foretold(self, week: int) -> list[Weather]:
        """The coming days as each member has them, about 168 hours each."""
        zone, day = self.scene.climate.garden.place.zone, self.scene.climate.first_day + self.scene.row(week)
        now = hours.hour_of(self.noon(week))
        end = min(hours.first_hour_of(day + FORETOLD_D, zone), self.actual.end_hour)
        right = setup()["plan"]["right_d"]
        known = [hours.first_hour_of(day + int(right[member % len(right)]), zone) for member in range(MEMBERS)]
        return [
            series.merge(series.between(self.actual, now, min(until, end)), series.between(other, min(until, end), end))
            for until, other in zip(known, self.others, strict=True)
        ]


def skies_of(scene: Scene) -> Skies:
    """The weather of a season, invented anew as it was when the season was played."""
    climate, run_in_d = scene.climate, int(setup()["run_in_d"])
    where = climate.garden.place, climate.sketch, climate.first_day
    actual = climates.weather_of(*where, run_in_d + 7 * scene.weeks, scene.seed)
    days, seed = run_in_d + 7 * (scene.weeks + AHEAD_WEEKS), int(setup()["seed"])
    others = tuple(climates.weather_of(*where, days, seed - 1 - member) for member in range(MEMBERS))
    return Skies(scene, actual, others)


def written(skies: Skies, folder: Path) -> Iterator[Came]:
    """Write the files of every week into a folder, and say when each came; the last measured hours come a week after the last
    work."""
    for week in range(skies.scene.weeks + 1):
        day, at = skies.scene.on(week).isoformat(), skies.noon(week)
        (folder / f"measured_{day}.csv").write_text(_station_text(skies.measured(week)), encoding="utf-8")
        yield Came(WeatherSource(f"measured_{day}.csv", "delimited", LAYOUT), at)
        if week < skies.scene.weeks:
            (folder / f"forecast_{day}.json").write_text(_forecast_text(skies, week), encoding="utf-8")
            yield Came(WeatherSource(f"forecast_{day}.json", "forecast_json", {}), at)


def _station_text(weather: Weather) -> str:
    """One row an hour, UTC, named by the hour's start."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(_HEADINGS)
    for i in range(weather.hours):
        stamp = hours.moment_of(weather.first_hour + i).strftime("%Y-%m-%d %H:%M")
        air_c, humidity, wind_m_s, rain_mm, sun_w_m2, cloud = (float(weather.variable(name)[i]) for name in VARIABLES)
        said = (f"{air_c:.2f}", f"{100 * humidity:.1f}", f"{wind_m_s:.2f}", f"{rain_mm:.2f}", f"{sun_w_m2:.1f}")
        rows.writerow((stamp, *said, f"{100 * cloud:.0f}"))
    return text.getvalue()


def _forecast_text(skies: Skies, week: int) -> str:
    """The members of a forecast, stamped in the middle of each hour, so that every value falls into its own."""
    members, place = skies.foretold(week), skies.scene.climate.garden.place
    first = members[0]
    middles = [hours.moment_of(first.first_hour + i) + timedelta(minutes=30) for i in range(first.hours)]
    hourly: dict[str, object] = {"time": [each.strftime("%Y-%m-%dT%H:%M") for each in middles]}
    for name, (key, _, factor) in _FORETOLD.items():
        for number, each in enumerate(members):
            hourly[key + (f"_member{number:02d}" if number else "")] = _rounded(factor * each.variable(name))
    answer = {
        "invented": True,
        "latitude": place.latitude_deg,
        "longitude": place.longitude_deg,
        "elevation": place.elevation_m,
        "utc_offset_seconds": 0,
        "hourly_units": {"time": "iso8601", **_units(members)},
        "hourly": hourly,
    }
    return json.dumps(answer)


def _units(members: Sequence[Weather]) -> dict[str, str]:
    endings = ["", *(f"_member{number:02d}" for number in range(1, len(members)))]
    return {key + ending: unit for key, unit, _ in _FORETOLD.values() for ending in endings}


def _rounded(values: Floats) -> list[float]:
    return [round(float(each), 2) for each in np.asarray(values)]

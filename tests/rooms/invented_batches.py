"""Small invented batches of weather for tests of the store."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

from abaxial.hours import hour_of
from abaxial.provenance import digest
from abaxial.records.weather_batches import WeatherBatch
from abaxial.weather.series import VARIABLES, Finding, Mark, Weather, empty

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
FIRST_HOUR = hour_of(NOON)


def hours(size: int = 48, first_hour: int = FIRST_HOUR, warmth: float = 17.0, mark: int = 0) -> Weather:
    """A course of the day with an hour of which nothing is known, and one of which only rain is."""
    whole = empty(first_hour, size, source="station.csv", digest="abc")
    clock = np.arange(size)
    columns: dict[str, Any] = {
        "temperature_c": warmth + 6 * np.sin(clock / 24 * 2 * np.pi) / 3,
        "relative_humidity_frac": 0.8 - 0.1 * np.cos(clock / 7),
        "wind_speed_m_s": np.abs(np.sin(clock)) + 0.1,
        "rain_mm": np.where(clock % 9 == 0, 1 / 3, 0.0),
        "shortwave_w_m2": np.full(size, np.nan),
        "cloud_frac": np.clip(np.sin(clock), 0, 1),
    }
    for name, values in columns.items():
        values[size // 2] = np.nan
        if name != "rain_mm":
            values[size // 3] = np.nan
    marks = {name: np.full(size, mark, np.uint8) for name in VARIABLES}
    marks["rain_mm"][size // 4] |= Mark.RANGE
    findings = (Finding("sensor_ceiling", {"hours": 3, "highest": 0.97, "variable": "relative_humidity_frac"}),)
    return Weather(
        first_hour=whole.first_hour, marks=marks, source=whole.source, digest=whole.digest, findings=findings, **columns
    )


def batch(*members: Weather, **others: object) -> WeatherBatch:
    """A station's file that came an hour after its last hour."""
    series = members or (hours(),)
    end = NOON + timedelta(hours=series[0].end_hour - FIRST_HOUR)
    raw = b"time,temp\n2026-03-01 12:00,17\xb0\n"
    fields: dict[str, Any] = {
        "kind": "station", "source": "station.csv", "issued_at": None, "received_at": end + timedelta(hours=1),
        "digest": digest(raw), "reader": {"form": "delimited", "since": NOON.date(), "wind_height_m": 2.0},
        "raw_text": raw, "members": series,
    }  # fmt: skip
    return WeatherBatch(**(fields | others))


def forecast(issued_at: datetime, warmth: float = 17.0, members: int = 2, size: int = 60) -> WeatherBatch:
    """A forecast of some members from the hour it was issued in."""
    first = hour_of(issued_at)
    series = tuple(hours(size, first, warmth + member, Mark.FORECAST) for member in range(members))
    return batch(
        *series, kind="forecast", source="service", issued_at=issued_at, received_at=issued_at + timedelta(minutes=20)
    )


def told(weather: Weather) -> Mapping[str, object]:
    """All that a series says, in a form that can be compared."""
    values = {name: [None if each != each else each for each in weather.variable(name).tolist()] for name in VARIABLES}
    marks = {name: weather.marks[name].tolist() for name in VARIABLES}
    alike = (weather.first_hour, weather.source, weather.digest, weather.findings)
    return {"head": alike, "values": values, "marks": marks}


def told_batch(each: WeatherBatch) -> Mapping[str, object]:
    """All that a batch says but its number, in a form that can be compared."""
    names = ("kind", "source", "issued_at", "received_at", "withdrawn_at", "digest", "reader", "raw_text")
    return {name: getattr(each, name) for name in names} | {"members": [told(member) for member in each.members]}

"""An hourly weather series: regular, start-labelled, UTC, in one set of units, with a mark on every doubtful hour."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import IntFlag
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Marks = NDArray[np.uint8]

#: the variables of a series, in order; every one wears its unit
VARIABLES = (
    "temperature_c",
    "relative_humidity_frac",
    "wind_speed_m_s",
    "rain_mm",
    "shortwave_w_m2",
    "cloud_frac",
)


class Mark(IntFlag):
    """What is known about one value beyond the value. No mark: measured at this place and believed."""

    RANGE = 1
    STEP = 2
    STUCK = 4
    CROSS = 8
    FILLED = 16
    DERIVED = 32
    GRID = 64
    FORECAST = 128


#: marks of a value that is not believed
SUSPECT = Mark.RANGE | Mark.STEP | Mark.STUCK | Mark.CROSS


@dataclass(frozen=True)
class Finding:
    """Something noticed on the way, as a kind and numbers; `report.words` makes the sentence.

    kind : a word such as "sensor_ceiling". details : numbers and short texts by name.
    """

    kind: str
    details: Mapping[str, float | int | str] = field(default_factory=dict)


@dataclass(frozen=True)
class Weather:
    """Hourly weather at one place. All arrays have shape (hours,); NaN means missing, never zero.

    first_hour             : hours since 1970 UTC of the first value; each value holds for the hour that starts there.
    temperature_c          : air temperature at 2 m [°C].
    relative_humidity_frac : 0 to 1.
    wind_speed_m_s         : at 2 m above open ground [m/s].
    rain_mm                : fallen in the hour [mm].
    shortwave_w_m2         : global sunlight on level ground, mean of the hour [W/m²].
    cloud_frac             : share of sky covered, 0 to 1.
    marks                  : variable name to (hours,) bits of Mark.
    source, digest         : what it was read from, and the hash of that.
    findings               : what was noticed while reading.
    """

    first_hour: int
    temperature_c: Floats
    relative_humidity_frac: Floats
    wind_speed_m_s: Floats
    rain_mm: Floats
    shortwave_w_m2: Floats
    cloud_frac: Floats
    marks: Mapping[str, Marks]
    source: str
    digest: str
    findings: tuple[Finding, ...] = ()

    @property
    def hours(self) -> int:
        """Number of hours."""
        return int(self.temperature_c.size)

    @property
    def end_hour(self) -> int:
        """The hour after the last one."""
        return self.first_hour + self.hours

    def variable(self, name: str) -> Floats:
        """The values of one variable, shape (hours,)."""
        return np.asarray(getattr(self, name))

    def with_findings(self, *more: Finding) -> "Weather":
        """The same series with more findings."""
        return replace(self, findings=self.findings + more)


def between(weather: Weather, first_hour: int, end_hour: int) -> Weather:
    """The hours from first_hour up to, not including, end_hour; hours outside the series are missing."""
    size = max(end_hour - first_hour, 0)
    low, high = max(first_hour, weather.first_hour), min(end_hour, weather.end_hour)
    columns: dict[str, Any] = {}
    marks: dict[str, Marks] = {}
    for name in VARIABLES:
        values, flags = np.full(size, np.nan), np.zeros(size, np.uint8)
        if high > low:
            here, there = (
                slice(low - first_hour, high - first_hour),
                slice(low - weather.first_hour, high - weather.first_hour),
            )
            values[here], flags[here] = weather.variable(name)[there], weather.marks[name][there]
        columns[name], marks[name] = values, flags
    return replace(weather, first_hour=first_hour, marks=marks, **columns)


def merge(first: Weather, second: Weather) -> Weather:
    """One series over the hours of both. The better value stands: one of the garden itself before a grid cell's, that before
    a forecast, any before none; of two alike, that of `first`. An observed value is never overwritten."""
    begin, end = min(first.first_hour, second.first_hour), max(first.end_hour, second.end_hour)
    one, two = between(first, begin, end), between(second, begin, end)
    columns: dict[str, Any] = {}
    marks: dict[str, Marks] = {}
    for name in VARIABLES:
        a, b = one.variable(name), two.variable(name)
        keep = _standing(a, one.marks[name]) >= _standing(b, two.marks[name])
        columns[name] = np.where(keep, a, b)
        marks[name] = np.where(keep, one.marks[name], two.marks[name]).astype(np.uint8)
    return Weather(
        first_hour=begin,
        marks=marks,
        source=f"{first.source}; {second.source}",
        digest=f"{first.digest}+{second.digest}",
        findings=first.findings + second.findings,
        **columns,
    )


def _standing(values: Floats, marks: Marks) -> NDArray[np.int64]:
    """How much a value counts against another of its hour: 0 missing, 1 forecast, 2 of a grid cell, 3 of the garden."""
    from_grid, from_forecast = (marks & Mark.GRID) > 0, (marks & Mark.FORECAST) > 0
    return np.where(np.isfinite(values), np.where(from_forecast, 1, np.where(from_grid, 2, 3)), 0)


def empty(first_hour: int, hours: int, *, source: str = "nothing", digest: str = "") -> Weather:
    """A series in which everything is missing."""
    missing: dict[str, Any] = {name: np.full(hours, np.nan) for name in VARIABLES}
    marks = {name: np.zeros(hours, np.uint8) for name in VARIABLES}
    return Weather(first_hour=first_hour, marks=marks, source=source, digest=digest, **missing)

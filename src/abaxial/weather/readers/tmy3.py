"""TMY3 files: a typical year of hours, assembled from measured months of different years.

One line about the station, one of headings, then one row an hour, 01:00 to 24:00 of standard time. Sunlight and rain are
those of the hour that ends; the rest is read at its end.

The rain of many of these files stands under "Lprecip depth (mm)" and is not in millimetres. In the file for Greensboro
every value is a whole number, nearly all of them a hundredth of an inch times 2.54, rounded (3, 5, 8, 10, 13, 15, 18 …),
and the year sums to 8345: tenths of millimetres, 834 mm. Read as written it would be a year wetter than all but a few places
on earth. The rain is therefore marked, and only converted when the unit is declared.

Source: wilcox2008 for the fields.
"""

import csv
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from abaxial import units
from abaxial.errors import WeatherError
from abaxial.place import Place
from abaxial.provenance import digest
from abaxial.weather.readers import hourly, suspicion
from abaxial.weather.readers.layout import QUANTITIES, decode, read_bytes
from abaxial.weather.readers.measured import far_from, to_variables
from abaxial.weather.series import Finding, Floats, Mark, Marks, Weather

Ints = NDArray[np.int64]

_MISSING = -9900.0
_WEATHER = "PresWth (METAR code)"
_COLUMNS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "temperature": ("Dry-bulb (C)", "°C"),
        "dew_point": ("Dew-point (C)", "°C"),
        "humidity": ("RHum (%)", "percent"),
        "shortwave": ("GHI (W/m^2)", "W/m²"),
        "wind": ("Wspd (m/s)", "m/s"),
        "cloud": ("TotCld (tenths)", "tenths"),
        "rain": ("Lprecip depth (mm)", "mm"),
    }
)


def read_tmy3(
    path: Path, place: Place | None, *, year: int | None = None, wind_height_m: float = 10.0, rain_unit: str = "mm"
) -> Weather:
    """The hourly series in a TMY3 file.

    place : of the garden, to notice a file from far away. year : to put the typical year on; see hourly.typical_year.
    rain_unit : the unit the rain is really in. Raises WeatherError naming file, line, rule and value.
    """
    content = read_bytes(path)
    rows = list(csv.reader(decode(path, content, "latin-1").splitlines()))
    station, positions = _station(rows, path), _positions(rows, path)
    body = [row for row in rows[2:] if row]
    parts = _moments(body, path)
    local, findings = hourly.typical_year(parts, year, where=str(path))
    seconds = local - round(float(rows[0][3]) * 3600.0)
    measured: dict[str, Floats] = {}
    marks: dict[str, Marks] = {}
    for name, (heading, unit) in _COLUMNS.items():
        said = rain_unit if name == "rain" else unit
        numbers = _numbers(body, positions[heading], heading, path)
        measured[name] = units.convert(numbers, QUANTITIES[name], said)
        wrong, more = suspicion.impossible_values(
            name, measured[name], _shown(body, path, positions[heading], heading), refuse=False
        )
        marks[name], findings = np.where(wrong, np.uint8(Mark.RANGE), np.uint8(0)), findings + more
    findings += _doubt_rain(measured["rain"], marks, rain_unit)
    if _WEATHER in positions:
        findings += _silent_months(measured["rain"], marks, parts, [row[positions[_WEATHER]] for row in body])
    variables, flags, more = to_variables(measured, marks, wind_height_m=wind_height_m)
    order = np.argsort(seconds, kind="stable")
    if np.any(np.diff(seconds[order]) == 0):
        raise WeatherError(f"{path}: an hour occurs twice.", remedy="Each hour must stand in the file once.")
    weather = hourly.assemble(
        seconds[order],
        {name: column[order] for name, column in variables.items()},
        {name: column[order] for name, column in flags.items()},
        labels="instant",
        where=str(path),
        digest=digest(content),
    )
    return weather.with_findings(*findings, *more, *far_from(station, place))


def tmy3_place(path: Path) -> Place:
    """Where the station of a TMY3 file stands; its zone is the fixed offset the file is in, to the hour."""
    rows = list(csv.reader(decode(path, read_bytes(path), "latin-1").splitlines()))
    return _station(rows, path)


def _doubt_rain(rain_mm: Floats, marks: dict[str, Marks], unit: str) -> tuple[Finding, ...]:
    found = suspicion.rain_unit(rain_mm, units.canonical("depth", unit), rain_mm.size)
    if found is None:
        return ()
    marks["rain"] = np.where(rain_mm > 0.0, np.uint8(Mark.RANGE), marks["rain"])
    return (found,)


def _silent_months(rain_mm: Floats, marks: dict[str, Marks], parts: Ints, codes: Sequence[str]) -> tuple[Finding, ...]:
    """Mark the rain of months in which observers saw rain for hours and the gauge shows not a drop."""
    raining = np.array([code.strip()[:1] in {"5", "6", "8"} and len(code.strip()) == 2 for code in codes])
    findings: tuple[Finding, ...] = ()
    for month in range(1, 13):
        here = parts[:, 1] == month
        seen = int(np.sum(raining & here))
        if seen >= 6 and not np.nansum(rain_mm[here]) > 0.0:
            marks["rain"] = np.where(here, marks["rain"] | np.uint8(Mark.CROSS), marks["rain"]).astype(np.uint8)
            findings += (Finding("gauge_silent", {"month": month, "rain_hours_seen": seen}),)
    return findings


def _station(rows: Sequence[Sequence[str]], path: Path) -> Place:
    try:
        offset, latitude, longitude, elevation = (float(cell) for cell in rows[0][3:7])
    except (ValueError, IndexError):
        raise WeatherError(
            f"{path}, line 1: this is not a TMY3 file, whose first line is station, name, state, time zone, latitude, "
            "longitude, elevation.",
            remedy="Check the form declared for this file.",
        ) from None
    return Place(latitude, longitude, elevation, f"Etc/GMT{-round(offset):+d}")


def _positions(rows: Sequence[Sequence[str]], path: Path) -> dict[str, int]:
    headings = [cell.strip() for cell in rows[1]] if len(rows) > 1 else []
    for heading in (name for name, _ in _COLUMNS.values()):
        if heading not in headings:
            raise WeatherError(
                f"{path}, line 2: there is no column {heading!r}.", remedy="Use the files as updated in 2015."
            )
    if len(rows) < 4:
        raise WeatherError(f"{path} holds fewer than two hours.", remedy="Fetch the file again.")
    return {heading: i for i, heading in enumerate(headings)}


def _moments(body: Sequence[Sequence[str]], path: Path) -> Ints:
    """Year, month, day and hour (1 to 24) of every row."""
    parts = np.zeros((len(body), 4), np.int64)
    for i, row in enumerate(body):
        try:
            month, day, year = (int(part) for part in row[0].split("/"))
            hour = int(row[1].split(":")[0])
        except (ValueError, IndexError):
            month = 0
        if not (1 <= month <= 12 and 1 <= day <= 31 and 1 <= hour <= 24):
            raise WeatherError(
                f"{path}, line {i + 3}: {' '.join(row[:2])!r} is not a date MM/DD/YYYY and an hour 01:00 to 24:00.",
                remedy="Correct that line.",
            )
        parts[i] = year, month, day, hour
    return parts


def _numbers(body: Sequence[Sequence[str]], position: int, heading: str, path: Path) -> Floats:
    values = np.empty(len(body))
    for i, row in enumerate(body):
        try:
            values[i] = float(row[position])
        except (ValueError, IndexError):
            cell = row[position] if position < len(row) else ""
            raise WeatherError(
                f"{path}, line {i + 3}: {heading} is {cell!r}, which is not a number.", remedy="Correct that line."
            ) from None
    return np.where(values <= _MISSING, np.nan, values)


def _shown(body: Sequence[Sequence[str]], path: Path, position: int, heading: str) -> Callable[[int], str]:
    return lambda row: f"{path}, line {row + 3}: {heading} is {body[row][position]!r}"

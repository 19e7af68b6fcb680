"""EPW files: a typical year of hours, as building simulation uses them.

Eight header lines, then one row an hour; hour 1 runs from midnight to one o'clock of standard time. Sunlight and rain
are those of the hour that ends; the rest is read at its end.

Source: epw2024, the data dictionary: fields, missing codes, meaning of the hour.
"""

import csv
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from abaxial import units
from abaxial.errors import WeatherError
from abaxial.place import Place
from abaxial.provenance import digest
from abaxial.weather.readers import hourly, suspicion
from abaxial.weather.readers.layout import QUANTITIES, decode, read_bytes
from abaxial.weather.readers.measured import far_from, to_variables
from abaxial.weather.series import Finding, Floats, Mark, Weather

Ints = NDArray[np.int64]

_HEADER_LINES = 8
#: field number from 0, unit, and the value from which on it means missing
_FIELDS = {
    "temperature": (6, "°C", 99.9),
    "dew_point": (7, "°C", 99.9),
    "humidity": (8, "percent", 999.0),
    "shortwave": (13, "Wh/m²", 9999.0),
    "wind": (21, "m/s", 999.0),
    "cloud": (22, "tenths", 99.0),
    "rain": (33, "mm", 999.0),
}


def read_epw(path: Path, place: Place | None, *, year: int | None = None, wind_height_m: float = 10.0) -> Weather:
    """The hourly series in an EPW file.

    place : of the garden, to notice a file from far away. year : to put a typical year on; see hourly.typical_year.
    wind_height_m : of the station's wind sensor; the format says 10 m is usual.
    Raises WeatherError naming file, line, rule and value.
    """
    content = read_bytes(path)
    rows = list(csv.reader(decode(path, content, "latin-1").splitlines()))
    station = _location(rows, path)
    body = rows[_HEADER_LINES:]
    parts, values = _numbers(body, path)
    if len(body) < 2:
        raise WeatherError(f"{path} holds {len(body)} hours; a series needs at least two.", remedy="Fetch it again.")
    local, findings = hourly.typical_year(parts, year, where=str(path))
    offset_h = _number(rows[0][8], path, 1, "time zone")
    seconds = local - round(offset_h * 3600.0)
    measured, marks = {}, {}
    for i, (name, (field, unit, _)) in enumerate(_FIELDS.items()):
        measured[name] = units.convert(values[:, i], QUANTITIES[name], unit)
        if name == "rain" and not np.nansum(measured[name]) > 0.0:
            # a year without a drop was not measured
            measured[name] = np.full(len(body), np.nan)
            findings += (Finding("rain_not_recorded", {"hours": len(body)}),)
        wrong, more = suspicion.impossible_values(name, measured[name], _shown(body, path, field, name), refuse=False)
        marks[name], findings = np.where(wrong, np.uint8(Mark.RANGE), np.uint8(0)), findings + more
    found = suspicion.rain_unit(measured["rain"], "mm", len(body))
    if found is not None:
        marks["rain"] = np.where(measured["rain"] > 0.0, np.uint8(Mark.RANGE), marks["rain"])
        findings += (found,)
    variables, flags, more = to_variables(measured, marks, wind_height_m=wind_height_m)
    order = np.argsort(seconds, kind="stable")
    if np.any(np.diff(seconds[order]) == 0):
        raise WeatherError(
            f"{path}: an hour occurs twice.", remedy="Only files with one row an hour and each hour once are read."
        )
    weather = hourly.assemble(
        seconds[order],
        {name: column[order] for name, column in variables.items()},
        {name: column[order] for name, column in flags.items()},
        labels="instant",
        where=str(path),
        digest=digest(content),
    )
    return weather.with_findings(*findings, *more, *far_from(station, place))


def epw_place(path: Path) -> Place:
    """Where the station of an EPW file stands; its zone is the fixed offset the file is in, to the hour."""
    rows = list(csv.reader(decode(path, read_bytes(path), "latin-1").splitlines()))
    return _location(rows, path)


def _location(rows: Sequence[Sequence[str]], path: Path) -> Place:
    if len(rows) <= _HEADER_LINES or not rows[0] or rows[0][0].strip().upper() != "LOCATION" or len(rows[0]) < 10:
        raise WeatherError(
            f"{path}, line 1: this is not an EPW file, which has eight header lines and begins with LOCATION.",
            remedy="Check the form declared for this file.",
        )
    latitude, longitude, offset, elevation = (_number(cell, path, 1, "LOCATION") for cell in rows[0][6:10])
    if rows[7][0].strip().upper() != "DATA PERIODS" or len(rows[7]) < 3 or rows[7][2].strip() != "1":
        raise WeatherError(
            f"{path}, line 8: DATA PERIODS must name one record an hour.", remedy="Only hourly EPW files are read."
        )
    return Place(latitude, longitude, elevation, f"Etc/GMT{-round(offset):+d}")


def _numbers(body: Sequence[Sequence[str]], path: Path) -> tuple[Ints, Floats]:
    """Year, month, day and hour of every row, and the fields we read, NaN where missing."""
    fields = [field for field, _, _ in _FIELDS.values()]
    limits = np.array([limit for _, _, limit in _FIELDS.values()])
    values = np.full((len(body), len(fields)), np.nan)
    parts = np.zeros((len(body), 4), np.int64)
    for i, row in enumerate(body):
        line = i + _HEADER_LINES + 1
        if len(row) < 23:
            raise WeatherError(
                f"{path}, line {line}: there are {len(row)} fields; at least 23 are needed.",
                remedy="Complete or remove the line; if it is the last one, the file was cut off.",
            )
        try:
            parts[i] = [int(cell) for cell in row[:4]]
            values[i] = [float(row[field]) if field < len(row) and row[field].strip() else np.nan for field in fields]
        except ValueError:
            bad = next(
                cell
                for cell in (*row[:4], *(row[f] for f in fields if f < len(row) and row[f].strip()))
                if not _is_number(cell)
            )
            raise WeatherError(f"{path}, line {line}: {bad!r} is not a number.", remedy="Correct that field.") from None
    wrong = (parts[:, 1] < 1) | (parts[:, 1] > 12) | (parts[:, 2] < 1) | (parts[:, 2] > 31)
    wrong |= (parts[:, 3] < 1) | (parts[:, 3] > 24)
    if wrong.any():
        i = int(np.argmax(wrong))
        raise WeatherError(
            f"{path}, line {i + _HEADER_LINES + 1}: month {parts[i, 1]}, day {parts[i, 2]}, hour {parts[i, 3]} is no "
            "hour of a year; hours run from 1 to 24.",
            remedy="Correct that line.",
        )
    return parts, np.where(values >= limits, np.nan, values)


def _shown(body: Sequence[Sequence[str]], path: Path, field: int, name: str) -> Callable[[int], str]:
    return lambda row: f"{path}, line {row + _HEADER_LINES + 1}: {name} is {body[row][field]!r}"


def _number(cell: str, path: Path, line: int, name: str) -> float:
    if not _is_number(cell):
        raise WeatherError(f"{path}, line {line}: {name} holds {cell!r}, not a number.", remedy="Correct that line.")
    return float(cell)


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True

"""The gardener's daily notebook: a thermometer's lowest and highest, a gauge, and hours made from them."""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from pathlib import Path
from typing import NoReturn

import numpy as np

from abaxial.errors import WeatherError
from abaxial.hours import hour_of, moment_of, standard_offset_h, zone_named
from abaxial.place import Place
from abaxial.provenance import digest
from abaxial.weather import disaggregation, sun
from abaxial.weather.observations import RainObservation, gauge_observation
from abaxial.weather.series import VARIABLES, Finding, Floats, Mark, Weather, empty

_MISSING = ("", "-", "na", "nan", "?")
_LOWEST_C, _HIGHEST_C, _MOST_RAIN_MM = -60.0, 60.0, 2000.0


@dataclass(frozen=True)
class Entry:
    """One line of a notebook, in house units; None where nothing was written down."""

    line: int
    day: date
    min_c: float | None
    max_c: float | None
    rain_mm: float | None


def read_notebook(path: Path, place: Place, options: Mapping[str, object] | None = None) -> Weather:
    """A notebook as hourly weather, every value marked as derived.

    path : a CSV file with the columns date, min_c, max_c, rain_mm (or min_f, max_f, rain_in); an empty cell means not
    written down. options : read_at, the clock hour of reading and resetting, 0 to 23, 8 if not given. Where that is
    before noon, the highest belongs to the day before. Rain is left out, because a gauge says how much and not when;
    see `rain_of_notebook`. Wind is not in a notebook and stays missing.
    Source: parton1981, hargreaves1982. Raises WeatherError with file, line, rule and value.
    """
    read_at, entries, content = _read(path, options or {})
    lows = {each.day: each.min_c for each in entries if each.min_c is not None}
    shift = timedelta(days=1 if read_at < 12 else 0)
    highs = {each.day - shift: each.max_c for each in entries if each.max_c is not None}
    whole = sorted(set(lows) & set(highs))
    for day in whole:
        if highs[day] < lows[day]:
            _refuse(
                path,
                next(e.line for e in entries if e.day - shift == day),
                f"the highest of {day} ({highs[day]:.1f} °C) lies below its lowest ({lows[day]:.1f} °C)",
                "Check the two numbers, and read_at, the hour at which the thermometer is reset.",
            )
    first, last = entries[0].day - shift, entries[-1].day
    series = empty(_midnight(first, place), ((last - first).days + 1) * 24, source=str(path), digest=digest(content))
    if whole:
        series = _with_hours(series, place, first, whole, lows, highs)
    return series.with_findings(
        Finding("notebook", {"days": len(entries), "whole_days": len(whole), "read_at": read_at})
    )


def rain_of_notebook(
    path: Path, place: Place, options: Mapping[str, object] | None = None, content: bytes | None = None
) -> tuple[RainObservation, ...]:
    """The gauge readings of a notebook, each over the hours since the reading before (24 for the first).

    A day with an empty cell was not read: its rain is in the next reading. content : the bytes of the file where they were
    kept; path then only names it. Raises WeatherError like `read_notebook`.
    """
    read_at, entries, _ = _read(path, options or {}, content)
    zone = zone_named(place.zone)
    result: list[RainObservation] = []
    for entry in entries:
        if entry.rain_mm is None:
            continue
        end = hour_of(datetime.combine(entry.day, time(read_at), zone))
        result.append(gauge_observation(result[-1].end_hour if result else end - 24, end, entry.rain_mm))
    return tuple(result)


def _with_hours(
    series: Weather,
    place: Place,
    first: date,
    whole: list[date],
    lows: Mapping[date, float],
    highs: Mapping[date, float],
) -> Weather:
    days = series.hours // 24
    number = np.array([(day - first).days for day in whole])
    known = np.zeros(days, bool)
    known[number] = True
    # days between are bridged only to give the curves an end; they are blanked below
    every = np.arange(days)
    low_c = np.interp(every, number, [lows[day] for day in whole])
    high_c = np.interp(every, number, [highs[day] for day in whole])
    begins = series.first_hour + 24 * every
    at_dawn_c = low_c - disaggregation.constant("dew_point_below_min_k")
    air_c, dew_c = disaggregation.air_and_dew_point_c(place, begins, min_c=low_c, max_c=high_c, dew_at_dawn_c=at_dawn_c)
    cloud = disaggregation.cloud_from_range_frac(low_c, high_c)[:, None] * np.ones(24)
    hours = begins[:, None] + np.arange(24) + 0.5
    clear = sun.clear_sky_w_m2(sun.solar_elevation_deg(hours, place), place.elevation_m)
    columns: dict[str, Floats] = {
        "temperature_c": air_c,
        "relative_humidity_frac": disaggregation.relative_humidity_frac(air_c, dew_c),
        "wind_speed_m_s": np.full(days * 24, np.nan),
        "rain_mm": np.full(days * 24, np.nan),
        "shortwave_w_m2": (clear * disaggregation.dimmed_frac(cloud)).ravel(),
        "cloud_frac": cloud.ravel(),
    }
    blank = np.repeat(~known, 24)
    columns = {name: np.where(blank, np.nan, values) for name, values in columns.items()}
    marks = {name: np.where(np.isfinite(columns[name]), int(Mark.DERIVED), 0).astype(np.uint8) for name in VARIABLES}
    return Weather(
        first_hour=series.first_hour, marks=marks, source=series.source, digest=series.digest, findings=(), **columns
    )


def _read(path: Path, options: Mapping[str, object], content: bytes | None = None) -> tuple[int, list[Entry], bytes]:
    read_at = options.get("read_at", 8)
    if isinstance(read_at, bool) or not isinstance(read_at, int) or not 0 <= read_at <= 23:
        raise WeatherError(
            f"{path}: read_at is {read_at!r}; it must be a clock hour from 0 to 23.",
            remedy="Write the hour at which the gauge is read and the thermometer reset, such as read_at = 8.",
        )
    try:
        content = path.read_bytes() if content is None else content
        lines = list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise WeatherError(
            f"{path} cannot be read: {error}.", remedy="Check the name, and save it as CSV in UTF-8."
        ) from None
    rows = [(number, row) for number, row in enumerate(lines, 1) if any(cell.strip() for cell in row)]
    if len(rows) < 2:
        _refuse(
            path,
            1,
            "there is no day in this notebook",
            "Write a heading date,min_c,max_c,rain_mm and one line for each day.",
        )
    heading = [cell.strip().lower() for cell in rows[0][1]]
    columns = _columns(path, heading)
    entries = [_entry(path, number, row, columns) for number, row in rows[1:]]
    for before, after in pairwise(entries):
        if after.day <= before.day:
            _refuse(
                path,
                after.line,
                f"{after.day} follows {before.day}; each day has one line and days go forward",
                "Put the lines in order.",
            )
    return read_at, entries, content


def _columns(path: Path, heading: list[str]) -> dict[str, tuple[int, str]]:
    """Place and unit of each column by its name without the unit."""
    found: dict[str, tuple[int, str]] = {}
    allowed = {
        "date": ("date", ""),
        "min_c": ("min", "c"),
        "max_c": ("max", "c"),
        "min_f": ("min", "f"),
        "max_f": ("max", "f"),
        "rain_mm": ("rain", "mm"),
        "rain_in": ("rain", "in"),
    }
    for position, name in enumerate(heading):
        if name not in allowed:
            _refuse(
                path,
                1,
                f"the column {name!r} is not known; a notebook has {', '.join(allowed)}",
                "Name columns with their unit.",
            )
        key, unit = allowed[name]
        if key in found:
            _refuse(path, 1, f"there are two columns for {key}", "Keep one.")
        found[key] = (position, unit)
    if "date" not in found:
        _refuse(path, 1, "there is no column called date", "Add it, with dates like 2026-03-04.")
    return found


def _entry(path: Path, line: int, row: list[str], columns: Mapping[str, tuple[int, str]]) -> Entry:
    text = row[columns["date"][0]].strip() if columns["date"][0] < len(row) else ""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        _refuse(path, line, f"{text!r} is not a date", "Write dates like 2026-03-04.")
    low, high = (_number(path, line, row, columns.get(name), name) for name in ("min", "max"))
    if low is not None and high is not None and high < low - 40:
        _refuse(
            path,
            line,
            f"the highest, {high:.1f} °C, lies far below the lowest, {low:.1f} °C",
            "Perhaps the two are exchanged.",
        )
    return Entry(line, day, low, high, _number(path, line, row, columns.get("rain"), "rain"))


def _number(path: Path, line: int, row: list[str], column: tuple[int, str] | None, name: str) -> float | None:
    if column is None or column[0] >= len(row):
        return None
    text, unit = row[column[0]].strip(), column[1]
    if text.lower() in _MISSING:
        return None
    try:
        number = float(text)
    except ValueError:
        _refuse(
            path,
            line,
            f"{name} is {text!r}, which is not a number",
            "Write a number, or leave the cell empty where nothing was noted.",
        )
    converted = {"c": number, "f": (number - 32.0) / 1.8, "mm": number, "in": number * 25.4}[unit]
    low, high = (0.0, _MOST_RAIN_MM) if name == "rain" else (_LOWEST_C, _HIGHEST_C)
    if not low <= converted <= high:
        said, scale = (f"{number:g} {unit}", "mm") if name == "rain" else (f"{number:g} °{unit.upper()}", "°C")
        hint = f"If it was noted in °F, call the column {name}_f." if unit == "c" else "Check the number."
        _refuse(path, line, f"{name} is {said}; it must lie between {low:g} and {high:g} {scale}", hint)
    return converted


def _midnight(day: date, place: Place) -> int:
    """The first hour of a date on the place's standard clock."""
    return hour_of(moment_of((day - date(1970, 1, 1)).days * 24)) - round(standard_offset_h(place.zone))


def _refuse(path: Path, line: int, what: str, remedy: str) -> NoReturn:
    raise WeatherError(f"{path}, line {line}: {what}.", remedy=remedy, where=f"{path}, line {line}")

"""From readings at moments to the regular hours of a series."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import WeatherError
from abaxial.weather.readers.layout import Labels
from abaxial.weather.series import VARIABLES, Finding, Floats, Marks, Weather

Ints = NDArray[np.int64]
_HOUR_S = 3600
_LONGEST_H = 100 * 8766
#: variables that are sums or means over the time since the last reading even where stamps are instants
_OVER_TIME = ("rain_mm", "shortwave_w_m2")


def interval_s(seconds: Ints) -> int:
    """The usual time between readings [s], from ascending moments; one hour if there is only one."""
    steps = np.diff(seconds)
    return int(np.median(steps[steps > 0])) if (steps > 0).any() else _HOUR_S


def hour_of(seconds: Ints, labels: Labels) -> Ints:
    """The hour each reading belongs to: stamps that end something belong to the hour before the full hour."""
    return (seconds - 1) // _HOUR_S if labels == "end" else seconds // _HOUR_S


def assemble(
    seconds: Ints,
    values: Mapping[str, Floats],
    marks: Mapping[str, Marks],
    *,
    labels: Labels,
    where: str,
    digest: str,
) -> Weather:
    """A series from readings in ascending order of time.

    seconds : (rows,) UTC. values, marks : names of VARIABLES to (rows,), in the house's units, NaN where missing.
    Means over the readings of an hour; rain is summed, and missing unless every reading of the hour is there. An
    instant on the full hour counts for the hours on both sides of it.
    Raises WeatherError if rain comes less often than hourly, or the readings span more than a century.
    """
    step_s = interval_s(seconds)
    over_time: Labels = "end" if labels == "instant" else labels
    hours = hour_of(seconds, over_time)
    first, size = int(hours[0]), int(hours[-1] - hours[0]) + 1
    if size > _LONGEST_H:
        raise WeatherError(
            f"{where}: the readings span {size / 8766:.0f} years; at most 100 are read.",
            remedy="Look for a line with a mistyped year.",
        )
    if "rain_mm" in values and step_s > _HOUR_S and np.nansum(values["rain_mm"]) > 0:
        raise WeatherError(
            f"{where}: readings are {step_s / _HOUR_S:g} h apart, and rain that fell over several hours has no hour.",
            remedy="Leave the rain column out here and write the sums as gauge readings in the notebook.",
        )
    columns = {name: np.full(size, np.nan) for name in VARIABLES}
    flags = {name: np.zeros(size, np.uint8) for name in VARIABLES}
    for name, column in values.items():
        if labels == "instant" and name not in _OVER_TIME:
            index, rows = _both_sides(seconds, first, size)
        else:
            index, rows = hours - first, np.arange(seconds.size)
        columns[name] = _gather(
            index, column[rows], size, summed=name == "rain_mm", expected=_expected(seconds, step_s)
        )
        np.bitwise_or.at(flags[name], index, marks[name][rows])
    findings = () if step_s <= _HOUR_S else (Finding("coarse_steps", {"step_h": step_s / _HOUR_S}),)
    return Weather(first_hour=first, marks=flags, source=where, digest=digest, findings=findings, **columns)


def _both_sides(seconds: Ints, first: int, size: int) -> tuple[Ints, Ints]:
    full = np.flatnonzero(seconds % _HOUR_S == 0)
    rows = np.concatenate([np.arange(seconds.size), full])
    index = np.concatenate([seconds // _HOUR_S, seconds[full] // _HOUR_S - 1]) - first
    inside = (index >= 0) & (index < size)
    return index[inside], rows[inside]


def _expected(seconds: Ints, step_s: int) -> int:
    """Readings an hour must have for its rain to be complete; 1 for readings at irregular moments."""
    steps = np.diff(seconds)
    regular = steps.size == 0 or float(np.mean(steps == step_s)) >= 0.8
    return max(1, round(_HOUR_S / step_s)) if regular else 1


def _gather(index: Ints, column: Floats, size: int, *, summed: bool, expected: int) -> Floats:
    there = np.isfinite(column)
    count = np.bincount(index[there], minlength=size)
    total = np.bincount(index[there], weights=column[there], minlength=size)
    if summed:
        return np.where(count >= expected, total, np.nan)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def without_doubles(
    seconds: Ints, table: Floats, rule: str, place_of: Sequence[str]
) -> tuple[NDArray[np.bool_], Floats, tuple[Finding, ...]]:
    """Which rows to keep so that every moment occurs once, and the table of values with means put in.

    seconds : (rows,) ascending. table : (rows, columns). place_of : file and line of each row.
    Raises WeatherError if rows of one moment differ and the rule is "error".
    """
    same = np.flatnonzero(np.diff(seconds) == 0) + 1
    keep = np.ones(seconds.size, bool)
    if same.size == 0:
        return keep, table, ()
    a, b = table[same - 1], table[same]
    differs = ~np.all((a == b) | (np.isnan(a) & np.isnan(b)), axis=1)
    if differs.any() and rule == "error":
        row = int(same[np.argmax(differs)])
        raise WeatherError(
            f"{place_of[row - 1]} and {place_of[row]} name the same moment and hold different values; "
            f"{int(differs.sum())} rows are doubled so.",
            remedy='Say which counts: doubled = "first", "last" or "mean". If the station was moved to another clock '
            "there, say from which line with later_clocks.",
        )
    if rule == "mean":
        starts = np.flatnonzero(np.concatenate([[True], np.diff(seconds) != 0]))
        there = np.isfinite(table)
        count = np.add.reduceat(there, starts, axis=0, dtype=np.int64)
        total = np.add.reduceat(np.where(there, table, 0.0), starts, axis=0)
        table = table.copy()
        table[starts] = np.where(count > 0, total / np.maximum(count, 1), np.nan)
    keep[same - 1 if rule == "last" else same] = False
    return (
        keep,
        table,
        (Finding("doubled_rows", {"identical": int((~differs).sum()), "different": int(differs.sum())}),),
    )


def typical_year(parts: Ints, year: int | None, *, where: str) -> tuple[Ints, tuple[Finding, ...]]:
    """Seconds since 1970, on the file's own clock, of rows whose months come from different years, put on one year.

    parts : (rows, 4) year, month, day, hour 1 to 24. year : the year to put them on; None keeps a single year, or takes
    the latest of the file that has the same 28 or 29 days of February.
    Raises WeatherError if the rows hold a 29 February and the year does not.
    """
    years = np.unique(parts[:, 0])
    leap_day = bool(np.any((parts[:, 1] == 2) & (parts[:, 2] == 29)))
    if year is None:
        fitting = [int(y) for y in years if _is_leap(int(y)) == leap_day]
        year = int(years[0]) if years.size == 1 else max(fitting, default=2004 if leap_day else int(years[-1]))
    if leap_day and not _is_leap(year):
        raise WeatherError(
            f"{where} holds a 29 February, and {year} has none.", remedy="Choose a leap year for it, such as 2024."
        )
    months = ((year - 1970) * 12 + parts[:, 1] - 1).astype("datetime64[M]").astype("datetime64[D]").astype(np.int64)
    seconds = (months + parts[:, 2] - 1) * 86_400 + parts[:, 3] * _HOUR_S
    if years.size == 1 and year == int(years[0]):
        return seconds, ()
    details = {"put_on": year, "first_year": int(years[0]), "last_year": int(years[-1]), "years": int(years.size)}
    return seconds, (Finding("typical_year", details),)


def _is_leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)

"""Gaps: short ones are filled from what stands around them, and marked; long ones stay, and rain is never invented.

Up to three hours lie on a straight line. Up to two days take the course of the days before and after, shifted so that it
joins both ends. Values that are not believed count as missing here, and keep the marks that say why.
"""

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from abaxial.place import Place
from abaxial.weather import sky
from abaxial.weather.series import SUSPECT, VARIABLES, Finding, Floats, Mark, Weather

Ints = NDArray[np.int64]

_LINE_H = 3
_DAYS_H = 48
_BOUNDS = {
    "temperature_c": (-90.0, 60.0),
    "relative_humidity_frac": (0.0, 1.0),
    "wind_speed_m_s": (0.0, 60.0),
}


def fill(weather: Weather, place: Place) -> Weather:
    """The same hours with short gaps filled (Mark.FILLED), and sunlight and cloud derived (Mark.DERIVED).

    Rain that nobody recorded stays NaN: unknown, not dry. So do longer gaps. A finding "gaps_filled" for each variable
    says how many hours were filled and how many are still missing; "sky_derived" how many hours of sunlight or cloud
    were worked out from what was measured instead. Filling twice is filling once.
    """
    columns = {name: _believed(weather, name) for name in VARIABLES}
    marks = {name: weather.marks[name].copy() for name in VARIABLES}
    findings: tuple[Finding, ...] = ()
    before = {name: np.isfinite(columns[name]) for name in VARIABLES}
    for name, (low, high) in _BOUNDS.items():
        columns[name] = np.clip(_by_days(_by_line(columns[name])), low, high)
        marks[name][np.isfinite(columns[name]) & ~before[name]] |= np.uint8(Mark.FILLED)
    columns["cloud_frac"] = _by_line(columns["cloud_frac"])
    on_line = np.isfinite(columns["cloud_frac"]) & ~before["cloud_frac"]
    marks["cloud_frac"][on_line] |= np.uint8(Mark.FILLED)
    light, cloud = sky.complete(
        columns["shortwave_w_m2"],
        columns["cloud_frac"],
        columns["temperature_c"],
        weather.first_hour,
        place,
    )
    for name, completed in (("shortwave_w_m2", light), ("cloud_frac", cloud)):
        marks[name][np.isfinite(completed) & ~np.isfinite(columns[name])] |= np.uint8(Mark.DERIVED)
        columns[name] = completed
    for name in VARIABLES:
        new = np.isfinite(columns[name]) & ~before[name]
        derived = new & ((marks[name] & np.uint8(Mark.DERIVED)) > 0)
        filled_h, derived_h = int((new & ~derived).sum()), int(derived.sum())
        left_h = int(np.isnan(columns[name]).sum())
        if filled_h:
            findings += (Finding("gaps_filled", {"variable": name, "filled_h": filled_h, "left_h": left_h}),)
        if derived_h:
            findings += (Finding("sky_derived", {"variable": name, "derived_h": derived_h}),)
    changed: dict[str, Any] = {**columns, "marks": marks, "findings": weather.findings + findings}
    return replace(weather, **changed)


def _believed(weather: Weather, name: str) -> Floats:
    """Values of a variable, NaN where missing or suspect; a suspect value that was filled before is believed."""
    flags = weather.marks[name]
    doubtful = ((flags & np.uint8(SUSPECT)) > 0) & ((flags & np.uint8(Mark.FILLED | Mark.DERIVED)) == 0)
    return np.where(doubtful, np.nan, weather.variable(name))


def _runs(missing: NDArray[np.bool_]) -> tuple[Ints, Ints]:
    """Begin of every run of missing hours, and the hour after it."""
    edge = np.diff(np.concatenate([[0], missing.astype(np.int8), [0]]))
    return np.flatnonzero(edge == 1), np.flatnonzero(edge == -1)


def _by_line(values: Floats) -> Floats:
    missing = np.isnan(values)
    begins, ends = _runs(missing)
    short = (ends - begins <= _LINE_H) & (begins > 0) & (ends < values.size)
    chosen = np.zeros(values.size + 1, np.int64)
    chosen[begins[short]] += 1
    chosen[ends[short]] -= 1
    hours = np.flatnonzero(np.cumsum(chosen[:-1]))
    filled = values.copy()
    if hours.size:
        there = np.flatnonzero(~missing)
        filled[hours] = np.interp(hours, there, values[there])
    return filled


def _by_days(values: Floats) -> Floats:
    """Fill runs of up to two days, with both ends measured, from the same hours of the neighbouring days."""
    filled = values.copy()
    for begin, end in zip(*_runs(np.isnan(values)), strict=True):
        if end - begin > _DAYS_H or begin == 0 or end == values.size:
            continue
        hours = np.arange(begin - 1, end + 1)
        course = _course(values, hours)
        first_gap, last_gap = values[begin - 1] - course[0], values[end] - course[-1]
        if not np.isfinite(first_gap + last_gap):
            continue
        shift = np.linspace(first_gap, last_gap, hours.size)
        filled[begin:end] = (course + shift)[1:-1]
    return filled


def _course(values: Floats, hours: Ints) -> Floats:
    """The same hour of the nearest day before and after, up to three days away, the nearer one weighing more."""
    before, days_before = _nearest(values, hours, -1)
    after, days_after = _nearest(values, hours, 1)
    between = (before * days_after + after * days_before) / (days_before + days_after)
    return np.where(np.isnan(before), after, np.where(np.isnan(after), before, between))


def _nearest(values: Floats, hours: Ints, direction: int) -> tuple[Floats, Floats]:
    """The same hour of the nearest day in a direction that has a value, and how many days away it is."""
    found, away = np.full(hours.size, np.nan), np.ones(hours.size)
    for days in (1, 2, 3):
        there = hours + direction * 24 * days
        inside = (there >= 0) & (there < values.size)
        value = np.where(inside, values[np.clip(there, 0, values.size - 1)], np.nan)
        away = np.where(np.isnan(found), float(days), away)
        found = np.where(np.isnan(found), value, found)
    return found, away

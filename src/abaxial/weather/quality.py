"""Quality: marks on values that are not believed, and findings about sensors. Nothing is changed or deleted.

Range, step, persistence and cross checks in the manner of meteorological services (wmo2021); the limits are what air
near the ground and common instruments do, wide enough that a true squall or a foggy week passes.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from abaxial.place import Place
from abaxial.weather import sun
from abaxial.weather.series import VARIABLES, Finding, Floats, Mark, Marks, Weather

Flags = NDArray[np.bool_]

#: low and high of what hourly values near the ground can be
_LIMITS = {
    "temperature_c": (-90.0, 60.0),
    "relative_humidity_frac": (0.01, 1.0),
    "wind_speed_m_s": (0.0, 60.0),
    "rain_mm": (0.0, 300.0),
    "shortwave_w_m2": (0.0, 1500.0),
    "cloud_frac": (0.0, 1.0),
}
#: a value this far above or below both its neighbours is a spike, and a change this large in one hour is not weather
_SPIKE = {"temperature_c": (8.0, 25.0), "relative_humidity_frac": (0.45, 0.9)}
#: hours without any change after which a sensor is taken to be stuck
_STUCK_H = {"temperature_c": 18, "relative_humidity_frac": 18, "wind_speed_m_s": 18, "rain_mm": 5, "shortwave_w_m2": 4}
_CALM_H = 72
_RAIN_IN_DRY_AIR_FRAC = 0.40
_SUN_BY_NIGHT_W_M2 = 25.0
_DARK_DEG = -3.0
_NIGHTS_FOR_CEILING = 30


def check(weather: Weather, place: Place) -> Weather:
    """The same series with marks RANGE, STEP, STUCK and CROSS where values are not believed, and findings of each kind.

    place : where the sensors stand, for the sun. Checking twice is checking once.
    """
    elevation_deg = sun.solar_elevation_deg(np.arange(weather.first_hour, weather.end_hour) + 0.5, place)
    marks = {name: weather.marks[name].copy() for name in VARIABLES}
    for name in VARIABLES:
        values = weather.variable(name)
        with np.errstate(invalid="ignore"):
            low, high = _LIMITS[name]
            _set(marks[name], (values < low) | (values > high), Mark.RANGE)
            if name in _SPIKE:
                _set(marks[name], _steps(values, *_SPIKE[name]), Mark.STEP)
        _set(marks[name], _stuck(name, values), Mark.STUCK)
    _cross(weather, elevation_deg, marks)
    counted = tuple(
        Finding("suspect_values", {"variable": name, "check": str(mark.name).lower(), "count": count})
        for name in VARIABLES
        for mark in (Mark.RANGE, Mark.STEP, Mark.STUCK, Mark.CROSS)
        if (count := int(((marks[name] & mark) > 0).sum()))
    )
    noticed = (*counted, *_clock_against_sun(weather, elevation_deg), *_ceiling(weather, elevation_deg))
    new = tuple(finding for finding in noticed if finding not in weather.findings)
    return replace(weather, marks=marks, findings=weather.findings + new)


def sensor_ceiling_frac(weather: Weather) -> float | None:
    """The humidity a sensor never passes, if `check` found that it stops short of saturation, 0.8 to 0.985."""
    found = [finding for finding in weather.findings if finding.kind == "sensor_ceiling"]
    return float(found[-1].details["ceiling_frac"]) if found else None


def correct_ceiling(weather: Weather) -> Weather:
    """Humidity stretched so that the sensor's ceiling becomes saturation; nothing changes at and below half of that.

    Needs a series that was checked; without a ceiling, or corrected before, it is returned as it is. Changed values are
    marked DERIVED.
    """
    ceiling = sensor_ceiling_frac(weather)
    if ceiling is None or any(finding.kind == "ceiling_corrected" for finding in weather.findings):
        return weather
    humidity = weather.relative_humidity_frac
    weight = np.clip((humidity - 0.5 * ceiling) / (0.5 * ceiling), 0.0, 1.0)
    stretched = np.minimum(humidity * (1.0 + weight * (1.0 / ceiling - 1.0)), 1.0)
    name = "relative_humidity_frac"
    flags = weather.marks[name].copy()
    _set(flags, np.abs(stretched - humidity) > 1e-9, Mark.DERIVED)
    corrected = replace(weather, relative_humidity_frac=stretched, marks={**weather.marks, name: flags})
    return corrected.with_findings(Finding("ceiling_corrected", {"ceiling_frac": ceiling}))


def _set(flags: Marks, where: Flags, mark: Mark) -> None:
    flags[where] |= np.uint8(mark)


def _steps(values: Floats, spike: float, jump: float) -> Flags:
    """Values that leap away from both neighbours, and values after a change no hour of weather brings."""
    found = np.zeros(values.size, bool)
    if values.size < 3:
        return found
    change = np.diff(values)
    before, after = change[:-1], change[1:]
    found[1:-1] = (np.minimum(np.abs(before), np.abs(after)) > spike) & (before * after < 0)
    found[1:] |= np.abs(change) > jump
    return found


def _stuck(name: str, values: Floats) -> Flags:
    """Hours in a run of equal values that is too long; saturated air, no rain, night and a full sky may last."""
    if name not in _STUCK_H or values.size == 0:
        return np.zeros(values.size, bool)
    with np.errstate(invalid="ignore"):
        same = np.concatenate([[False], np.diff(values) == 0])
    starts = np.flatnonzero(~same)
    length = np.diff(np.concatenate([starts, [values.size]]))
    run = np.repeat(length, length)
    too_long = run > _STUCK_H[name]
    if name == "wind_speed_m_s":
        return np.where(values == 0.0, run > _CALM_H, too_long)
    if name == "rain_mm":
        # drizzle at the gauge's smallest step may well last
        return too_long & (values > 1.0)
    if name == "shortwave_w_m2":
        return too_long & (values > 0.0)
    if name == "relative_humidity_frac":
        return too_long & (values < 0.95)
    return too_long


def _cross(weather: Weather, elevation_deg: Floats, marks: dict[str, Marks]) -> None:
    with np.errstate(invalid="ignore"):
        dry = (weather.rain_mm > 0.5) & (weather.relative_humidity_frac < _RAIN_IN_DRY_AIR_FRAC)
        night = (weather.shortwave_w_m2 > _SUN_BY_NIGHT_W_M2) & (elevation_deg < _DARK_DEG)
    _set(marks["rain_mm"], dry, Mark.CROSS)
    _set(marks["shortwave_w_m2"], night, Mark.CROSS)


def _clock_against_sun(weather: Weather, elevation_deg: Floats) -> tuple[Finding, ...]:
    """A finding "clock_shift" if sunlight, over at least ten days, comes an hour or more before or after the sun."""
    days = weather.hours // 24
    if days < 10:
        return ()
    light = weather.shortwave_w_m2[: days * 24].reshape(days, 24)
    above = np.maximum(np.sin(np.radians(elevation_deg[: days * 24])), 0.0).reshape(days, 24)
    whole = np.isfinite(light).all(axis=1) & (np.nan_to_num(light).sum(axis=1) > 500.0)
    if whole.sum() < 10:
        return ()
    wave = np.exp(2j * np.pi * np.arange(24) / 24.0)
    seen, true = light[whole] @ wave, above[whole] @ wave
    each_h = np.angle(seen * np.conj(true)) * 12.0 / np.pi
    shift_h = float(np.median(each_h))
    if abs(shift_h) < 0.75:
        return ()
    return (Finding("clock_shift", {"late_h": round(shift_h, 1), "days": int(whole.sum())}),)


def _ceiling(weather: Weather, elevation_deg: Floats) -> tuple[Finding, ...]:
    """A finding "sensor_ceiling" if over thirty nights and through rain the humidity stops at one value below saturation.

    The ceiling is the 98th part of a hundred of the nights' highest values. A dry climate has no ceiling: its nights
    end at many different values and rarely in rain, so one night in five must end within 1.5 hundredths of it, and rain
    at night must not have gone above it.
    """
    humidity = np.where(np.isfinite(weather.relative_humidity_frac), weather.relative_humidity_frac, -1.0)
    dark = (elevation_deg < 0.0) & (humidity >= 0.0)
    night = (np.arange(weather.hours) - _noon_offset_h(elevation_deg)) // 24
    numbers, where = np.unique(night[dark], return_inverse=True)
    if numbers.size < _NIGHTS_FOR_CEILING:
        return ()
    highest = np.full(numbers.size, -1.0)
    np.maximum.at(highest, where, humidity[dark])
    rain_hours = dark & (np.nan_to_num(weather.rain_mm) > 0.2)
    ceiling = float(np.quantile(np.concatenate([highest, humidity[rain_hours]]), 0.98))
    piled = float(np.mean(highest >= ceiling - 0.015))
    if not 0.80 <= ceiling < 0.985 or piled < 0.2:
        return ()
    details = {"ceiling_frac": round(ceiling, 3), "nights": int(numbers.size), "rain_hours": int(rain_hours.sum())}
    return (Finding("sensor_ceiling", details),)


def _noon_offset_h(elevation_deg: Floats) -> int:
    """Hour of the first day at which the sun is highest, so that a night is not cut in two."""
    return int(np.argmax(elevation_deg[:24])) if elevation_deg.size else 0

"""Suspicions: columns not in the unit their heading claims, values that cannot be, and a clock that was changed.

A whole column in another unit is refused, with what it looks like. Rain is only flagged, because rain alone cannot
prove it.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import WeatherError
from abaxial.weather.series import Finding, Weather

Floats = NDArray[np.float64]

#: what air near the ground can show in the house's units, with room for sensors a little off: low, high, how said
POSSIBLE: Mapping[str, tuple[float, float, str]] = MappingProxyType(
    {
        "temperature": (-90.0, 60.0, "between -90 and 60 °C"),
        "dew_point": (-95.0, 40.0, "between -95 and 40 °C"),
        "humidity": (0.0, 1.1, "between 0 and 110 percent"),
        "wind": (0.0, 75.0, "between 0 and 75 m/s"),
        "rain": (0.0, 400.0, "between 0 and 400 mm"),
        "shortwave": (-20.0, 1600.0, "between -20 and 1600 W/m²"),
        "cloud": (0.0, 1.0, "between 0 and the whole sky"),
    }
)
_ENOUGH = 24
_YEAR_H = 8766.0
_WINDOW_D = 10
#: rain above this in a year fell nowhere on earth [mm]; the wettest places see about 12 000
_WETTEST_YEAR_MM = 14_000.0


def refuse_hidden_unit(name: str, values: Floats, unit: str, *, where: str) -> None:
    """Raise WeatherError if a whole column, in the house's units, shows that its unit is not the declared one."""
    seen = values[np.isfinite(values)]
    if seen.size < _ENOUGH:
        return
    middle, high = float(np.median(seen)), float(np.quantile(seen, 0.98))
    looks = ""
    if name in {"temperature", "dew_point"} and unit == "°C":
        looks = "K" if middle > 200.0 else "°F" if high > 50.0 else ""
    if name == "humidity" and unit == "percent" and 0.0 < float(seen.max()) <= 0.0151:
        looks = "fraction"
    if name in {"humidity", "cloud"} and unit == "fraction" and middle > 1.5:
        looks = "percent"
    if name == "shortwave" and unit == "W/m²":
        looks = "kJ/m²" if high > 1600.0 else "kW/m² or MJ/m²" if 0.0 < float(seen.max()) <= 5.0 else ""
    if looks:
        raise WeatherError(
            f"{where}: {name} is declared in {unit}, but half the values are above {middle:.3g} and the largest are "
            f"about {float(seen.max()):.4g} once read so; they look like {looks}.",
            remedy=f"Look at the file, and if it is so declare the unit as {looks}.",
        )


def impossible_values(
    name: str, values: Floats, shown: Callable[[int], str], *, refuse: bool
) -> tuple[NDArray[np.bool_], tuple[Finding, ...]]:
    """Where values in the house's units are outside what can be; small excesses of humidity are not counted.

    shown : row to place and text of the cell. refuse : raise WeatherError at the first one instead.
    """
    low, high, said = POSSIBLE[name]
    wrong = (values < low) | (values > high)
    if not wrong.any():
        return wrong, ()
    row = int(np.argmax(wrong))
    if refuse:
        raise WeatherError(
            f"{shown(row)}: {name} must lie {said}.",
            remedy="Correct the line, or declare the text as missing, or check the unit of the column; with "
            'impossible = "mark" the value stays, marked, and is not used.',
        )
    details: dict[str, float | int | str] = {"variable": name, "count": int(wrong.sum()), "first": shown(row)}
    return wrong, (Finding("impossible_value", details),)


def rain_unit(rain_mm: Floats, unit: str, hours: int) -> Finding | None:
    """A finding "rain_unit" if rain, read in the declared unit, looks as if it were in another; otherwise None.

    rain_mm : any shape, one value an hour or less [mm]. hours : what they cover.
    Whole numbers that are a hundredth of an inch times 2.54, rounded, betray tenths of millimetres under "mm": of other
    whole numbers only two in five are of that kind. Steps of exactly 0.01 with little in a year betray inches.
    """
    seen = rain_mm[np.isfinite(rain_mm) & (rain_mm > 0.0)]
    if seen.size < 20 or hours < _ENOUGH:
        return None
    total = float(seen.sum())
    a_year_mm = total * _YEAR_H / hours
    looks, evidence = "", 0.0
    if unit == "mm":
        whole = bool(np.all(seen == np.round(seen)))
        tips = np.round(np.arange(1, 1000) * 2.54)
        evidence = float(np.isin(seen, tips).mean())
        if whole and evidence >= 0.9 and np.unique(seen).size >= 6:
            looks = "0.1 mm"
        hundredths = bool(np.all(np.abs(seen * 100.0 - np.round(seen * 100.0)) < 1e-6))
        if hundredths and abs(float(seen.min()) - 0.01) < 1e-9 and a_year_mm < 150.0 and hours > 1440:
            looks, evidence = "in", float((seen < 0.1).mean())
    if not looks and a_year_mm > _WETTEST_YEAR_MM and hours > 720:
        looks, evidence = "a smaller unit", 1.0
    if not looks:
        return None
    details: dict[str, float | int | str] = {
        "declared": unit,
        "looks_like": looks,
        "share_frac": round(evidence, 3),
        "total_mm": round(total, 1),
        "a_year_mm": round(a_year_mm, 1),
        "smallest_mm": float(seen.min()),
    }
    return Finding("rain_unit", details)


def clock_jump(weather: Weather) -> tuple[int, int] | None:
    """Where the daily rhythm moves for good, and by how many hours: the sign of a station whose clock was changed.

    Returns the index of an hour and whole hours, or None. The sun's rhythm shows one hour, the temperature's three.
    """
    return _rhythm_jump(weather.shortwave_w_m2, 0.75) or _rhythm_jump(weather.temperature_c, 2.75)


def _rhythm_jump(values: Floats, least_h: float) -> tuple[int, int] | None:
    """Compares the mean day of ten days before and ten days after every midnight of the series."""
    days = values.size // 24
    if days < 2 * _WINDOW_D:
        return None
    direction = _daily_directions(values[: days * 24].reshape(days, 24))
    summed = np.concatenate([[0.0], np.cumsum(direction)])
    count = np.concatenate([[0], np.cumsum(np.abs(direction) > 0)])
    middle = np.arange(_WINDOW_D, days - _WINDOW_D + 1)
    before, after = summed[middle] - summed[middle - _WINDOW_D], summed[middle + _WINDOW_D] - summed[middle]
    days_before, days_after = count[middle] - count[middle - _WINDOW_D], count[middle + _WINDOW_D] - count[middle]
    clear = np.minimum(np.abs(before) - 0.9 * days_before, np.abs(after) - 0.9 * days_after)
    enough = (np.minimum(days_before, days_after) >= _WINDOW_D // 2) & (clear > 0)
    shift_h = np.where(enough, np.angle(after * np.conj(before)) * 12.0 / np.pi, 0.0)
    together = np.abs(before) / np.maximum(days_before, 1) + np.abs(after) / np.maximum(days_after, 1)
    # at the change itself each side agrees best within itself
    best = int(np.argmax(np.where(np.abs(shift_h) >= least_h, together, 0.0)))
    if abs(shift_h[best]) < least_h:
        return None
    return int(middle[best]) * 24, round(float(shift_h[best]))


def _daily_directions(days: Floats) -> NDArray[np.complex128]:
    """Direction of the first harmonic of each day, or 0 for days with gaps or little swing."""
    wave = np.exp(2j * np.pi * np.arange(24) / 24.0)
    whole = np.isfinite(days).sum(axis=1) >= 22
    if not whole.any():
        return np.zeros(days.shape[0], np.complex128)
    mean = np.nanmean(np.where(whole[:, None], days, 0.0), axis=1, keepdims=True)
    filled = np.where(np.isfinite(days), days, mean)
    # what warms or cools from day to day would bend the rhythm of each
    noon = np.flatnonzero(whole) * 24.0 + 11.5
    slow = np.interp(np.arange(days.size), noon, mean[whole, 0]).reshape(days.shape)
    harmonic = ((filled - slow) * wave).sum(axis=1) / 12.0
    size = np.abs(harmonic)
    return np.where(whole & (size > 1.0), harmonic / np.maximum(size, 1e-9), 0.0)

"""The answer of a keyless public forecast service: hours of a grid cell, past and to come, in one or many members.

The answer is an object with `hourly` (a list of times and one list of values for each variable), `hourly_units`,
`utc_offset_seconds` and `elevation`. Rain and sunlight belong to the hour that ends at the stamp, the rest is read at
the stamp. Members of an ensemble are further lists called, for example, temperature_2m_member01.

Source: openmeteo2026, the service's documentation of hourly variables and of ensembles.
"""

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from abaxial import units
from abaxial.errors import InputError, WeatherError
from abaxial.place import Place
from abaxial.provenance import digest
from abaxial.weather.readers import hourly, suspicion
from abaxial.weather.readers.layout import QUANTITIES
from abaxial.weather.readers.measured import LAPSE_K_PER_M, to_variables
from abaxial.weather.series import Finding, Floats, Mark, Weather

Ints = NDArray[np.int64]

#: what we read, to the names it has had in the service, the newest first
_KEYS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "temperature": ("temperature_2m",),
        "dew_point": ("dew_point_2m", "dewpoint_2m"),
        "humidity": ("relative_humidity_2m", "relativehumidity_2m"),
        "wind": ("wind_speed_10m", "windspeed_10m"),
        "rain": ("precipitation", "rain"),
        "shortwave": ("shortwave_radiation",),
        "cloud": ("cloud_cover", "cloudcover"),
    }
)
_WIND_HEIGHT_M = 10.0


def parse_forecast(text: str, place: Place, *, now_hour: int, source: str = "forecast") -> list[Weather]:
    """One series with past and forecast hours, or one for each member of an ensemble, the control first.

    place : the garden; temperature is carried from the grid's height to its height. now_hour : first hour not yet lived;
    hours from there on are marked as forecast, all as from a grid. source : what to call it.
    Raises WeatherError if the answer is an error, is not of this shape, or is in a unit we do not know.
    """
    answer = _object(text, source)
    series, unit_names = answer["hourly"], answer["hourly_units"]
    seconds = _seconds(answer, source)
    found = {name: key for name, keys in _KEYS.items() for key in keys[::-1] if key in series}
    for name in ("temperature", "rain"):
        if name not in found:
            raise WeatherError(
                f"{source}: hourly has no {_KEYS[name][0]}.", remedy="Ask the service for it in `hourly`."
            )
    members = _members(series, tuple(found.values()), source)
    height_m = answer.get("elevation")
    lift_k, findings = _lift(height_m, place)
    weathers = []
    for member in members:
        measured = {
            name: _values(series, key + member, unit_names, QUANTITIES[name], source) for name, key in found.items()
        }
        for values in measured.values():
            if values.size != seconds.size:
                raise WeatherError(
                    f"{source}: there are {seconds.size} times and {values.size} values.", remedy="Fetch it again."
                )
        where = source + member
        weather = _weather(seconds, measured, lift_k, where, digest(text))
        weathers.append(_marked(weather, now_hour).with_findings(*findings))
    return weathers


def _weather(seconds: Ints, measured: dict[str, Floats], lift_k: float, where: str, fingerprint: str) -> Weather:
    for name, values in measured.items():
        suspicion.impossible_values(name, values, _shown(where, name), refuse=True)
    marks = {name: np.zeros(seconds.size, np.uint8) for name in measured}
    variables, flags, more = to_variables(measured, marks, wind_height_m=_WIND_HEIGHT_M)
    # after the humidity is known, so that lifting the air does not change how moist it is
    variables["temperature_c"] = variables["temperature_c"] + lift_k
    weather = hourly.assemble(seconds, variables, flags, labels="instant", where=where, digest=fingerprint)
    return weather.with_findings(*more)


def _marked(weather: Weather, now_hour: int) -> Weather:
    """All values marked as from a grid, and those from now on as a forecast."""
    ahead = np.arange(weather.first_hour, weather.end_hour) >= now_hour
    marks = {name: flag | np.uint8(Mark.GRID) for name, flag in weather.marks.items()}
    for flag in marks.values():
        flag[ahead] |= np.uint8(Mark.FORECAST)
    return replace(weather, marks=marks)


def _shown(where: str, name: str) -> Callable[[int], str]:
    return lambda row: f"{where}, hourly value {row + 1} of {name}"


def _object(text: str, source: str) -> Mapping[str, Any]:
    try:
        answer = json.loads(text)
    except json.JSONDecodeError as error:
        raise WeatherError(
            f"{source}, line {error.lineno}: this is not JSON ({error.msg}).", remedy="Fetch it again."
        ) from None
    if not isinstance(answer, dict):
        raise WeatherError(f"{source} holds {type(answer).__name__}, not one place.", remedy="Ask for one place only.")
    if answer.get("error"):
        raise WeatherError(
            f"{source}: the service answers: {answer.get('reason', 'no reason given')}.",
            remedy="Check the place and the dates that were asked for.",
        )
    for name in ("hourly", "hourly_units"):
        if not isinstance(answer.get(name), dict):
            raise WeatherError(f"{source} has no {name}.", remedy="Ask the service for hourly values.")
    return answer


def _seconds(answer: Mapping[str, Any], source: str) -> Ints:
    times = answer["hourly"].get("time")
    if not isinstance(times, list) or len(times) < 2:
        raise WeatherError(f"{source}: hourly.time does not hold at least two times.", remedy="Fetch it again.")
    offset = answer.get("utc_offset_seconds")
    if isinstance(offset, bool) or not isinstance(offset, int):
        raise WeatherError(f"{source}: utc_offset_seconds is {offset!r}, not a whole number.", remedy="Fetch it again.")
    kind = answer["hourly_units"].get("time")
    try:
        if kind == "unixtime":
            seconds = np.array([int(time) for time in times], np.int64)
        elif kind == "iso8601":
            seconds = np.array([_iso_second(time) for time in times], np.int64) - offset
        else:
            raise WeatherError(
                f"{source}: times are in {kind!r}; only iso8601 and unixtime are read.", remedy="Fetch it again."
            )
    except (ValueError, TypeError):
        raise WeatherError(f"{source}: hourly.time holds what is not a time.", remedy="Fetch it again.") from None
    uneven = np.flatnonzero(np.diff(seconds) != 3600)
    if uneven.size:
        i = int(uneven[0])
        raise WeatherError(
            f"{source}: from {times[i]!r} to {times[i + 1]!r} is not one hour.",
            remedy="Ask for hourly values in steps of one hour.",
        )
    return seconds


def _iso_second(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp())


def _members(series: Mapping[str, Any], keys: tuple[str, ...], source: str) -> list[str]:
    """Endings of the members' names: the control's is empty. Every variable must have all of them."""
    endings = {
        key: {m[0] for name in series if (m := re.search(r"_member\d+$", name)) and name[: m.start()] == key}
        for key in keys
    }
    all_endings = sorted(set().union(*endings.values()))
    for key, own in endings.items():
        if all_endings and set(all_endings) - own:
            raise WeatherError(
                f"{source}: {key} lacks the member {sorted(set(all_endings) - own)[0].lstrip('_')}.",
                remedy="Ask one ensemble for all variables.",
            )
    return ["", *all_endings]


def _values(series: Mapping[str, Any], key: str, unit_names: Mapping[str, Any], quantity: str, source: str) -> Floats:
    raw = series.get(key)
    unit = unit_names.get(key)
    if not isinstance(raw, list) or not isinstance(unit, str):
        raise WeatherError(f"{source}: {key} has no values or no unit in hourly_units.", remedy="Fetch it again.")
    for i, value in enumerate(raw):
        if value is not None and (isinstance(value, bool) or not isinstance(value, int | float)):
            raise WeatherError(
                f"{source}: value {i + 1} of {key} is {value!r}, which is not a number.", remedy="Fetch it again."
            )
    try:
        return units.convert([np.nan if value is None else value for value in raw], quantity, unit)
    except InputError as error:
        raise WeatherError(f"{source}, {key}: {error.message}", remedy=error.remedy) from None


def _lift(height_m: object, place: Place) -> tuple[float, tuple[Finding, ...]]:
    """What to add to the grid's temperature for the height of the garden [K], and a finding if it is more than 0.1 K."""
    if isinstance(height_m, bool) or not isinstance(height_m, int | float):
        return 0.0, (Finding("grid_height_unknown", {}),)
    above_m = place.elevation_m - float(height_m)
    lift_k = -LAPSE_K_PER_M * above_m
    details: dict[str, float | int | str] = {"above_grid_m": round(above_m), "added_k": round(lift_k, 2)}
    return lift_k, (Finding("grid_height", details),) if abs(lift_k) > 0.1 else ()

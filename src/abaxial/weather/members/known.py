"""What is known of each hour before anything is sampled: the record as it was received by then, and the forecast."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from abaxial.place import Place
from abaxial.weather import doubt, generator, sun
from abaxial.weather.observations import RainObservation
from abaxial.weather.series import VARIABLES, Finding, Floats, Mark, Weather, between

Origins = NDArray[np.int64]

_DERIVED, _FORECAST, _GRID = (doubt.ORIGINS.index(name) for name in ("derived", "forecast", "grid"))
_DAY_H = 24


@dataclass(frozen=True)
class Known:
    """What is known. values : by variable, (hours, members), NaN where unknown. origins : by variable, (hours,) index
    into doubt.ORIGINS. now : index of the first hour not yet lived. forecast_end : index of the first hour that
    neither record nor forecast reaches, at least `now`."""

    values: Mapping[str, Floats]
    origins: Mapping[str, Origins]
    now: int
    forecast_end: int


def is_enough(weather: Weather) -> Finding | None:
    """None if there is a day's worth of temperature to go by; otherwise what is missing and what would help, as a
    finding.

    Kind "nothing_known" or "too_little_known", with known_hours and the helpful word: "fetch_or_notebook".
    """
    known = int((np.isfinite(weather.temperature_c) & doubt.is_believed(weather.marks["temperature_c"])).sum())
    if known >= _DAY_H:
        return None
    kind = "nothing_known" if known == 0 else "too_little_known"
    return Finding(kind, {"known_hours": known, "needed_hours": _DAY_H, "help": "fetch_or_notebook"})


def received(record: Weather, now_hour: int) -> Weather:
    """The record as it was known then: without values not believed, and without values from later that are no
    forecast."""
    ahead = np.arange(record.hours) + record.first_hour >= now_hour
    columns: dict[str, Floats] = {}
    for name in VARIABLES:
        marks = record.marks[name]
        usable = doubt.is_believed(marks) & ~(ahead & ((marks & Mark.FORECAST) == 0))
        columns[name] = np.where(usable, record.variable(name), np.nan)
    return Weather(
        first_hour=record.first_hour,
        marks=record.marks,
        source=record.source,
        digest=record.digest,
        findings=record.findings,
        **columns,
    )


def known(record: Weather, place: Place, forecasts: Sequence[Weather], now_hour: int, members: int) -> Known:
    """What record and forecasts say of each hour, hours lived first.

    forecasts : none, one, or one for each of some members, which are then used in turn. now_hour : the first hour not yet
    lived. Sky that nobody measured is completed from what is known of the day.
    """
    share, cloud = generator.completed_sky(record, place)
    clear = clear_w_m2(record.first_hour, record.hours, place)
    lived = np.arange(record.hours) + record.first_hour < now_hour
    values, origins = {}, {}
    made = {"shortwave_w_m2": share * clear, "cloud_frac": cloud}
    for name in VARIABLES:
        single = record.variable(name)
        origin = doubt.origin(record.marks[name])
        if name in made:
            fresh = ~np.isfinite(single) & lived
            single = np.where(fresh, made[name], single)
            origin = np.where(fresh, _DERIVED, origin)
        values[name] = np.repeat(single[:, None], members, axis=1)
        origins[name] = origin
    for name in VARIABLES if forecasts else ():
        each = [between(one, record.first_hour, record.end_hour).variable(name) for one in forecasts]
        ahead = np.stack([each[member % len(each)] for member in range(members)], axis=1)
        use = np.isfinite(ahead) & ~lived[:, None]
        values[name] = np.where(use, ahead, values[name])
        # an ensemble carries its own doubt about the days; only the grid's about the garden is added
        origins[name] = np.where(use.any(axis=1), _GRID if len(each) > 1 else _FORECAST, origins[name])
    reached = np.flatnonzero(np.isfinite(values["temperature_c"]).all(axis=1))
    now = int(lived.sum())
    return Known(values, origins, now, max(int(reached[-1]) + 1 if reached.size else 0, now))


def clear_w_m2(first_hour: int, hours: int, place: Place) -> Floats:
    """Sunlight under a cloudless sky [W/m²], mean of each hour taken at its middle, shape (hours,)."""
    elevation_deg = sun.solar_elevation_deg(first_hour + np.arange(hours) + 0.5, place)
    return np.asarray(sun.clear_sky_w_m2(elevation_deg, place.elevation_m))


def noticed_hours(record: Weather, noticed: Sequence[RainObservation]) -> NDArray[np.bool_]:
    """Which hours somebody's note of rain covers, shape (hours,)."""
    covered = np.zeros(record.hours, bool)
    for each in noticed:
        covered[max(each.first_hour - record.first_hour, 0) : max(each.end_hour - record.first_hour, 0)] = True
    return covered


def known_share_frac(record: Weather, what: Known, noticed: Sequence[RainObservation]) -> float:
    """Share of the lived hours' temperature, humidity and rain that was measured, fetched or noticed, 0 to 1."""
    if what.now == 0:
        return 0.0
    shares = []
    for name in ("temperature_c", "relative_humidity_frac", "rain_mm"):
        first_hand = np.isfinite(record.variable(name)) & (
            (record.marks[name] & (Mark.DERIVED | Mark.FILLED | Mark.FORECAST)) == 0
        )
        if name == "rain_mm":
            first_hand |= noticed_hours(record, noticed)
        shares.append(first_hand[: what.now].mean())
    return float(np.mean(shares))


def findings(
    record: Weather, what: Known, climate: generator.Climate, noticed: Sequence[RainObservation]
) -> tuple[Finding, ...]:
    """What of the lived hours is not known at first hand.

    Kinds: "grid_weather" {hours}, "no_history" {days, enough_days}, "rain_unknown" {hours, days},
    "weather_unknown" {hours}.
    """
    found = []
    lived = slice(0, what.now)
    grid = int(((record.marks["temperature_c"][lived] & Mark.GRID) > 0).sum())
    if grid:
        found.append(Finding("grid_weather", {"hours": grid}))
    if climate.assumed:
        enough_days = int(doubt.value("history", "enough_days"))
        found.append(Finding("no_history", {"days": climate.known_days, "enough_days": enough_days}))
    unknown = int((np.isnan(record.rain_mm) & ~noticed_hours(record, noticed))[lived].sum())
    if unknown:
        found.append(Finding("rain_unknown", {"hours": unknown, "days": -(-unknown // _DAY_H)}))
    missing = int(np.isnan(record.temperature_c)[lived].sum())
    if missing:
        found.append(Finding("weather_unknown", {"hours": missing}))
    return tuple(found)

"""What closes an hour to spraying, in each possible weather: one rule, one row."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import FaultError
from abaxial.label.window.limits import Limits
from abaxial.microclimate import vapour

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

#: every reason there is, in the order in which ties are told: what no weather changes first
KINDS = (
    "water_too_near",
    "open_flowers",
    "not_at_work",
    "dark",
    "weather_unknown",
    "weather_ends",
    "rain_now",
    "rain_to_come",
    "leaves_wet",
    "layered_air",
    "too_still",
    "too_windy",
    "too_cold",
    "too_hot",
    "heat_to_come",
    "sun_on_oil",
    "air_too_moist",
    "air_too_dry",
    "bees_flying",
)


class Air(NamedTuple):
    """The hours ahead over one bed. temperature_c, relative_humidity_frac, wind_speed_m_s, rain_mm, cloud_frac,
    shortwave_w_m2 : (hours, members), wind at the height of the bed; NaN where unknown. wet_frac : (hours, members), of
    the wetter face of the wetter level. sun_elevation_deg : (hours,), at mid-hour. pressure_kpa : of the place. at_work :
    (hours,), when somebody could spray."""

    temperature_c: Floats
    relative_humidity_frac: Floats
    wind_speed_m_s: Floats
    rain_mm: Floats
    cloud_frac: Floats
    shortwave_w_m2: Floats
    wet_frac: Floats
    sun_elevation_deg: Floats
    pressure_kpa: float
    at_work: Bools


class Use(NamedTuple):
    """What is sprayed and where, as far as hours care. heat_stop_c : of the material, infinity where it bears any heat. oil :
    whether it holds oil. spares_flowers : whether label or material forbid open flowers. flowers_open : in or under the bed,
    None where nobody knows. bees_count : see site.bees_count. closed_for_good : see site.closed_for_good."""

    heat_stop_c: float
    oil: bool
    spares_flowers: bool
    flowers_open: bool | None
    bees_count: bool
    closed_for_good: tuple[str, ...]


@dataclass(frozen=True)
class Closings:
    """closed : kind to (hours, members), every kind of KINDS. fit : (hours, members), where none closes."""

    closed: Mapping[str, Bools]
    fit: Bools


def delta_t_k(temperature_c: Floats, relative_humidity_frac: Floats, pressure_kpa: float) -> Floats:
    """How far the wet bulb stands below the air [K], by which drops last or dry up.

    temperature_c : any shape [°C], -5 to 50. relative_humidity_frac : above 0 to 1. pressure_kpa : 45 to 107.
    Source: wolf for its use, allen1998 for the wet bulb.
    """
    wet_c = vapour.wet_bulb_c(temperature_c, relative_humidity_frac, pressure_kpa)
    return np.asarray(temperature_c - wet_c, np.float64)


def closings(air: Air, limits: Limits, use: Use) -> Closings:
    """What closes each hour in each member. Raises FaultError where shapes do not agree."""
    _demand_shapes(air)
    # what is unknown closes by itself; no comparison with it may open an hour
    with np.errstate(invalid="ignore"):
        found = {**_by_rule(air, use), **_by_air(air, limits, use), **_by_hours_to_come(air, limits, use)}
        found |= _by_light(air, limits, use)
    closed = np.empty((len(KINDS), *air.temperature_c.shape), np.bool_)
    for rows, kind in zip(closed, KINDS, strict=True):
        rows[:] = found[kind]
    return Closings(dict(zip(KINDS, closed, strict=True)), np.asarray(~closed.any(axis=0), np.bool_))


def _by_rule(air: Air, use: Use) -> dict[str, Bools]:
    weather = np.stack([air.temperature_c, air.relative_humidity_frac, air.wind_speed_m_s, air.rain_mm, air.wet_frac])
    unknown = ~np.isfinite(np.stack([*weather, air.cloud_frac, air.shortwave_w_m2])).all(axis=0)
    return {
        "water_too_near": np.bool_("water_too_near" in use.closed_for_good),
        "open_flowers": np.bool_(use.spares_flowers and use.flowers_open is not False),
        "not_at_work": ~air.at_work[:, None],
        "weather_unknown": unknown,
    }


def _by_air(air: Air, limits: Limits, use: Use) -> dict[str, Bools]:
    humidity = np.clip(air.relative_humidity_frac, 0.01, 1.0)
    delta = delta_t_k(air.temperature_c, humidity, air.pressure_kpa)
    return {
        "rain_now": air.rain_mm > limits.rain_most_mm,
        "leaves_wet": air.wet_frac > limits.wet_most_frac,
        "too_still": air.wind_speed_m_s < limits.wind_least_m_s,
        "too_windy": air.wind_speed_m_s > limits.wind_most_m_s,
        "too_cold": air.temperature_c < limits.temperature_least_c,
        "too_hot": air.temperature_c > min(limits.temperature_most_c, use.heat_stop_c),
        "sun_on_oil": np.bool_(use.oil) & (air.shortwave_w_m2 > limits.sun_on_oil_w_m2),
        "air_too_moist": delta < limits.delta_t_least_k,
        "air_too_dry": delta > limits.delta_t_most_k,
    }


def _by_hours_to_come(air: Air, limits: Limits, use: Use) -> dict[str, Bools]:
    """Rain in the rain-fast hours after an hour, and heat in those in which a product must not meet it."""
    rain_h = int(np.ceil(limits.rain_fast_h))
    heat_h = int(np.ceil(limits.heat_reach_h)) if np.isfinite(use.heat_stop_c) else 0
    rows = np.arange(len(air.rain_mm))[:, None]
    rain_mm = _after(air.rain_mm, rain_h, 0.0).sum(axis=0)
    hottest_c = _after(air.temperature_c, heat_h, -np.inf).max(axis=0, initial=-np.inf)
    return {
        "weather_ends": (rows + max(rain_h, heat_h) >= len(rows)) | np.isnan(rain_mm) | np.isnan(hottest_c),
        "rain_to_come": rain_mm > limits.rain_most_mm,
        "heat_to_come": hottest_c > use.heat_stop_c,
    }


def _by_light(air: Air, limits: Limits, use: Use) -> dict[str, Bools]:
    sun_deg = air.sun_elevation_deg[:, None]
    low = sun_deg < limits.layered_sun_deg
    flying = (sun_deg > limits.bees_sun_deg) & (air.temperature_c > limits.bees_least_c)
    return {
        "dark": sun_deg < limits.light_sun_deg,
        "layered_air": low
        & (air.cloud_frac < limits.layered_cloud_frac)
        & (air.wind_speed_m_s < limits.layered_wind_m_s),
        "bees_flying": np.bool_(use.bees_count) & flying,
    }


def _after(values: Floats, reach: int, beyond: float) -> Floats:
    """For every hour those that come after it, (reach, hours, members); `beyond` stands past the end."""
    longer = np.concatenate([values, np.full((reach, values.shape[1]), beyond)])
    after = [longer[each : each + len(values)] for each in range(1, reach + 1)]
    return np.stack(after) if after else np.zeros((0, *values.shape))


def _demand_shapes(air: Air) -> None:
    shape = air.temperature_c.shape
    wide = (
        air.relative_humidity_frac,
        air.wind_speed_m_s,
        air.rain_mm,
        air.cloud_frac,
        air.shortwave_w_m2,
        air.wet_frac,
    )
    narrow = (air.sun_elevation_deg, air.at_work)
    if len(shape) != 2 or 0 in shape or any(each.shape != shape for each in wide):
        raise FaultError(f"The hours ahead have shapes {[each.shape for each in (air.temperature_c, *wide)]}.")
    if any(each.shape != shape[:1] for each in narrow):
        raise FaultError(f"Of {shape[0]} hours the sun and the work have {[each.shape for each in narrow]}.")

"""From what instruments measure to the variables of the series: humidity from dew point, wind at 2 m, no sun below zero."""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from abaxial.place import Place
from abaxial.weather.series import Finding, Floats, Mark, Marks

#: what is measured, to the variable of the series it becomes
VARIABLE: Mapping[str, str] = MappingProxyType(
    {
        "temperature": "temperature_c",
        "humidity": "relative_humidity_frac",
        "wind": "wind_speed_m_s",
        "rain": "rain_mm",
        "shortwave": "shortwave_w_m2",
        "cloud": "cloud_frac",
    }
)

#: fall of temperature with height in the standard atmosphere [K/m]
LAPSE_K_PER_M = 0.0065


def wind_at_2m_factor(height_m: float) -> float:
    """Share of the wind at a height that blows at 2 m above short grass. height_m : 0.5 to 150 [m].

    Source: allen1998, Eq. 47. Checked in tests: 3.2 m/s at 10 m is 2.4 m/s at 2 m.
    """
    return float(4.87 / np.log(67.8 * height_m - 5.42))


def relative_humidity_from_dew_point_frac(temperature_c: ArrayLike, dew_point_c: ArrayLike) -> Floats:
    """Relative humidity over water, 0 to about 1, any shape; above 1 where the dew point is above the temperature.

    Source: allen1998, Eq. 11 and 14.
    """
    return _saturation_kpa(np.asarray(dew_point_c)) / _saturation_kpa(np.asarray(temperature_c))


def _saturation_kpa(temperature_c: Floats) -> Floats:
    return np.asarray(0.6108 * np.exp(17.27 * temperature_c / (temperature_c + 237.3)))


def far_from(station: Place, garden: Place | None) -> tuple[Finding, ...]:
    """A finding "station_far" if the station is more than 50 km away from the garden or 300 m above or below it."""
    if garden is None:
        return ()
    north_km = (station.latitude_deg - garden.latitude_deg) * 111.2
    turn_deg = (station.longitude_deg - garden.longitude_deg + 180.0) % 360.0 - 180.0
    east_km = turn_deg * 111.2 * float(np.cos(np.radians(garden.latitude_deg)))
    away_km, above_m = float(np.hypot(north_km, east_km)), station.elevation_m - garden.elevation_m
    if away_km <= 50.0 and abs(above_m) <= 300.0:
        return ()
    return (Finding("station_far", {"away_km": round(away_km), "above_m": round(above_m)}),)


def to_variables(
    measured: Mapping[str, Floats], marks: Mapping[str, Marks], *, wind_height_m: float | None
) -> tuple[dict[str, Floats], dict[str, Marks], tuple[Finding, ...]]:
    """Variables of the series with their marks, and what was noticed.

    measured, marks : temperature, dew_point, humidity, wind, rain, shortwave or cloud to (rows,), in the house's units.
    Dew point makes humidity where there is none, else checks it; it then leaves, for the series has no place for it.
    """
    values, flags = dict(measured), dict(marks)
    findings: tuple[Finding, ...] = ()
    if "dew_point" in values:
        findings += _humidity_from_dew_point(values, flags)
    if "humidity" in values:
        findings += _cap_humidity(values)
    if "wind" in values:
        values["wind"] = values["wind"] * wind_at_2m_factor(wind_height_m or 2.0)
    if "shortwave" in values:
        # a sensor's small offset by night
        values["shortwave"] = np.maximum(values["shortwave"], 0.0)
    return (
        {VARIABLE[name]: column for name, column in values.items()},
        {VARIABLE[name]: flags[name] for name in values},
        findings,
    )


def _humidity_from_dew_point(measured: dict[str, Floats], marks: dict[str, Marks]) -> tuple[Finding, ...]:
    """Fill humidity from dew point, or check it; dew point leaves, because the series has no place for it."""
    dew_point_c, dew_marks = measured.pop("dew_point"), marks.pop("dew_point")
    if "temperature" not in measured:
        return ()
    from_dew = relative_humidity_from_dew_point_frac(measured["temperature"], dew_point_c)
    if "humidity" not in measured:
        measured["humidity"] = from_dew
        marks["humidity"] = np.asarray(dew_marks | marks["temperature"], np.uint8)
        return ()
    apart = np.abs(measured["humidity"] - from_dew) > 0.1
    marks["humidity"] = np.where(apart, marks["humidity"] | np.uint8(Mark.CROSS), marks["humidity"]).astype(np.uint8)
    return (Finding("humidity_against_dew_point", {"count": int(apart.sum())}),) if apart.any() else ()


def _cap_humidity(measured: dict[str, Floats]) -> tuple[Finding, ...]:
    above = measured["humidity"] > 1.0
    measured["humidity"] = np.where(above & (measured["humidity"] <= 1.1), 1.0, measured["humidity"])
    return (Finding("humidity_above_saturation", {"count": int(above.sum())}),) if above.any() else ()

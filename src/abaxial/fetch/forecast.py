"""Addresses of a keyless public weather service: forecast, its ensemble, and history, for one place.

The service is Open-Meteo: free for non-commercial use, data under CC BY 4.0, no key. Its documented parameters are
latitude, longitude, elevation, hourly, past_days (up to 92), forecast_days (up to 16), start_date, end_date,
wind_speed_unit, timezone and, for the ensemble, models; timezone "GMT" gives UTC.
"""

import os
from collections.abc import Mapping
from datetime import date
from urllib.parse import urlencode, urlsplit, urlunsplit

from abaxial.errors import RequestError
from abaxial.place import Place

FORECAST_URL = "https://api.open-meteo.com/v1/forecast"
ENSEMBLE_URL = "https://ensemble-api.open-meteo.com/v1/ensemble"
HISTORY_URL = "https://archive-api.open-meteo.com/v1/archive"
#: one address that stands in for all three, for a garden with its own copy of the service and for tests
OVERRIDE = "ABAXIAL_FORECAST_URL"

HOURLY = (
    "temperature_2m",
    "relative_humidity_2m",
    "precipitation",
    "wind_speed_10m",
    "shortwave_radiation",
    "cloud_cover",
)
MOST_PAST_DAYS, MOST_FORECAST_DAYS = 92, 16
#: about thirty members, the whole world, hourly
ENSEMBLE_MODEL = "gfs_seamless"


def forecast_url(
    place: Place,
    *,
    past_days: int,
    forecast_days: int,
    ensemble: bool = False,
    environment: Mapping[str, str] | None = None,
) -> str:
    """Address of the recent past and the days ahead for a place, hourly in UTC and metric units.

    past_days : 0 to 92. forecast_days : 1 to 16. ensemble : ask for every member of an ensemble. environment : where
    an override of the address is looked up; the process's own if not given. Raises RequestError for days out of range.
    """
    _check("past_days", past_days, 0, MOST_PAST_DAYS)
    _check("forecast_days", forecast_days, 1, MOST_FORECAST_DAYS)
    wanted = {"past_days": str(past_days), "forecast_days": str(forecast_days)}
    if ensemble:
        wanted["models"] = ENSEMBLE_MODEL
    return _url(
        ENSEMBLE_URL if ensemble else FORECAST_URL, "ensemble" if ensemble else "forecast", place, wanted, environment
    )


def history_url(place: Place, first: date, last: date, *, environment: Mapping[str, str] | None = None) -> str:
    """Address of past weather for a place, from a first to a last date, hourly in UTC and metric units.

    The last few days are not there yet; `forecast_url` with past_days has those. Raises RequestError if last lies
    before first.
    """
    if last < first:
        raise RequestError(
            f"The history from {first} to {last} ends before it begins.", remedy="Exchange the two dates."
        )
    wanted = {"start_date": first.isoformat(), "end_date": last.isoformat()}
    return _url(HISTORY_URL, "archive", place, wanted, environment)


def _url(
    address: str, name: str, place: Place, wanted: Mapping[str, str], environment: Mapping[str, str] | None
) -> str:
    override = (os.environ if environment is None else environment).get(OVERRIDE, "").strip()
    if override:
        parts = urlsplit(override)
        if parts.scheme not in ("http", "https") or not parts.netloc:
            raise RequestError(
                f"{OVERRIDE} is {override!r}; it must be an http or https address.", remedy="Correct or unset it."
            )
        address = urlunsplit((parts.scheme, parts.netloc, f"{parts.path.rstrip('/')}/v1/{name}", "", ""))
    # coordinates to a ten-thousandth of a degree, about 11 m: no finer than a grid cell needs
    query = {
        "latitude": f"{place.latitude_deg:.4f}",
        "longitude": f"{place.longitude_deg:.4f}",
        "elevation": f"{place.elevation_m:.0f}",
        "hourly": ",".join(HOURLY),
        "wind_speed_unit": "ms",
        "timezone": "GMT",
        **wanted,
    }
    return f"{address}?{urlencode(query, safe=',')}"


def _check(name: str, days: int, low: int, high: int) -> None:
    if not low <= days <= high:
        raise RequestError(
            f"{name} is {days}; it must lie between {low} and {high}.", remedy="Ask for fewer days, or for history."
        )

"""From one record, a forecast and a few notes to several equally likely versions of the weather, without gaps."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from abaxial.place import Place
from abaxial.weather import disaggregation, doubt, generator
from abaxial.weather.ensemble import WeatherEnsemble
from abaxial.weather.members import rain
from abaxial.weather.members.joining import without_gaps
from abaxial.weather.members.known import Known, clear_w_m2, findings, known, known_share_frac, received
from abaxial.weather.observations import RainObservation
from abaxial.weather.series import VARIABLES, Weather, between

Floats = NDArray[np.float64]

_MEASURED, _FILLED, _INVENTED = (doubt.ORIGINS.index(name) for name in ("measured", "filled", "invented"))
#: light between clouds can exceed that of a clear sky by about this factor
_BRIGHTEST = 1.15


def make_ensemble(
    weather: Weather,
    place: Place,
    *,
    now_hour: int,
    end_hour: int,
    seed: int,
    forecasts: Sequence[Weather] = (),
    observations: Sequence[RainObservation] = (),
    members: int = 16,
) -> WeatherEnsemble:
    """Members of the weather from the first hour of a record to end_hour.

    weather      : the record, with or without forecast hours.
    now_hour     : the first hour not yet lived; what the record holds from there on counts only where it is marked as
                   forecast, because the rest had not been received.
    forecasts    : one series for each member of a forecast ensemble, used in turn.
    observations : rain that was noticed; what ends after now_hour is left aside.
    Every hour of every member has a value; humidity is at most 1 and rain at least 0.
    """
    end_hour = max(end_hour, now_hour + 1, weather.first_hour + 1)
    record = received(between(weather, weather.first_hour, end_hour), now_hour)
    noticed = [each for each in observations if each.end_hour <= now_hour and each.end_hour > record.first_hour]
    climate = generator.fit(record, place)
    what = known(record, place, forecasts, now_hour, members)
    whole = without_gaps(what, climate, record.first_hour, seed)
    values = _with_doubt(whole, _of_gaps(what, climate), record.first_hour, seed)
    values["rain_mm"] = _rain_mm(values, what, climate, noticed, record.first_hour, seed)
    values = _wet_air_in_rain(values, what)
    clear = clear_w_m2(record.first_hour, record.hours, place)
    values["shortwave_w_m2"] = np.minimum(values["shortwave_w_m2"], _BRIGHTEST * clear[:, None])
    return WeatherEnsemble(
        first_hour=record.first_hour,
        now_hour=now_hour,
        forecast_end_hour=record.first_hour + what.forecast_end,
        known_share_frac=known_share_frac(record, what, noticed),
        findings=weather.findings + findings(record, what, climate, noticed),
        **{name: values[name] for name in VARIABLES},
    )


def _of_gaps(what: Known, climate: generator.Climate) -> Known:
    """The same, with gaps and outlook marked as invented where the generator has no history of the place behind it.
    Where it has, its days already differ between members, and no more is added than a sensor's own doubt."""
    unknown = _INVENTED if climate.assumed else _MEASURED
    origins = {
        name: np.where(np.isnan(what.values[name]).all(axis=1), unknown, origin)
        for name, origin in what.origins.items()
    }
    return replace(what, origins=origins)


def _rain_mm(
    values: Mapping[str, Floats],
    what: Known,
    climate: generator.Climate,
    noticed: Sequence[RainObservation],
    first_hour: int,
    seed: int,
) -> Floats:
    """Rain of every hour [mm]: what is unknown sampled, what is doubtful doubted, what was noticed agreed with."""
    humidity = values["relative_humidity_frac"]
    doubtful = rain.forgotten(
        values["rain_mm"], what.origins["rain_mm"], _lead_d(what), first_hour=first_hour, seed=seed
    )
    sampled = rain.sample(doubtful, humidity, climate, first_hour=first_hour, seed=seed)
    scaled = sampled * np.exp(_error("rain_log", what, "rain_mm", first_hour, seed))
    return rain.agree(scaled, humidity, noticed, first_hour=first_hour, seed=seed)


def _with_doubt(values: Mapping[str, Floats], what: Known, first_hour: int, seed: int) -> dict[str, Floats]:
    """The values with each member's error; humidity in place of dew point."""
    air_c = values["temperature_c"]
    depression_k = air_c - values["dew_point_c"]
    moved_c = air_c + _error("temperature_k", what, "temperature_c", first_hour, seed)
    scale_k = _scale(what, "dew_point_k", "relative_humidity_frac")[:, None]
    own_k = _error("dew_point_k", what, "relative_humidity_frac", first_hour, seed)
    # damped near saturation, so that fog stays fog and the mean humidity stays what was measured
    dew_c = moved_c - np.maximum(depression_k + own_k * depression_k / (depression_k + scale_k), 0.0)
    wind = values["wind_speed_m_s"] * np.exp(_error("wind_log", what, "wind_speed_m_s", first_hour, seed))
    light = values["shortwave_w_m2"] * np.exp(_error("shortwave_log", what, "shortwave_w_m2", first_hour, seed))
    cloud = values["cloud_frac"] + _error("cloud_frac", what, "cloud_frac", first_hour, seed)
    return {
        "temperature_c": moved_c,
        "relative_humidity_frac": disaggregation.relative_humidity_frac(moved_c, dew_c),
        "wind_speed_m_s": np.maximum(wind, 0.0),
        "rain_mm": values["rain_mm"],
        "shortwave_w_m2": np.maximum(light, 0.0),
        "cloud_frac": np.clip(cloud, 0.0, 1.0),
    }


def _lead_d(what: Known) -> Floats:
    """Days ahead of now, 0 for lived hours, shape (hours,)."""
    hours = what.values["rain_mm"].shape[0]
    return np.maximum(np.arange(hours) - what.now + 1, 0) / 24.0


def _error(table: str, what: Known, name: str, first_hour: int, seed: int) -> Floats:
    """Each member's error of a variable in the table's unit, shape (hours, members): one part that lasts and one that
    passes."""
    hours, members = what.values[name].shape
    lasting_sd, passing_sd = doubt.spread(table, what.origins[name], _lead_d(what))
    error = lasting_sd[:, None] * doubt.lasting(seed, f"weather/{table}/lasting", members)
    if passing_sd.any():
        error = error + passing_sd[:, None] * doubt.passing(
            seed, f"weather/{table}/passing", first_hour, hours, members
        )
    return np.asarray(error)


def _scale(what: Known, table: str, name: str) -> Floats:
    lasting_sd, passing_sd = doubt.spread(table, what.origins[name], _lead_d(what))
    return np.hypot(lasting_sd, passing_sd)


def _wet_air_in_rain(values: Mapping[str, Floats], what: Known) -> dict[str, Floats]:
    """The same, with moist air and a clouded sky in hours with rain where nobody measured those."""
    raining = values["rain_mm"] > 0
    result = dict(values)
    for name, entry in (("relative_humidity_frac", "moist_rain_frac"), ("cloud_frac", "rainy_cloud_frac")):
        at_first_hand = (what.origins[name] < _FILLED) & np.isfinite(what.values[name]).any(axis=1)
        loose = raining & ~at_first_hand[:, None]
        result[name] = np.where(loose, np.maximum(values[name], doubt.value("rain", entry)), values[name])
    return result

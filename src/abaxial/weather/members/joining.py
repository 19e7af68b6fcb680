"""Gaps and the outlook: simulated hours, moved so that they begin and end where the known ones do."""

import numpy as np
from numpy.typing import NDArray

from abaxial.weather import disaggregation, doubt, generator
from abaxial.weather.generator.matrices import constant
from abaxial.weather.members.known import Known
from abaxial.weather.series import VARIABLES

Floats = NDArray[np.float64]

_DAY_H = 24


def without_gaps(known: Known, climate: generator.Climate, first_hour: int, seed: int) -> dict[str, Floats]:
    """All variables but rain without gaps, with "dew_point_c" in place of humidity; rain as known."""
    simulated = _simulated(known, climate, first_hour, seed)
    air_c, humidity = known.values["temperature_c"], known.values["relative_humidity_frac"]
    dew_c = disaggregation.dew_point_c(air_c, np.where(np.isfinite(air_c), humidity, np.nan))
    made_depression_k = simulated["temperature_c"] - simulated["dew_point_c"]
    air_c = _joined(air_c, simulated["temperature_c"])
    depression_k = _joined(air_c - dew_c, made_depression_k)
    values = {
        name: np.where(np.isfinite(known.values[name]), known.values[name], simulated[name])
        for name in ("wind_speed_m_s", "shortwave_w_m2", "cloud_frac")
    }
    ahead = np.arange(air_c.shape[0]) >= known.forecast_end
    rain = np.where(ahead[:, None], simulated["rain_mm"], known.values["rain_mm"])
    return {"temperature_c": air_c, "dew_point_c": air_c - np.maximum(depression_k, 0.0), "rain_mm": rain, **values}


def _simulated(known: Known, climate: generator.Climate, first_hour: int, seed: int) -> dict[str, Floats]:
    """Simulated hours for the gaps and the outlook; zero where nothing needs them."""
    hours, members = known.values["temperature_c"].shape
    names = ("temperature_c", "dew_point_c", "wind_speed_m_s", "rain_mm", "shortwave_w_m2", "cloud_frac")
    result = {name: np.zeros((hours, members)) for name in names}
    gaps = any(np.isnan(known.values[name][: known.forecast_end]).any() for name in VARIABLES if name != "rain_mm")
    if gaps:
        run = generator.simulate(climate, first_hour=first_hour, hours=known.forecast_end, members=members, seed=seed)
        for name in names:
            result[name][: known.forecast_end] = getattr(run, name)
    if known.forecast_end < hours:
        # one hour earlier, so that the join knows by how much the two differ
        begin = max(known.forecast_end - 1, 0)
        state = _state(known, climate, first_hour)
        run = generator.simulate(
            climate, first_hour=first_hour + begin, hours=hours - begin, members=members, seed=seed, state=state
        )
        for name in names:
            result[name][begin:] = getattr(run, name)
    return result


def _state(known: Known, climate: generator.Climate, first_hour: int) -> generator.State | None:
    """How the last whole known day before the outlook ended; None if it is not known."""
    begin = generator.first_midnight(first_hour + max(known.forecast_end - 1, 0), climate.place) - _DAY_H
    day = slice(begin - first_hour, begin - first_hour + _DAY_H)
    if day.start < 0:
        return None
    air_c, rain = known.values["temperature_c"][day], known.values["rain_mm"][day]
    if np.isnan(air_c).any() or np.isnan(rain).any():
        return None
    light = disaggregation.dimmed_frac(known.values["cloud_frac"][day]).mean(axis=0)
    figures = np.stack([air_c.max(axis=0), air_c.min(axis=0), np.where(np.isfinite(light), light, 0.7)], axis=-1)
    is_wet = rain.sum(axis=0) >= constant("rain", "wet_day_mm")
    return generator.state_after(climate, is_wet=is_wet, figures=figures, midnight=begin)


def _joined(known: Floats, simulated: Floats) -> Floats:
    """Known values, and between and after them the simulated ones, moved so that they begin and end where the known do,
    and forgetting that move within `memory_h.joining` hours; shape (hours, members)."""
    missing = np.isnan(known)
    if not missing.any():
        return known
    hours = known.shape[0]
    index = np.arange(hours)[:, None]
    before = np.maximum.accumulate(np.where(missing, -1, index), axis=0)
    after = np.minimum.accumulate(np.where(missing, hours, index)[::-1], axis=0)[::-1]
    move = np.where(missing, 0.0, known - simulated)
    memory_h = doubt.value("memory_h", "joining")
    weight_before = np.where(before >= 0, np.exp(-(index - before) / memory_h), 0.0)
    weight_after = np.where(after < hours, np.exp(-(after - index) / memory_h), 0.0)
    move_before = np.take_along_axis(move, np.maximum(before, 0), axis=0)
    move_after = np.take_along_axis(move, np.minimum(after, hours - 1), axis=0)
    total = np.maximum(weight_before + weight_after, 1e-12)
    moved = simulated + (weight_before**2 * move_before + weight_after**2 * move_after) / total
    return np.where(missing, moved, known)

"""Rain nobody wrote down: what may have fallen, and how it is made to agree with what somebody noticed.

Unknown is never dry. Each member gets rain that the season, the day's humidity and the day before make likely; a gauge
or a word then corrects the hours it covers, member by member.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.weather import disaggregation, doubt
from abaxial.weather.generator import Climate, first_midnight
from abaxial.weather.generator.days import day_of_year
from abaxial.weather.generator.matrices import constant, gamma_quantile
from abaxial.weather.observations import RainObservation

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

#: a day's humidity may make rain at most this many times likelier or less likely than the season does
_MOST_EVIDENCE = 20.0
#: a member whose rain would have to grow by more than this is given new hours of rain instead
_MOST_GROWTH = 20.0


def sample(rain_mm: Floats, humidity_frac: Floats, climate: Climate, *, first_hour: int, seed: int) -> Floats:
    """Rain with every unknown hour sampled [mm], shape (hours, members); known hours stay as they are.

    rain_mm : (hours, members), NaN where unknown. humidity_frac : (hours, members), 0 to 1, without gaps.
    Source: first-order chain and gamma amounts of richardson1981, the chain weighed by the day's humidity.
    """
    if not np.isnan(rain_mm).any():
        return rain_mm.copy()
    hours, members = rain_mm.shape
    begin = first_midnight(first_hour, climate.place)
    lead = first_hour - begin
    count = -(-(lead + hours) // 24)
    padding = ((lead, count * 24 - lead - hours), (0, 0))
    rain = np.pad(rain_mm, padding).reshape(count, 24, members)
    moist = np.pad(humidity_frac, padding, mode="edge").reshape(count, 24, members)
    unknown = np.isnan(rain)
    luck = (
        chance.uniforms(seed, "unknown rain/day", begin // 24, count * members * 2)
        .reshape(members, count, 2)
        .transpose(1, 0, 2)
    )
    course = day_of_year(begin + 24 * np.arange(count), climate.place)
    is_wet = _wet_days(rain, unknown, moist.mean(axis=1), climate, course, luck[:, :, 0])
    amount_mm = gamma_quantile(luck[:, :, 1], climate.daily.rain_shape) * climate.daily.rain_mean_mm[course][:, None]
    amount_mm = np.where(is_wet, amount_mm * unknown.mean(axis=1), 0.0)
    draws = (
        chance.uniforms(seed, "unknown rain/hours", begin // 24, 27 * count * members).reshape(members * count, 27).T
    )
    columns = np.where(unknown, moist, 0.0).transpose(1, 2, 0).reshape(24, members * count)
    spells = (
        disaggregation.rain_hours_mm(amount_mm.T.ravel(), columns, draws).reshape(24, members, count).transpose(2, 0, 1)
    )
    filled = np.where(unknown, spells, rain).reshape(count * 24, members)
    return np.asarray(filled[lead : lead + hours])


def forgotten(rain_mm: Floats, origins: NDArray[np.int64], lead_d: Floats, *, first_hour: int, seed: int) -> Floats:
    """Rain with those days made unknown on which a grid cell or a forecast says nothing of this garden, each member
    its own.

    rain_mm : (hours, members). origins : (hours,) index into doubt.ORIGINS. lead_d : (hours,) days ahead of now. Days
    here are 24 hours of UTC.
    """
    grid, ahead = (doubt.ORIGINS.index(name) for name in ("grid", "forecast"))
    if not np.isin(origins, (grid, ahead)).any():
        return rain_mm
    hours, members = rain_mm.shape
    day = (first_hour + np.arange(hours)) // 24
    unlike = np.where(np.isin(origins, (grid, ahead)), doubt.value("rain", "grid_unlike_frac"), 0.0)
    lost = np.where(origins == ahead, doubt.value("rain", "forecast_lost_per_day_frac") * lead_d, 0.0)
    share = 1.0 - (1.0 - unlike) * np.exp(-lost)
    count = int(day[-1] - day[0]) + 1
    luck = chance.uniforms(seed, "doubtful rain", int(day[0]), count * members).reshape(members, count).T
    return np.where(luck[day - day[0]] < share[:, None], np.nan, rain_mm)


def agree(
    rain_mm: Floats, humidity_frac: Floats, observations: Sequence[RainObservation], *, first_hour: int, seed: int
) -> Floats:
    """Rain that agrees with what was noticed, each member within the observation's error [mm], shape (hours, members).

    rain_mm, humidity_frac : (hours, members), without gaps. Hours of an observation outside the series are taken to
    have had their share of the amount. Long observations are honoured first, so that a short one inside keeps the
    last word.
    """
    result = rain_mm.copy()
    ordered = sorted(observations, key=lambda each: (each.first_hour - each.end_hour, each.first_hour))
    for observation in ordered:
        low = max(observation.first_hour - first_hour, 0)
        high = min(observation.end_hour - first_hour, result.shape[0])
        if high <= low:
            continue
        covered = (high - low) / (observation.end_hour - observation.first_hour)
        here = slice(low, high)
        result[here] = _agreed(result[here], humidity_frac[here], observation, covered, seed)
    return result


def _agreed(rain_mm: Floats, humidity_frac: Floats, observation: RainObservation, covered: float, seed: int) -> Floats:
    """One observation's hours, shape (hours, members)."""
    if not observation.happened:
        return np.zeros_like(rain_mm)
    hours, members = rain_mm.shape
    total_mm = rain_mm.sum(axis=0)
    purpose = f"noticed rain/{observation.first_hour}"
    middle_mm = observation.amount_mm if observation.amount_mm is not None else doubt.value("rain", "noticed_rain_mm")
    wanted_mm = middle_mm * covered * np.exp(observation.log_sd * doubt.lasting(seed, purpose, members))
    if observation.amount_mm is None:
        # only that it rained is known: who had rain keeps it
        wanted_mm = np.where(total_mm >= constant("rain", "wet_day_mm"), total_mm, wanted_mm)
    draws = (
        chance.uniforms(seed, purpose + "/hours", observation.end_hour, (3 + hours) * members).reshape(members, -1).T
    )
    fresh = disaggregation.rain_hours_mm(wanted_mm, humidity_frac, draws)
    scaled = rain_mm * (wanted_mm / np.maximum(total_mm, 1e-9))
    return np.asarray(np.where(total_mm * _MOST_GROWTH >= wanted_mm, scaled, fresh))


def _wet_days(
    rain: Floats, unknown: Bools, moist: Floats, climate: Climate, course: NDArray[np.int64], luck: Floats
) -> Bools:
    """Whether each day had rain, shape (days, members): as recorded where it was, otherwise drawn day after day."""
    known_mm = np.where(unknown, 0.0, rain).sum(axis=1)
    is_wet = known_mm >= constant("rain", "wet_day_mm")
    open_day = np.asarray(unknown.any(axis=1))
    dry, wet, sd = climate.moist_dry_frac, climate.moist_wet_frac, climate.moist_sd_frac
    log_evidence = ((moist - dry) ** 2 - (moist - wet) ** 2) / (2.0 * sd**2)
    evidence = np.exp(np.clip(log_evidence, -np.log(_MOST_EVIDENCE), np.log(_MOST_EVIDENCE)))
    daily = climate.daily
    settled = daily.after_dry_frac / (1.0 + daily.after_dry_frac - daily.after_wet_frac)
    before: Floats | Bools | None = None
    for day, on in enumerate(course):
        prior = settled[on] if before is None else np.where(before, daily.after_wet_frac[on], daily.after_dry_frac[on])
        odds = prior / (1.0 - prior) * evidence[day]
        is_wet[day] |= open_day[day] & (luck[day] < odds / (1.0 + odds))
        before = is_wet[day]
    return np.asarray(is_wet)

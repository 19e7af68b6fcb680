"""Sky: cloud from sunlight, sunlight from cloud, and both from the day's range of temperature where neither was measured.

A day's share of clear-sky sunlight gives its cloud; the night between two days takes what lies between theirs.
Sources: kasten1980 for cloud and sunlight; allen1998, Eq. 50, after hargreaves1982, for the range of temperature.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.place import Place
from abaxial.weather import sun
from abaxial.weather.series import Floats

Ints = NDArray[np.int64]

_DIMMING, _POWER, _POWER_OF_DAY = 0.75, 3.4, 2.0
#: share of extraterrestrial light per root of the day's range [K^-0.5]: 0.16 inland, 0.19 at the coast
_RANGE_SHARE = 0.175
_HIGH_SUN_DEG = 5.0
_ENOUGH_OF_DAY = 0.6
_HOURS_OF_RANGE = 20
_FARTHEST_NOONS_H = 72
_BEYOND_NOON_H = 36


def sunlight_share_frac(cloud_frac: ArrayLike) -> Floats:
    """Share of clear-sky sunlight that reaches the ground, 1 to 0.25, any shape. cloud_frac : 0 to 1.

    Source: kasten1980.
    """
    return 1.0 - _DIMMING * np.asarray(cloud_frac) ** _POWER


def cloud_of_day_frac(share_frac: ArrayLike) -> Floats:
    """Mean cloud of a day that let a share of clear-sky sunlight through, 0 to 1, any shape.

    The power is 2 and not 3.4, because a day is a mixture of hours. Fitted to the measured cloud of four typical years
    from 36 to 63° N: right on average to 0.03, but 0.13 too low in Alaska; a single day is out by 0.12 to 0.17.
    """
    return np.clip((1.0 - np.asarray(share_frac)) / _DIMMING, 0.0, 1.0) ** (1.0 / _POWER_OF_DAY)


def complete(
    shortwave_w_m2: Floats, cloud_frac: Floats, temperature_c: Floats, first_hour: int, place: Place
) -> tuple[Floats, Floats]:
    """Sunlight and cloud with what is missing put in from each other and from temperature, shape (hours,) each.

    What is given stays. What no day nearby can tell stays NaN: cloud in the polar night, days without temperature.
    """
    if shortwave_w_m2.size == 0:
        return shortwave_w_m2, cloud_frac
    middle = np.arange(first_hour, first_hour + shortwave_w_m2.size, dtype=np.float64) + 0.5
    elevation_deg = sun.solar_elevation_deg(middle, place)
    clear = sun.clear_sky_w_m2(elevation_deg, place.elevation_m)
    outside = sun.extraterrestrial_w_m2(elevation_deg, middle)
    solar_day = np.floor((middle + place.longitude_deg / 15.0) / 24.0).astype(np.int64)
    day = solar_day - solar_day[0]
    share = _share_of_days(np.where(elevation_deg > _HIGH_SUN_DEG, shortwave_w_m2, np.nan), clear, day)
    from_range = _share_from_range(temperature_c, outside, clear, day)
    share = np.where(np.isfinite(share), share, from_range)
    noon = (np.arange(share.size) + solar_day[0]) * 24.0 + 12.0 - place.longitude_deg / 15.0
    carried = np.minimum(_carry(share, np.asarray(noon), middle), 1.0)
    seen = np.isfinite(cloud_frac)
    cloud = np.where(seen, cloud_frac, cloud_of_day_frac(carried))
    light = np.where(clear > 0.0, clear * np.where(seen, sunlight_share_frac(cloud_frac), carried), 0.0)
    return np.where(np.isfinite(shortwave_w_m2), shortwave_w_m2, light), cloud


def _share_of_days(shortwave: Floats, clear: Floats, day: Ints) -> Floats:
    """Each day's measured part of clear-sky sunlight; NaN where less than three fifths of the day was measured."""
    there = np.isfinite(shortwave)
    possible = np.bincount(day, weights=clear)
    measured = np.bincount(day, weights=np.where(there, clear, 0.0))
    got = np.bincount(day, weights=np.where(there, shortwave, 0.0))
    enough = (measured > _ENOUGH_OF_DAY * possible) & (measured > 0.0)
    return np.where(enough, got / np.where(enough, measured, 1.0), np.nan)


def _share_from_range(temperature_c: Floats, outside: Floats, clear: Floats, day: Ints) -> Floats:
    """Each day's part of clear-sky sunlight, from its range of temperature; NaN without sun or temperature."""
    there = np.isfinite(temperature_c)
    lowest, highest = np.full(day[-1] + 1, np.inf), np.full(day[-1] + 1, -np.inf)
    np.minimum.at(lowest, day[there], temperature_c[there])
    np.maximum.at(highest, day[there], temperature_c[there])
    possible = np.bincount(day, weights=clear)
    enough = (np.bincount(day[there], minlength=lowest.size) >= _HOURS_OF_RANGE) & (possible > 0.0)
    span = np.where(enough, highest - lowest, 0.0)
    share = _RANGE_SHARE * np.sqrt(span) * np.bincount(day, weights=outside) / np.where(enough, possible, 1.0)
    return np.where(enough, share, np.nan)


def _carry(of_day: Floats, noon: Floats, hours: Floats) -> Floats:
    """A day's value at every hour, from the noons around it; NaN between noons too far apart, or beyond the next night."""
    known = np.isfinite(of_day)
    if not known.any():
        return np.full(hours.size, np.nan)
    noons = noon[known]
    after = np.searchsorted(noons, hours)
    left = np.where(after > 0, noons[np.maximum(after - 1, 0)], -np.inf)
    right = np.where(after < noons.size, noons[np.minimum(after, noons.size - 1)], np.inf)
    near = np.minimum(hours - left, right - hours) <= _BEYOND_NOON_H
    near |= right - left <= _FARTHEST_NOONS_H
    return np.where(near, np.interp(hours, noons, of_day[known]), np.nan)

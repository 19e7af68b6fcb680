"""Where the sun stands, and how much light it could give.

Position by Meeus's low-accuracy method with nutation, aberration and the parallax of the sun: good to 0.01 degrees from 1900
to 2100, for a sun seen without refraction. Times are hours since 1970 in UTC and may be fractions: the middle of hour
h is h + 0.5.
"""

from typing import Any

import numpy as np

from abaxial.compiled import formula
from abaxial.place import Place

#: sunlight outside the atmosphere at the earth's mean distance [W/m²], 0.0820 MJ/m²/min; source: allen1998, Eq. 21
SOLAR_CONSTANT_W_M2 = 0.0820e6 / 60.0
#: how far the clock of the heavens runs ahead of UTC [days]: 69 s around 2020; a minute's error moves the sun 0.0007°
_AHEAD_D = 69.0 / 86400.0


@formula
def solar_position(hours_utc: Any, latitude_deg: Any, longitude_deg: Any) -> Any:
    """Elevation above the horizon and azimuth clockwise from north of the sun's middle, two values [degrees].

    hours_utc : any shape, since 1970 [h], 1900 to 2100. latitude_deg : -90 to 90. longitude_deg : east positive.
    Source: meeus1998, chapters 12, 13, 22 and 25.
    """
    days = hours_utc / 24.0 - 10957.5  # since noon of 1 January 2000
    t = (days + _AHEAD_D) / 36525.0
    mean_deg = 280.46646 + t * (36000.76983 + t * 0.0003032)
    anomaly = np.radians(357.52911 + t * (35999.05029 - t * 0.0001537))
    centre_deg = (
        (1.914602 - t * (0.004817 + t * 0.000014)) * np.sin(anomaly)
        + (0.019993 - t * 0.000101) * np.sin(2.0 * anomaly)
        + 0.000289 * np.sin(3.0 * anomaly)
    )
    node = np.radians(125.04 - 1934.136 * t)
    longitude = np.radians(mean_deg + centre_deg - 0.00569 - 0.00478 * np.sin(node))
    obliquity = np.radians(23.4392911 - 0.0130042 * t + 0.00256 * np.cos(node))
    ascension = np.arctan2(np.cos(obliquity) * np.sin(longitude), np.cos(longitude))
    declination = np.arcsin(np.sin(obliquity) * np.sin(longitude))
    sidereal_deg = 280.46061837 + 360.98564736629 * days - 0.00478 * np.sin(node) * np.cos(obliquity)
    hour_angle = np.radians(np.mod(sidereal_deg + longitude_deg, 360.0)) - ascension
    latitude = np.radians(latitude_deg)
    sine = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination) * np.cos(hour_angle)
    elevation = np.arcsin(np.minimum(np.maximum(sine, -1.0), 1.0))
    azimuth = np.arctan2(
        -np.cos(declination) * np.sin(hour_angle),
        np.sin(declination) * np.cos(latitude) - np.cos(declination) * np.sin(latitude) * np.cos(hour_angle),
    )
    # we stand on the ground, not at the earth's centre
    parallax_deg = 0.002443 * np.cos(elevation)
    return np.degrees(elevation) - parallax_deg, np.mod(np.degrees(azimuth), 360.0)


def solar_elevation_deg(hours_utc: Any, place: Place) -> Any:
    """Height of the sun's middle above a level horizon, unrefracted [degrees], -90 to 90; any shape. Source: meeus1998."""
    return solar_position(hours_utc, place.latitude_deg, place.longitude_deg)[0]


def solar_azimuth_deg(hours_utc: Any, place: Place) -> Any:
    """Direction of the sun, clockwise from north [degrees], 0 to 360; any shape. Source: meeus1998."""
    return solar_position(hours_utc, place.latitude_deg, place.longitude_deg)[1]


@formula
def extraterrestrial_w_m2(elevation_deg: Any, hours_utc: Any) -> Any:
    """Sunlight on a level surface outside the atmosphere [W/m²], 0 by night.

    elevation_deg : any shape, of the sun, -90 to 90. hours_utc : since 1970, for the earth's distance from the sun.
    Source: allen1998, Eq. 21 and 23, for an instant.
    """
    day_of_year = np.mod(hours_utc / 24.0, 365.2425) + 1.0
    nearness = 1.0 + 0.033 * np.cos(2.0 * np.pi / 365.0 * day_of_year)
    return SOLAR_CONSTANT_W_M2 * nearness * np.maximum(np.sin(np.radians(elevation_deg)), 0.0)


@formula
def clear_sky_w_m2(elevation_deg: Any, elevation_m: Any) -> Any:
    """Sunlight on level ground under a cloudless sky [W/m²], 0 by night.

    elevation_deg : any shape, of the sun, -90 to 90. elevation_m : of the ground above the sea, -430 to 6000.
    Source: haurwitz1945 for sea level, raised with height as allen1998, Eq. 37, raises it.
    """
    sine = np.maximum(np.sin(np.radians(elevation_deg)), 0.0)
    return 1098.0 * (1.0 + elevation_m * 2e-5 / 0.75) * sine * np.exp(-0.059 / np.maximum(sine, 1e-3))

"""Published rules of thumb for whether a leaf is wet, and the simple dew formulas beside them.

They are what our leaf physics is compared with, not what it is made of. Each was found for certain sensors and seasons;
the docstring says which. Rules return True or False in the shape of their inputs.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import exp, formula
from abaxial.microclimate.vapour import (
    dew_point_depression_k,
    psychrometric_constant_kpa_per_k,
    saturation_vapour_pressure_kpa,
    slope_saturation_vapour_pressure_kpa_per_k,
)

#: heat that evaporates a millimetre of water in an hour [W/m²]; source: allen1998, Eq. 3-1 at 20 °C
W_M2_PER_MM_H = 2.45e6 / 3600.0


def humid_or_rained(relative_humidity_frac: Any, rain_mm: Any, threshold_frac: float) -> Any:
    """Wet where the air is at least so humid, or rain fell.

    threshold_frac : 0.90 by convention, 0.83 to 0.92 when fitted to a site. Source: sentelhas2008.
    """
    return (np.asarray(relative_humidity_frac) >= threshold_frac) | (np.asarray(rain_mm) > 0.0)


def humid_or_rained_in_dim_light(relative_humidity_frac: Any, rain_mm: Any, photons_umol_m2_s: Any) -> Any:
    """Wet where rain fell, or where the air is at least 0.85 humid and light below 644 µmol/m²/s.

    photons_umol_m2_s : sunlight that plants use. Source: rapilly1976.
    """
    humid, dim = np.asarray(relative_humidity_frac) >= 0.85, np.asarray(photons_umol_m2_s) < 644.0
    return (np.asarray(rain_mm) > 0.0) | (humid & dim)


def near_dew_point(depression_k: Any) -> Any:
    """Wet once the air is within 2.0 K of its dew point, until it is 3.8 K above it.

    depression_k : air temperature less dew point [K], hours first. Starts dry. Source: gillespie1993.
    """
    depression_k = np.asarray(depression_k, float)
    return _held(depression_k <= 2.0, depression_k >= 3.8)


def humid_with_trend(relative_humidity_frac: Any) -> Any:
    """Wet above 0.87, dry below 0.70, and between them wet while humidity rises fast, dry once it falls fast.

    relative_humidity_frac : every half hour, time first. Fast is a rise of 0.03 or a fall of 0.02 in the half hour; else
    what was stays. Starts dry. Source: wichink2004.
    """
    humidity = np.asarray(relative_humidity_frac, float)
    change = np.diff(humidity, axis=0, prepend=humidity[:1])
    return _held((humidity > 0.87) | ((humidity >= 0.70) & (change > 0.03)), (humidity < 0.70) | (change < -0.02))


def _held(turns_wet: NDArray[np.bool_], turns_dry: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """What is wet when something turns it wet, another thing dry, and it stays as it was between; wet goes first."""
    wet = np.zeros(turns_wet.shape, bool)
    now = np.zeros(turns_wet.shape[1:], bool)
    for hour in range(len(wet)):
        now = turns_wet[hour] | (now & ~turns_dry[hour])
        wet[hour] = now
    return wet


@formula
def calm_score(temperature_c: Any, relative_humidity_frac: Any, wind_speed_m_s: Any) -> Any:
    """Score of an hour with little wind, wet above 14.4674; any shape. See `tree_rule`. Source: kim2002."""
    percent, warm_c = 100.0 * relative_humidity_frac, np.maximum(temperature_c, 0.0)
    depression_k = dew_point_depression_k(temperature_c, relative_humidity_frac)
    return (
        1.6064 * np.sqrt(warm_c)
        + 0.0036 * warm_c * warm_c
        + 0.1531 * percent
        - 0.4599 * wind_speed_m_s * depression_k
        - 0.0035 * warm_c * percent
    )


@formula
def windy_score(temperature_c: Any, relative_humidity_frac: Any, wind_speed_m_s: Any) -> Any:
    """Score of an hour with wind, wet above 37.0; any shape. See `tree_rule`. Source: kim2002.

    Humidity enters squared. Copies in circulation have it plain; then no hour could ever score above 2.
    """
    percent, warm_c = 100.0 * relative_humidity_frac, np.maximum(temperature_c, 0.0)
    depression_k = dew_point_depression_k(temperature_c, relative_humidity_frac)
    return (
        0.7921 * np.sqrt(warm_c)
        + 0.0046 * percent * percent
        - 2.3889 * wind_speed_m_s
        - 0.0390 * warm_c * wind_speed_m_s
        + 1.0613 * wind_speed_m_s * depression_k
    )


def tree_rule(temperature_c: Any, relative_humidity_frac: Any, wind_speed_m_s: Any) -> Any:
    """Wet by a tree of three splits with a discriminant at two of its tips.

    temperature_c : 0 to 40. relative_humidity_frac : above 0 to 1. wind_speed_m_s : at 0.3 m. For hours without rain from
    May to September over turf in the middle of North America. Source: gleason1994, kim2002.
    """
    given = (
        np.asarray(temperature_c, float),
        np.asarray(relative_humidity_frac, float),
        np.asarray(wind_speed_m_s, float),
    )
    near = dew_point_depression_k(given[0], given[1]) < 3.7
    calm = given[2] < 2.5
    wet_in_calm = calm_score(*given) > 14.4674
    wet_in_wind = (given[1] >= 0.878) & (windy_score(*given) > 37.0)
    return near & np.where(calm, wet_in_calm, wet_in_wind)


@formula
def daily_wetness_h(humidity_max_frac: Any, humidity_min_frac: Any) -> Any:
    """Hours a leaf is wet in a day, from the day's extremes of humidity [h], 0 to 24; any shape.

    humidity_min_frac : 0.52 to 1; below, the source has another form, and this one rises again. Source: hijmans2001.
    """
    highest, lowest = 100.0 * humidity_max_frac, 100.0 * humidity_min_frac
    hours = exp(-8.0931 + 0.11637 * highest - 0.037157 * lowest + 0.00035871 * lowest * lowest)
    return np.minimum(hours, 24.0)


@formula
def sensor_resistance_s_m(wind_speed_m_s: Any) -> Any:
    """Resistance to heat around a plate of 7 cm [s/m]. wind_speed_m_s : any shape, above 0. Source: sentelhas2006."""
    return 307.0 * np.sqrt(0.07 / wind_speed_m_s)


@formula
def sensor_dew_w_m2(temperature_c: Any, relative_humidity_frac: Any, wind_speed_m_s: Any, net_w_m2: Any) -> Any:
    """Heat set free by dew on a plate of 7 cm 30 cm above turf [W/m²], below 0 where it dries; any shape.

    wind_speed_m_s : there, above 0. net_w_m2 : net radiation, below 0 by night. Source: sentelhas2006, Eq. 1, with air
    of 1200 J/m³/K and 0.064 kPa/K.
    """
    slope = slope_saturation_vapour_pressure_kpa_per_k(temperature_c)
    deficit_kpa = (1.0 - relative_humidity_frac) * saturation_vapour_pressure_kpa(temperature_c)
    return -(slope * net_w_m2 + 1200.0 * deficit_kpa / sensor_resistance_s_m(wind_speed_m_s)) / (slope + 0.064)


@formula
def greatest_dew_mm_h(temperature_c: Any, loss_w_m2: Any) -> Any:
    """Dew that saturated air can set down while the surface loses so much heat to the sky [mm/h]; any shape.

    temperature_c : 0 to 35. loss_w_m2 : net radiation lost, 0 to 100. Source: monteith1957.
    """
    slope = slope_saturation_vapour_pressure_kpa_per_k(temperature_c)
    return slope / (slope + psychrometric_constant_kpa_per_k(101.3)) * loss_w_m2 / W_M2_PER_MM_H


@formula
def covered_frac(film_mm: Any, storage_mm: Any) -> Any:
    """Share of a leaf that its water covers, 0 to 1; any shape. film_mm : 0 to storage_mm. Source: deardorff1978."""
    return np.minimum(film_mm / storage_mm, 1.0) ** (2.0 / 3.0)

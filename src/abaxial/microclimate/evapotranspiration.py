"""How much water the air draws from short grass: FAO-56 by day and by hour, Hargreaves where little is known.

Energies are in MJ per square metre and day or hour, as the source has them. Day of year runs from 1.
Source: allen1998, by equation number.
"""

from typing import Any

import numpy as np

from abaxial.compiled import exp, formula
from abaxial.microclimate.vapour import (
    psychrometric_constant_kpa_per_k,
    saturation_vapour_pressure_kpa,
    slope_saturation_vapour_pressure_kpa_per_k,
)

# numerator and denominator coefficients of short grass: allen1998, Eq. 6 and 53; asce2005 has others for hours and lucerne
GRASS_DAY = (900.0, 0.34)
GRASS_HOUR = (37.0, 0.34)

SOLAR_CONSTANT_MJ_M2_MIN = 0.0820
MM_PER_MJ_M2 = 0.408
STEFAN_BOLTZMANN_MJ_M2_K4_D = 4.903e-9
ALBEDO_FRAC = 0.23


@formula
def nearness(day_of_year: Any) -> Any:
    """Inverse relative distance from earth to sun, 0.967 to 1.033. day_of_year : any shape. Eq. 23."""
    return 1.0 + 0.033 * np.cos(2.0 * np.pi / 365.0 * day_of_year)


@formula
def declination_rad(day_of_year: Any) -> Any:
    """Declination of the sun [radians], good to half a degree. day_of_year : any shape. Eq. 24."""
    return 0.409 * np.sin(2.0 * np.pi / 365.0 * day_of_year - 1.39)


@formula
def sunset_hour_angle_rad(latitude_deg: Any, day_of_year: Any) -> Any:
    """Half the day's length as an angle [radians], 0 in polar night to pi in polar day; any shape. Eq. 25."""
    cosine = -np.tan(np.radians(latitude_deg)) * np.tan(declination_rad(day_of_year))
    return np.arccos(np.minimum(np.maximum(cosine, -1.0), 1.0))


@formula
def daylight_h(latitude_deg: Any, day_of_year: Any) -> Any:
    """Hours the sun is above a level horizon [h], 0 to 24; any shape. Eq. 34."""
    return 24.0 / np.pi * sunset_hour_angle_rad(latitude_deg, day_of_year)


@formula
def extraterrestrial_mj_m2_d(latitude_deg: Any, day_of_year: Any) -> Any:
    """Sunlight of a day on a level surface outside the atmosphere [MJ/m²/d]; any shape. Eq. 21."""
    latitude, declination = np.radians(latitude_deg), declination_rad(day_of_year)
    sunset = sunset_hour_angle_rad(latitude_deg, day_of_year)
    return (24.0 * 60.0 / np.pi * SOLAR_CONSTANT_MJ_M2_MIN * nearness(day_of_year)) * (
        sunset * np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination) * np.sin(sunset)
    )


@formula
def seasonal_correction_h(day_of_year: Any) -> Any:
    """Sun time ahead of mean time [h]. day_of_year : any shape. Eq. 32 and 33."""
    b = 2.0 * np.pi * (day_of_year - 81.0) / 364.0
    return 0.1645 * np.sin(2.0 * b) - 0.1255 * np.cos(b) - 0.025 * np.sin(b)


@formula
def extraterrestrial_mj_m2_h(latitude_deg: Any, longitude_deg: Any, day_of_year: Any, middle_h: Any) -> Any:
    """Sunlight of an hour on a level surface outside the atmosphere [MJ/m²/h], 0 by night; any shape.

    longitude_deg : east positive. middle_h : UTC time of the hour's middle, 0 to 24. Eq. 28 to 31, held at 0 where the
    hour lies outside sunrise and sunset.
    """
    latitude, declination = np.radians(latitude_deg), declination_rad(day_of_year)
    sunset = sunset_hour_angle_rad(latitude_deg, day_of_year)
    sunset = np.where(sunset < np.pi, sunset, 2.0 * np.pi)  # polar day: no hour is cut short
    solar_h = middle_h + longitude_deg / 15.0 + seasonal_correction_h(day_of_year) - 12.0
    middle = np.pi / 12.0 * (np.mod(solar_h + 12.0, 24.0) - 12.0)
    begin = np.minimum(np.maximum(middle - np.pi / 24.0, -sunset), sunset)
    end = np.minimum(np.maximum(middle + np.pi / 24.0, -sunset), sunset)
    return (12.0 * 60.0 / np.pi * SOLAR_CONSTANT_MJ_M2_MIN * nearness(day_of_year)) * (
        (end - begin) * np.sin(latitude) * np.sin(declination)
        + np.cos(latitude) * np.cos(declination) * (np.sin(end) - np.sin(begin))
    )


@formula
def sunlight_from_sunshine_mj_m2_d(extraterrestrial_mj_m2_d: Any, sunshine_h: Any, daylight_h: Any) -> Any:
    """Sunlight from hours of bright sunshine [MJ/m²/d]; any shape. Eq. 35 with 0.25 and 0.50."""
    return (0.25 + 0.50 * sunshine_h / daylight_h) * extraterrestrial_mj_m2_d


@formula
def sunlight_from_temperature_mj_m2_d(extraterrestrial_mj_m2_d: Any, span_k: Any, coefficient: Any) -> Any:
    """Sunlight from the day's span of temperature [MJ/m²/d]; any shape.

    span_k : warmest minus coldest [K]. coefficient : 0.16 inland, 0.19 at the coast. Eq. 50.
    """
    return coefficient * np.sqrt(span_k) * extraterrestrial_mj_m2_d


@formula
def clear_sky_mj_m2(extraterrestrial_mj_m2: Any, elevation_m: Any) -> Any:
    """Sunlight under a cloudless sky, by day or hour as what is given [MJ/m²]; any shape. Eq. 37."""
    return (0.75 + 2e-5 * elevation_m) * extraterrestrial_mj_m2


@formula
def net_shortwave_mj_m2(sunlight_mj_m2: Any) -> Any:
    """Sunlight kept by short grass [MJ/m²]; any shape. Eq. 38."""
    return (1.0 - ALBEDO_FRAC) * sunlight_mj_m2


@formula
def _longwave_loss(vapour_pressure_kpa: Any, relative_sunlight_frac: Any) -> Any:
    return (0.34 - 0.14 * np.sqrt(vapour_pressure_kpa)) * (1.35 * relative_sunlight_frac - 0.35)


@formula
def _held(relative_sunlight_frac: Any) -> Any:
    """Even the darkest sky counts for 0.3: asce2005, Eq. 18."""
    return np.minimum(np.maximum(relative_sunlight_frac, 0.3), 1.0)


@formula
def net_longwave_mj_m2_d(
    temperature_min_c: Any, temperature_max_c: Any, vapour_pressure_kpa: Any, relative_sunlight_frac: Any
) -> Any:
    """Heat lost to the sky by short grass in a day [MJ/m²/d]; any shape.

    relative_sunlight_frac : sunlight over that of a cloudless sky, 0.3 to 1. Eq. 39.
    """
    coldest, warmest = temperature_min_c + 273.16, temperature_max_c + 273.16
    fourth = 0.5 * (coldest * coldest * coldest * coldest + warmest * warmest * warmest * warmest)
    return STEFAN_BOLTZMANN_MJ_M2_K4_D * fourth * _longwave_loss(vapour_pressure_kpa, relative_sunlight_frac)


@formula
def net_longwave_mj_m2_h(temperature_c: Any, vapour_pressure_kpa: Any, relative_sunlight_frac: Any) -> Any:
    """Heat lost to the sky by short grass in an hour [MJ/m²/h]; any shape.

    relative_sunlight_frac : as by day; for hours of the night, that of the hours before sunset. Eq. 39, by the hour.
    """
    kelvin = temperature_c + 273.16
    fourth = kelvin * kelvin * kelvin * kelvin
    return STEFAN_BOLTZMANN_MJ_M2_K4_D / 24.0 * fourth * _longwave_loss(vapour_pressure_kpa, relative_sunlight_frac)


@formula
def soil_heat_mj_m2_d(before_c: Any, after_c: Any, coefficient: Any) -> Any:
    """Heat into the soil from one month's mean temperature to another's [MJ/m²/d]; any shape.

    coefficient : 0.07 from the month before to the month after (Eq. 43), 0.14 from the month before to this (Eq. 44).
    """
    return coefficient * (after_c - before_c)


@formula
def mean_saturation_kpa(temperature_min_c: Any, temperature_max_c: Any) -> Any:
    """Saturation vapour pressure over a day [kPa]; any shape. Eq. 12."""
    return 0.5 * (saturation_vapour_pressure_kpa(temperature_min_c) + saturation_vapour_pressure_kpa(temperature_max_c))


@formula
def vapour_pressure_from_extremes_kpa(
    temperature_min_c: Any, temperature_max_c: Any, humidity_max_frac: Any, humidity_min_frac: Any
) -> Any:
    """Vapour pressure from a day's extremes [kPa], the moistest hour being the coldest; any shape. Eq. 17."""
    return 0.5 * (
        saturation_vapour_pressure_kpa(temperature_min_c) * humidity_max_frac
        + saturation_vapour_pressure_kpa(temperature_max_c) * humidity_min_frac
    )


@formula
def reference_mm(
    temperature_c: Any, available_mj_m2: Any, wind_speed_m_s: Any, deficit_kpa: Any, psychrometric: Any, surface: Any
) -> Any:
    """Evapotranspiration of a reference surface in a day or an hour [mm]; any shape.

    available_mj_m2 : net radiation less heat into the soil. wind_speed_m_s : at 2 m. deficit_kpa : saturation less vapour
    pressure. psychrometric : constant [kPa/K]. surface : its two coefficients, such as GRASS_DAY. Eq. 6 and 53; asce2005, Eq. 1.
    """
    slope = slope_saturation_vapour_pressure_kpa_per_k(temperature_c)
    drying = psychrometric * surface[0] / (temperature_c + 273.0) * wind_speed_m_s * deficit_kpa
    return (MM_PER_MJ_M2 * slope * available_mj_m2 + drying) / (
        slope + psychrometric * (1.0 + surface[1] * wind_speed_m_s)
    )


@formula
def reference_mm_d(
    temperatures_c: Any,
    vapour_pressure_kpa: Any,
    wind_speed_m_s: Any,
    sunlight_mj_m2_d: Any,
    clear_sky_mj_m2_d: Any,
    pressure_kpa: Any,
) -> Any:
    """Evapotranspiration of short grass in a day [mm/d]; any shape.

    temperatures_c : coldest and warmest. wind_speed_m_s : at 2 m. The soil keeps no heat from day to day. Eq. 6.
    """
    coldest, warmest = temperatures_c
    relative = _held(sunlight_mj_m2_d / clear_sky_mj_m2_d)
    net = net_shortwave_mj_m2(sunlight_mj_m2_d) - net_longwave_mj_m2_d(coldest, warmest, vapour_pressure_kpa, relative)
    return reference_mm(
        0.5 * (coldest + warmest),
        net,
        wind_speed_m_s,
        mean_saturation_kpa(coldest, warmest) - vapour_pressure_kpa,
        psychrometric_constant_kpa_per_k(pressure_kpa),
        GRASS_DAY,
    )


@formula
def reference_mm_h(
    temperature_c: Any,
    relative_humidity_frac: Any,
    wind_speed_m_s: Any,
    sunlight_mj_m2_h: Any,
    relative_sunlight_frac: Any,
    pressure_kpa: Any,
) -> Any:
    """Evapotranspiration of short grass in an hour [mm/h]; any shape.

    wind_speed_m_s : at 2 m. sunlight_mj_m2_h : 0 by night. relative_sunlight_frac : as in `net_longwave_mj_m2_h`.
    A tenth of the net radiation warms the soil by day, half of the loss comes out of it by night. Eq. 45, 46 and 53.
    """
    saturation_kpa = saturation_vapour_pressure_kpa(temperature_c)
    vapour_kpa = relative_humidity_frac * saturation_kpa
    loss = net_longwave_mj_m2_h(temperature_c, vapour_kpa, _held(relative_sunlight_frac))
    net = net_shortwave_mj_m2(sunlight_mj_m2_h) - loss
    kept_frac = np.where(sunlight_mj_m2_h > 0.0, 0.9, 0.5)
    psychrometric = psychrometric_constant_kpa_per_k(pressure_kpa)
    return reference_mm(
        temperature_c, kept_frac * net, wind_speed_m_s, saturation_kpa - vapour_kpa, psychrometric, GRASS_HOUR
    )


@formula
def reference_from_temperature_mm_d(
    temperature_min_c: Any, temperature_max_c: Any, extraterrestrial_mj_m2_d: Any
) -> Any:
    """Evapotranspiration of short grass where only the thermometer is read [mm/d]; any shape. hargreaves1985; Eq. 52."""
    mean_c = 0.5 * (temperature_min_c + temperature_max_c)
    span_k = np.maximum(temperature_max_c - temperature_min_c, 0.0)
    return 0.0023 * (mean_c + 17.8) * np.sqrt(span_k) * MM_PER_MJ_M2 * extraterrestrial_mj_m2_d


@formula
def cover_coefficient(leaf_area_index: Any, bare: Any, full: Any) -> Any:
    """Evapotranspiration of a planting over that of short grass.

    leaf_area_index : any shape, 0 to 10. bare : of moist bare soil, about 0.15. full : under full foliage, about 1.1.
    Eq. 97, as the foliage closes.
    """
    return bare + (full - bare) * (1.0 - exp(-0.7 * leaf_area_index))

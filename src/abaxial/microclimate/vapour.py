"""Water vapour in the air: saturation, dew point, deficit and wet bulb.

Within one calculation use one saturation formula. The house uses Tetens's, as FAO-56 does; the others stand beside it to
be compared with, and differ from it by less than half a hundredth between 0 and 40 °C.
"""

from typing import Any

import numpy as np

from abaxial.compiled import exp, formula, log


@formula
def saturation_vapour_pressure_kpa(temperature_c: Any) -> Any:
    """Vapour pressure of saturated air over water [kPa].

    temperature_c : any shape [°C], -40 to 60. Source: allen1998, Eq. 11.
    """
    return 0.6108 * exp(17.27 * temperature_c / (temperature_c + 237.3))


@formula
def saturation_vapour_pressure_wmo_kpa(temperature_c: Any) -> Any:
    """Vapour pressure of saturated air over water [kPa].

    temperature_c : any shape [°C], -45 to 60. Source: wmo2018, Annex 4.B.
    """
    return 0.6112 * exp(17.62 * temperature_c / (243.12 + temperature_c))


@formula
def saturation_vapour_pressure_over_ice_kpa(temperature_c: Any) -> Any:
    """Vapour pressure of saturated air over ice [kPa].

    temperature_c : any shape [°C], -65 to 0. Source: wmo2018, Annex 4.B.
    """
    return 0.6112 * exp(22.46 * temperature_c / (272.62 + temperature_c))


@formula
def saturation_vapour_pressure_magnus_kpa(temperature_c: Any) -> Any:
    """Vapour pressure of saturated air over water [kPa], Magnus's form with refitted coefficients.

    temperature_c : any shape [°C], -40 to 50. Source: alduchov1996, Eq. 21.
    """
    return 0.61094 * exp(17.625 * temperature_c / (temperature_c + 243.04))


@formula
def slope_saturation_vapour_pressure_kpa_per_k(temperature_c: Any) -> Any:
    """Rise of saturation vapour pressure with temperature [kPa/K].

    temperature_c : any shape [°C], -40 to 60. Source: allen1998, Eq. 13.
    """
    denominator = temperature_c + 237.3
    return 4098.0 * saturation_vapour_pressure_kpa(temperature_c) / (denominator * denominator)


@formula
def vapour_pressure_kpa(temperature_c: Any, relative_humidity_frac: Any) -> Any:
    """Vapour pressure of air [kPa].

    temperature_c : any shape [°C], -40 to 60. relative_humidity_frac : 0 to 1. Source: allen1998, Eq. 10.
    """
    return relative_humidity_frac * saturation_vapour_pressure_kpa(temperature_c)


@formula
def vapour_pressure_deficit_kpa(temperature_c: Any, relative_humidity_frac: Any) -> Any:
    """How much more vapour the air could hold [kPa].

    temperature_c : any shape [°C], -40 to 60. relative_humidity_frac : 0 to 1. Source: allen1998, chapter 3.
    """
    return (1.0 - relative_humidity_frac) * saturation_vapour_pressure_kpa(temperature_c)


@formula
def relative_humidity_frac(temperature_c: Any, vapour_pressure_kpa: Any) -> Any:
    """Vapour pressure as a share of saturation, 0 to 1 and above 1 where the air is supersaturated.

    temperature_c : any shape [°C], -40 to 60. vapour_pressure_kpa : 0 to 20. Source: allen1998, Eq. 10.
    """
    return vapour_pressure_kpa / saturation_vapour_pressure_kpa(temperature_c)


@formula
def dew_point_c(vapour_pressure_kpa: Any) -> Any:
    """Temperature at which air of this vapour pressure is saturated over water [°C].

    vapour_pressure_kpa : any shape [kPa], above 0 to 20. Source: allen1998, Eq. 3-11 of Annex 3.
    Inverts saturation_vapour_pressure_kpa to 0.02 K.
    """
    logarithm = log(vapour_pressure_kpa)
    return (116.91 + 237.3 * logarithm) / (16.78 - logarithm)


@formula
def dew_point_wmo_c(vapour_pressure_kpa: Any) -> Any:
    """Temperature at which air of this vapour pressure is saturated over water [°C].

    vapour_pressure_kpa : any shape [kPa], above 0 to 20. Source: wmo2018, Annex 4.B.
    """
    logarithm = log(vapour_pressure_kpa / 0.6112)
    return 243.12 * logarithm / (17.62 - logarithm)


@formula
def dew_point_depression_k(temperature_c: Any, relative_humidity_frac: Any) -> Any:
    """How far the air must cool to be saturated [K].

    temperature_c : any shape [°C], -40 to 60. relative_humidity_frac : above 0 to 1. Source: allen1998, Eq. 3-11.
    """
    return temperature_c - dew_point_c(vapour_pressure_kpa(temperature_c, relative_humidity_frac))


@formula
def atmospheric_pressure_kpa(elevation_m: Any) -> Any:
    """Mean pressure of the air at a height above the sea [kPa].

    elevation_m : any shape [m], -430 to 6000. Source: allen1998, Eq. 7.
    """
    return 101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0) ** 5.26


@formula
def psychrometric_constant_kpa_per_k(pressure_kpa: Any) -> Any:
    """Psychrometric constant [kPa/K].

    pressure_kpa : any shape [kPa], 45 to 107. Source: allen1998, Eq. 8.
    """
    return 0.000665 * pressure_kpa


@formula
def vapour_pressure_from_wet_bulb_kpa(dry_c: Any, wet_c: Any, pressure_kpa: Any, coefficient_per_k: Any) -> Any:
    """Vapour pressure from a dry and a wet thermometer [kPa].

    dry_c, wet_c : any shape [°C], -5 to 50. pressure_kpa : 45 to 107. coefficient_per_k : 0.000662 ventilated at 5 m/s,
    0.0008 in natural air of 1 m/s, 0.0012 indoors in still air. Source: allen1998, Eq. 15 and 16.
    """
    return saturation_vapour_pressure_kpa(wet_c) - coefficient_per_k * pressure_kpa * (dry_c - wet_c)


@formula
def wet_bulb_c(temperature_c: Any, relative_humidity_frac: Any, pressure_kpa: Any) -> Any:
    """What a well ventilated wet thermometer shows [°C].

    temperature_c : any shape [°C], -5 to 50. relative_humidity_frac : above 0 to 1. pressure_kpa : 45 to 107.
    Source: allen1998, Eq. 15 with 0.000662 per K, solved by Newton's method; other definitions differ by up to 0.4 K.
    """
    coefficient = 0.000662 * pressure_kpa
    air_kpa = vapour_pressure_kpa(temperature_c, relative_humidity_frac)
    wet_c = temperature_c - 0.0
    for _ in range(6):
        excess = saturation_vapour_pressure_kpa(wet_c) - coefficient * (temperature_c - wet_c) - air_kpa
        wet_c = wet_c - excess / (slope_saturation_vapour_pressure_kpa_per_k(wet_c) + coefficient)
    return wet_c


@formula
def wet_bulb_stull_c(temperature_c: Any, relative_humidity_frac: Any) -> Any:
    """Wet-bulb temperature at sea level, fitted in closed form [°C].

    temperature_c : any shape [°C], -20 to 50. relative_humidity_frac : 0.05 to 0.99, not both cold and dry.
    Source: stull2011, Eq. 1.
    """
    percent = 100.0 * relative_humidity_frac
    return (
        temperature_c * np.arctan(0.151977 * np.sqrt(percent + 8.313659))
        + np.arctan(temperature_c + percent)
        - np.arctan(percent - 1.676331)
        + 0.00391838 * percent * np.sqrt(percent) * np.arctan(0.023101 * percent)
        - 4.686035
    )


@formula
def wet_bulb_from_dew_point_c(temperature_c: Any, vapour_pressure_kpa: Any) -> Any:
    """Wet-bulb temperature between dew point and air temperature, weighed by the slope at the dew point [°C].

    temperature_c : any shape [°C], -5 to 50. vapour_pressure_kpa : above 0 to 12. Source: mcmahon2013, Eq. S2.2.
    """
    dew_c = (116.9 + 237.3 * log(vapour_pressure_kpa)) / (16.78 - log(vapour_pressure_kpa))
    slope = 4098.0 * vapour_pressure_kpa / ((dew_c + 237.3) * (dew_c + 237.3))
    return (0.066 * temperature_c + slope * dew_c) / (0.066 + slope)

"""Radiation at a bed: heat from the sky by night and day, and how sunlight divides into beam and diffuse.

Everything is for a level surface. Longwave is what a body of that emissivity gives off.
"""

from typing import Any

import numpy as np

from abaxial.compiled import exp, formula, log

#: radiant heat of a black body over the fourth power of its temperature [W/m²/K⁴]
STEFAN_BOLTZMANN_W_M2_K4 = 5.670374e-8


@formula
def clear_sky_emissivity_frac(vapour_pressure_kpa: Any, temperature_c: Any) -> Any:
    """Emissivity of a cloudless sky, 0 to 1.

    vapour_pressure_kpa : any shape [kPa], above 0 to 6. temperature_c : -20 to 45. Source: brutsaert1975, Eq. 11.
    """
    return 1.24 * exp(log(10.0 * vapour_pressure_kpa / (temperature_c + 273.15)) / 7.0)


@formula
def clear_sky_emissivity_prata_frac(vapour_pressure_kpa: Any, temperature_c: Any) -> Any:
    """Emissivity of a cloudless sky, 0 to 1, from the water above [cm].

    vapour_pressure_kpa : any shape [kPa], 0 to 6. temperature_c : -40 to 45. Source: prata1996.
    """
    water_cm = 465.0 * vapour_pressure_kpa / (temperature_c + 273.15)
    return 1.0 - (1.0 + water_cm) * exp(-np.sqrt(1.2 + 3.0 * water_cm))


@formula
def clear_sky_emissivity_swinbank_frac(temperature_c: Any) -> Any:
    """Emissivity of a cloudless sky where only temperature is known, 0 to 1.

    temperature_c : any shape [°C], 0 to 30. Source: swinbank1963.
    """
    kelvin = temperature_c + 273.15
    return 9.2e-6 * kelvin * kelvin


@formula
def clear_sky_emissivity_linear_frac(temperature_c: Any) -> Any:
    """Emissivity of a cloudless sky where only temperature is known, 0 to 1.

    temperature_c : any shape [°C], 0 to 35. Source: campbell1985, chapter 12.
    """
    return 0.72 + 0.005 * temperature_c


@formula
def cloudy_sky_emissivity_frac(clear_sky_emissivity_frac: Any, cloud_frac: Any) -> Any:
    """Emissivity of a sky with clouds, 0 to 1.

    clear_sky_emissivity_frac : any shape, 0 to 1. cloud_frac : share of sky covered, 0 to 1. Source: unsworth1975.
    """
    return (1.0 - 0.84 * cloud_frac) * clear_sky_emissivity_frac + 0.84 * cloud_frac


@formula
def longwave_w_m2(emissivity_frac: Any, temperature_c: Any) -> Any:
    """Heat radiated by a body of this emissivity and temperature [W/m²].

    emissivity_frac : any shape, 0 to 1. temperature_c : -60 to 80. Source: campbell1998, Eq. 10.7.
    """
    kelvin = temperature_c + 273.15
    squared = kelvin * kelvin
    return emissivity_frac * STEFAN_BOLTZMANN_W_M2_K4 * squared * squared


@formula
def diffuse_frac(clearness_frac: Any) -> Any:
    """Share of hourly sunlight that comes from the whole sky instead of straight from the sun, 0 to 1.

    clearness_frac : any shape, sunlight over that outside the atmosphere, 0 to 1. Source: erbs1982.
    """
    k = np.minimum(np.maximum(clearness_frac, 0.0), 0.8)
    cloudy = 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + 12.336 * k)))
    return np.where(k > 0.22, cloudy, 1.0 - 0.09 * k)

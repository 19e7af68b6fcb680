"""The open air as a leaf feels it: vapour, wind, sun split into beam and diffuse light, and the cold of the sky."""

import numpy as np
from numpy.typing import NDArray

from abaxial.microclimate import radiation, vapour
from abaxial.microclimate.exposure import When
from abaxial.weather import sun
from abaxial.weather.ensemble import WeatherEnsemble

# below this height of the sun, beam sunlight on level ground is not told apart from diffuse light [degrees]
_LOW_SUN_DEG = 3.0


def open_air(ensemble: WeatherEnsemble, when: When) -> NDArray[np.float64]:
    """What acts on every leaf before its bed is known.

    Returns (hours, 8, members), rows as in kernel.AIR. sky_longwave is sky minus air radiation on a level black surface,
    below zero. Sources: allen1998 for vapour, brutsaert1975 and unsworth1975 for the sky, erbs1982 for diffuse light.
    """
    temperature = ensemble.temperature_c
    saturation = vapour.saturation_vapour_pressure_kpa(temperature)
    vapour_kpa = saturation * ensemble.relative_humidity_frac
    beam, diffuse = beam_and_diffuse_w_m2(ensemble, when)
    clear = radiation.clear_sky_emissivity_frac(vapour_kpa, temperature)
    sky = np.minimum(radiation.cloudy_sky_emissivity_frac(clear, ensemble.cloud_frac), 1.0)
    black = radiation.longwave_w_m2(1.0, temperature)
    rows = (
        temperature,
        vapour_kpa,
        saturation,
        ensemble.wind_speed_m_s,
        ensemble.rain_mm,
        beam,
        diffuse,
        (sky - 1.0) * black,
    )
    return np.ascontiguousarray(np.stack(rows, axis=1), dtype=np.float64)


def beam_and_diffuse_w_m2(ensemble: WeatherEnsemble, when: When) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Sunlight on level ground from the sun's disc and from the rest of the sky [W/m²], each (hours, members)."""
    elevation = when.sun_elevation_deg
    outside = np.maximum(sun.extraterrestrial_w_m2(elevation, when.hours + 0.5), 1.0)[:, None]
    clearness = np.clip(ensemble.shortwave_w_m2 / outside, 0.0, 1.0)
    share = np.where(elevation[:, None] > _LOW_SUN_DEG, radiation.diffuse_frac(clearness), 1.0)
    diffuse = ensemble.shortwave_w_m2 * share
    return ensemble.shortwave_w_m2 - diffuse, diffuse

"""The leaf kernel's equations in vectorised NumPy: the peer of the benchmark and the oracle of a test.

One hour at a time, all columns at once, with the same formulas that the kernel compiles.
"""

import numpy as np
from numpy.typing import NDArray

from abaxial.microclimate import kernel

Floats = NDArray[np.float64]


def leaf_hours(film: Floats, drivers: kernel.Drivers, leaf: kernel.Leaf, answer: NDArray[np.float32]) -> None:
    """As kernel.leaf_hours."""
    exchange, wet_low, wet_span, storage_factor, splash, moist_factor = drivers.members
    solute = leaf.solute_mm
    width, storage = leaf.leaf_width_m[:, None], leaf.storage_mm[:, None] * storage_factor
    forced_per_m_s, free = kernel.FORCED_HEAT / width * exchange**2, kernel.FREE_HEAT / width**0.5
    constants = (
        solute,
        kernel.VAPOUR_TO_HEAT * kernel.MM_H_PER_MOL / leaf.pressure_kpa,
        2.0 * leaf.emissivity_frac * kernel.STEFAN_BOLTZMANN,
    )
    for h in range(answer.shape[1]):
        air_c, vapour_open, saturation, wind, rain, beam, diffuse, sky_longwave = drivers.air[h]
        day = drivers.day[h]
        sky, through, store = (
            each[day][:, None] for each in (drivers.sky_frac, drivers.through_frac, drivers.store_mm)
        )
        wind_here = np.maximum(wind * drivers.wind_frac[day][:, None], leaf.calm_wind_m_s)
        moist = drivers.moist_frac[day][:, None] * moist_factor
        pull = np.minimum(moist / (1.0 + wind_here / leaf.moist_wind_m_s), kernel.MOIST_MOST)
        vapour_kpa = vapour_open + (saturation - vapour_open) * pull
        fed = rain * through + np.maximum(rain * (1.0 - through) - store, 0.0) + drivers.overhead_mm[h][:, None]
        upper_before, lower_before = film[:, 0] + fed, film[:, 1] + fed * splash
        light = beam * drivers.beam_frac[h][:, None] + diffuse * sky
        gained = leaf.absorptivity_frac * light + leaf.emissivity_frac * sky * sky_longwave
        stomata = leaf.stomata_mol_m2_s * light / (light + kernel.STOMATA_LIGHT)
        forced = forced_per_m_s * wind_here
        now = (air_c, vapour_kpa, upper_before, lower_before, gained, forced, free, stomata)
        difference = film[:, 2]
        for _ in range(4):
            difference, upper, lower = kernel.newton_step(difference, now, constants)
        upper, lower = np.minimum(upper, storage), np.minimum(lower, storage)
        for row, before, after in ((0, upper_before, upper), (1, lower_before, lower)):
            mean = 0.5 * (np.minimum(before, storage) + after)
            answer[:, h, row] = np.clip((mean / (mean + solute) - wet_low) / wet_span, 0.0, 1.0)
        answer[:, h, 2], answer[:, h, 3] = air_c + difference, upper + lower
        film[:, 0], film[:, 1], film[:, 2] = upper, lower, difference

"""How long a spore that waits on a leaf stays alive: sunlight kills it, darkness hardly does."""

from typing import Any

import numpy as np

from abaxial.compiled import exp, formula


@formula
def germinable_after_sun_frac(dose_mj_m2: Any, lethal_mj_m2: Any) -> Any:
    """Share of spores that still germinate after a dose of sunlight, as measured: a straight line [0 to 1].

    dose_mj_m2 : global sunlight received [MJ/m²], 0 or more. lethal_mj_m2 : dose after which none germinates.
    Source: isard2006, 28 MJ/m² for soybean rust.
    """
    return np.maximum(1.0 - dose_mj_m2 / lethal_mj_m2, 0.0)


@formula
def alive_frac(dose_mj_m2: Any, dark_d: Any, sun_loss_per_mj: Any, dark_loss_per_d: Any) -> Any:
    """Share of spores alive after a dose of sunlight and a time [0 to 1].

    dose_mj_m2 : [MJ/m²], 0 or more. dark_d : time passed, sunlit or not [d]. sun_loss_per_mj, dark_loss_per_d : rates.
    Exponential, so that doses add up and spores of different ages may be counted together; at 0.07 per MJ it keeps
    within 0.15 of the straight line of isard2006.
    """
    return exp(-(dose_mj_m2 * sun_loss_per_mj + dark_d * dark_loss_per_d))


@formula
def dose_mj_m2_h(sun_w_m2: Any) -> Any:
    """Sunlight of one hour as a dose [MJ/m²]. sun_w_m2 : mean of the hour [W/m²]."""
    return sun_w_m2 * 0.0036

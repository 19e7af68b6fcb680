"""A rust's curves written out as tables, one for each draw, so that a night's arithmetic is reading and adding.

All draws of a member feel the same temperature in the same hour. So a table has one row for each quarter degree and
one column for each draw: an hour reads two neighbouring rows and goes between them.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.infection.draws import Draws
from abaxial.infection.latency import ripening_per_h
from abaxial.infection.response import beta_response_frac, spread_h
from abaxial.infection.survival import alive_frac

COLDEST_C, WARMEST_C, ROWS_PER_C = -10.0, 50.0, 4

Floats = NDArray[np.float64]


class Curves(NamedTuple):
    """What the kernel reads. infection_frac, ripening_per_h : (members, rows, draws); the others (members, draws).

    dark_alive_frac : share of waiting spores that outlive one hour without sun.
    """

    infection_frac: NDArray[np.float32]
    ripening_per_h: NDArray[np.float32]
    first_wet_h: Floats
    spread_h: Floats
    germination_h: Floats
    break_kill_frac: Floats
    sun_loss_per_mj: Floats
    dark_alive_frac: Floats
    wet_hour_frac: float
    humid_pause_frac: float


def curves_of(draws: Draws) -> Curves:
    """The tables of a set of draws, for leaf temperatures from -10 to 50 °C. Good for all plantings of one rust."""
    rows_c = COLDEST_C + np.arange(int((WARMEST_C - COLDEST_C) * ROWS_PER_C) + 1) / ROWS_PER_C
    at = rows_c[np.newaxis, :, np.newaxis]
    infection = beta_response_frac(
        at, _wide(draws.infection_minimum_c), _wide(draws.infection_optimum_c), _wide(draws.infection_maximum_c)
    )
    ripening = ripening_per_h(
        at,
        _wide(draws.latent_minimum_c),
        _wide(draws.latent_optimum_c),
        _wide(draws.latent_maximum_c),
        _wide(draws.shortest_latent_d),
    )
    return Curves(
        infection_frac=infection.astype(np.float32),
        ripening_per_h=ripening.astype(np.float32),
        first_wet_h=draws.first_wet_h,
        spread_h=spread_h(draws.first_wet_h, draws.full_wet_h),
        germination_h=draws.germination_h,
        break_kill_frac=draws.break_kill_frac,
        sun_loss_per_mj=draws.sun_loss_per_mj,
        dark_alive_frac=alive_frac(0.0, 1.0 / 24.0, draws.sun_loss_per_mj, draws.dark_loss_per_d),
        wet_hour_frac=draws.wet_hour_frac,
        humid_pause_frac=draws.humid_pause_frac,
    )


def _wide(values: Floats) -> Floats:
    return values[:, np.newaxis, :]

"""What a rust meets on the leaves of one planting: the face it enters by, its water, temperature, air and sun."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial.infection.kernel import LeafHours
from abaxial.microclimate import nights
from abaxial.microclimate.exposure import Exposure, When
from abaxial.microclimate.wetness import Wetness

Floats = NDArray[np.float64]


def leaf_hours(
    wetness: Wetness, leaves: slice, face: str, air: Floats, levels: Sequence[Exposure], when: When
) -> LeafHours:
    """Hourly conditions on a planting's leaves.

    leaves : which rows of wetness are this planting's, in the order of levels. face : "lower", "upper" or "both" (where
    either will do, the wetter one counts). air : from air.open_air.
    """
    upper, lower = wetness.wet_upper_frac[leaves], wetness.wet_lower_frac[leaves]
    wet = {"lower": lower, "upper": upper}.get(face)
    if wet is None:
        wet = np.maximum(upper, lower)
    humidity = nights.humidity_at_leaf_frac(air).astype(np.float32)[:, None, :]
    sun = np.stack([nights.sun_on_leaf_w_m2(air, level, when) for level in levels], axis=1)
    return LeafHours(
        np.moveaxis(wet, 0, 1),
        np.moveaxis(wetness.leaf_temperature_c[leaves], 0, 1),
        np.broadcast_to(humidity, sun.shape),
        sun,
    )

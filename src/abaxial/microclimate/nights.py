"""From hours to garden days: sums, means and bands over members."""

import numpy as np
from numpy.typing import NDArray

from abaxial.microclimate.exposure import Exposure, When
from abaxial.microclimate.wetness import Wetness

Floats = NDArray[np.float64]

#: the quantiles of a band
BAND = (0.1, 0.5, 0.9)


def daily_sum(values: NDArray[np.floating], when: When) -> Floats:
    """Sum over each garden day, (hours, ...) to (days, ...)."""
    starts = np.flatnonzero(np.diff(when.day, prepend=-1))
    return np.asarray(np.add.reduceat(np.asarray(values, np.float64), starts, axis=0))


def daily_mean(values: NDArray[np.floating], when: When) -> Floats:
    """Mean over each garden day, (hours, ...) to (days, ...); a day begun or ended early counts the hours it has."""
    counts = np.bincount(when.day).astype(float)
    return np.asarray(daily_sum(values, when) / counts.reshape(-1, *([1] * (np.ndim(values) - 1))))


def wet_h(wetness: Wetness, when: When) -> Floats:
    """Hours with water on either face in each garden day [h], (leaves, days, members), 0 to 24."""
    wet = np.maximum(wetness.wet_upper_frac, wetness.wet_lower_frac)
    return np.stack([daily_sum(leaf, when) for leaf in wet])


def band(values: Floats, *, axis: int = -1) -> Floats:
    """10, 50 and 90 % over an axis, which becomes the last one."""
    return np.asarray(np.moveaxis(np.quantile(values, BAND, axis=axis), 0, -1))


def day_starts(when: When) -> NDArray[np.int64]:
    """Index of the first hour of each garden day, and of the hour after the last, (days + 1,)."""
    return np.append(np.flatnonzero(np.diff(when.day, prepend=-1)), when.day.size).astype(np.int64)


def sun_on_leaf_w_m2(air: Floats, leaf: Exposure, when: When) -> Floats:
    """Sunlight falling on a leaf's upper face [W/m²], (hours, members). air : from air.open_air."""
    return np.asarray(air[:, 5] * leaf.beam_frac[:, None] + air[:, 6] * leaf.sky_frac[when.day][:, None])


def humidity_at_leaf_frac(air: Floats) -> Floats:
    """Relative humidity of the open air, (hours, members), 0 to 1. air : from air.open_air."""
    return np.asarray(air[:, 1] / air[:, 2])

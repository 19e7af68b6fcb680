"""Leaf area as it comes, sinks and goes: what each day adds on top, hands down to the low leaves, and lets fall.

New leaves unfold at the top. As the plant rises above them, the oldest of the upper half become the youngest of the
lower half; the oldest of the lower half fall, or are taken off. Whatever a leaf carries goes with it.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.host.growth import Growth

Floats = NDArray[np.float64]


class LeafDays(NamedTuple):
    """Leaf area of plantings day by day, each (plantings, days).

    unfolded : new leaf area per ground area. sinking_frac : share of the upper half, new leaves included, that becomes
    lower half. fallen_frac : share of the lower half, what sank included, that falls or is taken. caught_frac :
    (plantings, 2, days) share of the spores among the leaves that a level holds, lower then upper.
    """

    unfolded: Floats
    sinking_frac: Floats
    fallen_frac: Floats
    caught_frac: NDArray[np.float64]


def leaf_days(growths: list[Growth], extinctions: list[float]) -> LeafDays:
    """The days of several plantings, all of one length.

    extinctions : how fast light, and with it a spore's chance to pass, fades among the leaves, per leaf area index.
    Growth that differs between members is taken at its mean.
    """
    parts = [_one(growth, extinction) for growth, extinction in zip(growths, extinctions, strict=True)]
    return LeafDays(*(np.ascontiguousarray(np.stack(each)) for each in zip(*parts, strict=True)))


def _one(growth: Growth, extinction: float) -> tuple[Floats, Floats, Floats, Floats]:
    lower, upper = _mean(growth.leaf_area_index_lower), _mean(growth.leaf_area_index_upper)
    hanging = _mean(growth.open_leaves)
    area_per_leaf = np.max(np.where(hanging > 1e-9, (lower + upper) / np.maximum(hanging, 1e-9), 0.0), initial=0.0)
    emerged = _mean(growth.emerged_leaves)
    new = np.diff(emerged, prepend=emerged[:1]) * area_per_leaf
    # what hangs at the start of the first day has unfolded on it
    new[:1] = lower[:1] + upper[:1]
    above = _shifted(upper) + new
    sunk = np.maximum(above - upper, 0.0)
    below = _shifted(lower) + sunk
    fallen = np.maximum(below - lower, 0.0)
    caught = 1.0 - np.exp(-extinction * np.stack([lower, upper]))
    return new, _share(sunk, above), _share(fallen, below), caught


def _shifted(values: Floats) -> Floats:
    return np.concatenate([[0.0], values[:-1]])


def _share(part: Floats, whole: Floats) -> Floats:
    return np.where(whole > 1e-12, np.minimum(part / np.maximum(whole, 1e-12), 1.0), 0.0)


def _mean(values: Floats) -> Floats:
    return values if values.ndim == 1 else values.mean(axis=1)

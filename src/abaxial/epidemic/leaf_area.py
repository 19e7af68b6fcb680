"""Leaf area as it comes, sinks and goes: what each day adds on top, hands down to the low leaves, and lets fall.

New leaves unfold at the top. As the plant rises above them, the oldest of the upper half become the youngest of the
lower half; the oldest of the lower half fall, or are taken off. Whatever a leaf carries goes with it.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import small_kernel
from abaxial.host.growth import Growth

Floats = NDArray[np.float64]


class LeafDays(NamedTuple):
    """Leaf area of plantings day by day, or of several courses of one; each (plantings, days).

    unfolded : new leaf area per ground area. sinking_frac : share of the upper half, new leaves included, that becomes
    lower half. fallen_frac : share of the lower half, what sank included, that falls. caught_frac : (plantings, 2, days)
    share of the spores among the leaves that a level holds, lower then upper, once all this has been done. cut_frac :
    (plantings, 2, days) share of a level, after sinking and falling, that is taken off whatever it carries.
    """

    unfolded: Floats
    sinking_frac: Floats
    fallen_frac: Floats
    caught_frac: NDArray[np.float64]
    cut_frac: NDArray[np.float64]


def leaf_days(
    growths: Sequence[Growth], extinctions: Sequence[float], taken_days: Sequence[Sequence[int]] | None = None
) -> LeafDays:
    """The days of several plantings, all of one length.

    extinctions : how fast light, and with it a spore's chance to pass, fades among the leaves, per leaf area index.
    taken_days : rows on which what each planting loses is cut and does not fall, where it matters where it is put.
    Growth that differs between members is taken at its mean.
    """
    taken = [()] * len(growths) if taken_days is None else taken_days
    parts = [_one(*each) for each in zip(growths, extinctions, taken, strict=True)]
    return LeafDays(*(np.ascontiguousarray(np.stack(each)) for each in zip(*parts, strict=True)))


def hanging(leaves: LeafDays) -> Floats:
    """Leaf area that hangs at the end of each day, (plantings, 2, days), lower then upper, nothing being there before."""
    plantings, days = leaves.unfolded.shape
    area = np.empty((plantings, 2, days))
    moves = (leaves.unfolded, leaves.sinking_frac, leaves.fallen_frac, leaves.cut_frac)
    # copies, because the compiler takes what must not be written to for another kind of array
    _hang(area, *(np.array(each, np.float64, order="C") for each in moves))
    return area


def new_frac(leaves: LeafDays) -> Floats:
    """How new a level's leaves are each day, (plantings, 2, days): share of the lower level's area that sank in from above
    that day, and of the upper's that unfolded; 0 where there are no leaves."""
    area = hanging(leaves)
    before = np.concatenate([np.zeros_like(area[..., :1]), area[..., :-1]], axis=2)
    above = before[:, 1] + leaves.unfolded
    sunk = leaves.sinking_frac * above
    return np.stack([_share(sunk, before[:, 0] + sunk), _share(leaves.unfolded, above)], axis=1)


def cut(leaves: LeafDays, cut_frac: Floats, extinctions: Sequence[float]) -> LeafDays:
    """The same leaves with more of them cut, from the first day of a season.

    cut_frac : (plantings, 2, days) share of a level that is taken off besides. extinctions : as in leaf_days. What
    unfolds, sinks and falls afterwards is as if nothing had been cut: for plants that grow anew give leaf_days a growth
    that was cut.
    """
    both = leaves._replace(cut_frac=1.0 - (1.0 - leaves.cut_frac) * (1.0 - cut_frac))
    fading = np.asarray(extinctions, np.float64)[:, np.newaxis, np.newaxis]
    return both._replace(caught_frac=1.0 - np.exp(-fading * hanging(both)))


def part(leaves: LeafDays, first_day: int, end_day: int) -> LeafDays:
    """Some days of them, from first_day up to end_day."""
    return LeafDays(*(each[..., first_day:end_day] for each in leaves))


@small_kernel
def _hang(area: Floats, unfolded: Floats, sinking_frac: Floats, fallen_frac: Floats, cut_frac: Floats) -> None:
    for p in range(area.shape[0]):
        lower, upper = 0.0, 0.0
        for day in range(area.shape[2]):
            upper += unfolded[p, day]
            sunk = sinking_frac[p, day] * upper
            lower = (1.0 - fallen_frac[p, day]) * (lower + sunk) * (1.0 - cut_frac[p, 0, day])
            upper = (upper - sunk) * (1.0 - cut_frac[p, 1, day])
            area[p, 0, day], area[p, 1, day] = lower, upper


def _one(growth: Growth, extinction: float, taken: Sequence[int]) -> tuple[Floats, ...]:
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
    falling, off = _share(fallen, below), np.zeros((2, new.size))
    rows = [row for row in taken if 0 <= row < new.size]
    off[0, rows], falling[rows] = falling[rows], 0.0
    return new, _share(sunk, above), falling, caught, off


def _shifted(values: Floats) -> Floats:
    return np.concatenate([[0.0], values[:-1]])


def _share(part: Floats, whole: Floats) -> Floats:
    return np.where(whole > 1e-12, np.minimum(part / np.maximum(whole, 1e-12), 1.0), 0.0)


def _mean(values: Floats) -> Floats:
    return values if values.ndim == 1 else values.mean(axis=1)

"""Leaves of a planting day by day: how many have come, how many have fallen or been taken, and how much area hangs.

Leaves are numbered along each shoot as they come, and the numbers run on smoothly: leaf 7.4 means seven leaves and four
tenths of the next. What hangs on the plant is then always one stretch of numbers, from the oldest leaf still attached
to the youngest. Age moves the old end up; taking the low leaves off moves it to the middle; cutting down moves it to the
young end. A shoot that has flowered is replaced by another from the same clump, so leaves never stop coming.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import small_kernel
from abaxial.host.species import Species

Floats = NDArray[np.float64]
Rows = NDArray[np.bool_]


@dataclass(frozen=True)
class Growth:
    """A planting's leaves, at the end of each day; all shaped like the temperatures, (days,) or (days, members).

    emerged_leaves, fallen_leaves, removed_leaves, open_leaves : per shoot, emerged = fallen + removed + open.
    oldest_leaf : number of the oldest leaf still attached. leaf_area_index_lower, leaf_area_index_upper : leaf area per
    ground area of the two halves of a full stand, by height. height_m : of the plants.
    """

    emerged_leaves: Floats
    fallen_leaves: Floats
    removed_leaves: Floats
    open_leaves: Floats
    oldest_leaf: Floats
    leaf_area_index_lower: Floats
    leaf_area_index_upper: Floats
    height_m: Floats


def growing_degrees_k(species: Species, temperature_c: Floats) -> Floats:
    """Thermal time of a day [K d]: none below the base, most at the optimum, none again above the maximum.

    temperature_c : mean of the day, any shape [°C].
    """
    base, best, most = species["growth_base_c"], species["growth_optimum_c"], species["growth_maximum_c"]
    rising = np.clip(temperature_c, base, best) - base
    too_hot = np.clip((most - temperature_c) / (most - best), 0.0, 1.0)
    return np.asarray(rising * too_hot)


def grow(
    species: Species,
    temperature_c: Floats,
    *,
    since_day: int,
    clumps: int,
    spacing_m: float,
    cuts: tuple[Sequence[int], Sequence[int]] = ((), ()),
) -> Growth:
    """The leaves of a planting.

    temperature_c : daily means, (days,) or (days, members) [°C]. since_day : row on which leaves began to grow; negative
    for a plant that was there before the first row, which then grew at the first fortnight's mean. clumps : 0 or more.
    spacing_m : between neighbours [m], above 0. cuts : rows on which the plants were cut to the ground, and rows on
    which the low leaves were taken off; negative rows count too.
    """
    daily = growing_degrees_k(species, np.asarray(temperature_c, np.float64))
    before = max(-since_day, 0)
    lead_in = np.repeat(daily[:14].mean(axis=0, keepdims=True), before, axis=0)
    warmth = np.concatenate([lead_in, daily])
    warmth[: since_day + before] = 0.0
    full = _full_stand_leaves(species, spacing_m)
    cut_down, low_off = ({row + before for row in rows} for rows in cuts)
    path = _walk_through(species, warmth, full, cut_down, low_off)
    return _growth(species, path[:, before:], full, clumps, spacing_m)


def kept_frac(growth: Growth, today: int) -> Floats:
    """Share of the leaves open on each day that hang on the plant today, (days,); the mean over members.

    1 where no leaf was open: nothing was there to lose. Days after today keep everything.
    """
    oldest, youngest = _mean(growth.oldest_leaf), _mean(growth.emerged_leaves)
    attached = youngest - np.maximum(oldest, np.where(np.arange(oldest.size) < today, oldest[today], oldest))
    there = youngest - oldest
    return np.where(there > 1e-9, np.maximum(attached, 0.0) / np.maximum(there, 1e-9), 1.0)


def upper_weight_frac(growth: Growth) -> Floats:
    """Share of the leaf area that is in the upper half, (days,); 0.5 where there are no leaves."""
    lower, upper = _mean(growth.leaf_area_index_lower), _mean(growth.leaf_area_index_upper)
    both = lower + upper
    return np.where(both > 1e-9, upper / np.maximum(both, 1e-9), 0.5)


def leaf_ranks_open_on(growth: Growth, day: int, today: int) -> tuple[int, int] | None:
    """Which leaves to turn for what came in on a day: ranks today, counted from the youngest open leaf, which is 1.

    day, today : rows, day not after today. None where all those leaves are gone, or none was fully open yet.
    """
    youngest, oldest = _mean(growth.emerged_leaves), _mean(growth.oldest_leaf)
    newest_today = int(np.floor(youngest[today] + 1e-9))
    newest_then = int(np.floor(youngest[day] + 1e-9))
    oldest_left = int(np.floor(max(oldest[today], oldest[day]) + 1e-9)) + 1
    if oldest_left > newest_then:
        return None
    return newest_today - newest_then + 1, newest_today - oldest_left + 1


def _full_stand_leaves(species: Species, spacing_m: float) -> float:
    """Leaves a shoot holds when fully grown: as many as live at once, or fewer where crowding shades the oldest off."""
    alive = species["leaf_lifespan_k_d"] / species["phyllochron_k_d"]
    room = species["largest_leaf_area_index"] * spacing_m**2 / (species["shoots_per_clump"] * species["leaf_area_m2"])
    return min(alive, room)


def _walk_through(
    species: Species, warmth_k: Floats, full: float, cut_down: set[int], low_off: set[int]
) -> NDArray[np.float64]:
    """(4, days, …): leaves emerged, oldest attached, fallen, and the number of the first leaf since the last cut."""
    path = np.empty((4, *warmth_k.shape))
    days = np.arange(len(warmth_k))
    rows = (np.isin(days, list(cut_down)), np.isin(days, list(low_off)))
    pace = (species["phyllochron_k_d"], full, species["regrowth_delay_k_d"])
    _walk(path.reshape(4, days.size, -1), warmth_k.reshape(days.size, -1), *rows, pace)
    return path


@small_kernel
def _walk(path: Floats, warmth_k: Floats, is_cut: Rows, is_low_off: Rows, pace: tuple[float, float, float]) -> None:
    phyllochron_k_d, full, regrowth_delay_k_d = pace
    for member in range(warmth_k.shape[1]):
        emerged, oldest, fallen, first, waiting_k = 0.0, 0.0, 0.0, 0.0, 0.0
        for day in range(warmth_k.shape[0]):
            used = min(waiting_k, warmth_k[day, member])
            waiting_k -= used
            emerged += (warmth_k[day, member] - used) / phyllochron_k_d
            aged = max(emerged - full, oldest)
            fallen, oldest = fallen + aged - oldest, aged
            if is_low_off[day]:
                oldest = max(oldest, (emerged + max(emerged - full, first)) / 2.0)
            if is_cut[day]:
                oldest, first = emerged, emerged
                waiting_k = regrowth_delay_k_d
            path[0, day, member], path[1, day, member] = emerged, oldest
            path[2, day, member], path[3, day, member] = fallen, first


def _growth(species: Species, path: Floats, full: float, clumps: int, spacing_m: float) -> Growth:
    emerged, oldest, fallen, first = path if clumps > 0 else np.zeros_like(path)
    middle = (emerged + np.maximum(emerged - full, first)) / 2.0
    area = species["leaf_area_m2"] * species["shoots_per_clump"] / spacing_m**2
    return Growth(
        emerged_leaves=emerged,
        fallen_leaves=fallen,
        removed_leaves=oldest - fallen,
        open_leaves=emerged - oldest,
        oldest_leaf=oldest,
        leaf_area_index_lower=np.maximum(middle - oldest, 0.0) * area,
        leaf_area_index_upper=(emerged - np.maximum(middle, oldest)) * area,
        height_m=species["plant_height_m"] * np.minimum((emerged - first) / species["leaves_to_full_height"], 1.0),
    )


def _mean(values: Floats) -> Floats:
    return values if values.ndim == 1 else values.mean(axis=1)

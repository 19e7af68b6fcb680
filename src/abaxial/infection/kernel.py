"""From hours on a leaf to what got into it: spores land, wait, die in the sun, germinate when wet, enter, and ripen.

If spores were about they would land evenly, one twenty-fourth of a day's fall each hour. What lies on the leaf waits.
When it becomes wet, all that lies there goes into the spell together, and the spell's progress is counted in hours at
the best temperature. Past the first hours that infection needs, a growing share of them is inside. Those that land
during the spell follow behind in a steady stream: in each hour as large a share of one hour's fall gets in as the spell
has let in so far, which is exact at a constant temperature. A humid pause costs nothing; a dry break kills of those that
had germinated, and the rest wait again. Ripening goes on every hour, stalls in cold and heat, and is never undone.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import exp, kernel, prange, small_kernel
from abaxial.errors import FaultError
from abaxial.infection.curves import COLDEST_C, ROWS_PER_C, Curves
from abaxial.infection.survival import dose_mj_m2_h

Floats = NDArray[np.float64]


class LeafHours(NamedTuple):
    """Hourly conditions where the rust enters; each (hours, levels, members), without gaps.

    wet_frac : share of the face with free water, 0 to 1. leaf_temperature_c [°C]. relative_humidity_frac : at the leaf.
    sun_on_leaf_w_m2 : global sunlight that reaches the leaf [W/m²].
    """

    wet_frac: NDArray[Any]
    leaf_temperature_c: NDArray[Any]
    relative_humidity_frac: NDArray[Any]
    sun_on_leaf_w_m2: NDArray[Any]


class Nights(NamedTuple):
    """What each garden day let in. Axes (levels, members, days, draws).

    infected_frac : of the spores on the leaf that day, the share that got in, 0 to 1. progress : latent periods passed
    since the first day, at the start of each day and the end of the last, (…, days + 1, …). progress_at_infection :
    the same at the moment of that day's infections (at the start of the day where there were none).
    """

    infected_frac: NDArray[np.float32]
    progress: NDArray[np.float32]
    progress_at_infection: NDArray[np.float32]


def infect(hours: LeafHours, curves: Curves, day_start: NDArray[np.int64]) -> Nights:
    """What each garden day let in, for every level, member and draw.

    day_start : hour offsets, (days + 1,), rising: where each garden day begins, and where the last ends. Hours outside
    are not looked at. The leaf is clean on the first day. Raises FaultError where the hours have gaps.
    """
    ready = LeafHours(*(np.ascontiguousarray(each, np.float32) for each in hours))
    if not all(np.isfinite(each).all() for each in ready):
        raise FaultError("There are gaps in the hours on the leaf; weather must be filled before.")
    _, levels, members = ready.wet_frac.shape
    days, draws = len(day_start) - 1, curves.first_wet_h.shape[1]
    nights = Nights(
        np.empty((levels, members, days, draws), np.float32),
        np.empty((levels, members, days + 1, draws), np.float32),
        np.empty((levels, members, days, draws), np.float32),
    )
    _infect(nights, ready, curves, np.asarray(day_start, np.int64))
    return nights


# the workspace: LANES draws side by side, one row a quantity; a fixed width lets the compiler run several at once
LANES = 64
(
    WAITING,  # spores that lie on the leaf outside the spell, in days' falls
    COHORT,  # those that were there when the spell began
    OUTSIDE,  # share of them not yet in the leaf
    PROGRESS,  # of the spell, in hours at the best temperature
    RIPE,  # latent progress since the first day
    CAUGHT,  # what entered today
    RIPE_CAUGHT,  # that times RIPE at the moment
    ON_LEAF,  # spores on the leaf as the day began
    ALIVE,  # share that outlives the hour
    SPEED,  # hours at the best temperature that this hour is worth
    FIRST,
    PER_SPREAD,
    PER_READY,
    KILL,
    SUN,
    DARK,
    END,
) = range(0, 17 * LANES, LANES)


@kernel
def _infect(nights: Nights, hours: LeafHours, curves: Curves, day_start: Any) -> None:
    _, levels, members = hours.wet_frac.shape
    blocks = (curves.first_wet_h.shape[1] + LANES - 1) // LANES
    for piece in prange(levels * members * blocks):
        # a function of its own, so that the compiler does not split its array lines among threads
        row = piece // blocks
        _one_row(nights, hours, curves, day_start, (row // members, row % members, piece % blocks * LANES))


@small_kernel
def _one_row(nights: Nights, hours: LeafHours, curves: Curves, day_start: Any, where: Any) -> None:
    level, m, first = where
    count = min(LANES, curves.first_wet_h.shape[1] - first)
    w = _workspace(curves, m, first, count)
    in_spell = False
    for day in range(day_start.size - 1):
        _open_day(w)
        for j in range(count):
            nights.progress[level, m, day, first + j] = w[RIPE + j]
        landing = 1.0 / (day_start[day + 1] - day_start[day])
        for hour in range(day_start[day], day_start[day + 1]):
            low, part = _table_row(hours.leaf_temperature_c[hour, level, m], curves.infection_frac.shape[1])
            below, above = curves.ripening_per_h[m, low], curves.ripening_per_h[m, low + 1]
            for j in range(count):
                w[RIPE + j] += below[first + j] + part * (above[first + j] - below[first + j])
            _survive(w, dose_mj_m2_h(max(hours.sun_on_leaf_w_m2[hour, level, m], 0.0)))
            if hours.wet_frac[hour, level, m] >= curves.wet_hour_frac:
                if not in_spell:
                    _begin_spell(w)
                    in_spell = True
                below, above = curves.infection_frac[m, low], curves.infection_frac[m, low + 1]
                for j in range(count):
                    w[SPEED + j] = below[first + j] + part * (above[first + j] - below[first + j])
                _enter(w, landing)
                continue
            if in_spell and hours.relative_humidity_frac[hour, level, m] < curves.humid_pause_frac:
                _dry_break(w)
                in_spell = False
            _lie(w, landing)
        for j in range(count):
            caught, start = w[CAUGHT + j], nights.progress[level, m, day, first + j]
            nights.infected_frac[level, m, day, first + j] = caught / (w[ON_LEAF + j] + 1.0)
            moment = w[RIPE_CAUGHT + j] / caught if caught > 1e-12 else start
            nights.progress_at_infection[level, m, day, first + j] = moment
    for j in range(count):
        nights.progress[level, m, day_start.size - 1, first + j] = w[RIPE + j]


@small_kernel
def _workspace(curves: Curves, m: int, first: int, count: int) -> Any:
    """A clean leaf, and what each draw knows of its rust; lanes without a draw stay at nothing."""
    w = np.zeros(END)
    for j in range(count):
        w[FIRST + j] = curves.first_wet_h[m, first + j]
        w[PER_SPREAD + j] = 1.0 / curves.spread_h[m, first + j]
        w[PER_READY + j] = 1.0 / curves.germination_h[m, first + j]
        w[KILL + j] = curves.break_kill_frac[m, first + j]
        w[SUN + j] = curves.sun_loss_per_mj[m, first + j]
        w[DARK + j] = curves.dark_alive_frac[m, first + j]
    return w


@small_kernel
def _open_day(w: Any) -> None:
    for j in range(LANES):
        w[ON_LEAF + j] = w[WAITING + j] + w[COHORT + j] * w[OUTSIDE + j]
        w[CAUGHT + j] = 0.0
        w[RIPE_CAUGHT + j] = 0.0


@small_kernel
def _table_row(temperature_c: Any, rows: Any) -> Any:
    place = min(max((temperature_c - COLDEST_C) * ROWS_PER_C, 0.0), rows - 1.001)
    low = int(place)
    return low, place - low


@small_kernel
def _survive(w: Any, dose_mj: float) -> None:
    if dose_mj == 0.0:
        for j in range(LANES):
            w[ALIVE + j] = w[DARK + j]
        return
    for j in range(LANES):
        w[ALIVE + j] = w[DARK + j] * exp(-w[SUN + j] * dose_mj)


@small_kernel
def _begin_spell(w: Any) -> None:
    """All that lies on the leaf goes into the wet spell together."""
    for j in range(LANES):
        w[COHORT + j] = w[WAITING + j]
        w[WAITING + j] = 0.0
        w[OUTSIDE + j] = 1.0
        w[PROGRESS + j] = 0.0


@small_kernel
def _enter(w: Any, landing: float) -> None:
    """A wet hour: the spell goes on, some of its spores enter, and some of those that land follow behind."""
    for j in range(LANES):
        after = w[PROGRESS + j] + w[SPEED + j]
        scaled = max(after - w[FIRST + j], 0.0) * w[PER_SPREAD + j]
        outside = exp(-scaled * scaled)
        cohort = w[COHORT + j] * w[ALIVE + j]
        entered = cohort * (w[OUTSIDE + j] - outside) + landing * (1.0 - outside)
        w[WAITING + j] = w[WAITING + j] * w[ALIVE + j] + landing * outside
        w[COHORT + j] = cohort
        w[OUTSIDE + j] = outside
        w[PROGRESS + j] = after
        w[CAUGHT + j] += entered
        w[RIPE_CAUGHT + j] += entered * w[RIPE + j]


@small_kernel
def _lie(w: Any, landing: float) -> None:
    """A dry hour: what is on the leaf grows old, and more lands."""
    for j in range(LANES):
        w[WAITING + j] = w[WAITING + j] * w[ALIVE + j] + landing
        w[COHORT + j] *= w[ALIVE + j]


@small_kernel
def _dry_break(w: Any) -> None:
    """The spell ends: some of the germinated die, the rest wait for another."""
    for j in range(LANES):
        germinated = min(w[PROGRESS + j] * w[PER_READY + j], 1.0)
        w[WAITING + j] += w[COHORT + j] * w[OUTSIDE + j] * (1.0 - germinated * w[KILL + j])
        w[COHORT + j] = 0.0

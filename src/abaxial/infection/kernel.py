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


@kernel
def _infect(nights: Nights, hours: LeafHours, curves: Curves, day_start: Any) -> None:
    _, levels, members = hours.wet_frac.shape
    for row in prange(levels * members):
        # a function of its own, so that the compiler does not split its array lines among threads
        _one_row(nights, hours, curves, day_start, row // members, row % members)


class Spores(NamedTuple):
    """What one row of draws remembers, each (draws,). Spores are counted in days' falls.

    waiting : lie on the leaf outside the spell. cohort : were there when the spell began. outside_frac : share of those
    not yet in the leaf. progress_h : of the spell [h at the optimum]. ripe : latent progress since the first day.
    caught, ripe_caught : what entered today, and that times `ripe` at the moment. alive_frac : outlives the hour.
    """

    waiting: Floats
    cohort: Floats
    outside_frac: Floats
    progress_h: Floats
    ripe: Floats
    caught: Floats
    ripe_caught: Floats
    alive_frac: Floats


@small_kernel
def _one_row(nights: Nights, hours: LeafHours, curves: Curves, day_start: Any, level: int, m: int) -> None:
    a, b, c, d, e, f, g, h = np.zeros((8, curves.first_wet_h.shape[1]))
    spores = Spores(a, b, c, d, e, f, g, h)
    in_spell = False
    for day in range(day_start.size - 1):
        nights.progress[level, m, day] = spores.ripe
        on_leaf = spores.waiting + spores.cohort * spores.outside_frac
        spores.caught[:] = 0.0
        spores.ripe_caught[:] = 0.0
        landing = 1.0 / (day_start[day + 1] - day_start[day])
        for hour in range(day_start[day], day_start[day + 1]):
            low, part = _table_row(hours.leaf_temperature_c[hour, level, m], curves.infection_frac.shape[1])
            _ripen(spores.ripe, curves.ripening_per_h[m, low], curves.ripening_per_h[m, low + 1], part)
            _survive(spores.alive_frac, hours.sun_on_leaf_w_m2[hour, level, m], curves, m)
            if hours.wet_frac[hour, level, m] >= curves.wet_hour_frac:
                if not in_spell:
                    _begin_spell(spores)
                    in_spell = True
                _enter(spores, curves, m, low, part, landing)
                continue
            if in_spell and hours.relative_humidity_frac[hour, level, m] < curves.humid_pause_frac:
                _dry_break(spores, curves, m)
                in_spell = False
            _lie(spores, landing)
        _close_day(nights, level, m, day, spores, on_leaf)
    nights.progress[level, m, day_start.size - 1] = spores.ripe


@small_kernel
def _table_row(temperature_c: Any, rows: Any) -> Any:
    place = min(max((temperature_c - COLDEST_C) * ROWS_PER_C, 0.0), rows - 1.001)
    low = int(place)
    return low, place - low


@small_kernel
def _ripen(ripe: Any, below: Any, above: Any, part: Any) -> None:
    for j in range(ripe.size):
        ripe[j] += below[j] + part * (above[j] - below[j])


@small_kernel
def _survive(alive_frac: Any, sun_w_m2: Any, curves: Curves, m: int) -> None:
    dose_mj = dose_mj_m2_h(max(sun_w_m2, 0.0))
    dark, sun = curves.dark_alive_frac[m], curves.sun_loss_per_mj[m]
    if dose_mj == 0.0:
        alive_frac[:] = dark
        return
    for j in range(alive_frac.size):
        alive_frac[j] = dark[j] * exp(-sun[j] * dose_mj)


@small_kernel
def _begin_spell(spores: Spores) -> None:
    """All that lies on the leaf goes into the wet spell together."""
    spores.cohort[:] = spores.waiting
    spores.waiting[:] = 0.0
    spores.outside_frac[:] = 1.0
    spores.progress_h[:] = 0.0


@small_kernel
def _enter(spores: Spores, curves: Curves, m: int, low: int, part: Any, landing: Any) -> None:
    """A wet hour: the spell goes on, some of its spores enter, and some of those that land follow behind."""
    below, above = curves.infection_frac[m, low], curves.infection_frac[m, low + 1]
    first, spread = curves.first_wet_h[m], curves.spread_h[m]
    for j in range(first.size):
        after = spores.progress_h[j] + below[j] + part * (above[j] - below[j])
        scaled = max(after - first[j], 0.0) / spread[j]
        outside = exp(-scaled * scaled)
        cohort = spores.cohort[j] * spores.alive_frac[j]
        entered = cohort * (spores.outside_frac[j] - outside) + landing * (1.0 - outside)
        spores.cohort[j] = cohort
        spores.waiting[j] = spores.waiting[j] * spores.alive_frac[j] + landing * outside
        spores.outside_frac[j] = outside
        spores.progress_h[j] = after
        spores.caught[j] += entered
        spores.ripe_caught[j] += entered * spores.ripe[j]


@small_kernel
def _lie(spores: Spores, landing: Any) -> None:
    """A dry hour: what is on the leaf grows old, and more lands."""
    for j in range(spores.waiting.size):
        spores.waiting[j] = spores.waiting[j] * spores.alive_frac[j] + landing
        spores.cohort[j] *= spores.alive_frac[j]


@small_kernel
def _dry_break(spores: Spores, curves: Curves, m: int) -> None:
    """The spell ends: some of the germinated die, the rest wait for another."""
    ready_h, kill = curves.germination_h[m], curves.break_kill_frac[m]
    for j in range(ready_h.size):
        germinated = min(spores.progress_h[j] / ready_h[j], 1.0)
        spores.waiting[j] += spores.cohort[j] * spores.outside_frac[j] * (1.0 - germinated * kill[j])
        spores.cohort[j] = 0.0


@small_kernel
def _close_day(nights: Nights, level: int, m: int, day: int, spores: Spores, on_leaf: Any) -> None:
    infected, moment = nights.infected_frac[level, m, day], nights.progress_at_infection[level, m, day]
    start = nights.progress[level, m, day]
    for j in range(on_leaf.size):
        caught = spores.caught[j]
        infected[j] = caught / (on_leaf[j] + 1.0)
        moment[j] = spores.ripe_caught[j] / caught if caught > 1e-12 else start[j]

"""From hours on a leaf to what got into it: spores land, wait, die in the sun, germinate when wet, enter, and ripen.

If spores were about they would land evenly, one twenty-fourth of a day's fall each hour. What lies on the leaf waits.
A wet hour takes all of it into the wet spell; the spell's progress is counted in hours at the best temperature, and is
the mean over all spores that took part, so newcomers hold it back a little. Past the first hours that infection needs,
a growing share enters. A humid pause costs nothing; a dry break kills of those that had germinated, and the rest wait
again. Ripening goes on every hour, stalls in cold and heat, and is never undone.
"""

from typing import Any, NamedTuple

import numpy as np
from numba import prange
from numpy.typing import NDArray

from abaxial.compiled import exp, formula, kernel, small_kernel
from abaxial.errors import FaultError
from abaxial.infection.curves import COLDEST_C, ROWS_PER_C, Curves


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
def _infect(nights, hours, curves, day_start):  # type: ignore[no-untyped-def]
    _, levels, members = hours.wet_frac.shape
    for row in prange(levels * members):
        # a function of its own, so that the compiler does not split its array lines among threads
        _one_row(nights, hours, curves, day_start, row // members, row % members)


@small_kernel
def _one_row(nights, hours, curves, day_start, level, m):  # type: ignore[no-untyped-def]
    draws = curves.first_wet_h.shape[1]
    waiting, outside, took_part, progress_h = np.zeros((4, draws))
    ripe, caught, when, alive = np.zeros((4, draws))
    night_alive = np.exp(-curves.dark_loss_per_h[m])
    in_spell = False
    for day in range(day_start.size - 1):
        nights.progress[level, m, day] = ripe
        on_leaf = waiting + outside
        caught[:] = 0.0
        when[:] = 0.0
        landing = 1.0 / (day_start[day + 1] - day_start[day])
        for hour in range(day_start[day], day_start[day + 1]):
            low, part = _table_row(hours.leaf_temperature_c[hour, level, m], curves.infection_frac.shape[1])
            _ripen(ripe, curves.ripening_per_h[m, low], curves.ripening_per_h[m, low + 1], part)
            _survive(alive, night_alive, hours.sun_on_leaf_w_m2[hour, level, m], curves, m)
            if hours.wet_frac[hour, level, m] >= curves.wet_hour_frac:
                in_spell = True
                _join(waiting, outside, took_part, progress_h, alive, landing)
                _enter(outside, progress_h, caught, when, ripe, curves, m, low, part)
                continue
            _wait(waiting, alive, landing)
            if in_spell and hours.relative_humidity_frac[hour, level, m] >= curves.humid_pause_frac:
                outside *= alive
            elif in_spell:
                in_spell = False
                _dry_break(waiting, outside, took_part, progress_h, alive, curves, m)
        _close_day(nights, level, m, day, caught, when, on_leaf)
    nights.progress[level, m, day_start.size - 1] = ripe


@formula
def _table_row(temperature_c, rows):  # type: ignore[no-untyped-def]
    place = min(max((temperature_c - COLDEST_C) * ROWS_PER_C, 0.0), rows - 1.001)
    low = int(place)
    return low, place - low


@formula
def _ripen(ripe, below, above, part):  # type: ignore[no-untyped-def]
    for j in range(ripe.size):
        ripe[j] += below[j] + part * (above[j] - below[j])


@formula
def _survive(alive, night_alive, sun_w_m2, curves, m):  # type: ignore[no-untyped-def]
    dose_mj = max(sun_w_m2, 0.0) * 0.0036
    if dose_mj == 0.0:
        alive[:] = night_alive
        return
    sun, dark = curves.sun_loss_per_mj[m], curves.dark_loss_per_h[m]
    for j in range(alive.size):
        alive[j] = exp(-(sun[j] * dose_mj + dark[j]))


@formula
def _join(waiting, outside, took_part, progress_h, alive, landing):  # type: ignore[no-untyped-def]
    for j in range(waiting.size):
        joining = waiting[j] * alive[j] + landing
        together = took_part[j] + joining
        progress_h[j] *= took_part[j] / together
        took_part[j] = together
        outside[j] = outside[j] * alive[j] + joining
        waiting[j] = 0.0


@formula
def _enter(outside, progress_h, caught, when, ripe, curves, m, low, part):  # type: ignore[no-untyped-def]
    below, above = curves.infection_frac[m, low], curves.infection_frac[m, low + 1]
    first, spread = curves.first_wet_h[m], curves.spread_h[m]
    for j in range(outside.size):
        before = progress_h[j]
        after = before + below[j] + part * (above[j] - below[j])
        was, now = max(before - first[j], 0.0) / spread[j], max(after - first[j], 0.0) / spread[j]
        entered = outside[j] * (1.0 - exp(was * was - now * now))
        progress_h[j] = after
        outside[j] -= entered
        caught[j] += entered
        when[j] += entered * ripe[j]


@formula
def _wait(waiting, alive, landing):  # type: ignore[no-untyped-def]
    for j in range(waiting.size):
        waiting[j] = waiting[j] * alive[j] + landing


@formula
def _dry_break(waiting, outside, took_part, progress_h, alive, curves, m):  # type: ignore[no-untyped-def]
    ready_h, kill = curves.germination_h[m], curves.break_kill_frac[m]
    for j in range(waiting.size):
        germinated = min(progress_h[j] / ready_h[j], 1.0)
        waiting[j] += outside[j] * alive[j] * (1.0 - germinated * kill[j])
        outside[j] = 0.0
        took_part[j] = 0.0
        progress_h[j] = 0.0


@formula
def _close_day(nights, level, m, day, caught, when, on_leaf):  # type: ignore[no-untyped-def]
    infected, moment = nights.infected_frac[level, m, day], nights.progress_at_infection[level, m, day]
    start = nights.progress[level, m, day]
    for j in range(caught.size):
        infected[j] = caught[j] / (on_leaf[j] + 1.0)
        moment[j] = when[j] / caught[j] if caught[j] > 1e-12 else start[j]

"""From hours on a leaf to what got into it: spores land, wait, die in the sun, germinate when wet, enter, and ripen.

If spores were about they would land evenly, one twenty-fourth of a day's fall each hour. What lies on the leaf waits.
When it becomes wet, all that lies there goes into the spell together, and the spell's progress is counted in hours at
the best temperature. Past the first hours that infection needs, a growing share of them is inside. Those that land
during the spell follow behind in a steady stream: in each hour as large a share of one hour's fall gets in as the spell
has let in so far, which is exact at a constant temperature. A humid pause costs nothing; a dry break kills of those that
had germinated, and the rest wait again. Ripening goes on every hour, stalls in cold and heat, and is never undone.

All is reckoned in single precision, which holds to a few millionths; only ripening is added up over days in double.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import exp_single, kernel, prange, small_kernel
from abaxial.errors import FaultError
from abaxial.infection.curves import COLDEST_C, ROWS_PER_C, Curves
from abaxial.infection.survival import dose_mj_m2_h


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
    """What each garden day let in. Axes (levels, members, days, draws); a library has the plantings before them.

    infected_frac : of the spores on the leaf that day, the share that got in, 0 to 1. progress : latent periods passed
    since the first day, at the start of each day and the end of the last, (…, days + 1, …). progress_at_infection :
    the same at the moment of that day's infections (at the start of the day where there were none). wet_reach_h : how
    far the longest wet spell that touched the day had come by then, in hours at the best temperature from its
    beginning; 0 where no hour was wet. alive_frac : of the spores that did not get in, the share that still lives on
    the leaf at the day's end, 0 to 1; 1 where all got in.
    """

    infected_frac: NDArray[np.float32]
    progress: NDArray[np.float32]
    progress_at_infection: NDArray[np.float32]
    wet_reach_h: NDArray[np.float32]
    alive_frac: NDArray[np.float32]


def infect(hours: LeafHours, curves: Curves, day_start: NDArray[np.int64]) -> Nights:
    """What each garden day let in, for every level, member and draw.

    day_start : hour offsets, (days + 1,), rising: where each garden day begins, and where the last ends. Hours outside
    are not looked at. The leaf is clean on the first day. Raises FaultError where the hours have gaps.
    """
    nights = empty_nights(hours.wet_frac.shape[1:], len(day_start) - 1, curves.first_wet_h.shape[1])
    infect_into(nights, hours, curves, day_start)
    return nights


def infect_into(nights: Nights, hours: LeafHours, curves: Curves, day_start: NDArray[np.int64]) -> None:
    """As infect, into nights that are there already, such as one planting of a library."""
    ready = LeafHours(*(np.ascontiguousarray(each, np.float32) for each in hours))
    if not all(np.isfinite(each).all() for each in ready):
        raise FaultError("There are gaps in the hours on the leaf; weather must be filled before.")
    _infect(nights, ready, _in_whole_lanes(curves), np.asarray(day_start, np.int64))


def empty_nights(places: tuple[int, ...], days: int, draws: int) -> Nights:
    """Room for the nights of some places, such as (levels, members); what stands in it is not yet anything."""
    by_day, by_edge = (*places, days, draws), (*places, days + 1, draws)
    return Nights(*(np.empty(by_edge if each == "progress" else by_day, np.float32) for each in Nights._fields))


def _in_whole_lanes(curves: Curves) -> Curves:
    """The same with the last draw repeated until all lanes are taken."""
    missing = -curves.first_wet_h.shape[1] % LANES
    if not missing:
        return curves

    def filled(values: Any) -> Any:
        return np.concatenate([values, np.repeat(values[..., -1:], missing, axis=-1)], axis=-1)

    return curves._replace(**{name: filled(each) for name, each in curves._asdict().items() if np.ndim(each)})


# the workspace: LANES draws side by side, one row a quantity; a fixed width lets the compiler run several at once, and
# every row is reached by a fixed offset, or it could not tell them apart and would take the draws one by one
LANES = 64
(
    WAITING,  # spores that lie on the leaf outside the spell, in days' falls
    COHORT,  # those that were there when the spell began
    OUTSIDE,  # share of them not yet in the leaf
    PROGRESS,  # of the spell, in hours at the best temperature
    REACH,  # the most of it today
    RIPE,  # latent progress since the day began
    CAUGHT,  # what entered today
    RIPE_CAUGHT,  # that times RIPE at the moment
    ON_LEAF,  # spores on the leaf as the day began
    LIVING,  # share that outlives the hour
    FIRST,
    PER_SPREAD,
    PER_READY,
    KILL,
    SUN,
    DARK,
    END,
) = range(0, 17 * LANES, LANES)
NONE, ALL = np.float32(0.0), np.float32(1.0)
# so many spreads past the first hours a share of 4e-19 is outside; to follow it further would only slow the processor
LONGEST = np.float32(6.5)
# less than this is no infection that could be dated, and too few left over to say how many of them live
FEWEST_IN, FEWEST_LEFT = np.float32(1e-12), np.float32(1e-4)


@kernel
def _infect(nights: Nights, hours: LeafHours, curves: Curves, day_start: Any) -> None:
    levels, members, _, draws = nights.infected_frac.shape
    blocks = (draws + LANES - 1) // LANES
    for piece in prange(levels * members * blocks):
        # a function of its own, so that the compiler does not split its array lines among threads
        row = piece // blocks
        _one_row(nights, hours, curves, day_start, (row // members, row % members, piece % blocks * LANES))


@small_kernel
def _one_row(nights: Nights, hours: LeafHours, curves: Curves, day_start: Any, where: Any) -> None:
    level, m, first = where
    w, ripe = _workspace(curves, m, first), np.zeros(LANES)
    in_spell, sunlit, rows = False, True, curves.infection_frac.shape[1]
    for day in range(day_start.size - 1):
        _open_day(w)
        wet_today = False
        landing = np.float32(1.0 / (day_start[day + 1] - day_start[day]))
        for hour in range(day_start[day], day_start[day + 1]):
            low, part = _table_row(hours.leaf_temperature_c[hour, level, m], rows)
            _ripen(w, curves.ripening_per_h[m, low, first:], curves.ripening_per_h[m, low + 1, first:], part)
            sun = max(hours.sun_on_leaf_w_m2[hour, level, m], NONE)
            if sun > NONE or sunlit:
                _survive(w, np.float32(dose_mj_m2_h(sun)))
                sunlit = sun > NONE
            if hours.wet_frac[hour, level, m] >= curves.wet_hour_frac:
                if not in_spell:
                    _begin_spell(w)
                in_spell = wet_today = True
                _progress(w, curves.infection_frac[m, low, first:], curves.infection_frac[m, low + 1, first:], part)
                _enter(w, landing)
                continue
            if in_spell and hours.relative_humidity_frac[hour, level, m] < curves.humid_pause_frac:
                if wet_today:
                    _note_reach(w)
                _dry_break(w)
                in_spell = wet_today = False
            _lie(w, landing)
        if wet_today:
            _note_reach(w)
        _close_day(nights, w, ripe, (level, m, day, first))
    for j in range(min(LANES, nights.progress.shape[3] - first)):
        nights.progress[level, m, day_start.size - 1, first + j] = ripe[j]


@small_kernel
def _workspace(curves: Curves, m: int, first: int) -> Any:
    """A clean leaf, and what each draw knows of its rust."""
    w = np.zeros(END, np.float32)
    for j in range(LANES):
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
        w[CAUGHT + j] = NONE
        w[RIPE_CAUGHT + j] = NONE
        w[REACH + j] = NONE
        w[RIPE + j] = NONE


@small_kernel
def _table_row(temperature_c: Any, rows: Any) -> Any:
    place = min(max((temperature_c - COLDEST_C) * ROWS_PER_C, 0.0), rows - 1.001)
    low = int(place)
    return low, np.float32(place - low)


@small_kernel
def _ripen(w: Any, below: Any, above: Any, part: Any) -> None:
    for j in range(LANES):
        w[RIPE + j] += below[j] + part * (above[j] - below[j])


@small_kernel
def _progress(w: Any, below: Any, above: Any, part: Any) -> None:
    for j in range(LANES):
        w[PROGRESS + j] += below[j] + part * (above[j] - below[j])


@small_kernel
def _survive(w: Any, dose_mj: Any) -> None:
    if dose_mj == NONE:
        for j in range(LANES):
            w[LIVING + j] = w[DARK + j]
        return
    for j in range(LANES):
        w[LIVING + j] = w[DARK + j] * exp_single(-w[SUN + j] * dose_mj)


@small_kernel
def _begin_spell(w: Any) -> None:
    """All that lies on the leaf goes into the wet spell together."""
    for j in range(LANES):
        w[COHORT + j] = w[WAITING + j]
        w[WAITING + j] = NONE
        w[OUTSIDE + j] = ALL
        w[PROGRESS + j] = NONE


@small_kernel
def _enter(w: Any, landing: Any) -> None:
    """A wet hour: some of the spell's spores enter, and some of those that land follow behind."""
    for j in range(LANES):
        scaled = min(max(w[PROGRESS + j] - w[FIRST + j], NONE) * w[PER_SPREAD + j], LONGEST)
        outside = exp_single(-scaled * scaled)
        cohort = w[COHORT + j] * w[LIVING + j]
        entered = cohort * (w[OUTSIDE + j] - outside) + landing * (ALL - outside)
        w[WAITING + j] = w[WAITING + j] * w[LIVING + j] + landing * outside
        w[COHORT + j] = cohort
        w[OUTSIDE + j] = outside
        w[CAUGHT + j] += entered
        w[RIPE_CAUGHT + j] += entered * w[RIPE + j]


@small_kernel
def _lie(w: Any, landing: Any) -> None:
    """A dry hour: what is on the leaf grows old, and more lands."""
    for j in range(LANES):
        w[WAITING + j] = w[WAITING + j] * w[LIVING + j] + landing
        w[COHORT + j] *= w[LIVING + j]


@small_kernel
def _dry_break(w: Any) -> None:
    """The spell ends: some of the germinated die, the rest wait for another."""
    for j in range(LANES):
        germinated = min(w[PROGRESS + j] * w[PER_READY + j], ALL)
        w[WAITING + j] += w[COHORT + j] * w[OUTSIDE + j] * (ALL - germinated * w[KILL + j])
        w[COHORT + j] = NONE


@small_kernel
def _note_reach(w: Any) -> None:
    for j in range(LANES):
        w[REACH + j] = max(w[REACH + j], w[PROGRESS + j])


@small_kernel
def _close_day(nights: Nights, w: Any, ripe: Any, where: Any) -> None:
    """Write the day down. Shares are reckoned for all lanes alike, so that a draw does not depend on its neighbours."""
    level, m, day, first = where
    share, living, moment = np.empty(LANES, np.float32), np.empty(LANES, np.float32), np.empty(LANES, np.float32)
    for j in range(LANES):
        caught, there = w[CAUGHT + j], w[ON_LEAF + j] + ALL
        left = there - caught
        alive = (w[WAITING + j] + w[COHORT + j] * w[OUTSIDE + j]) / max(left, FEWEST_LEFT)
        share[j] = min(caught / there, ALL)
        living[j] = min(alive, ALL) if left > FEWEST_LEFT else ALL
        moment[j] = w[RIPE_CAUGHT + j] / caught if caught > FEWEST_IN else NONE
    for j in range(min(LANES, nights.progress.shape[3] - first)):
        nights.infected_frac[level, m, day, first + j] = share[j]
        nights.progress[level, m, day, first + j] = ripe[j]
        nights.progress_at_infection[level, m, day, first + j] = ripe[j] + moment[j]
        nights.wet_reach_h[level, m, day, first + j] = w[REACH + j]
        nights.alive_frac[level, m, day, first + j] = living[j]
        ripe[j] += w[RIPE + j]

"""A compost heap's temperature log is judged: which standards it meets, and by what it misses the others."""

from collections.abc import Collection, Sequence
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import RequestError
from abaxial.label.sanitation.standards import Standard, read_standard, standard_keys

#: no heap at home is hot enough everywhere for these (noble2004)
NEVER_COMPOSTED = ("virus", "bud_rot")


class PileDay(NamedTuple):
    """One reading of a heap.

    on : its day. core_c : the coldest reading in the core [°C]. turned : whether the heap was turned. moisture_frac :
    None where not measured. added : whether something fresh went in.
    """

    on: date
    core_c: float
    turned: bool = False
    moisture_frac: float | None = None
    added: bool = False


class Shortfall(NamedTuple):
    """One thing a log lacks. kind : "hot_days", "turnings", "time", "hot_again" or "moisture". found : NaN where
    nothing was measured."""

    kind: str
    needed: float
    found: float


class Judgement(NamedTuple):
    """What a standard makes of a log. passes : exactly where `shortfalls` is empty."""

    standard: Standard
    passes: bool
    shortfalls: tuple[Shortfall, ...]


class Fit(NamedTuple):
    """Whether what came of a heap may be used. reasons : kinds, such as "passed" or "no_log"."""

    fit: bool
    reasons: tuple[str, ...]
    judged: tuple[Judgement, ...]


class _Days(NamedTuple):
    core_c: NDArray[np.float64]
    turned: NDArray[np.bool_]
    moisture_frac: NDArray[np.float64]


def hot_days(core_c: ArrayLike, hot_c: float) -> int:
    """Days on which the core was hot. core_c : (days,) [°C], NaN where nobody read."""
    return int(np.count_nonzero(np.asarray(core_c, float) >= hot_c))


def longest_run(core_c: ArrayLike, hot_c: float) -> int:
    """Most days in a row on which the core was hot; a day nobody read breaks the row. Arguments as in hot_days."""
    first, last = _run(np.asarray(core_c, float) >= hot_c)
    return last - first


def turnings_counted(turned_on: ArrayLike, apart_d: int) -> int:
    """Most turnings of which no two are nearer than apart_d [d]. turned_on : (turnings,) day numbers, rising."""
    counted, latest = 0, -np.inf
    for day in np.asarray(turned_on, float):
        if day - latest >= apart_d:
            counted, latest = counted + 1, day
    return counted


def judge(log: Sequence[PileDay], standard: Standard) -> Judgement:
    """What a standard makes of a log.

    log : in any order; several readings of a day count by the coldest. Only days after the last addition count. Raises
    RequestError where there is no reading, or one no heap can have.
    """
    days = _days(log)
    hot = days.core_c >= standard.hot_c
    first, last = _run(hot) if standard.in_a_row else _span(hot)
    turned_on = np.flatnonzero(days.turned)
    among = turned_on[(turned_on >= first) & (turned_on < last)] if standard.while_hot else turned_on
    short = [
        _short("hot_days", standard.hot_d, last - first if standard.in_a_row else int(hot.sum())),
        _short("turnings", standard.least_turnings, turnings_counted(among, standard.turnings_apart_d)),
        _short("time", standard.least_total_d, len(hot)),
    ]
    if standard.again_d:
        since = turned_on[-1] + 1 if turned_on.size else len(hot)
        short.append(_short("hot_again", standard.again_d, hot_days(days.core_c[since:], standard.again_c)))
    if standard.least_moisture_frac is not None:
        driest = float(np.min(days.moisture_frac[first:last][hot[first:last]], initial=1.0))
        short.append(_short("moisture", standard.least_moisture_frac, driest))
    found = tuple(each for each in short if each is not None)
    return Judgement(standard, not found, found)


def judge_all(log: Sequence[PileDay]) -> tuple[Judgement, ...]:
    """What every standard makes of a log; arguments and errors as in judge."""
    return tuple(judge(log, read_standard(key)) for key in standard_keys())


def compost_fit(troubles: Collection[str], log: Sequence[PileDay]) -> Fit:
    """Whether what came of a heap may be used in the garden.

    troubles : what the leaves in it had: "rust", "virus", "bud_rot". log : empty where none was kept. Rusted leaves
    pass by a log alone that meets a standard which frees of rust; virus and bud rot never do.
    """
    judged = judge_all(log) if log else ()
    never = tuple(f"never_{each}" for each in NEVER_COMPOSTED if each in troubles)
    if never:
        return Fit(False, never, judged)
    if "rust" not in troubles:
        return Fit(True, ("nothing_against_it",), judged)
    if not log:
        return Fit(False, ("no_log",), judged)
    passed = any(each.passes and each.standard.frees_rust for each in judged)
    return Fit(passed, ("passed",) if passed else ("too_cool_or_too_short",), judged)


def meets(standard: str, core_c: ArrayLike, turned_on: Sequence[int] = (), moisture_frac: float | None = None) -> bool:
    """Whether a log of daily core temperatures meets a standard; for checks. core_c : (days,) [°C]. turned_on : day numbers.
    moisture_frac : on every day."""
    turned = {int(day) for day in turned_on}
    start = date(2025, 1, 1).toordinal()
    log = [
        PileDay(date.fromordinal(start + day), float(each), day in turned, moisture_frac)
        for day, each in enumerate(np.asarray(core_c, float))
    ]
    return judge(log, read_standard(standard)).passes


def _days(log: Sequence[PileDay]) -> _Days:
    if not log:
        raise RequestError("The log of the heap is empty.", remedy="Write down the core's temperature every day.")
    for each in log:
        if not -20.0 <= each.core_c <= 95.0:
            raise RequestError(
                f"On {each.on} the heap's core is {each.core_c:g} °C; it must lie between -20 and 95.",
                remedy="Convert °F to °C, or strike the reading out.",
            )
        if each.moisture_frac is not None and not 0.0 <= each.moisture_frac <= 1.0:
            raise RequestError(
                f"On {each.on} the moisture is {each.moisture_frac:g}; it must lie between 0 and 1.",
                remedy="Give a share: 50 % is 0.5.",
            )
    additions = [each.on for each in log if each.added]
    start = max(additions).toordinal() + 1 if additions else min(each.on for each in log).toordinal()
    count = max(each.on for each in log).toordinal() - start + 1
    core, moisture = np.full(max(count, 0), np.nan), np.full(max(count, 0), np.nan)
    turned = np.zeros(max(count, 0), bool)
    for each in log:
        day = each.on.toordinal() - start
        if day < 0:
            continue
        core[day] = np.fmin(core[day], each.core_c)
        turned[day] |= each.turned
        if each.moisture_frac is not None:
            moisture[day] = np.fmin(moisture[day], each.moisture_frac)
    return _Days(core, turned, moisture)


def _run(hot: NDArray[np.bool_]) -> tuple[int, int]:
    """First day of the longest unbroken run and the day after it."""
    best, start = (0, 0), 0
    for day, is_hot in enumerate([*hot, False]):
        if not is_hot:
            best = (start, day) if day - start > best[1] - best[0] else best
            start = day + 1
    return best


def _span(hot: NDArray[np.bool_]) -> tuple[int, int]:
    days = np.flatnonzero(hot)
    return (int(days[0]), int(days[-1]) + 1) if days.size else (0, 0)


def _short(kind: str, needed: float, found: float) -> Shortfall | None:
    # NaN, nothing measured, is never enough
    return None if found >= needed else Shortfall(kind, float(needed), float(found))

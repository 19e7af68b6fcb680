"""Hour by hour: how surely it is fit for spraying and what closes it; the best stretches; and why there is none."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import RequestError
from abaxial.label.window.closings import KINDS, Air, Bools, Closings, Floats, Use, closings
from abaxial.label.window.limits import Limits

Rows = NDArray[np.int64]

# in these nobody would stand in the garden; they are not counted as days that the weather closed
_NO_ONE_THERE = ("not_at_work", "dark")


class Reason(NamedTuple):
    """What closes an hour. kind : one of KINDS. members_frac : in what share of the possible weathers."""

    kind: str
    members_frac: float


class Hour(NamedTuple):
    """One hour. row : from the first of the hours ahead. fit_frac : share of the possible weathers in which it is fit.
    is_open : whether that is enough. first : what closes it in most of them, "" where it is open. reasons : all."""

    row: int
    fit_frac: float
    is_open: bool
    first: str
    reasons: tuple[Reason, ...]


class Window(NamedTuple):
    """A stretch of hours in which a job of some length fits. start, end : rows, the end not counted. best : row at which
    the job had best begin. fit_frac : share of the possible weathers in which the whole job is fit when begun there."""

    start: int
    end: int
    best: int
    fit_frac: float


class Shut(NamedTuple):
    """What closes hours in which somebody could be there. kind : one of KINDS. hours : it closes in most weathers of that
    hour. alone : hours that would be open but for it; a thing to wait for, never one to overlook."""

    kind: str
    hours: int
    alone: int


def hours_fit(air: Air, limits: Limits, use: Use) -> tuple[Hour, ...]:
    """Every hour ahead with the reasons that close it. Raises FaultError where shapes do not agree."""
    return hours_of(closings(air, limits, use), limits)


def hours_of(found: Closings, limits: Limits) -> tuple[Hour, ...]:
    """Every hour with the reasons that close it, from what closes each member."""
    fit_frac = found.fit.mean(axis=1)
    shares = np.stack([found.closed[kind].mean(axis=1) for kind in KINDS])
    return tuple(_hour(row, float(fit_frac[row]), shares[:, row], limits) for row in range(len(fit_frac)))


def _hour(row: int, fit_frac: float, shares: Floats, limits: Limits) -> Hour:
    reasons = tuple(Reason(kind, float(share)) for kind, share in zip(KINDS, shares, strict=True) if share > 0.0)
    is_open = fit_frac >= limits.fit_least_frac
    first = "" if is_open else KINDS[int(np.argmax(shares))]
    return Hour(row, fit_frac, is_open, first, reasons)


def windows(found: Closings, limits: Limits, *, needed_h: float) -> tuple[Window, ...]:
    """Stretches in which a job fits, the surest first and of equals the earliest.

    needed_h : how long it takes, above 0; at least one whole hour is kept for it. A stretch is in one piece where a job may
    begin in every hour of it but the last ones. Raises RequestError where needed_h is no length.
    """
    if not 0.0 < needed_h < math.inf:
        raise RequestError(f"A job of {needed_h!r} hours has no window.", remedy="Give its length in hours, above 0.")
    long = max(1, math.ceil(needed_h))
    surely = _joint_frac(found.fit, long)
    begins = np.flatnonzero(surely >= limits.fit_least_frac)
    if not len(begins):
        return ()
    runs = np.split(begins, np.flatnonzero(np.diff(begins) > 1) + 1)
    stretches = [_window(run, surely, long) for run in runs]
    return tuple(sorted(stretches, key=lambda each: (-each.fit_frac, each.start)))


def _window(run: Rows, surely: Floats, long: int) -> Window:
    best = int(run[np.argmax(surely[run])])
    return Window(int(run[0]), int(run[-1]) + long, best, float(surely[best]))


def _joint_frac(fit: Bools, long: int) -> Floats:
    """Share of members in which a job of that many hours is fit from first to last, by the hour it begins."""
    count = len(fit) - long + 1
    if count < 1:
        return np.zeros(0)
    whole = np.stack([fit[each : each + count] for each in range(long)]).all(axis=0)
    return np.asarray(whole.mean(axis=1), np.float64)


def what_closes(found: Closings, limits: Limits) -> tuple[Shut, ...]:
    """What closed the hours in which somebody could be there, the commonest first; where nobody ever could, that."""
    away = np.logical_or.reduce([found.closed[kind] for kind in _NO_ONE_THERE]).mean(axis=1) > 0.5
    counted = ~away if (~away).any() else np.ones(len(away), bool)
    closed = counted & (found.fit.mean(axis=1) < limits.fit_least_frac)
    by_kind = np.stack([found.closed[kind] for kind in KINDS])
    often = (closed & (by_kind.mean(axis=2) > 0.5)).sum(axis=1)
    # an hour would open but for a kind where nothing closes it, or that alone
    would_open = (by_kind.sum(axis=0, dtype=np.int8) <= by_kind).mean(axis=2) >= limits.fit_least_frac
    alone = (closed & would_open).sum(axis=1)
    told = [Shut(*each) for each in zip(KINDS, often.tolist(), alone.tolist(), strict=True) if any(each[1:])]
    return tuple(sorted(told, key=lambda each: (-each.hours, -each.alone, KINDS.index(each.kind))))

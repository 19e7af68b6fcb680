"""Which planting was divided from which, who stood beside whom, and so where an infection can have come from or gone to."""

import heapq
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import pairwise, permutations
from typing import NamedTuple

from abaxial.errors import RequestError


class Division(NamedTuple):
    """A planting taken from another. on : the day. clumps : how many pieces."""

    child: str
    parent: str
    on: date
    clumps: int = 1


class Stay(NamedTuple):
    """A planting in a bed. first, last : its days there; None where it still stands."""

    planting: str
    bed: str
    first: date
    last: date | None = None


class Trace(NamedTuple):
    """A planting that an infection can have reached, or come from.

    on : forward, the first day it can have had it; back, the last day it can have passed it on. how : "ancestor",
    "parent", "division" or "bed". via : the planting it had it from, or gave it to.
    """

    planting: str
    on: date
    how: str
    via: str


class _Contact(NamedTuple):
    giver: str
    taker: str
    first: date
    last: date
    how: str


@dataclass(frozen=True)
class Lineage:
    """All divisions and stays of a collection. parents : child to its division."""

    divisions: tuple[Division, ...]
    stays: tuple[Stay, ...]
    parents: Mapping[str, Division]


def lineage_of(divisions: Iterable[Division], stays: Iterable[Stay]) -> Lineage:
    """A collection's lineage, in whatever order its parts come.

    Raises RequestError where a planting has two parents, descends from itself, is divided before its parent came to be,
    or a stay ends before it begins.
    """
    kept = tuple(sorted(divisions, key=lambda each: (each.on, each.child)))
    parents: dict[str, Division] = {}
    for each in kept:
        if each.child in parents:
            raise RequestError(f"{each.child} has two parents.", remedy="Strike one of the two divisions out.")
        parents[each.child] = each
    for child in parents:
        _refuse_loops(child, parents)
    for stay in (stays := tuple(stays)):
        if stay.last is not None and stay.last < stay.first:
            raise RequestError(
                f"{stay.planting} left {stay.bed} on {stay.last} and came on {stay.first}.",
                remedy="Exchange the dates.",
            )
    return Lineage(kept, stays, parents)


def ancestors(planting: str, lineage: Lineage) -> tuple[Division, ...]:
    """The divisions a planting came by, its own first."""
    found: list[Division] = []
    while planting in lineage.parents:
        found.append(lineage.parents[planting])
        planting = found[-1].parent
    return tuple(found)


def descendants(planting: str, lineage: Lineage) -> tuple[Division, ...]:
    """All divisions that came of a planting, theirs included, by date."""
    known = {planting}
    found = []
    for each in lineage.divisions:
        if each.parent in known:
            known.add(each.child)
            found.append(each)
    return tuple(found)


def trace_forward(planting: str, lineage: Lineage, *, since: date, until: date) -> tuple[Trace, ...]:
    """Every planting that can have caught it from this one, by the first day it can have.

    since : the first day this one can have had it. until : the last day looked at. By division, and by standing in one
    bed at one time. Wind between beds is the epidemic's business.
    """
    return _reached({planting: since}, lineage, until)


def trace_back(planting: str, lineage: Lineage, *, seen_on: date, since: date) -> tuple[Trace, ...]:
    """Every planting from which this one can have caught it, by the last day it can have passed it on, latest first.

    seen_on : the day rust was seen on this one. since : the first day the infection can have begun.
    """
    contacts = _contacts(lineage, seen_on)
    latest = {planting: seen_on}
    traces: dict[str, Trace] = {}
    queue = [(-seen_on.toordinal(), planting)]
    while queue:
        day, taker = heapq.heappop(queue)
        if -day < latest[taker].toordinal():
            continue
        for each in contacts:
            on = min(latest[taker], each.last)
            if each.taker != taker or on < max(each.first, since) or on <= latest.get(each.giver, date.min):
                continue
            latest[each.giver] = on
            traces[each.giver] = Trace(each.giver, on, "parent" if each.how == "division" else each.how, taker)
            heapq.heappush(queue, (-on.toordinal(), each.giver))
    return tuple(sorted(traces.values(), key=lambda each: (-each.on.toordinal(), each.planting)))


def exposed(planting: str, lineage: Lineage, *, since: date, until: date) -> tuple[Trace, ...]:
    """Every planting that an infection found on this one may also have reached, by the first day it can have.

    since : the first day the infection can have begun. Where this one was divided after that day, the plant it was taken
    from is under suspicion too, and so is all that was divided from it since, or stood beside it.
    """
    starts = {planting: since}
    suspects = []
    taken_from = planting
    for each in ancestors(planting, lineage):
        if each.on < since:
            break
        starts[each.parent] = since
        suspects.append(Trace(each.parent, since, "ancestor", taken_from))
        taken_from = each.parent
    reached = _reached(starts, lineage, until)
    return tuple(sorted((*suspects, *reached), key=lambda each: (each.on, each.planting)))


def _reached(starts: Mapping[str, date], lineage: Lineage, until: date) -> tuple[Trace, ...]:
    contacts = _contacts(lineage, until)
    earliest = dict(starts)
    traces: dict[str, Trace] = {}
    queue = [(day, name) for name, day in starts.items()]
    heapq.heapify(queue)
    while queue:
        day, giver = heapq.heappop(queue)
        if day > earliest[giver]:
            continue
        for each in contacts:
            on = max(day, each.first)
            if each.giver != giver or on > min(each.last, until) or on >= earliest.get(each.taker, date.max):
                continue
            earliest[each.taker] = on
            traces[each.taker] = Trace(each.taker, on, each.how, giver)
            heapq.heappush(queue, (on, each.taker))
    return tuple(sorted(traces.values(), key=lambda each: (each.on, each.planting)))


def _contacts(lineage: Lineage, until: date) -> tuple[_Contact, ...]:
    """Every way by which one planting can give it to another, with the days on which."""
    divided = [_Contact(each.parent, each.child, each.on, each.on, "division") for each in lineage.divisions]
    beside = [
        _Contact(one.planting, other.planting, first, last, "bed")
        for one, other in permutations(lineage.stays, 2)
        if one.bed == other.bed and one.planting != other.planting
        for first, last in [_together(one, other, until)]
        if first <= last
    ]
    return (*(each for each in divided if each.first <= until), *beside)


def _together(one: Stay, other: Stay, until: date) -> tuple[date, date]:
    return max(one.first, other.first), min(until, one.last or until, other.last or until)


def _refuse_loops(child: str, parents: Mapping[str, Division]) -> None:
    line: list[Division] = []
    while child in parents:
        if any(each.child == child for each in line):
            raise RequestError(f"{child} descends from itself.", remedy="Strike one of the divisions out.")
        line.append(parents[child])
        child = line[-1].parent
    for later, earlier in pairwise(line):
        if later.on < earlier.on:
            raise RequestError(
                f"{later.child} was taken on {later.on} from {later.parent}, which came to be on {earlier.on}.",
                remedy="Mend one of the dates.",
            )

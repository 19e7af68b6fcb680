"""In which order to walk: clean plantings first, because spores travel on clothes, and among equals the shortest way."""

from collections.abc import Sequence
from functools import cache
from itertools import permutations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

#: up to so many places every order is tried
_EVERY_ORDER = 7
_SHORTER_M = 1e-9


class Route(NamedTuple):
    """An order of places, each once, and the metres from the first to the last; the ways there and home are not in it."""

    order: tuple[int, ...]
    metres_m: float


def distances_m(east_m: Sequence[float], north_m: Sequence[float]) -> Floats:
    """Straight distances between places [m], (places, places)."""
    east, north = np.asarray(east_m, np.float64), np.asarray(north_m, np.float64)
    return np.hypot(east[:, None] - east, north[:, None] - north)


def shortest(apart_m: Floats, ranks: Sequence[int]) -> Route:
    """A short way round all places, those of lower rank first.

    apart_m : (places, places) symmetric. ranks : (places,), walked in rising order. For seven places or fewer there is no
    shorter way; for more it is the best found from every first place by going on to the nearest, then turning stretches
    round while that helps. Source: croes1958.
    """
    count = len(ranks)
    if count == 0:
        return Route((), 0.0)
    if count <= _EVERY_ORDER:
        return _of_every_order(apart_m, np.asarray(ranks))
    lowest = min(ranks)
    tries = [
        improved(_nearest_next(apart_m, ranks, first), apart_m, ranks)
        for first in range(count)
        if ranks[first] == lowest
    ]
    return min(tries, key=lambda each: each.metres_m)


def improved(order: Sequence[int], apart_m: Floats, ranks: Sequence[int]) -> Route:
    """The same places after turning round stretches of equal rank, best first, until none makes the way shorter.

    order : of some or all places, ranks rising along it. apart_m, ranks : as in `shortest`, of all places.
    """
    way = np.array(order, np.int64)
    if way.size < 2:
        return Route(tuple(int(each) for each in way), 0.0)
    rank = np.asarray(ranks)[way]
    equal = np.triu(rank[:, None] == rank, 1)
    while True:
        saved = _saved_m(way, apart_m)
        saved[~equal] = 0.0
        first, last = np.unravel_index(np.argmax(saved), saved.shape)
        if saved[first, last] <= _SHORTER_M:
            return Route(tuple(int(each) for each in way), _length_m(way, apart_m))
        way[first : last + 1] = way[first : last + 1][::-1].copy()


def insertions(way: Route, places: Sequence[int], apart_m: Floats, ranks: Sequence[int]) -> tuple[Whole, Floats]:
    """Where in an order one more place would add least, and how many metres [m], each (places,).

    places : not in the order, each tried by itself; it is never put out of the order of ranks.
    """
    more, order, rank = np.asarray(places, np.int64), np.array(way.order, np.int64), np.asarray(ranks)
    if order.size == 0 or more.size == 0:
        return np.zeros(more.size, np.int64), np.zeros(more.size)
    to, edge = apart_m[np.ix_(more, order)], np.zeros((more.size, 1))
    link = np.concatenate([[0.0], apart_m[order[:-1], order[1:]], [0.0]])
    added = np.hstack([edge, to]) + np.hstack([to, edge]) - link
    begin = np.searchsorted(rank[order], rank[more], side="left")
    end = np.searchsorted(rank[order], rank[more], side="right")
    at = np.arange(order.size + 1)
    added[(at < begin[:, None]) | (at > end[:, None])] = np.inf
    best = np.argmin(added, axis=1)
    return best, added[np.arange(more.size), best]


def _saved_m(way: Whole, apart_m: Floats) -> Floats:
    """Metres saved by turning round the stretch from one place of the order to another, (places, places)."""
    apart = apart_m[np.ix_(way, way)]
    count = way.size
    link = np.diagonal(apart, 1)
    into, out = np.zeros((count, 1)), np.zeros(count)
    into[1:, 0], out[:-1] = link, link
    # the place before the first and behind the last is nowhere, and nothing away
    from_before, to_behind = np.zeros((count, count)), np.zeros((count, count))
    from_before[1:] = apart[:-1]
    to_behind[:, :-1] = apart[:, 1:]
    return np.asarray(into + out - from_before - to_behind)


def _nearest_next(apart_m: Floats, ranks: Sequence[int], first: int) -> list[int]:
    order, left = [first], set(range(len(ranks))) - {first}
    while left:
        here = order[-1]
        nearest = min(left, key=lambda each: (ranks[each], apart_m[here, each], each))
        order.append(nearest)
        left.remove(nearest)
    return order


def _of_every_order(apart_m: Floats, ranks: Whole) -> Route:
    orders = _orders(ranks.size)
    orders = orders[(np.diff(ranks[orders], axis=1) >= 0).all(axis=1)]
    metres = apart_m[orders[:, :-1], orders[:, 1:]].sum(axis=1)
    best = int(np.argmin(metres))
    return Route(tuple(int(each) for each in orders[best]), float(metres[best]))


@cache
def _orders(count: int) -> Whole:
    return np.array(list(permutations(range(count))), np.int64).reshape(-1, count)


def _length_m(way: Whole, apart_m: Floats) -> float:
    return float(apart_m[way[:-1], way[1:]].sum())

"""Safety divisions: the fewest, and the best beds for them, that bring a cultivar's chance of surviving above a level.

Planting each where it helps most for the moment is not always best; every choice that could be better is gone through,
and what cannot be better is left out by two bounds.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.collection.stock import Floats, none_left_frac, refuse_shares
from abaxial.errors import RequestError

#: choices looked at before the best found so far is taken, and said to be unproven
MOST_LOOKED_AT = 20_000
_EVEN = 1e-12


class Places(NamedTuple):
    """Where safety divisions may stand.

    beds : (places,) names. clean_frac : (versions, places) chance that one planted there is clean at the season's end.
    lost_frac : (places,) chance that one is lost otherwise. place_lost_frac : (places,) chance that all there are. room :
    (places,) how many find room, 0 or more.
    """

    beds: tuple[str, ...]
    clean_frac: Floats
    lost_frac: Floats
    place_lost_frac: Floats
    room: NDArray[np.int64]


class Safety(NamedTuple):
    """What was chosen.

    counts : (places,) divisions for each bed. healthy_frac : chance of healthy stock with them. without_frac : without
    any. enough : whether the level is reached. proven : whether it is certain that no fewer would do, and none placed
    better.
    """

    counts: tuple[int, ...]
    healthy_frac: float
    without_frac: float
    enough: bool
    proven: bool


class _Odds(NamedTuple):
    """fails : for each place (count, versions) chance that nothing healthy is left of so many there. room : of each."""

    fails: tuple[Floats, ...]
    room: tuple[int, ...]


class _Best(NamedTuple):
    """The best choice so far, what fails with it, and how many were looked at. counts : None before there is any; another
    must then fail less than failing_frac all the same."""

    failing_frac: float
    counts: tuple[int, ...] | None
    looked_at: int = 0


def safety_divisions(none_left: Floats, places: Places, *, level_frac: float, most: int, weight_frac: Floats) -> Safety:
    """The fewest safety divisions that bring the chance of healthy stock to a level, in the beds where they do most.

    none_left : (versions,) chance that nothing healthy is left without them, from stock.none_left_of. level_frac : wanted,
    0 up to below 1. most : divisions one is ready to make, 0 or more. weight_frac : (versions,), together 1. Where the
    level is out of reach, the best `most` divisions. Raises RequestError where shapes do not fit or shares are none.
    """
    _refuse(none_left, places, weight_frac, level_frac, most)
    start = none_left * weight_frac
    without, allowed = float(start.sum()), 1.0 - level_frac
    if without <= allowed + _EVEN:
        return Safety((0,) * len(places.beds), _rest(without), _rest(without), True, True)
    order = _by_worth(start, places)
    odds = _odds(places, order)
    most = min(most, sum(odds.room))
    best = _Best(allowed + 2.0 * _EVEN, None)
    for count in range(1, most + 1):
        best = _search(start, (), count, odds, best)
        if best.counts is not None:
            return _answer(best, order, without, True)
        if best.looked_at > MOST_LOOKED_AT:
            return _as_far_as_looked(start, odds, order, most, allowed)
    counts, failing = _greedily(start, odds, most)
    best = _search(start, (), most, odds, _Best(failing, counts))
    return _answer(best, order, without, False)


def greedy_divisions(none_left: Floats, places: Places, *, count: int, weight_frac: Floats) -> tuple[int, ...]:
    """So many divisions, each where it helps most for the moment, (places,); to be compared with."""
    _refuse(none_left, places, weight_frac, 0.0, count)
    order = list(range(len(places.beds)))
    counts, _ = _greedily(none_left * weight_frac, _odds(places, order), count)
    return counts


def healthy_with_frac(none_left: Floats, places: Places, counts: Sequence[int], *, weight_frac: Floats) -> float:
    """Chance of healthy stock with so many divisions in each bed [0 to 1]. counts : (places,); the rest as in
    safety_divisions."""
    fails = none_left_frac(places.clean_frac, np.asarray(counts), places.lost_frac, places.place_lost_frac)
    return float(1.0 - np.sum(weight_frac * none_left * fails.prod(axis=1)))


def _search(failing: Floats, counts: tuple[int, ...], left: int, odds: _Odds, best: _Best) -> _Best:
    """The best of every way to put `left` more into the places after `counts`, or the best so far where that is no worse.

    failing : (versions,) weight times the chance that nothing is left so far.
    """
    best, place = best._replace(looked_at=best.looked_at + 1), len(counts)
    if left == 0:
        total = float(failing.sum())
        if total >= best.failing_frac - _EVEN:
            return best
        return best._replace(failing_frac=total, counts=counts + (0,) * (len(odds.room) - place))
    if sum(odds.room[place:]) < left or best.looked_at > MOST_LOOKED_AT:
        return best
    if _least_failing(failing, place, left, odds) >= best.failing_frac - _EVEN:
        return best
    for here in range(min(left, odds.room[place]), -1, -1):
        best = _search(failing * odds.fails[place][here], (*counts, here), left - here, odds, best)
    return best


def _least_failing(failing: Floats, place: int, left: int, odds: _Odds) -> float:
    """A chance of failing below which no way to put `left` more from `place` on can come.

    Two bounds, the higher counts. Each further division helps at most as much as it would first of all; and in no version
    does one help more than the best place does there, because b + (1 − b) qⁿ is at least (b + (1 − b) q)ⁿ.
    """
    total = float(failing.sum())
    once = np.array([odds.fails[each][1] for each in range(place, len(odds.room)) if odds.room[each]])
    gains = total - once @ failing
    room = [each for each in odds.room[place:] if each]
    still, bound = left, total
    for each in np.argsort(-gains, kind="stable"):
        taken = min(still, room[each])
        bound -= taken * float(gains[each])
        still -= taken
        if not still:
            break
    return max(bound, float(np.sum(failing * once.min(axis=0) ** left)))


def _greedily(start: Floats, odds: _Odds, count: int) -> tuple[tuple[int, ...], float]:
    counts = [0] * len(odds.room)
    failing = start
    for _ in range(count):
        open_places = [each for each, room in enumerate(odds.room) if counts[each] < room]
        if not open_places:
            break
        tried = {each: _one_more(failing, odds.fails[each], counts[each]) for each in open_places}
        chosen = min(open_places, key=lambda each: (float(tried[each].sum()), each))
        counts[chosen] += 1
        failing = tried[chosen]
    return tuple(counts), float(failing.sum())


def _one_more(failing: Floats, fails: Floats, have: int) -> Floats:
    # where nothing can fail there, nothing is left to divide by
    return np.where(fails[have] > 0.0, failing / np.where(fails[have] > 0.0, fails[have], 1.0) * fails[have + 1], 0.0)


def _as_far_as_looked(start: Floats, odds: _Odds, order: list[int], most: int, allowed: float) -> Safety:
    """The fewest that do when each is put where it helps most, where looking at all would take too long."""
    tried = [_greedily(start, odds, count) for count in range(1, most + 1)]
    enough = [each for each in tried if each[1] <= allowed + _EVEN]
    counts, failing = enough[0] if enough else tried[-1]
    best = _Best(failing, counts, MOST_LOOKED_AT + 1)
    return _answer(best, order, float(start.sum()), bool(enough))


def _answer(best: _Best, order: list[int], without: float, enough: bool) -> Safety:
    counts = [0] * len(order)
    for place, count in zip(order, best.counts or (), strict=True):
        counts[place] = count
    proven = best.looked_at <= MOST_LOOKED_AT
    return Safety(tuple(counts), _rest(best.failing_frac), _rest(without), enough, proven)


def _rest(failing_frac: float) -> float:
    # weights add up to 1 only nearly
    return min(1.0, max(0.0, 1.0 - failing_frac))


def _by_worth(start: Floats, places: Places) -> list[int]:
    """Places by how much one division there helps, so that good choices are found early."""
    once = none_left_frac(places.clean_frac, np.ones(len(places.beds)), places.lost_frac, places.place_lost_frac)
    worth = start @ once
    return sorted(range(len(places.beds)), key=lambda each: (float(worth[each]), each))


def _odds(places: Places, order: list[int]) -> _Odds:
    fails = tuple(
        none_left_frac(
            places.clean_frac[None, :, each],
            np.arange(places.room[each] + 1)[:, None],
            places.lost_frac[each],
            places.place_lost_frac[each],
        )
        for each in order
    )
    return _Odds(fails, tuple(int(places.room[each]) for each in order))


def _refuse(none_left: Floats, places: Places, weight_frac: Floats, level_frac: float, most: int) -> None:
    versions, count = places.clean_frac.shape
    sizes = (len(places.beds), places.lost_frac.size, places.place_lost_frac.size, places.room.size)
    if set(sizes) != {count} or none_left.shape != (versions,) or weight_frac.shape != (versions,):
        raise RequestError("Places, versions and weights do not fit together.", remedy="Give one of each for each.")
    refuse_shares("A chance", places.clean_frac, places.lost_frac, places.place_lost_frac, none_left, weight_frac)
    if not 0.0 <= level_frac < 1.0 or most < 0 or np.any(places.room < 0):
        raise RequestError(
            f"A level of {level_frac:g} with at most {most} divisions cannot be aimed at.",
            remedy="The level lies from 0 to below 1: certainty is not to be had. Counts are 0 or more.",
        )

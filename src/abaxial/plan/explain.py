"""Why this programme: what it buys against the best other one, what a look would change, and which rules stood in the way.

Kinds and numbers only; sentences are made elsewhere.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.assimilation import counts
from abaxial.plan.choose.binding import Binding

Floats = NDArray[np.float64]

#: the share of versions that a range leaves out at each end
_OUTSIDE_FRAC = 0.05
#: counts less likely than this are not spoken of
_LEAST_CHANCE_FRAC = 1e-3


class Contrast(NamedTuple):
    """One course against another, version by version. saved_money : on average, below 0 where the other is better.
    low_money, high_money : nine times in ten. sure_frac : weight of the versions in which it is better; those in which both
    lose the same count half."""

    saved_money: float
    low_money: float
    high_money: float
    sure_frac: float


class Look(NamedTuple):
    """A look that might be made first. seen_frac : (versions,) chance that a turned leaf is counted as rusted. leaves : to
    turn, 1 to 100. among_frac : how alike leaves are, above 0, below 1. blunder_frac : share of looks that say nothing."""

    seen_frac: Floats
    leaves: int
    among_frac: float
    blunder_frac: float


class Turning(NamedTuple):
    """What a look may change. worth_money : expected saving by looking first, before what the look itself costs. leaves : to
    turn. fewer_than : with fewer rusted leaves than this another course is best, 0 if none is. fewer_course : which. more_than :
    with more than this another is, `leaves` if none is. more_course : which. A course is its place, -1 where there is none.
    change_frac : chance that the look changes the course."""

    worth_money: float
    leaves: int
    fewer_than: int
    fewer_course: int
    more_than: int
    more_course: int
    change_frac: float


class Because(NamedTuple):
    """One reason. kind : "saves", "look_changes", "bound_by". details : its numbers and names."""

    kind: str
    details: Mapping[str, object]


#: what a course costs in all, from its losses (courses, versions) and weights (versions,)
Cost = Callable[[Floats, Floats], Floats]


def mean_cost(losses: Floats, weights: Floats) -> Floats:
    """Expected loss [money], (courses,). losses : (courses, versions). weights : (versions,), together 1."""
    return np.asarray(losses @ weights)


def contrast(losses: ArrayLike, other: ArrayLike, weights: ArrayLike | None = None) -> Contrast:
    """What a course saves against another, paired by version [money].

    losses, other : (versions,) of the two, their fixed costs included. weights : (versions,), alike where not given.
    """
    saved = np.asarray(other, np.float64) - np.asarray(losses, np.float64)
    weight = _weights(saved.size, weights)
    order = np.argsort(saved, kind="stable")
    upto = np.cumsum(weight[order]) - 0.5 * weight[order]
    low, high = np.interp([_OUTSIDE_FRAC, 1.0 - _OUTSIDE_FRAC], upto, saved[order])
    sure = weight @ ((saved > 0.0) + 0.5 * (saved == 0.0))
    return Contrast(float(saved @ weight), float(low), float(high), float(sure))


def best_other(costs: Floats, chosen: int, alike: Sequence[object]) -> int:
    """The cheapest course that asks for something else now; -1 if all ask for the same.

    costs : (courses,). chosen : place of the course taken. alike : (courses,) what each asks for in the coming week.
    """
    others = [place for place in range(len(costs)) if alike[place] != alike[chosen]]
    return min(others, key=lambda place: (costs[place], place), default=-1)


def perfect_worth_money(losses: ArrayLike, weights: ArrayLike | None = None) -> float:
    """What it would be worth to know everything before choosing [money].

    losses : (courses, versions). weights : (versions,), alike where not given. Source: raiffa1961, expected value of perfect
    information.
    """
    array = np.asarray(losses, np.float64)
    weight = _weights(array.shape[1], weights)
    return float((array @ weight).min() - array.min(axis=0) @ weight)


def look_worth_money(losses: ArrayLike, told_frac: ArrayLike, weights: ArrayLike | None = None) -> float:
    """What a look is worth before choosing, without what it costs [money].

    losses : (courses, versions). told_frac : (answers, versions) chance of each answer in each version, together 1. weights :
    as in `perfect_worth_money`. Source: raiffa1961, expected value of sample information.
    """
    array, told = np.asarray(losses, np.float64), np.asarray(told_frac, np.float64)
    weight = _weights(array.shape[1], weights)
    return float((array @ weight).min() - (array @ (told * weight).T).min(axis=0).sum())


def turning(losses: Floats, look: Look, *, weights: ArrayLike | None = None, cost: Cost = mean_cost) -> Turning:
    """How many rusted leaves would make another course the best.

    losses : (courses, versions), fixed costs included. cost : how losses are summed up, as where the course was chosen. The
    versions are weighed again by each count that may be found.
    """
    weight = _weights(losses.shape[1], weights)
    told = _told_frac(look)
    chance = told @ weight
    now_costs = cost(losses, weight)
    now = int(np.argmin(now_costs))
    after = np.stack([cost(losses, row * weight / max(often, 1e-300)) for row, often in zip(told, chance, strict=True)])
    best = np.where(after[:, now] <= after.min(axis=1), now, after.argmin(axis=1))
    best[chance < _LEAST_CHANCE_FRAC] = now
    worth = float(chance @ (after[:, now] - after.min(axis=1)))
    low, high = _band(best, now, chance)
    return Turning(
        worth_money=worth,
        leaves=look.leaves,
        fewer_than=low,
        fewer_course=int(best[low - 1]) if low > 0 else -1,
        more_than=high,
        more_course=int(best[high + 1]) if high < look.leaves else -1,
        change_frac=float(chance[best != now].sum()),
    )


def because(against: Contrast, turned: Turning | None, bound: Sequence[Binding], *, other: int) -> tuple[Because, ...]:
    """The reasons for a choice, what it buys first.

    other : place of the course it is held against. turned : where a look is possible. bound : what stood in the way, from the
    choice, the costliest first.
    """
    reasons = [Because("saves", {**against._asdict(), "other": other})]
    if turned is not None and (turned.fewer_course >= 0 or turned.more_course >= 0):
        reasons.append(Because("look_changes", turned._asdict()))
    for each in bound:
        details = {**each.rule._asdict(), "money": each.money, "planting": each.planting, "alone": each.alone}
        details["rule"] = details.pop("kind")
        reasons.append(Because("bound_by", details))
    return tuple(reasons)


def _told_frac(look: Look) -> Floats:
    """Chance of each count from none to all, (leaves + 1, versions)."""
    rows = [counts.count_log(look.leaves, k, look.seen_frac, look.among_frac) for k in range(look.leaves + 1)]
    by_leaves = np.exp(np.stack(rows))
    return np.asarray((1.0 - look.blunder_frac) * by_leaves + look.blunder_frac / (look.leaves + 1))


def _band(best: NDArray[np.int64], now: int, chance: Floats) -> tuple[int, int]:
    """The first and the last count around the likeliest for which the course stays."""
    stays = np.flatnonzero(best == now)
    if stays.size == 0:
        # a cost that is not linear may prefer a course that no answer makes the best
        return 0, len(best) - 1
    middle = int(stays[np.argmax(chance[stays])])
    low = high = middle
    while low > 0 and best[low - 1] == now:
        low -= 1
    while high < len(best) - 1 and best[high + 1] == now:
        high += 1
    return low, high


def _weights(versions: int, weights: ArrayLike | None) -> Floats:
    if weights is None:
        return np.full(versions, 1.0 / versions)
    array = np.asarray(weights, np.float64)
    return np.asarray(array / array.sum())

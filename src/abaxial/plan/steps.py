"""Step by step: the leaves that bring most for a minute come first, until the minutes are used."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from abaxial.plan import doubt, route
from abaxial.plan.doubt import Doubt
from abaxial.plan.ground import Ground
from abaxial.plan.route import Route

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

_ROUNDING_S = 1e-6


@dataclass(frozen=True)
class Chosen:
    """What is chosen so far. leaves : (corners,) to turn, 0 where there is no stop. way : over plantings. seconds_s : of it
    all. value : of what the looks are expected to tell and to meet."""

    leaves: Whole
    way: Route
    seconds_s: float
    value: float


@dataclass(frozen=True)
class _Offer:
    """The steps that may come next. value, cost_s : (looks,) what each adds and takes; the value is minus infinity where it
    is no step. place, added_m : (plantings,) where in the way a planting would come, and how much longer that makes it."""

    value: Floats
    cost_s: Floats
    place: Whole
    added_m: Floats


def choose(ground: Ground, minutes: float) -> Chosen:
    """The best beginning of the list of steps that the minutes allow, with at most one more step that does not follow in
    the list. minutes : 0 or more."""
    budget_s = minutes * 60.0 + _ROUNDING_S
    chosen = best = _nothing(ground)
    left = doubt.before_looking(ground.ahead)
    while chosen.seconds_s <= budget_s:
        offer = _offer(ground, chosen, left)
        best = max(best, chosen, _one_more(ground, chosen, offer, budget_s), key=lambda each: each.value)
        if not np.isfinite(offer.value).any():
            break
        look = int(np.argmax(offer.value / np.where(np.isfinite(offer.value), offer.cost_s, 1.0)))
        chosen = _taken(ground, chosen, offer, look)
        left = doubt.after(left, look)
    return _shortened(ground, best)


def worth_a_look(ground: Ground) -> set[str]:
    """Plantings of which some look is worth making, if no other is made."""
    offer = _offer(ground, _nothing(ground), doubt.before_looking(ground.ahead))
    corners = np.unique(ground.ahead.corner[np.isfinite(offer.value)])
    return {ground.corners[int(each)].planting for each in corners}


def _nothing(ground: Ground) -> Chosen:
    return Chosen(np.zeros(len(ground.corners), np.int64), Route((), 0.0), 0.0, 0.0)


def _offer(ground: Ground, chosen: Chosen, left: Doubt) -> _Offer:
    """Every step that may come next: more leaves at a stop, or a new stop."""
    corner, pace = ground.ahead.corner, ground.pace
    turned = chosen.leaves[corner]
    met = np.zeros(len(ground.corners))
    there = turned == ground.ahead.leaves
    met[corner[there]] = ground.due_value[there]
    value = doubt.values(left) + ground.due_value - met[corner]
    least = np.where(ground.weight > 0.0, pace.least_gain_frac * ground.weight, np.inf)[corner]
    worth_it = (ground.ahead.leaves > turned) & (value >= least)
    new = [each for each in range(len(ground.plantings)) if each not in chosen.way.order]
    place, added_m = np.zeros(len(ground.plantings), np.int64), np.zeros(len(ground.plantings))
    place[new], added_m[new] = route.insertions(chosen.way, new, ground.apart_m, ground.ranks)
    arriving_s = ground.walking_s(added_m)
    arriving_s[new] += pace.settling_s
    cost_s = (ground.ahead.leaves - turned) * pace.leaf_s + np.where(turned == 0, pace.writing_s, 0.0)
    cost_s = cost_s + arriving_s[ground.planting[corner]]
    return _Offer(np.where(worth_it, value, -np.inf), cost_s, place, added_m)


def _one_more(ground: Ground, chosen: Chosen, offer: _Offer, budget_s: float) -> Chosen:
    """With the step that adds most among those there is time for."""
    fitting = np.where(chosen.seconds_s + offer.cost_s <= budget_s, offer.value, -np.inf)
    if not np.isfinite(fitting).any():
        return chosen
    return _taken(ground, chosen, offer, int(np.argmax(fitting)))


def _taken(ground: Ground, chosen: Chosen, offer: _Offer, look: int) -> Chosen:
    """With one more step."""
    corner = int(ground.ahead.corner[look])
    planting = int(ground.planting[corner])
    leaves = chosen.leaves.copy()
    leaves[corner] = ground.ahead.leaves[look]
    way, seconds_s = chosen.way, chosen.seconds_s + float(offer.cost_s[look])
    if planting not in way.order:
        at, added_m = int(offer.place[planting]), float(offer.added_m[planting])
        longer = (*way.order[:at], planting, *way.order[at:])
        shorter = route.improved(longer, ground.apart_m, ground.ranks)
        seconds_s -= ground.walking_s(way.metres_m + added_m - shorter.metres_m)
        way = shorter
    return Chosen(leaves, way, seconds_s, chosen.value + float(offer.value[look]))


def _shortened(ground: Ground, chosen: Chosen) -> Chosen:
    """The same stops along a way that is as short as can be found."""
    places = list(chosen.way.order)
    among = route.shortest(ground.apart_m[np.ix_(places, places)], [ground.ranks[each] for each in places])
    if among.metres_m >= chosen.way.metres_m:
        return chosen
    way = Route(tuple(places[each] for each in among.order), among.metres_m)
    seconds_s = chosen.seconds_s - ground.walking_s(chosen.way.metres_m - way.metres_m)
    return Chosen(chosen.leaves, way, seconds_s, chosen.value)

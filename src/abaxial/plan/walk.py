"""Where the next minutes are worth most: which parts of which plantings to look at, how many leaves, in which order."""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation.likelihood import Predicted
from abaxial.assimilation.looks import read_looks
from abaxial.errors import RequestError
from abaxial.plan import ground, steps
from abaxial.plan.ground import Corner, Ground
from abaxial.plan.pace import Pace
from abaxial.plan.steps import Chosen
from abaxial.scouting import sampling

__all__ = ["Corner", "Predicted", "Stop", "Walk", "plan_walk"]

Floats = NDArray[np.float64]

#: how sure the sentence about finding nothing is; the names of the two fields wear it
_SURE_FRAC = 0.8
_LEAVES_EACH = 2


class Stop(NamedTuple):
    """One part of one planting to look at.

    leaves : to turn. plants : over which to spread them. minutes : walking there, settling, turning and writing down.
    gain_frac : share of the variance of this corner's own concern that the look by itself is expected to take away, 0 to
    1. due : whether one of the leaves is likely enough to open within the week. none_below_80_frac : if none is found
    rusted, the share of leaves that does not have more, four times in five. none_one_in_80_leaves : one over it, rounded
    down: "fewer than 1 in 5 are".
    """

    planting: str
    bed: str
    part: str
    leaves: int
    plants: int
    minutes: float
    gain_frac: float
    due: bool
    none_below_80_frac: float
    none_one_in_80_leaves: int


class Walk(NamedTuple):
    """The stops in the order of walking.

    minutes : the minutes of all stops. left_out : plantings without a stop. tells_little : those of them where no number
    of leaves is worth turning, however many minutes there are. gain_frac : of all that looks could be worth, what these
    are, 0 to 1; what one planting tells of another is counted once.
    """

    stops: tuple[Stop, ...]
    minutes: float
    left_out: tuple[str, ...]
    tells_little: tuple[str, ...]
    gain_frac: float


def plan_walk(corners: Sequence[Corner], *, minutes: float, pace: Pace) -> Walk:
    """The walk that is worth most in the minutes there are.

    corners : parts of plantings, each at most once, all with the same versions in the same order. minutes : 0 or more.
    A look is worth the variance of the concern that it is expected to take away, over the variance there is (and a little
    more, so that what is as good as known counts for nothing), times the planting's weight, for its own planting and all
    that share its fate; and something for leaves that open within the week. Leaves are added step by step where they bring
    most for a minute; the walk is the best beginning of that list with at most one more step, so that a longer walk is never
    worth less. Raises RequestError where the minutes are no number of minutes.
    """
    if not 0.0 <= minutes < math.inf:
        raise RequestError(
            f"A walk cannot take {minutes:g} minutes; it must be a number from 0 up.", remedy="Say how many there are."
        )
    if not corners:
        return Walk((), 0.0, (), (), 0.0)
    looks = read_looks()
    laid = ground.lay_out(corners, pace, looks)
    chosen = steps.choose(laid, minutes)
    stops = _stops(laid, chosen, looks.correlation_frac)
    visited = {stop.planting for stop in stops}
    left_out = tuple(name for name in laid.plantings if name not in visited)
    worthy = steps.worth_a_look(laid)
    return Walk(
        stops=stops,
        minutes=math.fsum(stop.minutes for stop in stops),
        left_out=left_out,
        tells_little=tuple(name for name in left_out if name not in worthy),
        gain_frac=min(chosen.value / laid.whole_value, 1.0) if laid.whole_value > 0.0 else 0.0,
    )


def _stops(laid: Ground, chosen: Chosen, correlation_frac: float) -> tuple[Stop, ...]:
    """The stops of a choice along the shortest way; upper leaves first, so that the cleaner are touched first."""
    there = {place: way for way, place in enumerate(chosen.way.order)}
    taken = [corner for corner in range(len(laid.corners)) if chosen.leaves[corner] > 0]
    taken.sort(key=lambda corner: (there[int(laid.planting[corner])], laid.corners[corner].part != "upper", corner))
    stops = []
    before = -1
    for corner in taken:
        here = int(laid.planting[corner])
        seconds = laid.pace.writing_s + int(chosen.leaves[corner]) * laid.pace.leaf_s
        if here != before:
            walked_s = laid.walking_s(float(laid.apart_m[before, here])) if before >= 0 else 0.0
            seconds += laid.pace.settling_s + walked_s
        stops.append(_stop(laid, corner, int(chosen.leaves[corner]), seconds, correlation_frac))
        before = here
    return tuple(stops)


def _stop(laid: Ground, corner: int, leaves: int, seconds: float, correlation_frac: float) -> Stop:
    of = laid.corners[corner]
    look = int(np.flatnonzero((laid.ahead.corner == corner) & (laid.ahead.leaves == leaves))[0])
    variance = float(of.concern.var())
    plants = plants_for(leaves, of.plants, of.leaves_per_plant)
    terms = sampling.Terms(
        confidence_frac=_SURE_FRAC,
        efficacy_frac=float(np.mean(of.predicted.detection_frac)),
        correlation_frac=correlation_frac,
    )
    nothing = sampling.looked_at(plants, of.plants, terms, leaves_each=max(leaves // plants, 1))
    return Stop(
        planting=of.planting,
        bed=of.bed,
        part=of.part,
        leaves=leaves,
        plants=plants,
        minutes=seconds / 60.0,
        gain_frac=min(float(laid.ahead.told_variance[look]) / variance, 1.0) if variance > 0.0 else 0.0,
        due=bool(laid.due_frac[look] >= laid.pace.due_chance_frac),
        none_below_80_frac=nothing.below_frac,
        none_one_in_80_leaves=nothing.one_in_leaf,
    )


def plants_for(leaves: int, plants: int, leaves_per_plant: float) -> int:
    """Over how many plants to spread leaves: two on each where there are plants enough.

    leaves : 1 or more. plants : there are, 1 or more. leaves_per_plant : above 0.
    """
    fewest = math.ceil(leaves / leaves_per_plant - 1e-9)
    return min(plants, leaves, max(leaves // _LEAVES_EACH, fewest, 1))

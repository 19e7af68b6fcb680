"""How well each version of a planting explains what somebody saw of it on a walk."""

import math
from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import counts
from abaxial.assimilation.looks import Looks, read_looks
from abaxial.assimilation.special import normal_between_frac, normal_cdf_frac
from abaxial.scouting.sightings import Sighting

Floats = NDArray[np.float64]

_TINY = 1e-12
_SMALLEST_CHANCE = 1e-300
# patches clumped less than this lie as good as at random
_AT_RANDOM = 1e9
# what a look at a wrong bed may say of blisters: nothing, or anything from one on a hundred leaves to ten thousand on one
_PUSTULES_SPAN_LOG = math.log(1e6)
# a longer count is brought down to this many leaves before its place among all possible counts is worked out
_MOST_COUNTED = 1000


class Predicted(NamedTuple):
    """One part of one planting on one day, in every version, each (versions,).

    visible_frac : share of attached leaf area that shows, 0 to 1. lesion_frac : share of one leaf that one patch takes,
    above 0. clumping : k of the negative binomial of patches per leaf, above 0. detection_frac : chance that a turned
    leaf that bears rust is noticed. rater_log_bias : logarithm of judged over true severity.
    """

    visible_frac: Floats
    lesion_frac: Floats
    clumping: Floats
    detection_frac: Floats
    rater_log_bias: Floats


class _Piece(NamedTuple):
    """One thing that a sighting says.

    chance_log : logarithm of its chance, or of its density in the logarithm of an amount, (versions,). flat_log : the
    same if it were said of nothing in particular. below : chance of less than it, (versions,), asked for when needed.
    """

    chance_log: Floats
    flat_log: float
    below: Callable[[], Floats]
    is_density: bool = False


def incidence_frac(predicted: Predicted) -> Floats:
    """Share of leaves that bear rust that shows [0 to 1], (versions,).

    Source: madden2007, patches per leaf m as a negative binomial: p = 1 − (1 + m/k)^−k.
    """
    clumping = np.minimum(predicted.clumping, _AT_RANDOM)
    return np.asarray(-np.expm1(-clumping * np.log1p(_patches_per_leaf(predicted) / clumping)))


def seen_frac(predicted: Predicted) -> Floats:
    """Share of turned leaves that are counted as rusted [0 to 1], (versions,)."""
    return np.asarray(predicted.detection_frac * incidence_frac(predicted))


def log_likelihood(
    sighting: Sighting, predicted: Predicted, week_before: Predicted | None = None, *, looks: Looks | None = None
) -> Floats:
    """Natural logarithm of the chance of what was seen, (versions,); finite always.

    sighting : of the part that `predicted` is of; for a stem, `predicted` is of the lower leaves. week_before : the same
    part seven days earlier, for the amount "first". looks : what a look is worth; looks.toml where not given.
    All that one sighting says is multiplied; then a small share of looks is allowed to be a blunder, which says nothing.
    """
    looks = read_looks() if looks is None else looks
    pieces = _pieces(sighting, predicted, week_before, looks)
    if not pieces:
        return np.zeros_like(predicted.visible_frac)
    flat = math.fsum(each.flat_log for each in pieces)
    told = sum((each.chance_log for each in pieces), start=np.full_like(predicted.visible_frac, -flat))
    return np.asarray(flat + np.log(looks.blunder_frac + (1.0 - looks.blunder_frac) * np.exp(told)))


def tail_frac(
    sighting: Sighting,
    predicted: Predicted,
    weights: Floats,
    week_before: Predicted | None = None,
    *,
    looks: Looks | None = None,
) -> float:
    """How far out what was seen lies among all that might have been: two-sided mid-p [0 to 1], blunders left aside.

    weights : (versions,), 0 or more, not all 0. Other arguments as in `log_likelihood`. 1 where the sighting says
    nothing. Of a sighting that says several things the strangest counts, times how many they are.
    """
    pieces = _pieces(sighting, predicted, week_before, read_looks() if looks is None else looks)
    share = weights / weights.sum()
    tails = []
    for each in pieces:
        here = 0.0 if each.is_density else float(share @ np.exp(each.chance_log))
        below = float(share @ each.below()) + 0.5 * here
        tails.append(2.0 * min(below, 1.0 - below))
    return min(max(len(tails) * min(tails), 0.0), 1.0) if tails else 1.0


def count_distribution(turned: int, predicted: Predicted, weights: Floats, *, looks: Looks | None = None) -> Floats:
    """Chance of finding 0, 1, … of the turned leaves rusted [0 to 1], shape (turned + 1,), blunders left aside.

    turned : leaves, 0 or more. weights : (versions,), 0 or more, not all 0.
    """
    looks = read_looks() if looks is None else looks
    return counts.weighed_counts_frac(turned, seen_frac(predicted), looks.among_frac, weights)


def _patches_per_leaf(predicted: Predicted) -> Floats:
    return np.asarray(predicted.visible_frac / np.maximum(predicted.lesion_frac, _TINY))


def _pieces(sighting: Sighting, predicted: Predicted, before: Predicted | None, looks: Looks) -> list[_Piece]:
    if sighting.part == "stem":
        return list(_of_a_stem(sighting, predicted, looks))
    leaves_bear = incidence_frac(predicted)
    seen = _units_frac(sighting, predicted.detection_frac * leaves_bear, looks)
    judged = sighting.severity_low_frac is not None or sighting.pustules_per_leaf is not None
    bears = _units_frac(sighting, leaves_bear, looks) if judged else leaves_bear
    return [
        *_of_counts(sighting, seen, looks),
        *_of_the_week_before(sighting, before, looks),
        *_of_severity(sighting, predicted, bears, looks),
        *_of_pustules(sighting, predicted, bears, looks),
    ]


def _units_frac(sighting: Sighting, leaves_frac: Floats, looks: Looks) -> Floats:
    """Share of leaves, or of plants: a plant counts unless none of the leaves turned on it does."""
    if sighting.unit == "leaf":
        return leaves_frac
    return np.asarray(1.0 - counts.none_frac(looks.casual_leaves, leaves_frac, looks.correlation_frac))


def _of_counts(sighting: Sighting, seen: Floats, looks: Looks) -> Iterator[_Piece]:
    turned, rusted, among, correlation = sighting.turned, sighting.rusted, looks.among_frac, looks.correlation_frac
    if turned is not None and rusted is not None:
        chance_log = counts.count_log(turned, rusted, seen, among)
        yield _Piece(chance_log, -math.log1p(turned), lambda: _fewer_frac(turned, rusted, seen, among))
        return
    if sighting.amount == "counted":
        return
    none = counts.none_frac(looks.casual_leaves, seen, correlation)
    if sighting.amount == "none":
        yield _chance(none, np.zeros_like(none), 3)
    elif sighting.amount == "first":
        yield _chance(1.0 - none, none, 2)
    else:
        few = counts.few_frac(looks.casual_leaves, (looks.casual_leaves - 1) // 2, seen, correlation)
        some = sighting.amount == "some"
        yield _chance(few, none, 3) if some else _chance(1.0 - none - few, none + few, 3)


def _of_the_week_before(sighting: Sighting, before: Predicted | None, looks: Looks) -> Iterator[_Piece]:
    if sighting.amount == "first" and before is not None:
        none = counts.none_frac(
            looks.casual_leaves, _units_frac(sighting, seen_frac(before), looks), looks.correlation_frac
        )
        yield _chance(none, np.zeros_like(none), 2)


def _of_a_stem(sighting: Sighting, lower: Predicted, looks: Looks) -> Iterator[_Piece]:
    shows = _shows_rust(sighting)
    if shows is None:
        return
    leaves = 1.0 - counts.none_frac(looks.casual_leaves, seen_frac(lower), looks.correlation_frac)
    stem = looks.stem_alone_frac + (looks.stem_with_frac - looks.stem_alone_frac) * leaves
    yield _chance(stem, 1.0 - stem, 2) if shows else _chance(1.0 - stem, np.zeros_like(stem), 2)


def _shows_rust(sighting: Sighting) -> bool | None:
    """Whether a sighting tells of any rust; None where it leaves that open."""
    if sighting.amount != "counted":
        return sighting.amount != "none"
    told = (sighting.rusted, sighting.severity_low_frac, sighting.pustules_per_leaf)
    if any(each for each in told):
        return True
    class_from_none = sighting.severity_high_frac not in (None, 0.0)
    return None if class_from_none or all(each is None for each in told) else False


def _none_was_found(sighting: Sighting) -> bool:
    return sighting.rusted == 0 or (sighting.rusted is None and sighting.amount == "none")


def _of_severity(sighting: Sighting, predicted: Predicted, bears: Floats, looks: Looks) -> Iterator[_Piece]:
    low, high = sighting.severity_low_frac, sighting.severity_high_frac
    if low is None or high is None or (low == 0.0 and _none_was_found(sighting)):
        return  # the leaves have said it
    share = predicted.visible_frac * _looked_at(
        sighting, bears, rusted_only=sighting.severity_of == "rusted" and high > 0.0
    )
    centre = np.log(np.maximum(share, _TINY)) + predicted.rater_log_bias
    smallest = math.log(looks.smallest_seen_frac)
    if low == high and 0.0 < low < 1.0:
        yield _density(math.log(low), centre, looks.severity_log_sd, span_log=-smallest)
        return
    if high == 0.0:
        yield _interval(-math.inf, smallest, centre, looks.severity_log_sd, flat=0.5)
        return
    # nothing is judged below none or above all, so that the outermost classes are open
    begin = math.log(low) if low > 0.0 else -math.inf
    end = math.log(high) if high < 1.0 else math.inf
    width = (min(math.log(high), 0.0) - max(begin, smallest)) / -smallest
    flat = 0.5 * min(max(width, 0.05), 1.0) + (0.5 if low == 0.0 else 0.0)
    yield _interval(begin, end, centre, looks.severity_log_sd, flat=flat)


def _of_pustules(sighting: Sighting, predicted: Predicted, bears: Floats, looks: Looks) -> Iterator[_Piece]:
    counted = sighting.pustules_per_leaf
    if counted is None or (counted == 0.0 and _none_was_found(sighting)):
        return
    per_leaf = looks.pustules_per_patch * _patches_per_leaf(predicted) * _looked_at(sighting, bears, rusted_only=False)
    centre = np.log(np.maximum(per_leaf, _TINY))
    if counted > 0.0:
        yield _density(math.log(counted), centre, looks.pustules_log_sd, span_log=_PUSTULES_SPAN_LOG)
        return
    # none on all leaves looked at: fewer than half a blister among them
    leaves = sighting.turned if sighting.turned and sighting.unit == "leaf" else looks.casual_leaves
    yield _interval(-math.inf, math.log(0.5 / leaves), centre, looks.pustules_log_sd, flat=0.5)


def _looked_at(sighting: Sighting, bears: Floats, *, rusted_only: bool) -> Floats | float:
    """How many times as rusty the leaves looked at are as all leaves: those that bear rust, or as many as were counted.

    Where a count stands beside a judgement, the judgement is of the leaves counted; their number has been weighed.
    """
    if rusted_only:
        return np.asarray(1.0 / np.maximum(bears, _TINY))
    if sighting.turned and sighting.rusted:
        return np.asarray(sighting.rusted / sighting.turned / np.maximum(bears, _TINY))
    return 1.0


def _fewer_frac(turned: int, rusted: int, seen: Floats, correlation_frac: float) -> Floats:
    """Chance of fewer rusted leaves than were counted, (versions,)."""
    if turned > _MOST_COUNTED:
        turned, rusted = _MOST_COUNTED, round(rusted * _MOST_COUNTED / turned)
    return np.asarray(counts.every_count_frac(turned, seen, correlation_frac)[:rusted].sum(axis=0))


def _chance(chance: Floats, below: Floats, ways: int) -> _Piece:
    """A piece of which the chances are known. ways : how many things might have been said."""
    return _Piece(np.log(np.maximum(chance, _SMALLEST_CHANCE)), -math.log(ways), lambda: below)


def _density(amount_log: float, centre_log: Floats, log_sd: float, *, span_log: float) -> _Piece:
    """An amount about which a log-normal is laid. span_log : over how much of the scale it might be anything."""
    z = (amount_log - centre_log) / log_sd
    chance_log = -0.5 * z * z - math.log(log_sd * math.sqrt(2.0 * math.pi))
    return _Piece(chance_log, -math.log(2.0 * span_log), lambda: normal_cdf_frac(z), is_density=True)


def _interval(low_log: float, high_log: float, centre_log: Floats, log_sd: float, *, flat: float) -> _Piece:
    """Limits between which a log-normal amount lies; infinite where a side is open."""
    low, high = (low_log - centre_log) / log_sd, (high_log - centre_log) / log_sd
    if math.isinf(low_log):
        chance = normal_cdf_frac(high)
    elif math.isinf(high_log):
        chance = normal_cdf_frac(-low)
    else:
        chance = normal_between_frac(low, high)
    return _Piece(np.log(np.maximum(chance, _SMALLEST_CHANCE)), math.log(flat), lambda: normal_cdf_frac(low))

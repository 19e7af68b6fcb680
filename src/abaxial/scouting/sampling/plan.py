"""What to turn on a walk, and what it means if nothing is found: for one planting, and for a whole collection."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count
from typing import NamedTuple

from abaxial.errors import ScoutingError
from abaxial.scouting.sampling import detection, limits


class Terms(NamedTuple):
    """What a look is worth.

    confidence_frac : how sure to be, 0 to below 1. efficacy_frac : chance that a turned leaf with rust is noticed, above
    0, to 1. correlation_frac : how alike leaves of one plant are, 0 to below 1.
    """

    confidence_frac: float
    efficacy_frac: float
    correlation_frac: float


@dataclass(frozen=True)
class LookPlan:
    """Turn `leaves_each` leaves on each of `plants` plants; if none is rusted, fewer than 1 in `one_in_leaf` are.

    leaves : turned altogether. of_plants : that the planting has. below_frac : the incidence that finding none rules
    out. confidence_frac : how sure that is. one_in_leaf : 1 over below_frac, rounded down. reached : whether the
    share asked for was ruled out; a small planting may not hold enough leaves for it.
    """

    plants: int
    leaves_each: int
    leaves: int
    of_plants: int
    below_frac: float
    confidence_frac: float
    one_in_leaf: int
    reached: bool


@dataclass(frozen=True)
class CollectionPlan:
    """Plants to look at in each bed on one walk over all of them.

    bed_plants : to look at, bed by bed. plants : altogether. whole_rusted_plants : the most that may be rusted in the
    whole collection if none is found. bed_rusted_plants : the most in each bed by itself, with the same confidence; for
    a bed of which little was seen this is nearly all of it. reached : whether the share asked for was ruled out.
    """

    bed_plants: tuple[int, ...]
    plants: int
    whole_rusted_plants: int
    bed_rusted_plants: tuple[int, ...]
    confidence_frac: float
    reached: bool


def look_plan(of_plants: int, target_frac: float, terms: Terms, *, leaves_each: int, most_leaves_each: int) -> LookPlan:
    """The look at one planting that rules out an incidence if it finds nothing.

    of_plants : plants there are, 1 or more. target_frac : incidence to rule out, above 0, below 1. leaves_each : leaves
    to turn on a plant where there are plants enough; most_leaves_each : where there are not. Plants come before leaves,
    because leaves of one plant are alike.
    """
    if of_plants < 1 or not 1 <= leaves_each <= most_leaves_each or not 0.0 < target_frac < 1.0:
        raise ScoutingError(
            f"{of_plants} plants, {leaves_each} to {most_leaves_each} leaves and a share of {target_frac:g} make no walk.",
            remedy="Give a plant and a leaf or more, and a share between 0 and 1.",
        )

    def plants_for(each: int) -> int:
        return detection.clusters_to_find(
            each,
            target_frac,
            correlation_frac=terms.correlation_frac,
            confidence_frac=terms.confidence_frac,
            efficacy_frac=terms.efficacy_frac,
        )

    each = next(e for e in count(leaves_each) if e == most_leaves_each or plants_for(e) <= of_plants)
    needed = plants_for(each)
    return looked_at(min(needed, of_plants), of_plants, terms, leaves_each=each, reached=needed <= of_plants)


def looked_at(plants: int, of_plants: int, terms: Terms, *, leaves_each: int, reached: bool = True) -> LookPlan:
    """What finding nothing on so many plants and leaves means.

    plants, leaves_each : turned, 1 or more. of_plants : there are.
    """
    below = none_found_among_plants_frac(plants, terms, leaves_each=leaves_each)
    return LookPlan(
        plants=plants,
        leaves_each=leaves_each,
        leaves=plants * leaves_each,
        of_plants=of_plants,
        below_frac=below,
        confidence_frac=terms.confidence_frac,
        one_in_leaf=math.floor(1.0 / below + 1e-9),
        reached=reached,
    )


def none_found_among_plants_frac(plants: int, terms: Terms, *, leaves_each: int) -> float:
    """The highest incidence that turning so many leaves on so many plants and finding none leaves open [0 to 1].

    Beta-binomial within plants; found by halving. It is 1 where even rust on every leaf might be overlooked.
    """
    allowed = 1.0 - terms.confidence_frac
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2.0
        missed = detection.missed_in_cluster_frac(
            leaves_each, middle, correlation_frac=terms.correlation_frac, efficacy_frac=terms.efficacy_frac
        )
        low, high = (middle, high) if missed**plants > allowed else (low, middle)
    return high


def collection_plan(
    bed_plants: Sequence[int], target_frac: float, *, confidence_frac: float, efficacy_frac: float
) -> CollectionPlan:
    """One walk over many beds as over one bed, each bed getting its share of the looks.

    bed_plants : plants in each bed, 0 or more. target_frac : share of all plants to rule out, above 0, to 1. If nothing
    is found the confidence holds for the collection and not for each bed, whatever the beds' incidences are.
    Source: lane2018.
    """
    whole = sum(bed_plants)
    rusted = max(1, detection.rusted_units(whole, target_frac))
    if whole < 1 or min(bed_plants) < 0:
        raise ScoutingError("There are no plants to look at.", remedy="Give each bed's number of plants.")
    needed = detection.units_to_find_in_bed(
        bed_units=whole, rusted_units=rusted, confidence_frac=confidence_frac, efficacy_frac=efficacy_frac
    )
    shares = allotted(whole if needed is None else needed, bed_plants)

    def most(looked: int, there: int) -> int:
        return limits.none_found_limit_in_bed(
            looked, bed_units=there, confidence_frac=confidence_frac, efficacy_frac=efficacy_frac
        )

    return CollectionPlan(
        bed_plants=shares,
        plants=sum(shares),
        whole_rusted_plants=most(sum(shares), whole),
        bed_rusted_plants=tuple(most(looked, there) for looked, there in zip(shares, bed_plants, strict=True)),
        confidence_frac=confidence_frac,
        reached=needed is not None,
    )


def allotted(looks: int, bed_plants: Sequence[int]) -> tuple[int, ...]:
    """Looks shared out over beds in proportion to their plants, whole numbers with the largest remainders first.

    looks : 0 to the number of all plants; no bed gets more than it has.
    """
    whole = sum(bed_plants)
    exact = [looks * each / whole for each in bed_plants]
    shares = [math.floor(each) for each in exact]
    order = sorted(range(len(shares)), key=lambda bed: (shares[bed] - exact[bed], bed))
    for bed in order[: looks - sum(shares)]:
        shares[bed] += 1
    return tuple(shares)

"""How many to look at to find rust that is there, and how sure a look makes one that finds none.

`efficacy_frac` is everywhere the chance that a look at a rusted leaf or plant notices the rust. Each way of reckoning has
a chance of missing it all, and the smallest number for which that chance is small enough.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import ScoutingError

#: relative room for rounding where the chance of missing equals what is allowed
_EVEN = 1e-9
MOST_UNITS = 100_000_000


def missed_frac(looked: int, incidence_frac: float, *, efficacy_frac: float) -> float:
    """Chance that looking at so many of a very large bed finds none [0 to 1].

    looked : 0 or more. incidence_frac : 0 to 1. efficacy_frac : 0 to 1. Source: madden2007.
    """
    return float((1.0 - _shares(incidence_frac, efficacy_frac)) ** looked)


def units_to_find(incidence_frac: float, *, confidence_frac: float, efficacy_frac: float) -> int:
    """The fewest leaves or plants of a very large bed to look at, to find rust with a given confidence.

    incidence_frac : above 0, to 1. confidence_frac : 0 up to below 1. efficacy_frac : above 0, to 1. Binomial; it also
    holds where one unit may be looked at twice. Source: ispm31; checked in published/ispm31.toml.
    """
    noticed = _found_at_all(incidence_frac, efficacy_frac)
    allowed = _allowed(confidence_frac)
    if noticed == 1.0:
        return 1 if allowed < 1.0 else 0
    return _ceiling(math.log(allowed) / math.log1p(-noticed))


def units_to_find_poisson(incidence_frac: float, *, confidence_frac: float, efficacy_frac: float) -> int:
    """The same with Poisson chances: at most two or three more than `units_to_find`, and the rule of three's parent."""
    return _ceiling(-math.log(_allowed(confidence_frac)) / _found_at_all(incidence_frac, efficacy_frac))


def missed_in_bed_frac(looked: int, *, bed_units: int, rusted_units: int, efficacy_frac: float) -> float:
    """Chance that looking at some units of a bed, none twice, finds none of its rusted ones [0 to 1].

    looked : 0 to bed_units. rusted_units : 0 to bed_units. efficacy_frac : 0 to 1. Hypergeometric; each rusted unit that
    was looked at is overlooked with a chance of 1 − efficacy. Source: ispm31, appendix 2, from memory.
    """
    if not 0 <= rusted_units <= bed_units or not 0 <= looked <= bed_units:
        raise ScoutingError(
            f"{looked} looked at and {rusted_units} rusted do not fit into a bed of {bed_units}.",
            remedy="Neither can be more than the bed holds, or less than 0.",
        )
    overlooked = 1.0 - _share(efficacy_frac, "efficacy")
    few, many = sorted((looked, rusted_units))
    if overlooked == 0.0:
        # the product is the same with the two exchanged, so the shorter one is taken
        return float(np.prod((bed_units - many - np.arange(few)) / (bed_units - np.arange(few)), initial=1.0))
    return _overlooked_all_frac(few, many, bed_units, overlooked)


def units_to_find_in_bed(
    *, bed_units: int, rusted_units: int, confidence_frac: float, efficacy_frac: float
) -> int | None:
    """The fewest units of a bed to look at, none twice, to find rust with a given confidence; None where even all are
    not enough, because looks overlook.

    bed_units, rusted_units : 1 or more. Source: ispm31; checked in published/ispm31.toml.
    """
    if rusted_units < 1:
        raise ScoutingError("A clean bed has nothing to find.", remedy="Give 1 rusted unit or more.")
    allowed = _allowed(confidence_frac)

    def enough(looked: int) -> bool:
        missed = missed_in_bed_frac(looked, bed_units=bed_units, rusted_units=rusted_units, efficacy_frac=efficacy_frac)
        return missed <= allowed * (1.0 + _EVEN)

    return _fewest(enough, bed_units)


def rusted_units(bed_units: int, incidence_frac: float) -> int:
    """Whole rusted units in a bed at an incidence: rounded down, so that a bed never seems easier than it is.

    This makes the numbers of the finite tables jump where the product is not whole. Source: ispm31.
    """
    return math.floor(bed_units * _share(incidence_frac, "incidence") + _EVEN)


def units_to_find_nearly(*, bed_units: float, incidence_frac: float, confidence_frac: float) -> float:
    """A closed form near `units_to_find_in_bed` where every look notices, not rounded [units].

    Source: lane2018, as quoted in a program's remark; within one unit where some five or more are rusted.
    """
    rusted = bed_units * _share(incidence_frac, "incidence")
    if rusted < 1.0:
        raise ScoutingError(f"{bed_units:g} units at that incidence hold none rusted.", remedy="Give more of either.")
    return float((1.0 - _allowed(confidence_frac) ** (1.0 / rusted)) * (bed_units - (rusted - 1.0) / 2.0))


def missed_in_cluster_frac(each: int, incidence_frac: float, *, correlation_frac: float, efficacy_frac: float) -> float:
    """Chance that looking at so many leaves of one plant finds none, where leaves of a plant are alike [0 to 1].

    Arguments as in `cluster_chances` and `units_to_find`. Where no look overlooks it is B(α, β + n) / B(α, β) with
    α = p (1/ρ − 1) and β = (1 − p)(1/ρ − 1). Source: madden2007.
    """
    chances = cluster_chances(each, incidence_frac, correlation_frac=correlation_frac)
    overlooked = 1.0 - _share(efficacy_frac, "efficacy")
    return float(min(1.0, np.sum(chances * overlooked ** np.arange(each + 1))))


def cluster_chances(each: int, incidence_frac: float, *, correlation_frac: float) -> NDArray[np.float64]:
    """Chances of 0, 1, … rusted among so many leaves of one plant, shape (each + 1,): beta-binomial.

    each : 1 or more. incidence_frac : over all plants, 0 to 1. correlation_frac : of leaves within a plant, 0 where each
    rusts by itself, 1 where all or none do. Source: madden2007.
    """
    share, correlation = _share(incidence_frac, "incidence"), _share(correlation_frac, "correlation")
    if correlation == 1.0 or share in (0.0, 1.0):
        return np.concatenate(([1.0 - share], np.zeros(each - 1), [share]))
    # p and 1 − p, each raised by θ = ρ / (1 − ρ) for every leaf already drawn of its kind
    more = correlation / (1.0 - correlation) * np.arange(each)
    rusted, clean, all_ = np.log(share + more), np.log(1.0 - share + more), np.log(1.0 + more)
    ways = np.array([math.lgamma(each + 1) - math.lgamma(k + 1) - math.lgamma(each - k + 1) for k in range(each + 1)])
    up, down = (np.concatenate(([0.0], np.cumsum(side))) for side in (rusted, clean))
    return np.asarray(np.exp(ways + up + down[::-1] - all_.sum()))


def clusters_to_find(
    each: int, incidence_frac: float, *, correlation_frac: float, confidence_frac: float, efficacy_frac: float
) -> int:
    """The fewest plants on which to look at so many leaves each, to find rust with a given confidence.

    Arguments as in `missed_in_cluster_frac` and `units_to_find`.
    """
    _found_at_all(incidence_frac, efficacy_frac)
    missed = missed_in_cluster_frac(
        each, incidence_frac, correlation_frac=correlation_frac, efficacy_frac=efficacy_frac
    )
    allowed = _allowed(confidence_frac)
    if missed == 0.0:
        return 1 if allowed < 1.0 else 0
    return _ceiling(math.log(allowed) / math.log(missed))


def _overlooked_all_frac(looked: int, rusted: int, bed: int, overlooked: float) -> float:
    """Mean of overlooked ** k over the hypergeometric number k of rusted units among those looked at."""
    first, last = max(0, looked + rusted - bed), min(looked, rusted)
    found = np.arange(first, last)
    clean = bed - rusted - looked + found
    steps = np.log((rusted - found) * (looked - found)) - np.log((found + 1.0) * (clean + 1.0))
    start = _log_choose(rusted, first) + _log_choose(bed - rusted, looked - first) - _log_choose(bed, looked)
    logs = start + np.concatenate(([0.0], np.cumsum(steps)))
    if overlooked == 1.0:
        return 1.0
    logs += np.arange(first, last + 1) * math.log(overlooked)
    return float(min(1.0, np.sum(np.exp(logs))))


def _log_choose(of: int, some: int) -> float:
    return math.lgamma(of + 1) - math.lgamma(some + 1) - math.lgamma(of - some + 1)


def _fewest(enough: Callable[[int], bool], most: int) -> int | None:
    """The smallest number for which something that stays true becomes true, by halving."""
    if not enough(most):
        return None
    low, high = 0, most
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return low


def _ceiling(number: float) -> int:
    if number > MOST_UNITS:
        raise ScoutingError(
            f"More than {MOST_UNITS:,} would have to be looked at.", remedy="Ask for a larger share or less certainty."
        )
    return math.ceil(number * (1.0 - _EVEN))


def _shares(incidence_frac: float, efficacy_frac: float) -> float:
    return _share(incidence_frac, "incidence") * _share(efficacy_frac, "efficacy")


def _found_at_all(incidence_frac: float, efficacy_frac: float) -> float:
    noticed = _shares(incidence_frac, efficacy_frac)
    if noticed == 0.0:
        raise ScoutingError(
            "No number of looks finds what is not there or cannot be noticed.", remedy="Give shares above 0."
        )
    return noticed


def _allowed(confidence_frac: float) -> float:
    if not 0.0 <= confidence_frac < 1.0:
        raise ScoutingError(
            f"The confidence is {confidence_frac:g}; it must lie from 0 to below 1.",
            remedy="Complete certainty is not to be had; take 0.95.",
        )
    return 1.0 - confidence_frac


def _share(value: float, name: str) -> float:
    if not 0.0 <= value <= 1.0:
        raise ScoutingError(f"The {name} is {value:g}; it must lie between 0 and 1.", remedy="Give a share.")
    return float(value)

"""What a course costs a person, in one money: leaves, flowers and clumps lost, spores given to others, work, harm, resistance."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.epidemic.rollout import Outcome
from abaxial.errors import RequestError
from abaxial.provenance import read_parameters, read_table

Floats = NDArray[np.float64]

_PATH = Path(__file__).with_name("cost.toml")
_PRICE = (0.0, 1e6)
_LIMITS = {
    "leaf_money_m2_d": _PRICE,
    "flower_money": _PRICE,
    "clump_money": _PRICE,
    "hour_money": _PRICE,
    "given_money": _PRICE,
    "code_money": _PRICE,
    "harm_money": _PRICE,
    "near_water_factor": (1.0, 100.0),
    "tail_frac": (0.01, 1.0),
    "tail_share_frac": (0.0, 1.0),
    "lost_most_frac": (0.0, 1.0),
    "lost_half_frac": (0.05, 1.0),
    "lost_steepness": (0.5, 20.0),
    "stem_factor": (1.0, 20.0),
    "stem_lost_frac": (0.0, 1.0),
}


@dataclass(frozen=True)
class Values:
    """What things are worth to a person; money in the person's own currency, 0 or more.

    leaf_money_m2_d : a square metre of healthy leaf for a day. flower_money : one flower. clump_money : one clump. hour_money :
    an hour of work. given_money : a unit of spores given to other plantings (the kernel's unit, on a square metre of ground).
    code_money : a code that goes on working for years. harm_money : one application with one caution. near_water_factor : for
    cautions about water where water is near. tail_frac : the worst share of versions that counts as bad luck. tail_share_frac :
    how much bad luck weighs, against the mean, for what cannot be replaced. lost_most_frac, lost_half_frac, lost_steepness :
    chance to lose a clump when all leaf is rusted at the worst, worst rusted share at half of it, exponent. stem_factor : on that
    chance where the stem is attacked. stem_lost_frac : chance to lose a clump whose attacked stem is left standing, whatever its
    leaves look like.
    """

    leaf_money_m2_d: float
    flower_money: float
    clump_money: float
    hour_money: float
    given_money: float
    code_money: float
    harm_money: float
    near_water_factor: float
    tail_frac: float
    tail_share_frac: float
    lost_most_frac: float
    lost_half_frac: float
    lost_steepness: float
    stem_factor: float
    stem_lost_frac: float


class Stake(NamedTuple):
    """What there is to lose in one planting. ground_m2 : under leaf. potential_area_d : (versions,) leaf area index summed over
    the days ahead, without rust and with nothing taken off. flowers : expected in that time. clumps : how many. worth_factor :
    of one of its leaves, flowers and clumps against the usual. replaceable : whether it can be bought again. stem_frac :
    (versions,) chance that the stem is attacked. others_worth_factor : of the leaf that its spores come over."""

    ground_m2: float
    potential_area_d: Floats
    flowers: float
    clumps: float
    worth_factor: float
    replaceable: bool
    stem_frac: Floats
    others_worth_factor: float = 1.0


@cache
def read_values() -> Values:
    """The central values of cost.toml. Raises ParameterError if the file breaks its rules."""
    read = read_parameters(read_table(_PATH).get("parameters"), limits=_LIMITS, rising=[], path=_PATH)
    return Values(**{name: parameter.value for name, parameter in read.items()})


def own_values(changes: Mapping[str, object], *, where: str) -> Values:
    """The values with a person's own in their place.

    changes : by name. where : they are written. Raises RequestError, naming everything that is wrong.
    """
    wrong = []
    for name, value in changes.items():
        if name not in _LIMITS:
            wrong.append(f"nobody here knows {name}")
            continue
        low, high = _LIMITS[name]
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            wrong.append(f"{name} is {value!r}; it must be a number from {low:g} to {high:g}")
    if wrong:
        known = ", ".join(each.name for each in fields(Values))
        raise RequestError(f"{where}: {'; '.join(wrong)}.", remedy=f"Known values are {known}.", where=where)
    return replace(read_values(), **{name: float(str(value)) for name, value in changes.items()})


def losses_money(
    of: Outcome, stake: Stake, values: Values, *, given_up_frac: Floats, stem_left_frac: ArrayLike = 1.0
) -> Floats:
    """What courses lose in each version [money], (courses, versions).

    of : from rolling the courses of one planting forward. given_up_frac : (courses,) share of the clumps that the course itself gives up, 1 where the planting is destroyed.
    stem_left_frac : (courses,) share of the stems that it leaves standing.
    """
    short = np.maximum(stake.potential_area_d - of.healthy_area_d, 0.0)
    short_frac = short / np.maximum(stake.potential_area_d, 1e-12)
    lost = lost_chance_frac(of.worst_rusted_frac, stake.stem_frac, values)
    by_stem = np.atleast_1d(np.asarray(stem_left_frac, np.float64))[:, None] * values.stem_lost_frac * stake.stem_frac
    lost = 1.0 - (1.0 - lost) * (1.0 - by_stem)
    lost = given_up_frac[:, None] + (1.0 - given_up_frac[:, None]) * lost
    own = values.leaf_money_m2_d * stake.ground_m2 * short + values.flower_money * stake.flowers * short_frac
    own = own + values.clump_money * stake.clumps * lost
    return np.asarray(
        stake.worth_factor * own + values.given_money * stake.others_worth_factor * stake.ground_m2 * of.given
    )


def lost_chance_frac(worst_frac: ArrayLike, stem_frac: ArrayLike, values: Values) -> Floats:
    """Chance that a clump is lost [0 to 1], the shape of the two together.

    worst_frac : largest rusted share of leaf area, 0 to 1. stem_frac : chance that its stem is attacked. Rust on leaves alone
    rarely kills, so the chance rises late and not far (practice); an attacked stem multiplies it.
    """
    worst = np.asarray(worst_frac, np.float64) ** values.lost_steepness
    # so that wholly rusted leaf has the whole of the chance
    half = values.lost_half_frac**values.lost_steepness
    foliar = values.lost_most_frac * worst * (1.0 + _beyond(half)) / (worst + _beyond(half))
    by_stem = 1.0 + np.asarray(stem_frac, np.float64) * (values.stem_factor - 1.0)
    return np.asarray(np.minimum(foliar * by_stem, 1.0))


def _beyond(half: float) -> float:
    """The constant of a curve through 0, a half at `half`, and 1 at 1; endless where that is a straight line or bends up."""
    return half / (1.0 - 2.0 * half) if half < 0.5 else 1e12


def tail_mean_money(losses: ArrayLike, tail_frac: float, weights: ArrayLike | None = None) -> Floats:
    """Mean over the worst share of versions [money], of the last axis.

    losses : (…, versions). tail_frac : above 0, at most 1. weights : (versions,) 0 or more, alike where not given. Source:
    rockafellar2000: conditional value at risk, the version that straddles the share taken in part.
    """
    array = np.asarray(losses, np.float64)
    weight = _weights(array.shape[-1], weights)
    order = np.argsort(-array, axis=-1, kind="stable")
    worst, held = np.take_along_axis(array, order, axis=-1), weight[order]
    taken = np.clip(tail_frac - (np.cumsum(held, axis=-1) - held), 0.0, held)
    return np.asarray((worst * taken).sum(axis=-1) / tail_frac)


def averse_money(losses: ArrayLike, values: Values, *, replaceable: bool, weights: ArrayLike | None = None) -> Floats:
    """Expected loss of each course, drawn towards its bad luck for what cannot be replaced [money], of the last axis.

    losses : (…, versions). weights : as in `tail_mean_money`.
    """
    array = np.asarray(losses, np.float64)
    mean = array @ _weights(array.shape[-1], weights)
    if replaceable:
        return np.asarray(mean)
    share = values.tail_share_frac
    return np.asarray((1.0 - share) * mean + share * tail_mean_money(array, values.tail_frac, weights))


def work_money(minutes: ArrayLike, hour_money: float) -> Floats:
    """Price of work [money], the shape of minutes."""
    return np.asarray(np.asarray(minutes, np.float64) * hour_money / 60.0)


def harm_money(cautions: Sequence[str], values: Values, *, near_water: bool) -> float:
    """Price of the harm that one application may do besides [money].

    cautions : the kinds that its materials carry, each once. near_water : whether a pond or a stream is.
    """
    water = near_water and "fish" in cautions
    return values.harm_money * (len(set(cautions)) + (values.near_water_factor - 1.0 if water else 0.0))


def selection_money(failing_frac: Mapping[str, float], values: Values) -> float:
    """Price of what a course teaches the rust [money]. failing_frac : by how much it raises the chance that each code fails."""
    return values.code_money * sum(failing_frac.values())


def worth_acting(saved_frac: float, worth_money: float, cost_money: float) -> bool:
    """Whether saving a share of what something is worth [0 to 1] is worth its cost [money]."""
    return saved_frac * worth_money > cost_money


def _weights(versions: int, weights: ArrayLike | None) -> Floats:
    if weights is None:
        return np.full(versions, 1.0 / versions)
    array = np.asarray(weights, np.float64)
    return np.asarray(array / array.sum())

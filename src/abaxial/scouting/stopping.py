"""When a look may stop: after each leaf one knows whether to call the planting clean, to act, or to go on."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import ScoutingError
from abaxial.scouting.sampling.detection import cluster_chances

Decision = Literal["clean", "act", "go on"]
Chances = NDArray[np.float64]
_ROOM = 1e-9


@dataclass(frozen=True)
class StoppingPlan:
    """Two lines between which one goes on.

    clean_frac, act_frac : incidences at which the planting is clean enough and at which one must act. false_alarm_frac :
    chance of acting at the first; missed_frac : of not acting at the second. slope_frac : rise of both lines for each
    leaf. clean_leaves, act_leaves : how far the lower line starts below 0 and the upper one above, in rusted leaves.
    """

    clean_frac: float
    act_frac: float
    false_alarm_frac: float
    missed_frac: float
    slope_frac: float
    clean_leaves: float
    act_leaves: float


class Operating(NamedTuple):
    """How a plan works at one incidence: chances of calling it clean and of acting, and leaves turned on average."""

    clean_frac: float
    act_frac: float
    mean_leaves: float


def stopping_plan(
    clean_frac: float, act_frac: float, *, false_alarm_frac: float, missed_frac: float, inflation_factor: float = 1.0
) -> StoppingPlan:
    """The plan that on average stops soonest for its two chances of being wrong.

    clean_frac, act_frac : incidences, rising, between 0 and 1. false_alarm_frac, missed_frac : above 0, together below 1.
    inflation_factor : 1 where each look is at another plant; for several leaves of a plant the design factor of
    `sampling.design_factor`, by which both lines move apart. Source: wald1947.
    """
    if not 0.0 < clean_frac < act_frac < 1.0:
        raise ScoutingError(
            f"Clean enough is {clean_frac:g} and acting begins at {act_frac:g}; both lie between 0 and 1, the first lower.",
            remedy="Exchange them, or give shares.",
        )
    if min(false_alarm_frac, missed_frac) <= 0.0 or false_alarm_frac + missed_frac >= 1.0 or inflation_factor < 1.0:
        raise ScoutingError(
            f"The chances of being wrong are {false_alarm_frac:g} and {missed_frac:g}, the inflation {inflation_factor:g}; "
            "the chances lie above 0 and together below 1, the inflation is 1 or more.",
            remedy="Take 0.1 for each chance, and 1 for looks at separate plants.",
        )
    odds = math.log(act_frac * (1.0 - clean_frac) / (clean_frac * (1.0 - act_frac)))
    return StoppingPlan(
        clean_frac=clean_frac,
        act_frac=act_frac,
        false_alarm_frac=false_alarm_frac,
        missed_frac=missed_frac,
        slope_frac=math.log((1.0 - clean_frac) / (1.0 - act_frac)) / odds,
        clean_leaves=math.log((1.0 - false_alarm_frac) / missed_frac) / odds * inflation_factor,
        act_leaves=math.log((1.0 - missed_frac) / false_alarm_frac) / odds * inflation_factor,
    )


def decision(plan: StoppingPlan, turned: int, rusted: int, *, last: bool = False) -> Decision:
    """What to do after so many leaves. rusted : 0 to turned. last : no more will be turned, so the nearer
    line decides; where both are as near, one acts."""
    if not 0 <= rusted <= turned:
        raise ScoutingError(f"{rusted} of {turned} cannot be.", remedy="Count no more rusted than turned.")
    above = rusted - plan.slope_frac * turned
    if above <= -plan.clean_leaves + _ROOM:
        return "clean"
    if above >= plan.act_leaves - _ROOM:
        return "act"
    if not last:
        return "go on"
    return "act" if above >= (plan.act_leaves - plan.clean_leaves) / 2.0 else "clean"


def limits_after(plan: StoppingPlan, turned: int) -> tuple[int | None, int | None]:
    """The most rusted that still mean clean, and the fewest that mean acting, after so many leaves; None where no
    number does yet."""
    clean = math.floor(plan.slope_frac * turned - plan.clean_leaves + _ROOM)
    act = max(0, math.ceil(plan.slope_frac * turned + plan.act_leaves - _ROOM))
    return (min(clean, turned) if clean >= 0 else None), (act if act <= turned else None)


def first_clean(plan: StoppingPlan, rusted: int) -> int:
    """The leaves after which so many rusted mean clean, and not before. rusted : 0 or more."""
    return max(rusted, 1, math.ceil((rusted + plan.clean_leaves - _ROOM) / plan.slope_frac))


def mean_leaves(plan: StoppingPlan, incidence_frac: float) -> float:
    """Leaves turned on average without a last one, at the plan's own incidences or at its slope; nearly right, because
    the lines are overshot a little.

    Source: wald1947. Raises ScoutingError for other incidences; `operating` has them all.
    """
    low, high, slope = plan.clean_leaves, plan.act_leaves, plan.slope_frac
    if incidence_frac == slope:
        return low * high / (slope * (1.0 - slope))
    if incidence_frac not in (plan.clean_frac, plan.act_frac):
        raise ScoutingError(
            f"{incidence_frac:g} is none of {plan.clean_frac:g}, {slope:g} and {plan.act_frac:g}.",
            remedy="Use `operating` for other incidences.",
        )
    acting = plan.false_alarm_frac if incidence_frac == plan.clean_frac else 1.0 - plan.missed_frac
    return (acting * high - (1.0 - acting) * low) / (incidence_frac - slope)


def most_leaves(plan: StoppingPlan, *, leaves_there: int) -> int:
    """Where to stop in any case: at all there are, or at twice what the hardest incidence needs on average."""
    return min(leaves_there, math.ceil(2.0 * mean_leaves(plan, plan.slope_frac)))


def operating(plan: StoppingPlan, incidence_frac: float, *, most: int) -> Operating:
    """How the plan works where every leaf has the same chance of rust; exact, by following every count.

    incidence_frac : 0 to 1. most : leaves after which the nearer line decides.
    """
    step = np.array([1.0 - incidence_frac, incidence_frac])
    return _follow(plan, lambda chances, _: np.asarray(np.convolve(chances, step)), most, each=1)


def operating_in_clusters(
    plan: StoppingPlan, incidence_frac: float, *, plants: int, each: int, correlation_frac: float
) -> Operating:
    """How the plan works where so many leaves of a plant, which are alike, are turned before deciding; exact.

    incidence_frac : over all plants, 0 to 1. plants : after which the nearer line decides. each : leaves of a plant.
    correlation_frac : of leaves within a plant, 0 to below 1.
    """
    step = cluster_chances(each, incidence_frac, correlation_frac=correlation_frac)
    return _follow(plan, lambda chances, _: np.asarray(np.convolve(chances, step)), plants, each=each)


def operating_in_bed(plan: StoppingPlan, *, rusted_units: int, bed_units: int, most: int) -> Operating:
    """How the plan works in a bed of which no plant is looked at twice; exact.

    rusted_units : 0 to bed_units. most : plants after which the nearer line decides, up to bed_units.
    """
    if not 0 <= rusted_units <= bed_units or not 1 <= most <= bed_units:
        raise ScoutingError(
            f"{rusted_units} rusted and {most} looked at do not fit into {bed_units}.", remedy="Neither can be more."
        )

    def move(chances: Chances, turned: int) -> Chances:
        hit = np.clip((rusted_units - np.arange(chances.size)) / (bed_units - turned), 0.0, 1.0)
        return np.asarray(np.append(chances * (1.0 - hit), 0.0) + np.append(0.0, chances * hit))

    return _follow(plan, move, most, each=1)


def _follow(plan: StoppingPlan, move: Callable[[Chances, int], Chances], steps: int, *, each: int) -> Operating:
    """Follow the chances of every count still open, step by step. move : (chances, turned before) → chances after."""
    chances, ended, turned_mean = np.array([1.0]), {"clean": 0.0, "act": 0.0}, 0.0
    for step in range(1, steps + 1):
        chances = move(chances, (step - 1) * each)
        for rusted in range(chances.size):
            said = decision(plan, step * each, rusted, last=step == steps)
            if said != "go on":
                ended[said] += float(chances[rusted])
                turned_mean += step * each * float(chances[rusted])
                chances[rusted] = 0.0
        if not chances.any():
            break
    return Operating(min(ended["clean"], 1.0), min(ended["act"], 1.0), turned_mean)

"""The plan of a garden: programmes made within the rules, rolled forward on the same luck, and the best of them chosen together."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.epidemic import rollout
from abaxial.epidemic.rollout import Base, Courses, Outcome
from abaxial.plan import cost
from abaxial.plan.choose import problem as problems
from abaxial.plan.choose import solve
from abaxial.plan.choose.problem import Hours, Problem, Rotation, Shelf
from abaxial.plan.choose.solve import Choice, Effort, Standing
from abaxial.plan.cost import Stake, Values
from abaxial.plan.programmes import laid_out, make
from abaxial.plan.programmes.laid_out import Work
from abaxial.plan.programmes.permitted import Permitted
from abaxial.plan.programmes.step import WAIT, Programme
from abaxial.plan.programmes.together import Joint
from abaxial.plan.prospects import courses
from abaxial.plan.prospects.courses import When
from abaxial.plan.prospects.plot import Plot
from abaxial.remedy.material import Material

Floats = NDArray[np.float64]
MOST_PROGRAMMES = 40


class Bed(NamedTuple):
    """One planting with all that a choice for it hangs on. when : day of a step on it."""

    plot: Plot
    permitted: Permitted
    work: Work
    stake: Stake
    when: When


@dataclass(frozen=True)
class Ask:
    """What is asked. base : the garden run on with nothing done. shelf : bottle to the keys of what is in it. price : what a
    programme of one planting costs besides leaves and minutes (harm, product, selection) [money]. joint : programmes for
    several plantings. stock, hours, rotation : what couples them."""

    base: Base
    beds: tuple[Bed, ...]
    joint: tuple[Joint, ...]
    shelf: Mapping[str, tuple[str, ...]]
    materials: Mapping[str, Material]
    stock: Shelf
    hours: Hours
    rotation: Rotation
    values: Values
    price: Callable[[int, Programme], float]
    most_programmes: int = MOST_PROGRAMMES


class Prospect(NamedTuple):
    """What may come of one planting. programmes : candidates, those of joint ones last. courses, outcome : a row for each.
    losses : (programmes, versions) [money], work and price included. cost : (programmes,) as they are weighed."""

    programmes: tuple[Programme, ...]
    courses: Courses
    outcome: Outcome
    losses: Floats
    cost: Floats


class Proposed(NamedTuple):
    """The plan. own : how many of each planting's programmes are its own. chosen : (plantings,) row of each prospect. choice :
    from the solver. joint_losses : (joint programmes, versions). joint_taken : which of them were. outcome : (plantings, versions) with all chosen programmes done at once. waiting : with nothing done."""

    prospects: tuple[Prospect, ...]
    own: tuple[int, ...]
    chosen: tuple[int, ...]
    problem: Problem
    choice: Choice
    joint_losses: Floats
    joint_taken: tuple[int, ...]
    outcome: Outcome
    waiting: Outcome


def propose(
    ask: Ask,
    effort: Effort,
    *,
    without: Sequence[tuple[int, Programme]] = (),
    tell: Callable[[Standing], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Proposed:
    """The plan that costs least. without : programmes of plantings (by place) that are not to be thought of."""
    own = [
        tuple(
            each
            for each in make.programmes(bed.permitted, most=ask.most_programmes)
            if each == WAIT or (place, each) not in without
        )
        for place, bed in enumerate(ask.beds)
    ]
    prospects = tuple(_prospect(ask, place, programmes) for place, programmes in enumerate(own))
    together = [_joint_losses(ask, prospects, own, number) for number in range(len(ask.joint))]
    problem = _problem(ask, prospects, own, together)
    choice = solve.choose(problem, effort, tell=tell, stop=stop)
    chosen, taken = _rows(ask, own, choice)
    return Proposed(
        prospects=prospects,
        own=tuple(len(each) for each in own),
        chosen=chosen,
        problem=problem,
        choice=choice,
        joint_losses=np.stack([each.sum(axis=0) for each in together]) if together else np.zeros((0, 0)),
        joint_taken=taken,
        outcome=rollout.together(ask.base, rollout.joined([each.courses for each in prospects], chosen)),
        waiting=ask.base.outcome,
    )


def _prospect(ask: Ask, place: int, own: tuple[Programme, ...]) -> Prospect:
    bed, base = ask.beds[place], ask.base
    shared = tuple(each.programme for each in ask.joint if place in each.plantings)
    programmes = (*own, *shared)
    made = courses.courses_of(bed.plot, programmes, (base.first_day, base.end_day), bed.when, ask.shelf, ask.materials)
    outcome = rollout.roll_out(base, place, made)
    losses = losses_of(ask, place, programmes, outcome)
    return Prospect(programmes, made, outcome, losses, _weighed(ask, place, losses))


def losses_of(ask: Ask, place: int, programmes: Sequence[Programme], outcome: Outcome) -> Floats:
    """What programmes of a planting lose in each version [money], (programmes, versions); work and price included."""
    bed = ask.beds[place]
    gone = np.array([float(any(step.kind == "destroy" for step in each.steps)) for each in programmes])
    minutes = [
        laid_out.need(each, bed.work, tuple(ask.shelf), bed.permitted.weeks).minutes.sum() for each in programmes
    ]
    fixed = cost.work_money(minutes, ask.values.hour_money) + [ask.price(place, each) for each in programmes]
    return cost.losses_money(outcome, bed.stake, ask.values, given_up_frac=gone) + fixed[:, None]


def _weighed(ask: Ask, place: int, losses: Floats) -> Floats:
    return cost.averse_money(losses, ask.values, replaceable=ask.beds[place].stake.replaceable)


def _joint_losses(ask: Ask, prospects: Sequence[Prospect], own: Sequence[Sequence[Programme]], number: int) -> Floats:
    """What a joint programme loses on each of its plantings, (plantings of it, versions), all done at once."""
    joint = ask.joint[number]
    rows = [_shared_row(ask, own, place, number) if place in joint.plantings else 0 for place in range(len(ask.beds))]
    outcome = rollout.together(ask.base, rollout.joined([each.courses for each in prospects], rows))
    some = [Outcome(*(part[place : place + 1] for part in outcome)) for place in joint.plantings]
    return np.concatenate(
        [losses_of(ask, place, (joint.programme,), each) for place, each in zip(joint.plantings, some, strict=True)]
    )


def _shared_row(ask: Ask, own: Sequence[Sequence[Programme]], place: int, number: int) -> int:
    """Row of a joint programme among a planting's."""
    before = sum(place in each.plantings for each in ask.joint[:number])
    return len(own[place]) + before


def _problem(
    ask: Ask, prospects: Sequence[Prospect], own: Sequence[Sequence[Programme]], together: Sequence[Floats]
) -> Problem:
    losses = [prospect.cost[: len(programmes)] for prospect, programmes in zip(prospects, own, strict=True)]
    for number, each in enumerate(together):
        costs = [_weighed(ask, place, each[i : i + 1]) for i, place in enumerate(ask.joint[number].plantings)]
        losses.append(np.sum(costs, axis=0))
    offers = laid_out.offers(
        own,
        ask.joint,
        [bed.work for bed in ask.beds],
        tuple(ask.shelf),
        weeks=ask.hours.minutes.size,
        losses=np.concatenate(losses),
    )
    return problems.set_out(offers, ask.stock, ask.hours, ask.rotation)


def _rows(ask: Ask, own: Sequence[Sequence[Programme]], choice: Choice) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """From candidates of the choice to rows of the prospects."""
    first = np.concatenate([[0], np.cumsum([len(each) for each in own])])
    total = int(first[-1])
    rows = [
        candidate - int(first[place]) if candidate < total else _shared_row(ask, own, place, candidate - total)
        for place, candidate in enumerate(choice.picked)
    ]
    return tuple(rows), tuple(sorted({each - total for each in choice.picked if each >= total}))


def again(ask: Ask, proposed: Proposed) -> Ask:
    """The same question with everybody else doing what was chosen, for a second round."""
    base = rollout.rebased(ask.base, rollout.joined([each.courses for each in proposed.prospects], proposed.chosen))
    return replace(ask, base=base)

"""What may come of every planting: programmes made within the rules, and rolled forward on the same luck."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import compiled
from abaxial.epidemic import rollout
from abaxial.epidemic.rollout import Base, Courses, Outcome
from abaxial.plan import cost
from abaxial.plan.choose.problem import Hours, Offers, Rotation, Shelf
from abaxial.plan.cost import Stake, Values
from abaxial.plan.programmes import laid_out, make
from abaxial.plan.programmes.laid_out import Work
from abaxial.plan.programmes.permitted import Permitted
from abaxial.plan.programmes.step import ENDS, Programme
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


class Rolled(NamedTuple):
    """All there is to choose from, worked out once. prospects : of each planting. own : how many of its programmes are its
    own. joint_losses : of each joint programme, (plantings of it, versions). offers : every planting's own, then the joint ones."""

    prospects: tuple[Prospect, ...]
    own: tuple[int, ...]
    joint_losses: tuple[Floats, ...]
    offers: Offers

    @property
    def first(self) -> tuple[int, ...]:
        """The candidate that each planting's own begin with, and the first joint one."""
        return tuple(int(each) for each in np.concatenate([[0], np.cumsum(self.own)]))

    def candidates(self, place: int) -> Iterator[tuple[int, Programme]]:
        """The candidates that are one planting's own, each with its programme."""
        return zip(range(self.first[place], self.first[place + 1]), self.prospects[place].programmes, strict=False)


def rolled(ask: Ask) -> Rolled:
    """What may come of everything that is asked about."""
    own = [make.programmes(bed.permitted, most=ask.most_programmes) for bed in ask.beds]
    prospects = tuple(compiled.of_each(lambda place: _prospect(ask, place, own[place]), range(len(own))))
    counts = tuple(len(each) for each in own)
    together = tuple(
        compiled.of_each(lambda number: _joint_losses(ask, prospects, counts, number), range(len(ask.joint)))
    )
    losses = [prospect.cost[:count] for prospect, count in zip(prospects, counts, strict=True)]
    for joint, each in zip(ask.joint, together, strict=True):
        costs = [_weighed(ask, place, each[i : i + 1]) for i, place in enumerate(joint.plantings)]
        losses.append(np.sum(costs, axis=0))
    offers = laid_out.offers(
        own,
        ask.joint,
        [bed.work for bed in ask.beds],
        tuple(ask.shelf),
        weeks=ask.hours.minutes.size,
        losses=np.concatenate(losses),
    )
    return Rolled(prospects, counts, together, offers)


def shared_row(ask: Ask, own: Sequence[int], place: int, number: int) -> int:
    """Row of a joint programme among a planting's. own : as in `Rolled`."""
    return own[place] + sum(place in each.plantings for each in ask.joint[:number])


def losses_of(ask: Ask, place: int, programmes: Sequence[Programme], outcome: Outcome) -> Floats:
    """What programmes of a planting lose in each version [money], (programmes, versions); work and price included. outcome : a
    row for each programme."""
    bed = ask.beds[place]
    gone = np.array([float(any(step.kind == "destroy" for step in each.steps)) for each in programmes])
    stems = np.array([float(not any(step.kind in ENDS for step in each.steps)) for each in programmes])
    minutes = [
        laid_out.need(each, bed.work, tuple(ask.shelf), bed.permitted.weeks).minutes.sum() for each in programmes
    ]
    fixed = cost.work_money(minutes, ask.values.hour_money) + [ask.price(place, each) for each in programmes]
    return cost.losses_money(outcome, bed.stake, ask.values, given_up_frac=gone, stem_left_frac=stems) + fixed[:, None]


def _prospect(ask: Ask, place: int, own: tuple[Programme, ...]) -> Prospect:
    bed, base = ask.beds[place], ask.base
    shared = tuple(each.programme for each in ask.joint if place in each.plantings)
    programmes = (*own, *shared)
    made = courses.courses_of(bed.plot, programmes, (base.first_day, base.end_day), bed.when, ask.shelf, ask.materials)
    outcome = rollout.roll_out(base, place, made)
    losses = losses_of(ask, place, programmes, outcome)
    return Prospect(programmes, made, outcome, losses, _weighed(ask, place, losses))


def _weighed(ask: Ask, place: int, losses: Floats) -> Floats:
    return cost.averse_money(losses, ask.values, replaceable=ask.beds[place].stake.replaceable)


def _joint_losses(ask: Ask, prospects: Sequence[Prospect], own: Sequence[int], number: int) -> Floats:
    """What a joint programme loses on each of its plantings, (plantings of it, versions), all done at once."""
    joint = ask.joint[number]
    rows = [shared_row(ask, own, place, number) if place in joint.plantings else 0 for place in range(len(ask.beds))]
    outcome = rollout.together(ask.base, rollout.joined([each.courses for each in prospects], rows))
    some = [Outcome(*(part[place : place + 1] for part in outcome)) for place in joint.plantings]
    return np.concatenate(
        [losses_of(ask, place, (joint.programme,), each) for place, each in zip(joint.plantings, some, strict=True)]
    )

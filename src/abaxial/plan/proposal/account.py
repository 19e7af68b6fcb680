"""What a plan comes to for each planting, in plain numbers: against waiting, against the best other, and after a look."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation.looks import read_looks
from abaxial.plan import cost, explain
from abaxial.plan.choose import start, tally
from abaxial.plan.explain import Contrast, Look, Turning
from abaxial.plan.programmes.step import Programme
from abaxial.plan.proposal.propose import Proposed
from abaxial.plan.proposal.prospect import Ask

Floats = NDArray[np.float64]
Three = tuple[float, float, float]
BAND = (0.1, 0.5, 0.9)
#: leaves that a look would turn
LOOK_LEAVES = 14


class Account(NamedTuple):
    """One planting. programme : chosen. other : the best that asks for something else now, None where there is none. saves :
    against it; saves_band : 10, 50 and 90 % of it [money]. healthy_m2_d, worst_frac : of what was chosen, everybody else doing
    as chosen; waiting_m2_d, waiting_frac : of nothing done anywhere. turning : what a look at the low leaves would change, with
    the programmes it would turn to; None where nothing."""

    programme: Programme
    other: Programme | None
    saves: Contrast | None
    saves_band: Three
    healthy_m2_d: Three
    worst_frac: Three
    waiting_m2_d: Three
    waiting_frac: Three
    turning: Turning | None
    if_fewer: Programme | None
    if_more: Programme | None


def account(ask: Ask, proposed: Proposed, place: int, seen_frac: Floats) -> Account:
    """What a plan comes to for one planting. seen_frac : (versions,) chance that a turned low leaf is counted as rusted."""
    prospect, own = proposed.prospects[place], proposed.own[place]
    row = proposed.chosen[place]
    other, mixing_money = _next_best(proposed, place)
    dearer = prospect.losses[other] + mixing_money if other >= 0 else prospect.losses[row]
    saves = explain.contrast(prospect.losses[row], dearer) if other >= 0 else None
    saved = dearer - prospect.losses[row]
    turned = _turning(ask, proposed, place, seen_frac) if row < own else None
    ground = ask.beds[place].plot.ground_m2
    programmes = prospect.programmes
    return Account(
        programme=programmes[row],
        other=programmes[other] if other >= 0 else None,
        saves=saves,
        saves_band=_band(saved),
        healthy_m2_d=_band(proposed.outcome.healthy_area_d[place] * ground),
        worst_frac=_band(proposed.outcome.worst_rusted_frac[place]),
        waiting_m2_d=_band(proposed.waiting.healthy_area_d[place] * ground),
        waiting_frac=_band(proposed.waiting.worst_rusted_frac[place]),
        turning=turned,
        if_fewer=programmes[turned.fewer_course] if turned and turned.fewer_course >= 0 else None,
        if_more=programmes[turned.more_course] if turned and turned.more_course >= 0 else None,
    )


def _next_best(proposed: Proposed, place: int) -> tuple[int, float]:
    """The best other programme that asks for something else now and that everybody else's leave room for, -1 where there is
    none; and how much more mixing it would make in the garden [money]."""
    prospect, own, row = proposed.prospects[place], proposed.own[place], proposed.chosen[place]
    problem, picked = proposed.problem, np.asarray(proposed.choice.picked)
    now = [each.now() for each in prospect.programmes]
    if row >= own:
        alone = [*range(own), row]
        best = explain.best_other(prospect.cost[alone], own, [now[each] for each in alone])
        return (alone[best] if best >= 0 else -1), 0.0
    candidates, used, losses = start.options(problem, picked, place)
    rows = np.asarray(proposed.kept[candidates] - sum(proposed.own[:place]), np.int64)
    at = int(np.flatnonzero(rows == row)[0])
    room = np.asarray((tally.room(problem, used) >= -tally.TOLERANCE).all(axis=1))
    room[at] = True
    best = explain.best_other(np.where(room, losses, np.inf), at, [now[each] for each in rows])
    if best < 0 or not room[best]:
        return -1, 0.0
    other = int(rows[best])
    return other, float(losses[best] - losses[at] - prospect.cost[other] + prospect.cost[row])


def joint_dearer(proposed: Proposed, number: int, plantings: tuple[int, ...]) -> Three:
    """What a joint programme costs above what was chosen for its plantings [money], 10, 50 and 90 %."""
    chosen = np.sum([proposed.prospects[place].losses[proposed.chosen[place]] for place in plantings], axis=0)
    return _band(proposed.joint_losses[number] - chosen)


def _turning(ask: Ask, proposed: Proposed, place: int, seen_frac: Floats) -> Turning | None:
    own, row = proposed.own[place], proposed.chosen[place]
    losses = proposed.prospects[place].losses[:own]
    known = read_looks()
    look = Look(seen_frac, LOOK_LEAVES, known.correlation_frac, known.blunder_frac)
    replaceable = ask.beds[place].stake.replaceable

    def weighed(some: Floats, weights: Floats) -> Floats:
        return cost.averse_money(some, ask.values, replaceable=replaceable, weights=weights)

    found = explain.turning(losses, look, cost=weighed)
    # what the plantings share may have ruled out the best of this one
    alone = int(np.argmin(weighed(losses, np.full(losses.shape[1], 1.0 / losses.shape[1]))))
    changes = found.fewer_course >= 0 or found.more_course >= 0
    return found if changes and alone == row else None


def _band(values: NDArray[np.floating]) -> Three:
    low, mid, high = (float(each) for each in np.quantile(np.asarray(values, np.float64), BAND))
    return low, mid, high

"""A first plan, quickly: planting by planting the best change that no rule forbids, again and again while it helps."""

import time

import numpy as np

from abaxial.plan.choose import tally
from abaxial.plan.choose.problem import Floats, Problem, Whole
from abaxial.plan.choose.tally import TOLERANCE, Total

#: a change that brings less than this is none [money]
_LEAST_GAIN = 1e-9
#: candidates looked at before the first plan is given
_VISITS = 70_000


class Budget:
    """So many plantings gone through, and no more seconds than this. The first alone ends it on an ordinary machine, so that
    the same problem begins from the same plan."""

    def __init__(self, visits: int, seconds: float) -> None:
        self.visits, self.until = visits, time.monotonic() + seconds

    def left(self) -> bool:
        """Whether there is room for one more, which is then gone."""
        self.visits -= 1
        return self.visits >= 0 and time.monotonic() <= self.until


def first_plan(problem: Problem, *, seconds: float) -> Whole:
    """A choice that breaks no rule and that no change of one planting betters, (plantings,), if the time is enough.

    seconds : after which it stops where it is. Nothing done is bettered planting by planting, once as mixing costs and once
    as though every mix were shared; then every joint programme is tried in the same way. The best of these is given.
    """
    budget = Budget(max(_VISITS // max(max(own.size for own in problem.own), 1), 1), seconds)
    best = _bettered(problem, problem.idle, budget)
    shared = _bettered(problem, problem.idle, budget, mixing_shared=True)
    for plan in (_bettered(problem, shared, budget), *_joint(problem, budget)):
        if tally.objective_of(problem, plan) < tally.objective_of(problem, best) - _LEAST_GAIN:
            best = plan
    return best


def options(problem: Problem, picked: Whole, planting: int) -> tuple[Whole, Total, Floats]:
    """The candidates of one planting alone with what the garden would use with each, and what the choice would lose [money].

    picked : (plantings,) in which this planting is not part of a joint programme.
    """
    others = np.unique(np.delete(picked, planting))
    rest = Total(*(each.sum(axis=0) for each in tally.of_each(problem, others)))
    return _with_each(problem, planting, rest, float(problem.offers.loss[others].sum()))


def is_joint(problem: Problem, candidate: int) -> bool:
    """Whether a candidate is of several plantings."""
    return bool(np.isin(candidate, problem.joint))


def _with_each(problem: Problem, planting: int, rest: Total, loss: float) -> tuple[Whole, Total, Floats]:
    own = problem.own[planting]
    used = tally.of_each(problem, own).plus(rest)
    mixing = (tally.batches(problem, used) * problem.shelf.mixing_money).sum(axis=(1, 2))
    return own, used, problem.offers.loss[own] + loss + mixing


def _bettered(problem: Problem, picked: Whole, budget: Budget, *, mixing_shared: bool = False) -> Whole:
    """A choice changed one planting at a time, those that might gain most first."""
    loss, picked = problem.offers.loss, picked.copy()
    hope = loss[picked] - np.array([loss[own].min() for own in problem.own])
    order = [int(p) for p in np.argsort(-hope, kind="stable") if hope[p] > 0 and not is_joint(problem, picked[p])]
    whole, whole_loss = tally.total(problem, picked), float(loss[np.unique(picked)].sum())
    changed = True
    while changed:
        changed = False
        for planting in order:
            if not budget.left():
                return picked
            rest = whole.plus(tally.of_one(problem, picked[planting]), -1.0)
            own, used, losses = _with_each(problem, planting, rest, whole_loss - float(loss[picked[planting]]))
            if mixing_shared:
                losses = loss[own]
            allowed = (tally.room(problem, used) >= -TOLERANCE).all(axis=1)
            best = int(np.argmin(np.where(allowed, losses, np.inf)))
            if losses[best] < losses[own == picked[planting]][0] - _LEAST_GAIN:
                whole_loss += float(loss[own[best]] - loss[picked[planting]])
                picked[planting], whole = own[best], Total(*(each[best] for each in used))
                changed = True
        changed = changed and not mixing_shared
    return picked


def _joint(problem: Problem, budget: Budget) -> list[Whole]:
    """The plan with each joint programme that is allowed by itself."""
    plans = []
    for candidate in problem.joint:
        picked = np.where(problem.offers.covers[candidate], candidate, problem.idle)
        if not budget.left():
            break
        if (tally.room(problem, tally.total(problem, picked)) >= -TOLERANCE).all():
            plans.append(_bettered(problem, picked, budget))
    return plans

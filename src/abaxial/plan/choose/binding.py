"""What stood in the way: the rules that forbid the next better change, and what each costs."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from abaxial.plan.choose import start, tally
from abaxial.plan.choose.problem import Problem, Whole
from abaxial.plan.choose.tally import TOLERANCE, Rule


class Binding(NamedTuple):
    """A rule that binds. money : what the best change of one planting that it forbids would save. planting : which one.
    alone : whether no other rule forbids that change too."""

    rule: Rule
    money: float
    planting: int
    alone: bool


def binding(problem: Problem, picked: Whole) -> tuple[Binding, ...]:
    """The rules that forbid a better programme of some planting, everything else as chosen; the costliest first.

    picked : (plantings,), a choice that breaks no rule. Of each rule the change that it costs most.
    """
    names = tally.rules(problem)
    now = tally.objective_of(problem, picked)
    found: dict[Rule, Binding] = {}
    for planting in range(problem.sizes[1]):
        if start.is_joint(problem, int(picked[planting])):
            continue
        _, used, losses = start.options(problem, picked, planting)
        better = losses < now - TOLERANCE
        broken = (tally.room(problem, used) < -TOLERANCE) & better[:, None]
        for option, place in np.argwhere(broken):
            rule, money = names[place], float(now - losses[option])
            if rule not in found or money > found[rule].money:
                found[rule] = Binding(rule, money, planting, bool(broken[option].sum() == 1))
    return tuple(sorted(found.values(), key=lambda each: (-each.money, names.index(each.rule))))


def without(problem: Problem, kind: str) -> Problem:
    """The problem without one kind of rule, to learn what that rule costs; its plan may break it and is never proposed.

    kind : one of `tally.KINDS`.
    """
    shelf, hours, rotation = problem.shelf, problem.hours, problem.rotation
    open_minutes, stock, codes = (
        np.full_like(each, np.inf) for each in (hours.minutes, shelf.stock, rotation.weeks_left)
    )
    if kind == "minutes":
        return replace(problem, hours=replace(hours, minutes=open_minutes))
    if kind == "window":
        return replace(problem, hours=replace(hours, open_minutes=open_minutes))
    if kind == "bottle_window":
        return replace(problem, hours=replace(hours, bottle_minutes=np.full_like(hours.bottle_minutes, np.inf)))
    if kind == "run":
        return replace(problem, rotation=replace(rotation, limited=np.zeros_like(rotation.limited)))
    if kind == "code_weeks":
        return replace(problem, rotation=replace(rotation, weeks_left=codes))
    if kind == "apart":
        return replace(problem, shelf=replace(shelf, apart_weeks=np.zeros_like(shelf.apart_weeks)))
    if kind == "stock":
        return replace(problem, shelf=replace(shelf, stock=stock))
    if kind == "season":
        return replace(problem, shelf=replace(shelf, season_left=stock))
    return replace(problem, shelf=replace(shelf, weeks_left=stock))

"""What is permitted on one planting in the coming weeks, and whether a programme keeps to it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from abaxial.label import rotation
from abaxial.plan.programmes.step import ENDS, Programme, Step


class Act(NamedTuple):
    """One thing that may be done. kind, bottle : as in `Step`. weeks : of the horizon in which it may be, rising. every_weeks : at
    least, from one to the next. most : times within the horizon. codes : of the bottle."""

    kind: str
    bottle: str
    weeks: tuple[int, ...]
    every_weeks: int = 1
    most: int = 1
    codes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Permitted:
    """What the labels, the law and the state of one planting leave open.

    weeks : of the horizon. acts : each (kind, bottle) at most once, the one to prefer first among bottles of the same codes.
    light : whether the attack is still light; an oil is for that. most_running : applications of one code in a row, as
    `label.rotation` counts them; what ran before the horizon is left to the choice, for it hangs on the whole garden.
    apart_weeks : weeks that must lie between two bottles on the same leaves, by the two keys, in either order.
    """

    weeks: int
    acts: tuple[Act, ...]
    light: bool
    most_running: int = 2
    apart_weeks: Mapping[tuple[str, str], int] = field(default_factory=dict)

    def act(self, step: Step) -> Act | None:
        """The act a step is of, if there is one."""
        return next((act for act in self.acts if act.kind == step.kind and act.bottle == step.bottle), None)


def keeps(programme: Programme, permitted: Permitted) -> bool:
    """Whether a programme keeps to what is permitted on its planting, by itself."""
    for act in permitted.acts:
        weeks = [step.week for step in programme.steps if (step.kind, step.bottle) == (act.kind, act.bottle)]
        near = any(later - week < act.every_weeks for week, later in pairwise(weeks))
        if near or len(weeks) > act.most or not set(weeks) <= set(act.weeks):
            return False
    steps = programme.steps
    if any(permitted.act(step) is None or (step.kind == "oil" and not permitted.light) for step in steps):
        return False
    gone = min((step.week for step in steps if step.kind == "destroy"), default=permitted.weeks)
    cut = {step.week for step in steps if step.kind in ENDS}
    idle = any(step.week > gone or (step.week in cut and step.kind not in (*ENDS, "clear_litter")) for step in steps)
    return not idle and _apart(programme, permitted) and _rotated(programme, permitted)


def _apart(programme: Programme, permitted: Permitted) -> bool:
    sprays = programme.sprays
    for place, one in enumerate(sprays):
        for two in sprays[place + 1 :]:
            pair = (one.bottle, two.bottle)
            weeks = max(permitted.apart_weeks.get(pair, 0), permitted.apart_weeks.get(pair[::-1], 0))
            if two.week - one.week < weeks:
                return False
    return True


def _rotated(programme: Programme, permitted: Permitted) -> bool:
    weeks = sorted({step.week for step in programme.sprays})
    acts = [(step.week, permitted.act(step)) for step in programme.sprays]
    diary = [frozenset(code for at, act in acts if act and at == week for code in act.codes) for week in weeks]
    return rotation.first_overrun(diary, permitted.most_running) == 0

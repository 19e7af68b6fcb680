"""The tasks of the plan as things to do, today's first, each with its precautions."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from abaxial.errors import FaultError
from abaxial.label.precautions import kinds_for
from abaxial.plan.programmes.step import KINDS, SPRAYS
from abaxial.report.answers.plan import Plan, PlanTask
from abaxial.report.answers.week import Reason
from abaxial.report.blocks import Action, Actions
from abaxial.report.pages.plan.cautions import cautions_told
from abaxial.report.words.plan.tasks import how_words, what_words, when_words
from abaxial.report.words.quantities import Units
from abaxial.report.words.speech import say, say_why

#: kinds of task that can hurt, with the kinds of work that they are
WORKS: Mapping[str, tuple[str, ...]] = {
    "low_leaves_off": ("blade",),
    "rusted_leaves_off": ("blade",),
    "thin": ("blade",),
    "oil": ("pesticide", "oil"),
    "fungicide": ("pesticide",),
    "cut_down": ("blade",),
    "destroy": ("blade",),
}
#: kinds of task that the journal is told of by their key; a look is told by what it found
TO_BE_TOLD = tuple(kind for kind in KINDS if kind != "look")


def in_order(plan: Plan, today: date) -> tuple[PlanTask, ...]:
    """Today's tasks first, otherwise as the plan has them; where hours for spraying are lacking, what needs a sprayer last."""
    return tuple(
        sorted(
            plan.tasks,
            key=lambda task: (_first_day(task, today) > today, bool(plan.no_hours) and task.kind in SPRAYS),
        )
    )


def task_blocks(plan: Plan, today: date, units: Units, *, said: str) -> tuple[Actions, ...]:
    """What is to do today, then what is to do on other days of the week; one of the two where the other is empty.

    said : the reason that the first line has told; it is not told again.
    """
    tasks = in_order(plan, today)
    actions = [action_of(each, plan, today, units) for each in tasks]
    actions = [replace(each, why="") if each.why == said else each for each in actions]
    split = sum(_first_day(each, today) <= today for each in tasks)
    titled = (("Today", actions[:split]), ("Later this week" if split else "This week", actions[split:]))
    return tuple(Actions(title, tuple(group)) for title, group in titled if group)


def action_of(task: PlanTask, plan: Plan, today: date, units: Units) -> Action:
    """A task as something to do. Raises FaultError where a precaution is lacking that its kind of work needs."""
    return Action(
        what_words(task),
        when_words(task, today),
        _why(task, plan, today, units),
        how=(
            *how_words(task, today, units),
            *((say(task.unless, units, today),) if task.unless else ()),
            *((f"When it is done: abaxial note done {task.key}.",) if task.kind in TO_BE_TOLD else ()),
        ),
        steps=tuple(say(each, units, today) for each in task.mix.steps) if task.mix else (),
        cautions=cautions_of(task, units, today),
        hurts=task.kind in WORKS,
    )


def cautions_of(task: PlanTask, units: Units, today: date) -> tuple[str, ...]:
    """The precautions of a task, a sentence each. Raises FaultError where one is lacking that its kind of work needs."""
    told = {each.kind for each in task.precautions}
    lacking = [kind for kind in kinds_for(WORKS[task.kind]) if kind not in told] if task.kind in WORKS else []
    if lacking:
        raise FaultError(
            f"The task {task.key!r} cannot be shown without its precautions {', '.join(lacking)}.",
            remedy="Give it those of label.precautions.",
        )
    return cautions_told(task.precautions, units, today)


def _why(task: PlanTask, plan: Plan, today: date, units: Units) -> str:
    # what a choice saves is told under why
    if task.why.kind == "saves" and {each.planting for each in plan.choices} & set(task.plantings):
        return ""
    return why_words(task.why, units, today)


def why_words(why: Reason, units: Units, today: date) -> str:
    """Why a task is to be done; that leaves are to be turned is said by the task itself."""
    return say_why(why, units, today) if why.kind == "shows_soon" else say(why, units, today)


def _first_day(task: PlanTask, today: date) -> date:
    return task.hours[0].start.date() if task.hours else min(task.days, default=today)

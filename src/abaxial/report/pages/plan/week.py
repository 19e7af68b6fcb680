"""The plan at the head of the week's page: one sentence, tasks, why, what not to do, offers, what has to be asked."""

from datetime import date

from abaxial.errors import FaultError
from abaxial.report.answers.plan import Choice, JointOffer, Plan, PlanStep
from abaxial.report.answers.week import WeekAnswer
from abaxial.report.blocks import Block, Caution, Line, Points, Row, Table
from abaxial.report.pages.plan.cautions import cautions_told
from abaxial.report.pages.plan.small import one_for_each_bottle
from abaxial.report.pages.plan.tasks import in_order, task_blocks, why_words
from abaxial.report.words.plan.because import against_words, buys_words, conditions_words, gap_words, offer_words
from abaxial.report.words.plan.steps import short_words
from abaxial.report.words.plan.tasks import headline_words
from abaxial.report.words.plan.values import value_cell, value_words
from abaxial.report.words.quantities import Units, counted
from abaxial.report.words.speech import say


def plan_head(answer: WeekAnswer, plan: Plan, units: Units) -> list[Block]:
    """The blocks that stand before the figure."""
    today = answer.today
    first = headline(answer, plan, units)
    blocks: list[Block] = [first, *task_blocks(plan, today, units, said=first.why)]
    why = _why(plan, units, said=_headline_choice(plan, today))
    if why:
        blocks.append(Points("Why", why))
    leave = tuple(say(each, units, today) for each in (*one_for_each_bottle(plan.not_to_do), *plan.warnings))
    if leave:
        blocks.append(Points("What not to do, and what to mind", leave))
    closed = tuple(say(each, units, today) for each in plan.no_hours)
    if closed:
        blocks.append(Points("No hours for spraying", closed))
    blocks += [_offer(each, today, units) for each in plan.joint]
    asks = tuple(dict.fromkeys(say(each, units, today) for each in plan.asks))
    if asks:
        blocks.append(Caution("What we have to ask", asks))
    return blocks


def headline(answer: WeekAnswer, plan: Plan, units: Units) -> Line:
    """The first task of the plan, what it buys and how sure that is; or that nothing needs doing."""
    tasks = in_order(plan, answer.today)
    if not tasks:
        return Line(f"Nothing needs doing in {answer.garden} this week.", _nothing_because(plan))
    first = tasks[0]
    choice = _headline_choice(plan, answer.today)
    why = against_words(choice) if choice else why_words(first.why, units, answer.today)
    return Line(headline_words(first, answer.today), why)


def planting_points(plan: Plan, planting: str, today: date, units: Units) -> Points | None:
    """What the plan foresees for one planting and why; None where it does not speak of it."""
    choice = next((each for each in plan.choices if each.planting == planting), None)
    if choice is None:
        return None
    items = (
        _foreseen(choice),
        buys_words(choice, plan.weeks, units),
        against_words(choice),
        *(say(each, units, today) for each in (*choice.changes, *choice.binding)),
    )
    return Points("The plan for it", tuple(each for each in items if each))


def plan_tail(plan: Plan) -> list[Block]:
    """How good the plan is, and what it holds things to be worth."""
    rows = tuple(Row(value_words(name), (value_cell(name, value),)) for name, value in plan.values.items())
    blocks: list[Block] = [Points("How good the plan is", (gap_words(plan),))]
    if rows:
        note = "Write your own into the garden’s file, and the plan reckons with them."
        blocks.append(Table("What things are worth to you", ("What", "Worth"), rows, note=note, detail=True))
    return blocks


def _headline_choice(plan: Plan, today: date) -> Choice | None:
    """The choice that the first task is part of; None where it is of none, as a look is."""
    first = in_order(plan, today)[:1]
    parts = ((task, each) for task in first for each in plan.choices if each.planting in task.plantings)
    return next((each for task, each in parts if any(step == (0, task.kind) for step in map(_plain, each.steps))), None)


def _plain(step: PlanStep) -> tuple[int, str]:
    return step.week, step.kind


def _why(plan: Plan, units: Units, *, said: Choice | None) -> tuple[str, ...]:
    """Two sentences for each planting that something is done with this week. said : the choice that the first line has
    told of already."""
    told = []
    for each in plan.choices:
        if any(step.week == 0 for step in each.steps):
            sentences = (buys_words(each, plan.weeks, units), "" if each is said else against_words(each))
            told.append(
                f"{each.planting[0].upper()}{each.planting[1:]}. {' '.join(part for part in sentences if part)}"
            )
    return tuple(told)


def _nothing_because(plan: Plan) -> str:
    if not plan.choices:
        return ""
    if all(not each.steps for each in plan.choices):
        return "Waiting is the best choice for every planting just now; the plan looks again next week."
    return "What is foreseen comes later; each planting says when."


def _offer(offer: JointOffer, today: date, units: Units) -> Points:
    """Raises FaultError for work that can hurt and comes without its cautions."""
    told = cautions_told(offer.precautions, units, today)
    if not told:
        raise FaultError(f"Cutting down against {offer.rust_name} is offered without its precautions.")
    title = f"{'All at once' if offer.taken else 'Or all at once'}, against {offer.rust_name}"
    return Points(title, (offer_words(offer), conditions_words(offer), f"Take care. {' '.join(told)}"))


def _foreseen(choice: Choice) -> str:
    if not choice.steps:
        return "Wait, and look again next week."
    weeks: dict[int, list[str]] = {}
    for step in choice.steps:
        weeks.setdefault(step.week, []).append(short_words(step.kind, step.bottle))
    told = "; ".join(f"{_week(week)}: {', '.join(dict.fromkeys(names))}" for week, names in sorted(weeks.items()))
    return f"{told[0].upper()}{told[1:]}. Only this week is settled; the rest is looked at again."


def _week(week: int) -> str:
    return "this week" if week == 0 else "next week" if week == 1 else f"in {counted(week, 'week', 'weeks')}"

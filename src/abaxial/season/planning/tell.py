"""From what was chosen to what is told: tasks in order of doing, the reasons, and what is not done."""

from collections.abc import Sequence
from datetime import date

from abaxial.assimilation.estimate import Posterior
from abaxial.label.bottle import missing
from abaxial.plan.choose.binding import Binding
from abaxial.plan.programmes.step import Programme
from abaxial.plan.proposal import account
from abaxial.plan.proposal.account import Account
from abaxial.plan.proposal.propose import Proposed
from abaxial.plan.prospects import begin
from abaxial.report.answers.plan import Choice, JointOffer, Plan, PlanStep
from abaxial.report.answers.week import Band, Reason
from abaxial.season import story
from abaxial.season.planning import doing, law
from abaxial.season.planning.ask import VERSIONS, WEEKS, Question
from abaxial.season.planning.open_hours import Opening

Three = tuple[float, float, float]
#: what open flowers, and hives near by, close hours with
_FLOWERS = ("open_flowers", "bees_flying")


def told(question: Question, proposed: Proposed, posterior: Posterior, day: int) -> Plan:
    """The plan as it is told. day : the garden day at whose end it was asked."""
    accounts = [
        account.account(question.ask, proposed, place, begin.seen_low_frac(posterior, VERSIONS, place, day))
        for place in range(len(question.grounds))
    ]
    choice = proposed.choice
    return Plan(
        tasks=doing.tasks_of(question, accounts),
        choices=tuple(_choice(question, proposed, place, each) for place, each in enumerate(accounts)),
        joint=_joint_offers(question, proposed),
        not_to_do=(*_habits(question), *_refused(question), *question.hindered),
        asks=law.asks_of(question.law, question.grounds, question.refused, _unseen(question)),
        no_hours=_no_hours(question) or _no_forecast(question),
        warnings=(),
        cost=choice.objective,
        bound=choice.bound,
        gap_frac=choice.gap_frac,
        weeks=WEEKS,
        values={name: float(value) for name, value in vars(question.ask.values).items()},
    )


def _choice(question: Question, proposed: Proposed, place: int, found: Account) -> Choice:
    bound = [each for each in proposed.choice.binding if each.planting == place]
    return Choice(
        planting=question.grounds[place].here.stand.planting.name,
        steps=_steps(found.programme),
        instead=_steps(found.other) if found.other is not None else (),
        saves=_band(found.saves_band),
        sure_frac=found.saves.sure_frac if found.saves is not None else 1.0,
        healthy_area_m2_d=_band(found.healthy_m2_d),
        waiting_area_m2_d=_band(found.waiting_m2_d),
        worst_rusted_frac=_band(found.worst_frac),
        waiting_rusted_frac=_band(found.waiting_frac),
        changes=_changes(found),
        binding=tuple(_bound(question, each) for each in bound),
    )


def _steps(programme: Programme) -> tuple[PlanStep, ...]:
    return tuple(PlanStep(*step) for step in programme.steps)


def _changes(found: Account) -> tuple[Reason, ...]:
    told_ = doing.look_changes(found)
    return () if told_ is None else (told_,)


def _bound(question: Question, each: Binding) -> Reason:
    bottles, codes = tuple(question.ask.shelf), doing.codes_of(question)
    details: dict[str, object] = {"rule": each.rule.kind, "money": each.money, "alone": each.alone}
    if each.rule.week >= 0:
        details["week_of"] = _monday(question, each.rule.week)
    if each.rule.kind in ("run", "code_weeks"):
        details["code"] = codes[each.rule.which]
    elif each.rule.which >= 0:
        details["bottle"] = bottles[each.rule.which]
    if each.rule.other >= 0:
        details["other_bottle"] = bottles[each.rule.other]
    return Reason("bound_by", details)


def _monday(question: Question, week: int) -> date:
    day = story.days_after(question.calendar.sky.local_date, 7 * week)
    return story.days_after(day, -day.weekday())


def _joint_offers(question: Question, proposed: Proposed) -> tuple[JointOffer, ...]:
    """Of each rust the joint programme that costs least, and any that was taken."""
    joint = question.ask.joint
    dearer = [account.joint_dearer(proposed, number, each.plantings) for number, each in enumerate(joint)]
    cheapest: dict[str, int] = {}
    for number in sorted(range(len(joint)), key=lambda one: (one not in proposed.joint_taken, dearer[one][1])):
        cheapest.setdefault(joint[number].rust, number)
    return tuple(_joint(question, proposed, number) for number in cheapest.values())


def _joint(question: Question, proposed: Proposed, number: int) -> JointOffer:
    joint = question.ask.joint[number]
    today = question.calendar.sky.local_date
    first = question.grounds[joint.plantings[0]].here
    week_of = story.days_after(today, 7 * joint.week)
    return JointOffer(
        rust_name=first.biology.rust.name,
        plantings=tuple(question.grounds[place].here.stand.planting.name for place in joint.plantings),
        steps=_steps(joint.programme),
        week_of=_monday(question, joint.week),
        leaves_again=_leaves_again(question, joint.plantings, week_of),
        dearer=_band(account.joint_dearer(proposed, number, joint.plantings)),
        taken=number in proposed.joint_taken,
        precautions=doing.precautions_of(question, "cut_down", None),
    )


def _leaves_again(question: Question, places: Sequence[int], cut_on: date) -> date | None:
    """When the last of some plantings has half of its leaves again; None beyond the season that is reckoned."""
    sky = question.calendar.sky
    row = question.calendar.first_row + (cut_on - sky.local_date).days
    days = [question.grounds[place].plot.leaves_again_d(row) for place in places]
    known = [each for each in days if each is not None]
    return story.days_after(cut_on, max(known)) if len(known) == len(days) else None


def _refused(question: Question) -> list[Reason]:
    """Bottles that are not used this week and why: the first reason of each, once for all plantings it holds for."""
    found: dict[tuple[str, str], tuple[dict[str, object], list[str]]] = {}
    for ground, refused in zip(question.grounds, question.refused, strict=True):
        for bottle, reasons in refused.items():
            if any(each.kind in law.UNFIT for each in reasons):
                # that no bottle fits is said once for the planting
                continue
            first = reasons[0]
            details = {"bottle": bottle, **first.details}
            found.setdefault((bottle, first.kind), (details, []))[1].append(ground.here.stand.planting.name)
    return [Reason(kind, {**details, "plantings": names}) for (_, kind), (details, names) in found.items()]


def _habits(question: Question) -> list[Reason]:
    """What is never done with rust about."""
    rusty = [each.here.stand.planting.name for each in question.grounds if each.showing_frac >= doing.SHOWS_FRAC]
    return [Reason("never_compost", {"plantings": rusty}), Reason("never_wet_leaves", {})] if rusty else []


def _unseen(question: Question) -> dict[tuple[str, str], tuple[str, ...]]:
    """Bed and bottle to the plantings whose flowers alone it waits for."""
    return {where: each.unseen for where, each in question.calendar.opened.items()}


def _no_hours(question: Question) -> tuple[Reason, ...]:
    """Bottles for which no hour of the coming week is fit on some beds, and what closed them."""
    # a bottle whose label is not written down is asked about already, and one that nobody can measure is told of
    asked = {each.key for each in question.law.bottles if missing(each)}
    small = {(each.details["planting"], each.details["bottle"]) for each in question.hindered}
    useful = {
        (each.here.stand.bed.name, bottle)
        for each in question.grounds
        for bottle in question.ask.shelf
        if (each.here.stand.planting.name, bottle) not in small
    }
    found: dict[tuple[str, bool], tuple[list[str], Opening]] = {}
    for (bed, bottle), opening in question.calendar.opened.items():
        if not opening.windows and bottle not in asked and (bed, bottle) in useful:
            # beds with flowers in the way are told apart: the weather is alike on most, flowers are not
            for_flowers = any(each.kind in _FLOWERS for each in opening.shut)
            found.setdefault((bottle, for_flowers), ([], opening))[0].append(bed)
    return tuple(_shut(bottle, beds, opening) for (bottle, _), (beds, opening) in found.items())


def _no_forecast(question: Question) -> tuple[Reason, ...]:
    """That hours cannot be told, where something might be sprayed and nothing is forecast."""
    might = any(standing.sites for standing in question.standings)
    return (Reason("no_forecast", {}),) if might and not question.calendar.opened else ()


def _shut(bottle: str, beds: Sequence[str], opening: Opening) -> Reason:
    alone = max(opening.shut, key=lambda each: each.alone, default=None)
    details: dict[str, object] = {"bottle": bottle, "beds": beds, "closed_by": [each.kind for each in opening.shut[:3]]}
    if alone is not None and alone.alone:
        details |= {"alone": alone.kind, "alone_hours": alone.alone}
    return Reason("no_hours", details)


def _band(values: Three) -> Band:
    return Band(*values)

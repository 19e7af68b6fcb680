"""This week's tasks: what, where, how much, when, with what on; each with the cautions that belong to it."""

import hashlib
from collections.abc import Iterable, Sequence
from datetime import date

from abaxial.label import precautions
from abaxial.label.bottle import Bottle
from abaxial.label.mixing.card import MixCard, NoMix, mix_card
from abaxial.label.mixing.from_label import product_of
from abaxial.label.mixing.habits import read_habits
from abaxial.label.mixing.job import Job
from abaxial.label.precautions import Known
from abaxial.label.window.limits import read_limits
from abaxial.plan.programmes.step import SPRAYS, Programme, Step
from abaxial.plan.proposal.account import Account
from abaxial.plan.prospects import stock
from abaxial.report.answers.plan import Dose, Mix, OpenHours, PlanTask
from abaxial.report.answers.week import Reason
from abaxial.season.planning import law
from abaxial.season.planning.ask import SHOWS_FRAC, Question
from abaxial.season.planning.law import Ground

#: which kinds of work each act is, as far as they can hurt
WORKS = {
    "rusted_leaves_off": ("blade",),
    "low_leaves_off": ("blade",),
    "thin": ("blade",),
    "cut_down": ("blade",),
    "destroy": ("blade",),
}
#: acts after which something has to be got rid of
LEAVES_WASTE = (*WORKS, "clear_litter")
_KEY_LETTERS = 4

__all__ = ["SHOWS_FRAC", "codes_of", "tasks_of"]


def codes_of(question: Question) -> tuple[str, ...]:
    """The codes on the shelf, in the order of the choice."""
    return stock.codes_of(question.law)


def tasks_of(question: Question, accounts: Sequence[Account]) -> tuple[PlanTask, ...]:
    """The tasks of the coming week: work without a bottle before work with one, on each day clean plantings first. Plantings
    that get the same on the same day are one task; each spray is its own, since each is mixed for its own leaves."""
    together: dict[tuple[str, str, date, str], list[int]] = {}
    for place, each in enumerate(accounts):
        for step in each.programme.now():
            bed = question.bed_of(place)
            alone = bed if step.bottle else ""
            together.setdefault((step.kind, step.bottle, question.calendar.on(bed, step), alone), []).append(place)
    tasks = [
        _task(question, accounts, Step(0, kind, bottle), on, _clean_first(question, places))
        for (kind, bottle, on, _), places in together.items()
    ]
    return tuple(sorted(tasks, key=lambda each: (bool(each.bottle), each.days[0], each.kind, each.plantings)))


def _clean_first(question: Question, places: Iterable[int]) -> list[int]:
    return sorted(places, key=lambda place: question.grounds[place].showing_frac)


def _task(question: Question, accounts: Sequence[Account], step: Step, on: date, places: Sequence[int]) -> PlanTask:
    grounds = [question.grounds[place] for place in places]
    names = tuple(each.here.stand.planting.name for each in grounds)
    beds = tuple(dict.fromkeys(each.here.stand.bed.name for each in grounds))
    bottle = next((each for each in question.law.bottles if each.key == step.bottle), None)
    contents = question.law.contents(bottle) if bottle is not None else None
    return PlanTask(
        key=key_of(step.kind, names, (on,), step.bottle),
        kind=step.kind,
        plantings=names,
        beds=beds,
        days=(on,),
        minutes=_minutes(question, step, places),
        why=_why(accounts, places),
        bottle=step.bottle,
        actives=contents.actives if contents is not None else (),
        codes=contents.codes if contents is not None else (),
        mix=_mix(bottle, grounds) if bottle is not None else None,
        hours=_hours(question, step, beds),
        wear=bottle.label.protective if bottle is not None and bottle.label is not None else (),
        disposal="bag_and_bin" if step.kind in LEAVES_WASTE else "",
        precautions=precautions_of(question, step.kind, bottle),
        unless=look_changes(accounts[places[0]]) if len(places) == 1 else None,
    )


def key_of(kind: str, plantings: Sequence[str], days: Sequence[date], bottle: str = "") -> str:
    """A short name for a task, the same as long as it is the same task."""
    said = "/".join((kind, bottle, *(each.isoformat() for each in days), *plantings))
    return hashlib.blake2b(said.encode(), digest_size=8).hexdigest()[:_KEY_LETTERS]


def _minutes(question: Question, step: Step, places: Sequence[int]) -> int:
    works = [question.ask.beds[place].work for place in places]
    if step.kind in SPRAYS:
        mixing = float(question.ask.stock.mixing_minutes[list(question.ask.shelf).index(step.bottle)])
        return max(round(sum(each.spray_minutes[step.bottle] for each in works) + mixing), 1)
    return max(round(sum(each.minutes[step.kind] for each in works)), 1)


def _why(accounts: Sequence[Account], places: Sequence[int]) -> Reason:
    """What is saved against the next best, on the planting that saves most."""
    found = max((accounts[place] for place in places), key=lambda each: each.saves.saved_money if each.saves else 0.0)
    if found.saves is None or found.other is None:
        return Reason("saves", {})
    return Reason("saves", {**found.saves._asdict(), "instead_kinds": _kinds(found.other)})


def look_changes(found: Account) -> Reason | None:
    """What a look at the low leaves would have to find for another choice; None where nothing would do."""
    turning = found.turning
    if turning is None:
        return None
    details: dict[str, object] = {"leaves": turning.leaves}
    if found.if_fewer is not None:
        details |= {"fewer_than": turning.fewer_than, "fewer_to": _kinds(found.if_fewer)}
    if found.if_more is not None:
        details |= {"more_than": turning.more_than, "more_to": _kinds(found.if_more)}
    return Reason("look_changes", details)


def _kinds(programme: Programme) -> list[str]:
    """What a programme asks for now; to wait where that is nothing."""
    return [step.kind for step in programme.now()] or ["wait"]


def _mix(bottle: Bottle, grounds: Sequence[Ground]) -> Mix | None:
    """One mix for all plantings of a bed that get it; None where it cannot be measured, which is said elsewhere."""
    ground = grounds[0]
    job = Job(
        sum(each.plot.ground_m2 for each in grounds),
        sum(each.leaf_area_m2 for each in grounds),
        ground.tank_l,
        law.facts_of(ground.here.stand.bed),
    )
    card: MixCard | NoMix = mix_card((product_of(bottle),), job, read_habits(), read_limits())
    if isinstance(card, NoMix):
        return None
    return Mix(
        tankfuls=card.tankfuls,
        tankful_l=card.tankful_l,
        whole_l=card.tankfuls * card.tankful_l,
        left_over_l=card.left_over_l,
        doses=tuple(Dose(each.bottle, each.unit, each.per_tankful, each.whole) for each in card.doses),
        steps=tuple(Reason(each.kind, each.details) for each in card.steps),
    )


def _hours(question: Question, step: Step, beds: Sequence[str]) -> tuple[OpenHours, ...]:
    if step.kind not in SPRAYS:
        return ()
    opening = question.calendar.opened[beds[0], step.bottle]
    return tuple(
        OpenHours(*opening.moments(each, question.calendar.zone), each.fit_frac) for each in opening.windows[:3]
    )


def precautions_of(question: Question, kind: str, bottle: Bottle | None) -> tuple[Reason, ...]:
    """The cautions of one kind of work; none where it cannot hurt."""
    if bottle is not None:
        contents = question.law.contents(bottle)
        known = Known(question.law.rules, bottle.label, contents)
        found = precautions.precautions_for(precautions.works_of(contents), known)
    elif kind in WORKS:
        found = precautions.precautions_for(WORKS[kind], Known(question.law.rules))
    else:
        return ()
    return tuple(Reason(each.kind, each.details) for each in found)

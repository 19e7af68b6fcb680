"""One task of the plan: what, where, how much, when, with what on; and the sentence at the top of the page."""

from datetime import date, timedelta

from abaxial.report.answers.plan import PlanTask
from abaxial.report.answers.week import Reason
from abaxial.report.words.dates import days_listed, weekday_words
from abaxial.report.words.plan.hours import near_day, open_words
from abaxial.report.words.plan.mixing import mix_words
from abaxial.report.words.plan.steps import do_words
from abaxial.report.words.quantities import Units, counted, listed

_DISPOSAL = {
    "bag_and_bin": "Bag what you cut inside the bed, tie the bag, and put it in the bin with household waste; never on the heap.",
}
#: work of which what is cut or picked up has to go somewhere
_CUTS = ("low_leaves_off", "rusted_leaves_off", "thin", "cut_down", "clear_litter", "destroy")


def what_words(task: PlanTask) -> str:
    """The instruction and for whom, without the day."""
    do = do_words(task.kind, listed(task.plantings, most=6), task.bottle)
    beds = tuple(each for each in task.beds if each)
    where = f" ({listed(beds, most=4)})" if beds else ""
    return f"{do}{where}"


def when_words(task: PlanTask, today: date) -> str:
    """When, and how long it takes."""
    when = open_words(task.hours[0], today) if task.hours else _days_words(task.days, today)
    about = f", {'each time ' if len(task.days) > 1 and not task.hours else ''}about {counted(task.minutes, 'minute', 'minutes')}"
    return f"{when[0].upper()}{when[1:]}{about if task.minutes > 0 else ''}"


def how_words(task: PlanTask, today: date, units: Units) -> tuple[str, ...]:
    """How much, with what on, where what was cut goes, and other hours, a sentence each."""
    told = [_contents(task), mix_words(task.mix, units) if task.mix else ""]
    if len(task.hours) > 1:
        others = tuple(open_words(each, today) for each in task.hours[1:])
        told.append(f"If not then: {' — or '.join(others[:2])}.")
    told.append(wear_words(task.wear, task.precautions))
    if task.kind in _CUTS and task.disposal:
        told.append(_DISPOSAL.get(task.disposal, f"{task.disposal.replace('_', ' ').capitalize()}."))
    return tuple(each for each in told if each)


def wear_words(wear: tuple[str, ...], precautions: tuple[Reason, ...]) -> str:
    """What to wear by the label; "" where the precautions say it already."""
    said = any(each.kind == "gear_of_the_label" and each.details.get("gear") for each in precautions)
    return "" if said or not wear else f"By its label, wear {listed(wear, most=9)}."


def headline_words(task: PlanTask, today: date) -> str:
    """The first task as the one sentence at the top."""
    what = do_words(task.kind, listed(task.plantings, most=2), task.bottle)
    if task.hours:
        first = task.hours[0]
        return f"{what} {near_day(first.start.date(), today)} from {first.start:%H:%M} to {first.end:%H:%M}."
    days = tuple(f"{'' if (each - today).days in (0, 1) else 'on '}{near_day(each, today)}" for each in task.days)
    when = f" {listed(days)}" if days else " this week"
    return f"{what}{when}."


def _contents(task: PlanTask) -> str:
    if not task.actives:
        return ""
    actives = listed(tuple(each.replace("_", " ") for each in task.actives), most=9)
    codes = tuple(each for each in task.codes if each != "NC")
    turn = (
        f"; in taking turns it counts as kind {listed(codes, most=9)}"
        if codes
        else "; in taking turns it does not count"
    )
    return f"In it: {actives}{turn}."


def _days_words(days: tuple[date, ...], today: date) -> str:
    if not days:
        return "any day this week"
    tomorrow = today + timedelta(days=1)
    if days == (tomorrow,):
        return f"tomorrow, {weekday_words(tomorrow)}"
    return days_listed(days, today)

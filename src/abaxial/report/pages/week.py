"""The page of the week: one sentence, what to do, the figure, why, each planting, what we do not know, the sources."""

from abaxial.report.answers.week import PlantingWeek, Task, WeekAnswer
from abaxial.report.blocks import (
    Action,
    Actions,
    Block,
    Caution,
    Line,
    Page,
    Reasons,
    Sources,
)
from abaxial.report.pages.estimate import learned_table
from abaxial.report.pages.index import index_of
from abaxial.report.pages.plan.week import plan_head, plan_tail
from abaxial.report.pages.planting import figure_of, headline_line, planting_section, reasons_of
from abaxial.report.pages.sources import Bibliography, made_from, paper, weather_words
from abaxial.report.words.dates import full_date, moment_words
from abaxial.report.words.quantities import Units, counted
from abaxial.report.words.speech import say, say_first, say_why
from abaxial.report.words.tasks import task_when, task_words


def week_page(answer: WeekAnswer, bibliography: Bibliography, units: Units = "metric") -> Page:
    """The blocks of a week's answer. bibliography : source key to authors, year, title, where, status."""
    ordered = most_pressing_first(answer)
    figure = [figure_of(ordered[0], answer.today)] if ordered else []
    head: list[Block]
    if answer.plan is not None:
        head = [*plan_head(answer, answer.plan, units), *figure]
    else:
        head = [_headline(answer, ordered, units), *figure, _actions(answer, units)]
    why = reasons_of(ordered[0], answer.today, units) if ordered else ()
    if why:
        head.append(Reasons(f"Why: {ordered[0].planting}", why))
    if len(ordered) > 1:
        head.append(index_of(ordered))
    sections = tuple(planting_section(each, answer, number, units) for number, each in enumerate(ordered, start=1))
    invented = " · invented garden and weather" if answer.invented else ""
    kicker = f"This week, {full_date(answer.today)}{invented}"
    return Page(answer.garden, kicker, tuple(head), sections, tuple(_tail(answer, bibliography, units)))


def most_pressing_first(answer: WeekAnswer) -> tuple[PlantingWeek, ...]:
    """The plantings in the answer's own order, the headline's before all."""
    named = answer.headline.details.get("planting")
    return tuple(sorted(answer.plantings, key=lambda each: each.planting != named))


def _headline(answer: WeekAnswer, ordered: tuple[PlantingWeek, ...], units: Units) -> Line:
    if ordered and ordered[0].planting == answer.headline.details.get("planting"):
        return headline_line(answer.headline, ordered[0], answer.today, units)
    return Line(*say_first(answer.headline, units, answer.today))


def _actions(answer: WeekAnswer, units: Units) -> Actions:
    return Actions("What to do", tuple(_action(task, answer, units) for task in answer.tasks[:3]))


def _action(task: Task, answer: WeekAnswer, units: Units) -> Action:
    # what the first line has said need not be said again right below it
    said = (task.why.kind, dict(task.why.details)) == (answer.headline.kind, dict(answer.headline.details))
    why = "" if said else say_why(task.why, units, answer.today)
    return Action(task_words(task), task_when(task, answer.today), why)


def _tail(answer: WeekAnswer, bibliography: Bibliography, units: Units) -> list[Block]:
    # where the forecast ends is told below, together with where the weather does
    told = ("forecast_ends", answer.headline.kind)
    unknown = tuple(say(each, units, answer.today) for each in answer.unknown if each.kind not in told)
    taught = learned_table(answer.learned, answer.past)
    tail: list[Block] = plan_tail(answer.plan) if answer.plan else []
    if taught:
        tail.append(taught)
    tail.append(Caution("What we do not know", (*dict.fromkeys(unknown), _horizon(answer), _safe(answer))))
    papers = tuple(paper(key, bibliography) for key in answer.sources)
    files = made_from(answer.passport, _versions(answer))
    tail.append(Sources("Where the numbers come from", papers, files, answer.sources, _in_short(answer)))
    return tail


def _safe(answer: WeekAnswer) -> str:
    """What must not be read into the page."""
    if not any(each.estimate for each in answer.plantings):
        return "This page speaks of what the weather allowed, if spores were about. It does not know whether they were."
    return (
        "Shares of leaves and leaf area are reckoned from weather and walks together. Where it says “if spores were "
        "about”, the page speaks of what the weather allowed. It does not know whether they were."
    )


def _horizon(answer: WeekAnswer) -> str:
    usual = "the days are drawn from what this place usually has"
    if not answer.weather_until:
        return "No weather is known, neither past nor to come."
    known, reaches = moment_words(answer.weather_until), moment_words(answer.forecast_until)
    if answer.forecast_until <= answer.weather_until:
        return f"Weather is known until {known}. There is no forecast; from there on {usual}."
    return f"Weather is known until {known}; the forecast reaches {reaches}; from there on {usual}."


def _in_short(answer: WeekAnswer) -> str:
    made = answer.passport
    return f"Made by Abaxial {made.version} at {weather_words(made)}; seed {made.seed}, {_versions(answer)}."


def _versions(answer: WeekAnswer) -> str:
    told = f"{answer.draws} possible plants, {answer.members} possible weathers"
    if answer.effective_versions <= 0:
        return told
    return f"{told}; after the walks they speak like {counted(answer.effective_versions, 'one', 'equal ones')}"

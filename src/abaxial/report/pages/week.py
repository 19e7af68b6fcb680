"""The page of the week: one sentence, the figure, what to do, why, each planting, what we do not know, the sources."""

from collections.abc import Mapping

from abaxial.report.answers.week import PlantingWeek, Task, WeekAnswer
from abaxial.report.blocks import (
    Action,
    Actions,
    Block,
    Caution,
    Line,
    Page,
    Reasons,
    Row,
    Sources,
    Table,
)
from abaxial.report.pages.planting import figure_of, headline_line, planting_section
from abaxial.report.words.dates import full_date, moment_words, short_band, short_span
from abaxial.report.words.likelihood import tenths_short
from abaxial.report.words.quantities import Units, amount_band, listed
from abaxial.report.words.speech import say, say_first, say_why
from abaxial.report.words.tasks import ranks_words, task_when, task_words

Bibliography = Mapping[str, Mapping[str, str]]


def week_page(answer: WeekAnswer, bibliography: Bibliography, units: Units = "metric") -> Page:
    """The blocks of a week's answer. bibliography : source key to authors, year, title, where, status."""
    ordered = most_pressing_first(answer)
    head: list[Block] = [_headline(answer, ordered, units)]
    if ordered:
        head.append(figure_of(ordered[0], answer.today))
    head.append(_actions(answer, units))
    if ordered and ordered[0].reasons:
        head.append(
            Reasons(f"Why: {ordered[0].planting}", tuple(say(each, units, answer.today) for each in ordered[0].reasons))
        )
    if len(ordered) > 1:
        head.append(_index(ordered))
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


def _index(plantings: tuple[PlantingWeek, ...]) -> Table:
    rows = tuple(
        Row(
            each.planting + (" †" if each.borrowed else ""),
            (
                each.bed,
                short_span(*each.look_days) if each.look_days else "not yet",
                ranks_words(each.look_leaves) if each.look_days and each.look_leaves else "–",
                amount_band(each.latent_nights),
                short_band(each.next_showing) if each.next_showing else "–",
                tenths_short(each.next_week_chance_frac),
            ),
            anchor=f"planting-{number}",
        )
        for number, each in enumerate(plantings, start=1)
    )
    borrowed = " † Dates borrowed from related rusts: a guide only." if any(each.borrowed for each in plantings) else ""
    return Table(
        "All plantings, the most pressing first",
        ("Planting", "Bed", "Turn leaves", "Which", "Hidden now", "Should show", "Wet week ahead"),
        rows,
        note="Which: counted down from the youngest open leaf. Hidden now: if spores were about, how many full nights’ "
        "worth is in the leaf and not yet showing; in brackets, eight times in ten. Wet week ahead: the chance of a "
        "night in the next seven wet enough to matter." + borrowed,
        spare="Bed",
    )


def _tail(answer: WeekAnswer, bibliography: Bibliography, units: Units) -> list[Block]:
    # where the forecast ends is told below, together with where the weather does
    told = ("forecast_ends", answer.headline.kind)
    unknown = tuple(say(each, units, answer.today) for each in answer.unknown if each.kind not in told)
    safe = "This page speaks of what the weather allowed, if spores were about. It does not know whether they were."
    tail: list[Block] = [Caution("What we do not know", (*dict.fromkeys(unknown), _horizon(answer), safe))]
    papers = tuple(_paper(key, bibliography) for key in answer.sources)
    tail.append(Sources("Where the numbers come from", papers, _made_from(answer), answer.sources, _in_short(answer)))
    return tail


def _horizon(answer: WeekAnswer) -> str:
    usual = "the days are drawn from what this place usually has"
    if not answer.weather_until:
        return "No weather is known, neither past nor to come."
    known, reaches = moment_words(answer.weather_until), moment_words(answer.forecast_until)
    if answer.forecast_until <= answer.weather_until:
        return f"Weather is known until {known}. There is no forecast; from there on {usual}."
    return f"Weather is known until {known}; the forecast reaches {reaches}; from there on {usual}."


def _paper(key: str, bibliography: Bibliography) -> str:
    entry = bibliography.get(key)
    if entry is None:
        return key
    told = f"{entry.get('authors', key)} ({entry.get('year', 'no year')}). {entry.get('title', '')}. {entry.get('where', '')}"
    recalled = " Recalled, not read again." if entry.get("status") == "memory" else ""
    return told.strip().rstrip(".").replace("..", ".") + "." + recalled


def _in_short(answer: WeekAnswer) -> str:
    made = answer.passport
    weather = listed(tuple(name for name, _ in made.weather)) or "no weather file"
    return (
        f"Made by Abaxial {made.version} at {made.made_at[:16].replace('T', ' ')} UTC from {weather}; seed {made.seed}, "
        f"{answer.draws} possible plants, {answer.members} possible weathers."
    )


def _made_from(answer: WeekAnswer) -> tuple[tuple[str, str], ...]:
    made = answer.passport
    return (
        ("Abaxial", made.version),
        ("Made at", made.made_at),
        ("Chance", f"seed {made.seed}, {answer.draws} possible plants, {answer.members} possible weathers"),
        *(("Weather", f"{name} ({digest})") for name, digest in made.weather),
        *(("Numbers of", f"{name} ({digest})") for name, digest in made.parameters),
        *((name.replace("_", " ").capitalize(), value) for name, value in made.settings),
    )

"""The page of the week: one sentence, the figure, what to do, why, each planting, what we do not know, the sources."""

from collections.abc import Mapping

from abaxial.report.answers.week import PlantingWeek, WeekAnswer
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
from abaxial.report.pages.planting import figure_of, headline_words, planting_section
from abaxial.report.words.dates import full_date, short_band, short_span
from abaxial.report.words.likelihood import tenths
from abaxial.report.words.quantities import Units, amount_band
from abaxial.report.words.speech import say, say_why
from abaxial.report.words.tasks import task_when, task_words

Bibliography = Mapping[str, Mapping[str, str]]


def week_page(answer: WeekAnswer, bibliography: Bibliography, units: Units = "metric") -> Page:
    """The blocks of a week's answer. bibliography : source key to authors, year, title, where, status."""
    ordered = most_pressing_first(answer)
    head: list[Block] = [Line(_headline(answer, ordered, units))]
    if ordered:
        head.append(figure_of(ordered[0], answer.today))
    head.append(_actions(answer, units))
    if ordered and ordered[0].reasons:
        head.append(Reasons(f"Why: {ordered[0].planting}", tuple(say(each, units) for each in ordered[0].reasons)))
    if len(ordered) > 1:
        head.append(_index(ordered))
    sections = tuple(
        planting_section(each, answer.today, number, units, with_figure=number > 1)
        for number, each in enumerate(ordered, start=1)
    )
    invented = " · invented garden, invented weather" if answer.invented else ""
    kicker = f"This week, {full_date(answer.today)}{invented}"
    return Page(answer.garden, kicker, tuple(head), sections, tuple(_tail(answer, bibliography, units)))


def most_pressing_first(answer: WeekAnswer) -> tuple[PlantingWeek, ...]:
    """The plantings in the answer's own order, the headline's before all."""
    named = answer.headline.details.get("planting")
    return tuple(sorted(answer.plantings, key=lambda each: each.planting != named))


def _headline(answer: WeekAnswer, ordered: tuple[PlantingWeek, ...], units: Units) -> str:
    first = ordered[0] if ordered else None
    if first is None or first.planting != answer.headline.details.get("planting"):
        return say(answer.headline, units)
    dated = "first" in answer.headline.details or "night" in answer.headline.details
    guide = " The dates are borrowed from related rusts: a guide only." if first.borrowed and dated else ""
    return headline_words(answer.headline, first, units) + guide


def _actions(answer: WeekAnswer, units: Units) -> Actions:
    items = tuple(
        Action(task_words(task), task_when(task, answer.today), say_why(task.why, units)) for task in answer.tasks[:3]
    )
    return Actions("What to do", items)


def _index(plantings: tuple[PlantingWeek, ...]) -> Table:
    rows = tuple(
        Row(
            each.planting,
            (
                each.bed,
                short_span(*each.look_days) + _mark(each) if each.look_days else "not yet",
                amount_band(each.latent_nights),
                short_band(each.next_showing) + _mark(each) if each.next_showing else "–",
                tenths(each.next_week_chance_frac),
            ),
            anchor=f"planting-{number}",
        )
        for number, each in enumerate(plantings, start=1)
    )
    borrowed = " † Dates borrowed from related rusts: a guide only." if any(each.borrowed for each in plantings) else ""
    return Table(
        "All plantings, the most pressing first",
        ("Planting", "Bed", "Turn leaves", "Hidden now", "Should show", "Wet week ahead"),
        rows,
        note="Hidden now: if spores were about, how many full nights’ worth is in the leaf and not yet showing; "
        "in brackets, eight times in ten it lies between these. Wet week ahead: the chance of a night in the next seven wet enough to matter."
        + borrowed,
    )


def _mark(planting: PlantingWeek) -> str:
    return " †" if planting.borrowed else ""


def _tail(answer: WeekAnswer, bibliography: Bibliography, units: Units) -> list[Block]:
    # where the forecast ends is told below, together with where the weather does
    told = ("forecast_ends", answer.headline.kind)
    unknown = tuple(say(each, units) for each in answer.unknown if each.kind not in told)
    safe = "This page speaks of what the weather allowed, if spores were about. It does not know whether they were."
    tail: list[Block] = [Caution("What we do not know", (*dict.fromkeys(unknown), _horizon(answer), safe))]
    papers = tuple(_paper(key, bibliography) for key in answer.sources)
    tail.append(Sources("Where the numbers come from", papers, _made_from(answer)))
    return tail


def _horizon(answer: WeekAnswer) -> str:
    usual = "the days are drawn from what this place usually has"
    if answer.forecast_until <= answer.weather_until:
        return f"Weather is known until {answer.weather_until}. There is no forecast; from there on {usual}."
    return (
        f"Weather is known until {answer.weather_until}; the forecast reaches {answer.forecast_until}; "
        f"from there on {usual}."
    )


def _paper(key: str, bibliography: Bibliography) -> str:
    entry = bibliography.get(key)
    if entry is None:
        return key
    told = f"{entry.get('authors', key)} ({entry.get('year', 'no year')}). {entry.get('title', '')}. {entry.get('where', '')}"
    recalled = " Recalled, not read again." if entry.get("status") == "memory" else ""
    return told.strip().rstrip(".").replace("..", ".") + "." + recalled


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

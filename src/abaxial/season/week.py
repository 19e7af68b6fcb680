"""The main line: from the garden's weather to what hides in its leaves, where to look and what to change this week.

One night's way: its hours are read and doubted (record), shared by every bed (sky), bent by each bed (stand), become water
on each face of the leaf (wetness), become infection if spores were about (nights), and ripen until they show (outlook).
Whether spores were about is then told by what was seen (estimate).
"""

from dataclasses import replace
from datetime import datetime

from abaxial import hours
from abaxial.garden.parts import Garden
from abaxial.report.answers.plan import Plan
from abaxial.report.answers.week import PlantingWeek, Reason, WeekAnswer
from abaxial.season import asking, estimate, planting_week, story, tasks, what_if
from abaxial.season.estimate import Reckoned
from abaxial.season.planning import marks, plots
from abaxial.season.planning import plan as planning
from abaxial.season.planning.plan import Trying
from abaxial.season.planting_week import Grown
from abaxial.season.present import MEMBERS, OUTLOOK_DAYS, Luck, Present, Told, passport_of, present, told_by

#: days back from which the figure shows what was done
MARKS_BACK_D = 28

__all__ = ["MEMBERS", "OUTLOOK_DAYS", "Luck", "Told", "week"]


def week(
    garden: Garden,
    *,
    at: datetime,
    told: Told | None = None,
    draws: int = 1000,
    seed: int = 1,
    trying: Trying = planning.USUAL,
) -> WeekAnswer:
    """The week of a garden as it stands at a moment.

    at : any zone. told : what its own file tells; None to read the files its description names. draws : how many versions
    of the garden, at least 16. seed : names the luck. trying : how the plan is chosen. Raises WeatherError, GardenError, ScoutingError or ParameterError
    where the input cannot be used.
    """
    told = told_by(garden, at) if told is None else told
    now = present(garden, at, told, Luck(draws, seed))
    asked = tuple(Reason(each.kind, each.details) for each in told.questions)
    if now.grown is None:
        return _cannot_know(now, asked)
    question = asking.asking(now)
    if question is None:
        return _answer(now, now.grown, Reckoned((), (), 0.0, asking.heard_of(now, now.grown).unused), None, asked)
    posterior = asking.posterior(question)
    plan = planning.plan_of(now, question, posterior, trying)
    return _answer(now, now.grown, estimate.reckon(question, posterior), plan, asked)


def _answer(now: Present, grown: Grown, reckoned: Reckoned, plan: Plan | None, asked: tuple[Reason, ...]) -> WeekAnswer:
    garden, sky, known = now.garden, grown.sky, now.known
    ordered = tuple(sorted(_pages(now, grown, reckoned), key=story.urgency))
    chosen = tasks.choose(garden, ordered, known, sky.local_date, plan)
    doubts = story.unknown(garden, known, sky.ensemble, now.stands)
    return WeekAnswer(
        garden=garden.name,
        invented=garden.invented,
        today=sky.local_date,
        headline=story.headline(garden, ordered),
        tasks=chosen,
        plantings=ordered,
        unknown=(*reckoned.unknown, *story.disagreements(garden, grown.against), *doubts, *asked),
        weather_until=_until(now),
        forecast_until=story.moment_text(sky.ensemble.forecast_end_hour, garden.place.zone),
        draws=max((each.biology.draws.total for each in grown.here), default=now.luck.draws),
        members=sky.ensemble.members,
        sources=story.sources(now.stands),
        passport=passport_of(now),
        learned=reckoned.learned,
        effective_versions=reckoned.effective_versions,
        past=reckoned.past,
        plan=None if plan is None else tasks.joined(plan, chosen, garden),
    )


def _pages(now: Present, grown: Grown, reckoned: Reckoned) -> list[PlantingWeek]:
    """The page of every planting whose rust is known, with what was done about it of late."""
    garden, sky = now.garden, grown.sky
    tables = what_if.changes(sky, [(each.stand, each.biology) for each in grown.here], garden, grown.members)
    pages = [
        planting_week.page(garden, sky, *each) for each in zip(grown.here, reckoned.estimates, tables, strict=True)
    ]
    since, materials = story.days_after(sky.local_date, -MARKS_BACK_D), plots.materials_of(garden.folder)
    done, moved = now.told.done, now.told.moved
    return [replace(each, remedies=marks.marks_of(each.planting, done, materials, since, moved)) for each in pages]


def _cannot_know(now: Present, asked: tuple[Reason, ...]) -> WeekAnswer:
    """Neither network nor record: say what cannot be known, and the one line that would change that."""
    garden, known = now.garden, now.known
    why = Reason("cannot_know", dict(known.nothing.details) | {"what": "weather"} if known.nothing else {})
    today = hours.local_moment(hours.hour_of(now.at), garden.place.zone).date()
    until = _until(now)
    return WeekAnswer(
        garden=garden.name, invented=garden.invented, today=today, headline=why, tasks=tasks.first_line(today),
        plantings=(), unknown=(why, *asked), weather_until=until, forecast_until=until, draws=0, members=0, sources=(),
        passport=passport_of(now),
    )  # fmt: skip


def _until(now: Present) -> str:
    """The hour after the last measured one, on the garden's clock; nothing where nothing was."""
    return story.moment_text(now.known.until_hour, now.garden.place.zone) if now.known.lived.hours else ""

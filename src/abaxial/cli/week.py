"""`abaxial week`: what is below the line, where to look, what to do, and why."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import choosing, options, output

if TYPE_CHECKING:
    from abaxial.report.answers.week import WeekAnswer
    from abaxial.report.envelope import Answer

ENDINGS, CALENDAR = (".html", ".pdf", ".json", ".txt"), ".ics"


@click.command(short_help="This week: what hides in the leaves, where to look, what to do.")
@options.garden_argument
@options.at_option
@options.json_option
@options.units_option
@click.option(
    "--out",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Write the page to this file instead; the ending says the form: .html, .pdf, .json, .txt, "
    "or .ics for the tasks in a calendar. May be repeated.",
)
@click.option(
    "--draws",
    type=click.IntRange(16, 20_000),
    default=1000,
    show_default=True,
    help="How many versions of the garden to try.",
)
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="Number that names the luck.")
@click.option(
    "--seconds",
    type=options.Amount(0.0, 86_400.0),
    default=5.0,
    show_default=True,
    help="For how long to look for a better plan, at most; Ctrl-C takes the best so far.",
)
def week(
    garden: options.Place | None,
    at: str | None,
    *,
    as_json: bool,
    units: str,
    out: tuple[Path, ...],
    seconds: float,
    **luck: Any,
) -> None:
    """This week in the garden: what the wet nights let in that nobody can see yet, when it will show, which leaves to
    turn on which days, and what a change of habit would gain.

    GARDEN is a garden file, a description, or a folder with one of them. It never fetches and never writes in
    the journal. Each task has a key; with it abaxial note done KEY tells the journal. The page says how near its plan is
    to the best there can be.

    \b
    Example:
      abaxial week garden.toml
      abaxial week garden.toml --at 2026-03-12 --out week.html --out week.pdf
      abaxial week garden.toml --seconds 60
    """
    output.check_endings(out, (*ENDINGS, CALENDAR))
    opened, moment = options.opened(garden, at)
    options.say_if_compiling()
    from abaxial.season import week as season_week
    from abaxial.season.present import told_of
    from abaxial.season.tending import planned

    told = told_of(opened)
    answer = season_week.week(
        opened.garden, at=moment, told=told, trying=choosing.watched(seconds, as_json=as_json), **luck
    )
    if answer.plan is not None:
        planned.remember(told.shelf, answer.plan.tasks, answer.today)
    output.write_all({path: _written(answer, path.suffix.lower(), units) for path in out})
    if as_json or not out:
        click.echo(page(answer, ".json" if as_json else ".txt", units), nl=False)


def _written(answer: "WeekAnswer", ending: str, units: str) -> str | bytes:
    """The week in the form of a file: a page, or a calendar of its tasks."""
    from abaxial.report import render

    if ending == CALENDAR:
        return render.calendar_bytes(answer, "us" if units == "us" else "metric")
    return page(answer, ending, units)


def page(answer: "Answer", ending: str, units: str) -> str | bytes:
    """An answer's page in the form a file ending stands for."""
    from abaxial.report import render
    from abaxial.report.words.quantities import Units

    shown: Units = "us" if units == "us" else "metric"
    if ending == ".html":
        return render.html_text(answer, shown)
    if ending == ".pdf":
        return render.pdf_bytes(answer, shown)
    return render.json_text(answer) if ending == ".json" else render.terminal_text(answer, shown)

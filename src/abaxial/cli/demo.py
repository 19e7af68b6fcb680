"""`abaxial demo`: the invented garden, laid out, brought up to date and shown."""

from pathlib import Path

import click

from abaxial.cli import choosing, options, output
from abaxial.cli.week import page
from abaxial.errors import RequestError


@click.command(short_help="The invented garden, brought up to its week and shown.")
@click.argument("folder", default="abaxial-demo", type=click.Path(path_type=Path))
@options.at_option
@options.json_option
@options.units_option
def demo(folder: Path, at: str | None, *, as_json: bool, units: str) -> None:
    """Lay out a garden that does not exist, with weather that never was, in FOLDER; print its week, and write the same
    page there as week.html and week.pdf.

    \b
    Example:
      abaxial demo
      abaxial demo somewhere --units us
    """
    if folder.exists() and not folder.is_dir():
        raise RequestError(f"{folder} is a file.", remedy="Name a folder, or one that is not there yet.")
    options.say_if_compiling()
    from abaxial.season import demo as season_demo
    from abaxial.season import week as season_week
    from abaxial.season.planning.plan import EFFORT
    from abaxial.season.present import told_of

    opened, moment = options.opened(season_demo.lay_out(folder), at or season_demo.TODAY)
    trying = choosing.watched(EFFORT.seconds, as_json=as_json)
    answer = season_week.week(opened.garden, at=moment, told=told_of(opened), trying=trying)
    click.echo(page(answer, ".json" if as_json else ".txt", units), nl=False)
    output.write_all({folder / f"week{ending}": page(answer, ending, units) for ending in (".html", ".pdf")})

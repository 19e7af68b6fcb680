"""`abaxial when`: the hours ahead that are fit for spraying, and the reason for every stretch that is not."""

from pathlib import Path

import click

from abaxial.cli import options, output
from abaxial.cli.tending import showing


@click.command(short_help="Which hours are fit for spraying, and what closes the others.")
@options.garden_argument
@click.option("--bottle", metavar="NAME", help="Only for this bottle.")
@click.option("--bed", metavar="NAME", help="Only for this bed.")
@options.at_option
@options.json_option
@options.units_option
@showing.out_option
def when(
    garden: options.Place | None,
    bottle: str | None,
    bed: str | None,
    at: str | None,
    *,
    as_json: bool,
    units: str,
    out: tuple[Path, ...],
) -> None:
    """The hours ahead, as far as the weather is forecast, in which each bottle may be sprayed on each bed: wind, heat, wet
    leaves, rain to come, bees, sun, what lies around the bed, and the label. Where none is fit it says what closed them; a
    rule is never relaxed.

    \b
    Example:
      abaxial when garden.toml
      abaxial when garden.toml --bottle "Brown glass" --bed Quay
    """
    output.check_endings(out, showing.ENDINGS)
    opened, moment = options.opened(garden, at)
    options.say_if_compiling()
    from abaxial.season.present import told_of
    from abaxial.season.tending.spray_hours import spray_hours

    answer = spray_hours(opened.garden, at=moment, bottle=bottle, bed=bed, told=told_of(opened))
    showing.show(answer, out, units, as_json=as_json)

"""`abaxial stock`: what healthy stock there will be, what may be divided, where rust can have come from."""

from pathlib import Path
from typing import Any

import click

from abaxial.cli import options, output
from abaxial.cli.tending import showing
from abaxial.errors import RequestError


@click.command(short_help="What to keep: healthy stock, what may be divided, where rust came from.")
@options.garden_argument
@click.option("--from", "trace_from", metavar="PLANTING", help="Trace rust on this planting, back and on.")
@click.option("--keep", metavar="CULTIVAR", help="How many divisions would make it safe, and in which beds.")
@click.option(
    "--level", type=options.Amount(0.0, 100.0, max_open=True), metavar="PERCENT", help="How safe; with --keep."
)
@click.option("--most", type=click.IntRange(0, 100), help="Divisions one is ready to make; with --keep.")
@options.at_option
@options.json_option
@options.units_option
@showing.out_option
def stock(
    garden: options.Place | None, at: str | None, *, as_json: bool, units: str, out: tuple[Path, ...], **stated: Any
) -> None:
    """The collection: for every cultivar the chance that healthy stock of it exists at the end of the weeks ahead; for every
    planting whether and when it may be divided, with the reasons. No clump is called clean because it looks clean.

    \b
    Example:
      abaxial stock garden.toml
      abaxial stock home.abaxial --from "Fig-tree cannas"
      abaxial stock home.abaxial --keep "Harbour Flame" --level 95
    """
    output.check_endings(out, showing.ENDINGS)
    if stated["keep"] is None and (stated["level"] is not None or stated["most"] is not None):
        raise RequestError("--level and --most go with --keep.", remedy="Name the cultivar: --keep CULTIVAR.")
    opened, moment = options.opened(garden, at)
    options.say_if_compiling()
    from abaxial.season.collection.family import Family
    from abaxial.season.collection.safety import Wanted
    from abaxial.season.collection.stock import stock as stock_of
    from abaxial.season.present import told_of

    level_frac = None if stated["level"] is None else stated["level"] / 100.0
    answer = stock_of(
        opened.garden,
        at=moment,
        told=told_of(opened),
        family=Family(opened.descent, opened.former),
        trace_from=stated["trace_from"],
        wanted=None if stated["keep"] is None else Wanted(stated["keep"], level_frac, stated["most"]),
    )
    showing.show(answer, out, units, as_json=as_json)

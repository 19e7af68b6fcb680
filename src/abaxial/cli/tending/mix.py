"""`abaxial mix`: how much of a bottle for a planting, step by step, with its precautions; or why there is no mix."""

from pathlib import Path

import click

from abaxial.cli import options, output
from abaxial.cli.tending import showing
from abaxial.errors import RequestError


@click.command(short_help="How much to mix, and how; or what stands in the way.")
@click.argument("words", nargs=-1, metavar="[GARDEN] BOTTLE PLANTING...")
@click.option("--with", "others", multiple=True, metavar="BOTTLE", help="Another bottle into the same tank.")
@click.option(
    "--tank", "tank_l", type=click.FloatRange(0.1, 1000.0), metavar="L", help="What the sprayer takes, in litres."
)
@options.at_option
@options.json_option
@options.units_option
@showing.out_option
def mix(
    words: tuple[str, ...],
    others: tuple[str, ...],
    tank_l: float | None,
    at: str | None,
    *,
    as_json: bool,
    units: str,
    out: tuple[Path, ...],
) -> None:
    """The card for mixing BOTTLE for one planting, or for several in one bed: precautions first, then how much of what in
    how much water, step by step. Where label, rules or what is left forbid it, it says so, and there is no card.

    \b
    Example:
      abaxial mix garden.toml "Brown glass" "Quay cannas"
      abaxial mix "Brown glass" "Wall daylilies" --tank 5 --units us
    """
    output.check_endings(out, showing.ENDINGS)
    garden, rest = showing.garden_first(words)
    if len(rest) < 2:
        raise RequestError(
            "It does not say which bottle for which planting.",
            remedy='Write it like: abaxial mix "Brown glass" "Quay cannas".',
        )
    opened, moment = options.opened(garden, at)
    options.say_if_compiling()
    from abaxial.season.present import told_of
    from abaxial.season.tending.mixing import mixing

    bottles = list(dict.fromkeys([rest[0], *others]))
    answer = mixing(opened.garden, at=moment, bottles=bottles, plantings=rest[1:], tank_l=tank_l, told=told_of(opened))
    showing.show(answer, out, units, as_json=as_json)

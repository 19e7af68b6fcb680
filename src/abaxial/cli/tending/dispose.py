"""`abaxial dispose`: what becomes of what was cut, how blades are cleaned, what a heap's log or a bag in the sun is worth."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import options, output
from abaxial.cli.tending import showing
from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.label.sanitation.compost import PileDay

_PERCENT = options.Amount(0.0, 100.0, min_open=True)


@click.command(short_help="What to do with what was cut; cleaning blades; judging a heap.")
@options.garden_argument
@click.option(
    "--planting", "plantings", multiple=True, metavar="NAME", help="What was cut; without it: what was cut lately."
)
@click.option(
    "--trouble",
    "troubles",
    multiple=True,
    type=click.Choice(["rust", "virus", "bud_rot"]),
    help="What the leaves have, or may have; may be repeated. Without it: rust.",
)
@click.option("--bin/--no-bin", "refuse_collection", default=None, help="Whether household waste is fetched here.")
@click.option(
    "--fire/--no-fire", "burning_legal", default=None, help="Whether the law lets you burn leaves here and now."
)
@click.option(
    "--own-ground/--no-own-ground", default=None, help="Whether there is ground away from the beds to bury in."
)
@click.option("--bleach", type=_PERCENT, metavar="PERCENT", help="How to mix bleach of this strength for blades.")
@click.option("--alcohol", type=_PERCENT, metavar="PERCENT", help="How to use alcohol of this strength for blades.")
@click.option(
    "--for",
    "purpose",
    type=click.Choice(["tools", "division", "cut_material"]),
    default="tools",
    show_default=True,
    help="What is cleaned with it.",
)
@click.option(
    "--litres",
    type=options.Amount(0.0, 1000.0, min_open=True),
    default=1.0,
    show_default=True,
    help="How much of it.",
)
@click.option("--compost", metavar="LOG.csv", type=click.Path(path_type=Path), help="Judge a heap by its temperatures.")
@click.option(
    "--bag",
    "bag_d",
    type=options.Amount(0.0, 3660.0),
    metavar="DAYS",
    help="Judge a closed bag that has lain so many days in full sun.",
)
@click.option(
    "--heat",
    "bag_heat",
    metavar="LOG.csv",
    type=click.Path(path_type=Path),
    help="Hour by hour how warm it was in that bag; with --bag.",
)
@options.at_option
@options.json_option
@options.units_option
@showing.out_option
def dispose(
    garden: options.Place | None, at: str | None, *, as_json: bool, units: str, out: tuple[Path, ...], **stated: Any
) -> None:
    """What to do with what was cut: the bin first, and why not the other ways; in which order to work, clean beds first; how
    to mix bleach or alcohol for blades. Rusted leaves are composted only where the heap's own log says that it was hot
    enough for long enough.

    \b
    LOG.csv has a first line of headings, and a line for each reading:
      date,core_c,turned
      2026-03-01,61,yes

    \b
    For --heat there is a line for each hour:
      hour,core_c
      2026-03-01T13,46

    \b
    Example:
      abaxial dispose garden.toml
      abaxial dispose garden.toml --bleach 5 --litres 2
      abaxial dispose garden.toml --compost heap.csv
      abaxial dispose garden.toml --no-bin --own-ground --bag 14
    """
    output.check_endings(out, showing.ENDINGS)
    heap = None if stated["compost"] is None else _heap(stated["compost"])
    hourly_c = None if stated["bag_heat"] is None else _bag_hours(stated["bag_heat"])
    if hourly_c is not None and stated["bag_d"] is None:
        raise RequestError("--heat goes with --bag.", remedy="Say how many days it has lain in the sun: --bag 14.")
    opened, moment = options.opened(garden, at)
    options.say_if_compiling()
    from abaxial.label.sanitation.disposal import Circumstances
    from abaxial.season.present import told_of
    from abaxial.season.tending.disposing import Asked, Bag, disposing

    percents = {"bleach": stated["bleach"], "alcohol": stated["alcohol"]}
    asked = Asked(
        plantings=stated["plantings"],
        troubles=tuple(dict.fromkeys(stated["troubles"])) or ("rust",),
        can=Circumstances(stated["refuse_collection"], stated["burning_legal"], stated["own_ground"]),
        mixes=tuple((name, percent / 100.0) for name, percent in percents.items() if percent is not None),
        purpose=stated["purpose"],
        total_l=stated["litres"],
        heap=heap,
        bag=None if stated["bag_d"] is None else Bag(stated["bag_d"], hourly_c),
    )
    answer = disposing(opened.garden, at=moment, asked=asked, told=told_of(opened))
    showing.show(answer, out, units, as_json=as_json)


def _heap(path: Path) -> "tuple[PileDay, ...]":
    from abaxial.season.tending.heap_log import read_heap_log

    return read_heap_log(_text(path), where=path.name)


def _bag_hours(path: Path) -> tuple[float, ...]:
    from abaxial.season.tending.bag_log import read_bag_log

    return read_bag_log(_text(path), where=path.name)


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise RequestError(f"{path} is no text.", remedy="Save it as CSV in UTF-8.", where=str(path)) from None

"""`abaxial garden import`, `export`, `backup`, `restore`, `check`: a garden file and the ways into it and out of it."""

import sys
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from abaxial.cli import options, output
from abaxial.cli.journal import writing
from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.records.store import Store
    from abaxial.season.opening import Opened

_file = click.argument("file", required=False, metavar="[GARDEN]", type=options.PLACE)


@click.command("import", short_help="Make a garden file from a description.")
@click.argument("description", type=click.Path(path_type=Path))
@click.argument("file", metavar="GARDEN", type=options.PLACE)
@click.option("--by", default="", help="Who writes.")
@options.written_at_option
@options.json_option
def import_(description: Path, file: options.Place, by: str, at: str | None, *, as_json: bool) -> None:
    """Make a garden file from a description: what it says becomes the first lines of a journal, its walks too, and its
    weather files are laid in whole. The description is left as it is. GARDEN is a file that is not there yet, its name
    ending in .abaxial, or the address of a PostgreSQL database.

    \b
    Example:
      abaxial garden import garden.toml home.abaxial
    """
    from abaxial.report.answers.told import Imported, LaidIn
    from abaxial.report.words.quantities import counted
    from abaxial.season.opening import is_description
    from abaxial.season.opening.arriving import Writer, lay_in

    if not is_description(description):
        raise RequestError(
            f"{description} is no description.", remedy="A garden file is copied with: abaxial garden backup."
        )
    if isinstance(file, Path) and file.suffix.lower() != options.SUFFIX:
        raise RequestError(
            f"{file} does not end in {options.SUFFIX}.", remedy=f"Call it {file.stem or 'home'}{options.SUFFIX}."
        )
    moment = options.moment(at, options.garden_from(description).place.zone)
    laid = lay_in(description, file, Writer(by, writing.DEVICE, moment), received_at=None if at is None else moment)
    walks = sum(each.kind == "walked" for each in laid.entries)
    hours = sum(each.members[0].hours for each in laid.batches)
    if as_json:
        weathers = tuple(LaidIn(each.source, each.kind, each.members[0].hours) for each in laid.batches)
        answer = Imported(str(file), len(laid.entries), walks, weathers)
        click.echo(output.envelope("abaxial/garden-import/1", laid.garden.name, answer), nl=False)
        return
    lines = f"{counted(len(laid.entries), 'line', 'lines')} of journal ({counted(walks, 'walk', 'walks')})"
    weather = f"{counted(hours, 'hour', 'hours')} of weather from {counted(len(laid.batches), 'file', 'files')}"
    click.echo(f"{laid.garden.name} laid into {file}: {lines} and {weather}.")
    click.echo(f"Now: abaxial week {file}")


@click.command(short_help="Write a garden as a description, as tables, or as an archive.")
@_file
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path),
    help="Where to; the ending says the form: .toml, .zip, or .csv for a folder of tables.",
)
def export(file: options.Place | None, out: Path) -> None:
    """Write a garden file in a form that other programs read. Nothing that is there is written over.

    A .zip holds everything, and a .csv, a folder with one table of each kind, too: a garden can be made anew from them. In
    the folder lies spray_record.csv as well: what was sprayed, a row for each application and planting. A .toml is the
    garden as it stands now, with its walks, its bottles, what was done and its weather files beside it, but without its
    journal.

    \b
    Example:
      abaxial garden export home.abaxial --out home.zip
      abaxial garden export home.abaxial --out tables.csv
      abaxial garden export home.abaxial --out described/garden.toml
    """
    from abaxial.records.archive import write_archive
    from abaxial.records.csv_tables import write_tables

    place = _kept(file)
    if out.suffix.lower() not in (".toml", ".zip", ".csv"):
        raise RequestError(
            f"--out is {str(out)!r}; the ending must say the form.",
            remedy="Use one of .toml, .zip, .csv.",
            where="--out",
        )
    if out.suffix.lower() == ".toml":
        from abaxial.season.opening.describing import write_description

        written = write_description(place, out, moment=options.moment(None, "UTC"))
        click.echo(f"Written: {', '.join(str(each) for each in written)}", err=True)
        return
    with _opened(place) as kept:
        (write_archive if out.suffix.lower() == ".zip" else write_tables)(kept, out)
    click.echo(f"Written: {out}", err=True)


@click.command(short_help="Copy a garden file while it is in use.")
@click.argument("file", metavar="GARDEN", type=options.PLACE)
@click.argument("copy", metavar="TO", type=click.Path(path_type=Path))
def backup(file: options.Place, copy: Path) -> None:
    """Write the whole garden into a new garden file, also while others write in it. Nothing is written over.

    \b
    Example:
      abaxial garden backup home.abaxial home-of-march.abaxial
    """
    with _opened(_kept(file)) as kept:
        kept.backup(copy)
    click.echo(f"Written: {copy}")


@click.command(short_help="Make a garden anew from a backup, an archive or tables.")
@click.argument("source", metavar="FROM", type=click.Path(path_type=Path))
@click.argument("file", metavar="GARDEN", type=options.PLACE)
def restore(source: Path, file: options.Place) -> None:
    """Make a garden anew: from a backup, from an archive (.zip), or from a folder of tables. It is looked through first, and
    nothing is made from a damaged one. Nothing is written over.

    \b
    Example:
      abaxial garden restore home-of-march.abaxial home.abaxial
      abaxial garden restore home.zip again.abaxial
    """
    from abaxial.records.archive import restore_archive
    from abaxial.records.backup import restore_backup
    from abaxial.records.csv_tables import restore_tables

    if not source.exists():
        raise RequestError(f"There is no {source}.", remedy="Check the name and the folder.")
    if source.is_dir():
        restore_tables(source, file)
    elif zipfile.is_zipfile(source):
        restore_archive(source, file)
    else:
        restore_backup(source, file)
    click.echo(f"Made anew: {file}")


@click.command(short_help="Is a garden file whole, and what does its journal ask?")
@options.garden_argument
@options.json_option
def check(garden: options.Place | None, *, as_json: bool) -> None:
    """Look through a garden: whether its file is as it was written, and what its journal cannot settle by itself. Ends
    with 1 if the file is damaged.

    \b
    Example:
      abaxial garden check home.abaxial
    """
    from abaxial.report.answers.told import Checked
    from abaxial.report.words.quantities import counted
    from abaxial.season.opening import is_description, open_garden

    place = options.garden_path(garden)
    problems = [] if is_description(place) else _problems(place)
    opened = None if problems else open_garden(place, at=None)
    name = opened.garden.name if opened else str(place)
    questions = opened.questions if opened else ()
    counts = _counts(opened) if opened else {}
    if as_json:
        answer = Checked(not problems, tuple(problems), **counts)
        click.echo(output.envelope("abaxial/garden-check/1", name, answer, questions=questions), nl=False)
        sys.exit(1 if problems else 0)
    if problems:
        click.echo("\n".join(problems))
        sys.exit(1)
    held = ", ".join(counted(many, what.removesuffix("s"), what) for what, many in counts.items())
    click.echo(f"{name} is whole: {held}.")
    writing.tell_questions(questions)
    if not questions:
        click.echo("The journal asks nothing.")


def _counts(opened: "Opened") -> dict[str, int]:
    garden = opened.garden
    return {"beds": len(garden.beds), "plantings": len(garden.plantings), "looks": len(opened.sightings)}


def _problems(place: options.Place) -> list[str]:
    with _opened(place) as kept:
        return kept.check()


def _kept(given: options.Place | None) -> options.Place:
    """A garden file or a database. Raises RequestError for a description."""
    from abaxial.season.opening import is_description

    place = options.garden_path(given)
    if is_description(place):
        raise RequestError(
            f"{place} is a description, not a garden file.",
            remedy="Copy it as any file, or lay it in with: abaxial garden import.",
            where=str(place),
        )
    return place


def _opened(place: options.Place) -> "Store":
    from abaxial.records.store import open_store

    return open_store(place)

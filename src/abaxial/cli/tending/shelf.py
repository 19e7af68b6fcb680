"""`abaxial shelf`: the bottles, what is left, what their labels lack, when each may be used; and one put on it."""

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import options, output
from abaxial.cli.journal import listing, note, writing
from abaxial.cli.tending import showing
from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.journal.entries import Entry


@click.command(short_help="The bottles: what is left, what a label lacks, when each may be used.")
@options.garden_argument
@click.option(
    "--add",
    type=click.Path(path_type=Path),
    help="Put on the shelf what a TOML file says: a bottle with its label, as [[bottle]] of a description.",
)
@click.option("--by", default="", help="Who writes; with --add.")
@options.at_option
@options.json_option
@options.units_option
@showing.out_option
def shelf(
    garden: options.Place | None,
    add: Path | None,
    by: str,
    at: str | None,
    *,
    as_json: bool,
    units: str,
    out: tuple[Path, ...],
) -> None:
    """The shelf: every bottle with what is in it, what is left, what nobody wrote down of its label, and on which day each
    planting may get it next, with the reason where that is not today. Bottles of one FRAC code count as one.

    \b
    A file for --add holds one or more of these:
      [[bottle]]
      name = "White bottle"
      left = "500 ml"
      [bottle.label]
      form = "liquid"
      rate = "10 ml/l"
      …

    \b
    Example:
      abaxial shelf garden.toml
      abaxial shelf home.abaxial --add white_bottle.toml
    """
    output.check_endings(out, showing.ENDINGS)
    if add is not None:
        _put_on(garden, at, add, by, as_json=as_json)
        return
    opened, moment = options.opened(garden, at)
    options.say_if_compiling()
    from abaxial.season.present import told_of
    from abaxial.season.tending.shelf import shelf as shelf_of

    answer = shelf_of(opened.garden, at=moment, told=told_of(opened))
    showing.show(answer, out, units, as_json=as_json)


def _put_on(garden: options.Place | None, at: str | None, path: Path, by: str, *, as_json: bool) -> None:
    """Write every bottle of a file into the journal, all or none."""
    tables = list(_bottles_in(path))
    with writing.open_journal(garden, at) as journal:
        stated = {"on": None, "by": by}
        drafts = [_draft(journal, each, stated, path) for each in tables]
        questions = writing.asked_by(journal, drafts)
        kept = writing.keep(journal, drafts)
        lines = listing.lines_of([*journal.entries, *kept], journal.garden.place.zone)
        told = [listing.said_of(each, lines) for each in kept]
        if as_json:
            answer = [listing.told_line(each, line) for each, line in zip(kept, told, strict=True)]
            click.echo(output.envelope("abaxial/note/1", journal.garden.name, answer, questions=questions), nl=False)
            return
        ids = writing.short_ids([*journal.entries, *kept])
        click.echo("\n".join(f"{line} Written, as {ids[each.id]}." for each, line in zip(kept, told, strict=True)))
        writing.tell_questions(questions)


def _bottles_in(path: Path) -> Iterator[Mapping[str, Any]]:
    """The [[bottle]] tables of a file. Raises RequestError where it cannot be read or holds none."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise RequestError(f"{path}: {error.strerror}.", remedy="Check the name.", where=str(path)) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise RequestError(f"{path} cannot be read: {error}.", remedy="Mend that line.", where=str(path)) from None
    bottles = table.get("bottle")
    named = (
        [each for each in bottles if isinstance(each, dict) and each.get("name")] if isinstance(bottles, list) else []
    )
    if not isinstance(bottles, list) or not named or len(named) < len(bottles):
        raise RequestError(
            f"{path} holds no [[bottle]] with a name, or one without.",
            remedy="Write it as shown by: abaxial shelf --help.",
            where=str(path),
        )
    yield from named


def _draft(journal: writing.Journal, table: Mapping[str, Any], stated: note.Stated, path: Path) -> "Entry":
    from abaxial.journal.canonical import plain

    details = {key: plain(value) for key, value in table.items() if key != "name"}
    body: dict[str, object] = {"material": str(table["name"]), **({"details": details} if details else {})}
    note.refuse_unfit("material_bought", body)
    return note.entry_of(journal, "material_bought", body, stated)

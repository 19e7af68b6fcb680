"""What these commands share: where an answer goes, and which words are a garden."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from abaxial.cli import options, output, week

if TYPE_CHECKING:
    from abaxial.report.envelope import Answer

ENDINGS = (".html", ".pdf", ".json", ".txt")
out_option = click.option(
    "--out",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Write the page to this file instead; the ending says the form: .html, .pdf, .json or .txt. May be repeated.",
)


def show(answer: "Answer", out: tuple[Path, ...], units: str, *, as_json: bool) -> None:
    """Write an answer to the files asked for, and print it where none was, or as JSON."""
    output.write_all({path: week.page(answer, path.suffix.lower(), units) for path in out})
    if as_json or not out:
        click.echo(week.page(answer, ".json" if as_json else ".txt", units), nl=False)


def garden_first(words: Sequence[str]) -> tuple[options.Place | None, list[str]]:
    """The garden, if the first word is a file, a folder or an address, and the rest."""
    first = words[0] if words else ""
    is_garden = "://" in first or Path(first).suffix in (".toml", options.SUFFIX) or (first and Path(first).exists())
    return (options.place_of(first), list(words[1:])) if is_garden else (None, list(words))

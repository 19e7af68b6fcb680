"""Answers as JSON in the one envelope, and files written whole or not at all."""

import json
import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.journal.questions import Question


def envelope(
    schema: str, garden: str, answer: object, *, at: str | None = None, questions: "Iterable[Question]" = ()
) -> str:
    """An answer as JSON text in the envelope that all commands share; what is missing is null."""
    from abaxial.report.envelope import plain

    asked = [{"kind": each.kind, "says": question_words(each), "details": plain(each.details)} for each in questions]

    table = {
        "schema": schema,
        "ok": True,
        "at": at,
        "garden": garden,
        "answer": plain(answer),
        "questions": asked,
        "passport": None,
    }
    return json.dumps(table, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def question_words(question: "Question") -> str:
    """What the journal asks, as a sentence."""
    from abaxial.report.answers.week import Reason
    from abaxial.report.words.speech import say

    return say(Reason(question.kind, question.details))


def check_endings(paths: tuple[Path, ...], endings: tuple[str, ...]) -> None:
    """Refuse, before any work, a file whose ending says no form we write or whose folder is not there."""
    for path in paths:
        if path.suffix.lower() not in endings:
            raise RequestError(
                f"--out is {str(path)!r}; the ending must say the form.", remedy=f"Use one of {', '.join(endings)}."
            )
        check_folder(path)


def check_folder(path: Path) -> None:
    """Refuse, before any work, a file that cannot be written because its folder is not there or it is one itself."""
    if path.is_dir() or not path.absolute().parent.is_dir():
        raise RequestError(f"--out is {str(path)!r}; there is no such folder.", remedy="Make the folder first.")


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file so that it is there complete or not at all. Raises RequestError if the folder refuses it."""
    raw = content.encode() if isinstance(content, str) else content
    aside = ""
    try:
        handle, aside = tempfile.mkstemp(dir=path.absolute().parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as stream:
            stream.write(raw)
        os.chmod(aside, 0o666 & ~_umask())
        os.replace(aside, path)
    except OSError as error:
        if aside:
            Path(aside).unlink(missing_ok=True)
        raise RequestError(
            f"{path} cannot be written: {error.strerror}.", remedy="Choose another folder, or make room."
        ) from None


def write_all(contents: Mapping[Path, str | bytes]) -> None:
    """Write several files and say so on the error stream, so that what is printed stays clean."""
    for path, content in contents.items():
        write_whole(path, content)
        click.echo(f"Written: {path}", err=True)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask

"""One word for one thing: the list is complete, numbers wear their units, and screens speak plainly."""

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

from tests.architecture import exceptions
from tests.architecture.tree import (
    PACKAGE,
    ROOT,
    SCIENCE,
    decorators,
    functions,
    is_public,
    label,
    python_files,
    syntax,
)

LISTED = tomllib.loads((ROOT / "docs" / "words.toml").read_text(encoding="utf-8"))
WORDS, UNITS = LISTED["word"], LISTED["unit"]
ARRAYS = {"Floats", "NDArray"}
#: words that need no unit, because what they count is the word itself
COUNTS = set(LISTED["count"]) | {word.replace(" ", "_") for word, entry in WORDS.items() if entry.get("unit") == "1"}


def _holds_numbers(annotation: ast.expr | None) -> bool:
    if isinstance(annotation, ast.Subscript):
        return getattr(annotation.value, "id", "") == "NDArray" and "float" in ast.unparse(annotation)
    return isinstance(annotation, ast.Name) and annotation.id in {"float", *ARRAYS}


def _wears_unit(name: str) -> bool:
    return any(f"_{name}".endswith(f"_{unit}") for unit in UNITS) or any(f"_{word}" in f"_{name}" for word in COUNTS)


def _numbers(path: Path) -> Iterator[tuple[str, str]]:
    """Dotted and last names of public formulas, of public functions that return one number, and of fields that hold some."""
    for name, node in functions(path):
        one_number = isinstance(node.returns, ast.Name) and node.returns.id == "float"
        if is_public(name) and (one_number or "formula" in decorators(node)):
            yield name, node.name
    for each in syntax(path).body:
        if isinstance(each, ast.ClassDef) and is_public(each.name):
            for field in each.body:
                if isinstance(field, ast.AnnAssign) and _holds_numbers(field.annotation):
                    name = ast.unparse(field.target)
                    # the fields of Spores count spores: the noun that owns them says it
                    yield f"{each.name}.{name}", f"{each.name.lower()}_{name}"


def _spoken(path: Path) -> Iterator[str]:
    """What a file may say on a screen: its texts with a space in them, without docstrings."""
    silent = {id(node.value) for node in ast.walk(syntax(path)) if isinstance(node, ast.Expr)}
    for node in ast.walk(syntax(path)):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in silent
            and " " in node.value
        ):
            yield node.value


def test_public_numbers_of_the_science_wear_their_unit() -> None:
    bare = {
        label(path, name)
        for room in SCIENCE
        for path in python_files(PACKAGE / room)
        for name, last in _numbers(path)
        if not _wears_unit(last)
    }

    assert bare == set(exceptions.UNITLESS)


def test_every_word_has_a_meaning_and_a_plain_way_to_say_it() -> None:
    assert [word for word, entry in WORDS.items() if not (entry.get("means") and entry.get("plain"))] == []


def test_screens_use_the_plain_word() -> None:
    trade = [word for word, entry in WORDS.items() if word not in entry["plain"] and word != "level"]
    pattern = re.compile(r"\b(?:" + "|".join(map(re.escape, trade)) + r")s?\b", re.IGNORECASE)
    spoken = [
        (label(path), text)
        for folder in ("words", "pages")
        for path in python_files(PACKAGE / "report" / folder)
        for text in _spoken(path)
    ]

    assert spoken
    assert [(where, hit.group()) for where, text in spoken if (hit := pattern.search(text))] == []

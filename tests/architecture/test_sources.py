"""Every number knows where it comes from, and every source named is in the bibliography."""

import ast
import re
import tomllib
from collections.abc import Iterator

from tests.architecture.tree import PACKAGE, ROOT, label, python_files, syntax

KEY = re.compile(r"\b[a-z][a-z-]*(?:18|19|20)\d\d[a-z]?\b")
BIBLIOGRAPHY = tomllib.loads((PACKAGE / "sources.toml").read_text(encoding="utf-8"))


def _named_in_toml(table: object) -> Iterator[str]:
    if isinstance(table, dict):
        for key, value in table.items():
            if key in ("source", "sources"):
                yield from [value] if isinstance(value, str) else value
            else:
                yield from _named_in_toml(value)
    elif isinstance(table, list):
        for each in table:
            yield from _named_in_toml(each)


def _named_in_docstrings() -> Iterator[tuple[str, str]]:
    for path in python_files():
        for node in ast.walk(syntax(path)):
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
                for key in KEY.findall(ast.get_docstring(node) or ""):
                    yield label(path, getattr(node, "name", "")), key


def test_every_source_named_in_a_parameter_file_is_in_the_bibliography() -> None:
    named = {
        (label(path), key)
        for path in sorted(PACKAGE.rglob("*.toml"))
        if path.name not in ("sources.toml", "starter.toml")  # the one is it, the other has blanks to fill in
        for key in _named_in_toml(tomllib.loads(path.read_text(encoding="utf-8")))
    }

    assert {(where, key) for where, key in named if key not in BIBLIOGRAPHY and key != "practice"} == set()


def test_every_source_named_in_a_docstring_is_in_the_bibliography() -> None:
    assert {(where, key) for where, key in _named_in_docstrings() if key not in BIBLIOGRAPHY} == set()


def test_every_source_named_in_the_documentation_is_in_the_bibliography() -> None:
    named = {
        (label(path), key)
        for path in sorted((ROOT / "docs").rglob("*.md"))
        for span in re.findall(r"`([^`\n]+)`", path.read_text(encoding="utf-8"))
        if (hit := KEY.fullmatch(span))
        for key in [hit.group()]
    }

    assert {(where, key) for where, key in named if key not in BIBLIOGRAPHY} == set()


def test_every_source_says_who_when_what_where_and_whether_it_was_read() -> None:
    needed = ("authors", "year", "title", "where", "status")
    lacking = [key for key, entry in BIBLIOGRAPHY.items() if not all(entry.get(each) for each in needed)]

    assert lacking == []
    assert {entry["status"] for entry in BIBLIOGRAPHY.values()} <= {"read", "memory"}

"""Names say what a thing is; chance, the clock and the compiler each have one door."""

import ast
from collections.abc import Iterator
from pathlib import Path

from tests.architecture import exceptions
from tests.architecture.tree import PACKAGE, functions, label, python_files, syntax

FORBIDDEN = {
    "utils", "util", "helpers", "helper", "common", "core", "base", "misc", "manager", "service", "engine", "model",
    "models", "data",
}  # fmt: skip
CLOCK_READERS = {
    ("datetime", "now"),
    ("datetime", "utcnow"),
    ("datetime", "today"),
    ("date", "today"),
    ("time", "time"),
}


def _imports(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (each.name for each in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""


def _calls(path: Path) -> Iterator[tuple[str, str]]:
    for node in ast.walk(syntax(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            owner = node.func.value
            yield getattr(owner, "attr", getattr(owner, "id", "")), node.func.attr


def _room(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def _importers_of(*modules: str) -> set[str]:
    return {
        _room(path) for path in python_files() if any(name.split(".")[0] in modules for name in _imports(syntax(path)))
    }


def test_no_file_or_room_has_a_name_that_says_nothing() -> None:
    named = {part.removesuffix(".py") for path in python_files() for part in path.relative_to(PACKAGE).parts}

    assert not named & FORBIDDEN


def test_chance_is_the_only_place_that_makes_chance() -> None:
    by_attribute = {
        label(path)
        for path in python_files()
        for node in ast.walk(syntax(path))
        if isinstance(node, ast.Attribute)
        and node.attr == "random"
        and getattr(node.value, "id", "") in ("np", "numpy")
    }

    assert not by_attribute
    assert _importers_of("random", "secrets", "uuid") <= {"chance"}


def test_compiled_is_the_only_door_to_the_compiler() -> None:
    assert _importers_of("numba", "llvmlite") == {"compiled"}


def test_only_fetch_goes_out_to_the_network() -> None:
    assert _importers_of("urllib", "http", "socket", "ssl") <= {"fetch"}


def test_only_the_command_line_reads_the_clock() -> None:
    readers = {label(path) for path in python_files() if CLOCK_READERS & set(_calls(path)) and _room(path) != "cli"}

    assert readers == set(exceptions.CLOCK)


def test_imports_stand_at_the_top_of_the_file_except_in_commands() -> None:
    late = {
        label(path, name)
        for path in python_files()
        if _room(path) != "cli"
        for name, node in functions(path)
        if list(_imports(node))
    }

    assert late == set(exceptions.LATE_IMPORTS)

"""Files, functions and rooms stay small enough to be read at one sitting."""

import ast
from pathlib import Path

from tests.architecture import exceptions
from tests.architecture.tree import PACKAGE, Function, asks_freely, functions, is_kernel, label, python_files

FILE_LINES = 300
FUNCTION_LINES = 40
KERNEL_LINES = 120
ARGUMENTS = 6
ROOM_FILES = 10


def _without_docstring(node: Function) -> int:
    lines = (node.end_lineno or node.lineno) - node.lineno + 1
    first = node.body[0]
    if ast.get_docstring(node) is None:
        return lines
    return lines - ((first.end_lineno or first.lineno) - first.lineno + 1)


def _arguments(node: Function) -> int:
    every = node.args.posonlyargs + node.args.args + node.args.kwonlyargs
    return sum(each.arg not in ("self", "cls") for each in every)


def _long_files() -> set[str]:
    return {label(p) for p in python_files() if len(p.read_text(encoding="utf-8").splitlines()) > FILE_LINES}


def _long_functions() -> set[str]:
    return {
        label(path, name)
        for path in python_files()
        for name, node in functions(path)
        if _without_docstring(node) > (KERNEL_LINES if is_kernel(node) else FUNCTION_LINES)
    }


def _greedy_functions() -> set[str]:
    return {
        label(path, name)
        for path in python_files()
        for name, node in functions(path)
        if not asks_freely(node) and _arguments(node) > ARGUMENTS
    }


def _crowded_rooms() -> set[str]:
    def files(folder: Path) -> int:
        return sum(each.name != "__init__.py" for each in folder.glob("*.py"))

    rooms = {path.parent for path in python_files()} - {PACKAGE}
    return {label(room) for room in rooms if files(room) > ROOM_FILES}


def test_no_file_is_longer_than_three_hundred_lines() -> None:
    assert _long_files() == set(exceptions.FILE_LINES)


def test_no_function_is_longer_than_forty_lines_without_its_docstring() -> None:
    assert _long_functions() == set(exceptions.FUNCTION_LINES)


def test_no_function_asks_for_more_than_six_things() -> None:
    assert _greedy_functions() == set(exceptions.ARGUMENTS)


def test_no_room_holds_more_than_ten_files() -> None:
    assert _crowded_rooms() == set(exceptions.ROOM_FILES)


def test_every_exception_has_a_reason() -> None:
    lists = [each for name, each in vars(exceptions).items() if name.isupper()]

    assert all(len(reason) > 20 for each in lists for reason in each.values())

"""Every file says in its first line what it is about, and everything public says what it is."""

import ast

import pytest
from tests.architecture.tree import functions, is_public, label, python_files, syntax


def _silent_files() -> list[str]:
    return [label(path) for path in python_files() if not ast.get_docstring(syntax(path))]


def _silent_functions() -> list[str]:
    return [
        label(path, name)
        for path in python_files()
        for name, node in functions(path)
        if is_public(name) and not ast.get_docstring(node)
    ]


def _silent_classes() -> list[str]:
    return [
        label(path, node.name)
        for path in python_files()
        for node in syntax(path).body
        if isinstance(node, ast.ClassDef) and is_public(node.name) and not ast.get_docstring(node)
    ]


def test_every_file_says_what_it_is_about() -> None:
    assert _silent_files() == []


@pytest.mark.parametrize("silent", [_silent_functions, _silent_classes])
def test_everything_public_says_what_it_is(silent: object) -> None:
    assert callable(silent)
    assert silent() == []

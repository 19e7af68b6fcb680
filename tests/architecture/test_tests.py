"""A test must be able to fail."""

import ast

from tests.architecture.tree import ROOT, Function, functions, label, python_files

CLAIMS = ("raises", "warns", "fail")


def _claims_something(node: Function) -> bool:
    for each in ast.walk(node):
        if isinstance(each, ast.Assert):
            return True
        if isinstance(each, ast.Call):
            name = each.func.attr if isinstance(each.func, ast.Attribute) else getattr(each.func, "id", "")
            if name in CLAIMS or name.startswith("assert_"):
                return True
    return False


def _tests() -> list[tuple[str, Function]]:
    return [
        (label(path, name), node)
        for path in python_files(ROOT / "tests")
        for name, node in functions(path)
        if name.split(".")[-1].startswith("test_")
    ]


def test_every_test_claims_something() -> None:
    assert [name for name, node in _tests() if not _claims_something(node)] == []


def test_the_name_of_a_test_is_a_sentence() -> None:
    assert [name for name, _ in _tests() if name.rsplit(":", 1)[-1].count("_") < 3] == []

"""The source tree as the architecture tests see it: files, their syntax, their functions."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "abaxial"
SCIENCE = ("garden", "weather", "microclimate", "host", "infection")
NOT_OURS = {
    ".git", ".venv", ".hypothesis", ".mypy_cache", ".pytest_cache", ".ruff_cache", ".import_linter_cache",
    ".cache", ".setup", ".benchmarks", "__pycache__", "node_modules", "abaxial-demo", "site", "out", "build", "dist",
}  # fmt: skip

Function = ast.FunctionDef | ast.AsyncFunctionDef


def python_files(folder: Path = PACKAGE) -> list[Path]:
    """The Python files below a folder, in order."""
    return sorted(path for path in folder.rglob("*.py") if not NOT_OURS & set(path.parts))


def text_files() -> Iterator[tuple[Path, str]]:
    """Every text file of the repository with its content."""
    for path in sorted(ROOT.rglob("*")):
        inside = path.relative_to(ROOT)
        if (
            path.is_file()
            and not NOT_OURS & set(inside.parts)
            and not any(p.endswith(".egg-info") for p in inside.parts)
        ):
            try:
                yield path, path.read_text(encoding="utf-8")
            except UnicodeDecodeError:
                continue


@cache
def syntax(path: Path) -> ast.Module:
    """The parsed file."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def functions(path: Path) -> Iterator[tuple[str, Function]]:
    """Functions and methods of a file by dotted name; functions inside functions are not counted apart."""
    yield from _functions_in(syntax(path).body, "")


def _functions_in(body: list[ast.stmt], prefix: str) -> Iterator[tuple[str, Function]]:
    for node in body:
        if isinstance(node, Function):
            yield prefix + node.name, node
        elif isinstance(node, ast.ClassDef):
            yield from _functions_in(node.body, f"{prefix}{node.name}.")


def decorators(node: Function | ast.ClassDef) -> set[str]:
    """The last names of a function's decorators: `@compiled.kernel` gives "kernel"."""
    bare = (each.func if isinstance(each, ast.Call) else each for each in node.decorator_list)
    return {each.attr if isinstance(each, ast.Attribute) else getattr(each, "id", "") for each in bare}


def is_kernel(node: Function) -> bool:
    """Whether a function is compiled as a kernel."""
    return bool(decorators(node) & {"kernel", "small_kernel"})


def asks_freely(node: Function) -> bool:
    """Whether a function may ask for more than others: kernels, their private pieces, and commands with their options."""
    piece = node.name.startswith("_") and "formula" in decorators(node)
    return is_kernel(node) or piece or bool(decorators(node) & {"command", "group"})


def is_public(name: str) -> bool:
    """Whether no part of a dotted name begins with an underscore."""
    return not any(part.startswith("_") for part in name.split("."))


def label(path: Path, name: str = "") -> str:
    """How a place in the tree is spoken of: garden/parts.py:Bed."""
    base = PACKAGE if path.is_relative_to(PACKAGE) else ROOT
    return path.relative_to(base).as_posix() + (f":{name}" if name else "")

"""Published numbers, and the walk that asks our own functions whether they give the same.

A check is data: which function, which inputs, which number somebody published, how near is near enough, and where it is
printed. One TOML file holds the checks of one source:

    [[check]]
    call = "microclimate.vapour.saturation_vapour_pressure_kpa"
    inputs = { temperature_c = 15.0 }
    expected = 1.705
    tolerance = 0.0005
    where = "chapter 3, example 3"
    status = "read"          # read, memory, or practice

Lists in `inputs` become arrays, and `expected` is then a list of the same length. `source` defaults to the file's name.
`part` picks one of several results by position or name. `relation` is "=" unless it is "<", ">" (against every expected
number, which is then a bound) or "between" (expected is [low, high]).
"""

import importlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from abaxial.errors import AbaxialError, ParameterError
from abaxial.provenance import read_table

STATUS = ("read", "memory", "practice")
RELATION = ("=", "<", ">", "between")


@dataclass(frozen=True)
class Check:
    """One call with what it should give.

    file, number : where the check is written. source : key in sources.toml, or "practice". call : dotted name inside
    the package. expected : one number or several. where : example, table or equation. status : one of STATUS.
    """

    file: str
    number: int
    source: str
    call: str
    inputs: Mapping[str, Any]
    expected: tuple[float, ...]
    tolerance: float
    where: str
    status: str
    relation: str = "="
    part: int | str | None = None


@dataclass(frozen=True)
class Result:
    """What a check came to. computed, difference : one for each expected number; empty where `problem` says why."""

    check: Check
    computed: tuple[float, ...]
    difference: tuple[float, ...]
    passed: bool
    problem: str = ""


def checks_in(path: Path | None = None) -> tuple[Check, ...]:
    """The checks of a file or of every TOML file in a folder; the installed ones where no path is given.

    Raises ParameterError, naming file and check, where one is not written as it should be.
    """
    path = Path(__file__).parent if path is None else Path(path)
    files = sorted(path.glob("*.toml")) if path.is_dir() else [path]
    if not files:
        raise ParameterError(f"There are no TOML files in {path}.", remedy="Name a file or folder with checks.")
    return tuple(check for file in files for check in _checks_of(file))


def run(check: Check) -> Result:
    """Call what the check names and compare. A call that fails is a check that fails, with the reason."""
    try:
        answer = _function(check.call)(**{name: _value(value) for name, value in check.inputs.items()})
        if check.part is not None:
            answer = getattr(answer, check.part) if isinstance(check.part, str) else answer[check.part]
        computed = tuple(float(value) for value in np.asarray(answer, dtype=float).ravel())
    except (AbaxialError, ArithmeticError, AttributeError, ImportError, LookupError, TypeError, ValueError) as error:
        return Result(check, (), (), False, f"{type(error).__name__}: {error}")
    if check.relation == "between":
        low, high = check.expected
        outside = tuple(max(low - value, value - high, 0.0) for value in computed)
        return Result(check, computed, outside, all(each <= check.tolerance for each in outside))
    if len(computed) != len(check.expected):
        problem = f"{len(check.expected)} numbers are expected and {len(computed)} came."
        return Result(check, computed, (), False, problem)
    difference = tuple(got - want for got, want in zip(computed, check.expected, strict=True))
    return Result(check, computed, difference, all(_holds(each, check) for each in difference))


def values_in(checks: tuple[Check, ...]) -> int:
    """How many published numbers the checks hold; a range counts once."""
    return sum(1 if check.relation == "between" else len(check.expected) for check in checks)


def _holds(difference: float, check: Check) -> bool:
    if check.relation == "<":
        return difference < 0.0
    if check.relation == ">":
        return difference > 0.0
    return abs(difference) <= check.tolerance  # NaN holds nowhere


def _function(call: str) -> Any:
    module, _, name = call.rpartition(".")
    return getattr(importlib.import_module(f"abaxial.{module}"), name)


def _value(value: Any) -> Any:
    return np.asarray(value) if isinstance(value, list) else value


def _checks_of(file: Path) -> list[Check]:
    tables = read_table(file).get("check", [])
    if not isinstance(tables, list) or not tables:
        raise ParameterError(f"{file} holds no checks.", remedy="Write each as a table under [[check]].")
    return [_check(file, number, table) for number, table in enumerate(tables, start=1)]


def _check(file: Path, number: int, table: Mapping[str, Any]) -> Check:
    def refuse(rule: str) -> ParameterError:
        return ParameterError(f"{file}, check {number}: {rule}.", remedy="See the head of the published folder's code.")

    missing = [name for name in ("call", "inputs", "expected", "where", "status") if name not in table]
    if missing:
        raise refuse(f"{missing[0]} is missing")
    status, relation = str(table["status"]), str(table.get("relation", "="))
    if status not in STATUS:
        raise refuse(f"status is {status!r}; it must be one of {', '.join(STATUS)}")
    if relation not in RELATION:
        raise refuse(f"relation is {relation!r}; it must be one of {', '.join(RELATION)}")
    if relation == "=" and "tolerance" not in table:
        raise refuse("tolerance is missing")
    try:
        expected = tuple(float(each) for each in np.asarray(table["expected"], dtype=float).ravel())
        tolerance = float(table.get("tolerance", 0.0))
    except (TypeError, ValueError):
        raise refuse(f"expected is {table['expected']!r}; it must be a number or a list of numbers") from None
    if relation == "between" and len(expected) != 2:
        raise refuse("between needs expected = [low, high]")
    if not isinstance(table["inputs"], dict):
        raise refuse("inputs must be a table of names and values")
    source, where = str(table.get("source", file.stem)), str(table["where"])
    return Check(
        file.name, number, source, str(table["call"]), table["inputs"], expected, tolerance, where, status, relation,
        table.get("part"),
    )  # fmt: skip

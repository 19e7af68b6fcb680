"""`abaxial check`: compare published numbers with what this installation computes."""

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from abaxial.published import Result


@click.command(epilog="Example: abaxial check   or, for checks of your own:   abaxial check my_values.toml --json")
@click.argument("path", required=False, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")
def check(path: Path | None, as_json: bool) -> None:
    """Compare published numbers with what is computed here.

    PATH is a file or a folder of checks; without it, the installed ones are walked. Ends with 1 if one fails.
    """
    from abaxial.published import checks_in, run

    results = [run(each) for each in checks_in(path)]
    click.echo(_json(results) if as_json else _text(results))
    sys.exit(0 if all(result.passed for result in results) else 1)


def _text(results: "list[Result]") -> str:
    from abaxial.published import values_in

    lines = []
    for result in results:
        given = ", ".join(f"{name}={_short(value)}" for name, value in result.check.inputs.items())
        lines.append(
            f"{result.check.source}  {result.check.call}({given})  [{result.check.where}; {result.check.status}]"
        )
        lines += [f"    {row}" for row in _rows(result)]
    failed = [result for result in results if not result.passed]
    sources = {result.check.source for result in results}
    number = values_in(tuple(result.check for result in results))
    lines.append(
        f"{number} published numbers from {len(sources)} sources; {len(failed)} of {len(results)} checks fail."
    )
    return "\n".join(lines)


def _rows(result: "Result") -> list[str]:
    mark = "ok  " if result.passed else "FAIL"
    if result.problem:
        return [f"{mark} {result.problem}"]
    if result.check.relation == "between":
        low, high = result.check.expected
        return [f"{mark} expected {low:g} to {high:g}  computed {value:.6g}" for value in result.computed]
    sign = "" if result.check.relation == "=" else result.check.relation + " "
    within = f"  allowed {result.check.tolerance:g}" if not sign else ""
    rows = zip(result.check.expected, result.computed, result.difference, strict=True)
    return [
        f"{mark} expected {sign}{want:.10g}  computed {got:.10g}  difference {off:+.2g}{within}"
        for want, got, off in rows
    ]


def _short(value: object) -> str:
    text = json.dumps(value)
    return text if len(text) <= 60 else text[:57] + "…"


def _json(results: "list[Result]") -> str:
    from abaxial.report.envelope import plain

    checks = [
        {
            **asdict(result.check),
            "computed": result.computed,
            "difference": result.difference,
            "passed": result.passed,
            "problem": result.problem or None,
        }
        for result in results
    ]
    told = {
        "schema": "abaxial/check/1",
        "ok": all(result.passed for result in results),
        "at": None,
        "garden": None,
        "answer": {"checks": plain(checks)},
        "questions": [],
        "passport": None,
    }
    return json.dumps(told, indent=1, ensure_ascii=False)

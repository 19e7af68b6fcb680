"""Labels with histories, and mixing cards, by lot: far more than a test has time for, against a second count of every rule.

Run as `scripts/study rule_laws`. The laws are those of tests/laws, which try fewer. What it found is in rule_laws.toml: how many
cases, and every seed that broke a law.
"""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from tests.laws import test_label_laws, test_mixing_laws

ALL = 100_000
_PATH = Path(__file__).with_suffix(".toml")


class Law(NamedTuple):
    """One law. holds : raises AssertionError for a seed that breaks it. cases : that one seed makes."""

    name: str
    holds: Callable[[int], None]
    cases: int


def laws() -> tuple[Law, ...]:
    """What is tried."""
    # forty histories of ten questions
    label = test_label_laws.test_what_is_let_through_breaks_no_rule_in_twenty_thousand_cases
    card = test_mixing_laws.test_no_card_breaks_a_limit_of_its_labels_its_tank_or_its_measure
    return (
        Law("labels_and_histories", label.hypothesis.inner_test, 400),
        Law("mixes", card.hypothesis.inner_test, test_mixing_laws.MIXES),
    )


def run() -> None:
    """Every law with as many seeds as make up the cases, written down at the end of each."""
    lines: list[str] = []
    for law in laws():
        broken = [seed for seed in range(-(-ALL // law.cases)) if not _keeps(law, seed)]
        lines += [f"[{law.name}]", f"cases = {-(-ALL // law.cases) * law.cases}", f"broken = {broken}", ""]
        _PATH.write_text("\n".join(lines), encoding="utf-8")
        print(law.name, broken, flush=True)


def _keeps(law: Law, seed: int) -> bool:
    try:
        law.holds(seed)
    except AssertionError:
        return False
    return True


if __name__ == "__main__":
    run()

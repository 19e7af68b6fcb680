"""Every published value that the package carries, against what the package computes."""

import pytest

from abaxial.provenance import sources
from abaxial.published import Check, checks_in, run, values_in

CHECKS = checks_in()


@pytest.mark.parametrize("check", CHECKS, ids=[f"{check.file}-{check.number}" for check in CHECKS])
def test_the_published_value_comes_out(check: Check) -> None:
    result = run(check)

    assert result.passed, f"{check.where}: expected {check.expected}, computed {result.computed}. {result.problem}"


def test_more_than_enough_values_from_more_than_enough_sources() -> None:
    from_sources = {check.source for check in CHECKS} - {"practice"}

    assert values_in(CHECKS) >= 250
    assert len(from_sources) >= 25


def test_every_check_names_a_source_in_the_bibliography() -> None:
    unknown = {check.source for check in CHECKS} - set(sources()) - {"practice"}

    assert unknown == set()

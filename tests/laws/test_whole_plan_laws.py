"""What must be true of every plan of a whole garden, whatever grows in it, stands on the shelf and was done before."""

from collections import Counter
from functools import cache

import pytest
from tests import plan_cases, recount
from tests.plan_cases import PROVED, Case

from abaxial.plan.programmes.step import Programme
from abaxial.plan.proposal.propose import Proposed, propose

GARDENS, PART = 2000, 100


@cache
def planned(seed: int) -> tuple[Case, Proposed, tuple[Programme, ...]]:
    """A garden by lot, with its plan."""
    case = plan_cases.any_case(seed)
    found = propose(case.ask, PROVED, against=case.against)
    return case, found, plan_cases.programmes(found)


@pytest.mark.parametrize("part", range(GARDENS // PART))
def test_no_plan_breaks_a_hard_rule_or_loses_more_than_waiting(part: int):
    for seed in range(PART * part, PART * (part + 1)):
        case, found, chosen = planned(seed)

        assert (seed, recount.broken_rules(case, chosen)) == (seed, [])
        assert case.against(chosen) == ()
        assert found.choice.bound <= found.choice.objective + 1e-6 <= found.choice.idle + 2e-6


def test_the_gardens_are_not_all_left_alone():
    kinds = Counter(step.kind for seed in range(PART) for each in planned(seed)[2] for step in each.steps)

    assert {"fungicide", "oil", "rusted_leaves_off", "cut_down"} <= kinds.keys()
    assert sum(any(each.sprays for each in planned(seed)[2]) for seed in range(PART)) >= PART // 5


@pytest.mark.parametrize("how", ["minutes", "stock", "window", "run"])
def test_a_tighter_rule_never_makes_a_plan_better(how: str):
    for seed in range(PART):
        case, found, _ = planned(seed)
        narrow = plan_cases.tighter(case, how)

        tight = propose(narrow.ask, PROVED, against=narrow.against)
        assert tight.choice.objective >= found.choice.bound - 1e-6, seed


def test_what_tighter_rules_allow_the_looser_ones_allow_too():
    for seed in range(PART):
        case, _, _ = planned(seed)
        narrow = plan_cases.tighter(case, "run")
        chosen = plan_cases.programmes(propose(narrow.ask, PROVED, against=narrow.against))

        assert case.against(chosen) == (), seed

"""One tank, one bottle, one hour for three plantings: the whole plan beats each planting's own best, and says what bound."""

import itertools
from collections.abc import Sequence
from dataclasses import replace

import numba
import numpy as np
import pytest
from tests import label_cases, plan_cases
from tests.plan_cases import NAMES, PROVED, WEEKS, Case

from abaxial.epidemic import rollout
from abaxial.label.allowed.case import refuse
from abaxial.label.reading import read_bottle
from abaxial.plan.choose import tally
from abaxial.plan.choose.solve import Effort
from abaxial.plan.programmes.step import WAIT
from abaxial.plan.proposal.account import account
from abaxial.plan.proposal.propose import Proposed, propose
from abaxial.plan.proposal.prospect import losses_of, rolled
from abaxial.plan.prospects.labour import SprayNeed
from abaxial.plan.prospects.stock import Time

#: the third gains most by one spray, the first two together gain more
WORTH = ((160.0, True), (70.0, True), (48.0, True))
PLENTY = Time([600.0] * WEEKS, 600.0, {"blue": 600.0})


def garden(*, left: str = "500 ml", time: Time = PLENTY, litres: Sequence[float] = (1.0, 1.0, 1.0)) -> Case:
    """Three plantings in which rust spreads, and one bottle."""
    base, plots = plan_cases.small_epidemic(2)
    body = {
        **label_cases.body("blue", actives={"tebuconazole": "100 g/l"}, rate="10 ml/l", interval_d=14),
        "left": left,
    }
    bottle = read_bottle(body, where="blue")
    needs = [{"blue": SprayNeed(each, 10.0 * each)} for each in litres]
    standings = [
        plan_cases.plain_standing(name, need)._replace(without={}) for name, need in zip(NAMES, needs, strict=True)
    ]
    return plan_cases.case_of(base, plots, plan_cases.shelf_of(bottle), standings, needs, time=time, worth=WORTH)


def greedy(found: Proposed) -> float:
    """What it loses when each planting in turn takes the best that is still allowed, the one that gains most first."""
    problem = found.problem
    picked = problem.idle.copy()
    gains = [
        problem.offers.loss[idle] - problem.offers.loss[own].min()
        for idle, own in zip(picked, problem.own, strict=True)
    ]
    for planting in np.argsort(-np.array(gains)):
        trials = [np.where(np.arange(picked.size) == planting, each, picked) for each in problem.own[planting]]
        able = [each for each in trials if (tally.room(problem, tally.total(problem, each)) >= -1e-6).all()]
        picked = min(able, key=lambda each: tally.objective_of(problem, each))
    return tally.objective_of(problem, picked)


def exhaustive(found: Proposed) -> float:
    """The least that any choice loses which keeps to what is shared."""
    problem = found.problem
    able = (np.array(each) for each in itertools.product(*problem.own))
    return min(
        tally.objective_of(problem, each)
        for each in able
        if (tally.room(problem, tally.total(problem, each)) >= -1e-6).all()
    )


ONE_BOTTLE = garden(left="31 ml", litres=(1.5, 1.5, 3.0))
ONE_HOUR = garden(time=Time([60.0] + [0.0] * (WEEKS - 1), 12.0, {"blue": 12.0}))


@pytest.mark.parametrize(
    ("case", "rule"), [(ONE_BOTTLE, "stock"), (ONE_HOUR, "window")], ids=["one bottle", "one hour"]
)
def test_what_all_want_is_shared_as_no_other_choice_could_better_and_is_said_to_have_bound(case: Case, rule: str):
    found = propose(case.ask, PROVED, against=case.against)

    assert found.choice.objective == pytest.approx(exhaustive(found))
    assert rule in {each.rule.kind for each in found.choice.binding}


def test_where_the_dearest_planting_would_empty_the_bottle_the_plan_beats_greedy():
    found = propose(ONE_BOTTLE.ask, PROVED, against=ONE_BOTTLE.against)

    assert found.choice.objective < greedy(found) - 0.5


def test_one_tank_is_mixed_once_for_all_where_none_would_mix_it_alone():
    case = garden()
    costly = replace(case.ask.stock, mixing_money=np.full(1, 1.0))
    free = propose(replace(case.ask, stock=replace(costly, mixing_money=np.zeros(1))), PROVED, against=case.against)
    most = max(float(each.cost[0] - each.cost[: free.own[place]].min()) for place, each in enumerate(free.prospects))
    dear = replace(case.ask, stock=replace(costly, mixing_money=np.full(1, 0.6 * most)))
    found = propose(dear, PROVED, against=case.against)

    assert found.choice.objective == pytest.approx(exhaustive(found))
    assert found.choice.objective <= greedy(found) + 1e-9


def test_programmes_without_a_rule_in_the_way_are_each_plantings_best():
    case = garden()
    free = replace(case.ask.rotation, limited=np.zeros(1, np.bool_))
    found = propose(replace(case.ask, stock=replace(case.ask.stock, mixing_money=np.zeros(1)), rotation=free), PROVED)

    best = [int(np.argmin(each.cost[:own])) for each, own in zip(found.prospects, found.own, strict=True)]
    assert list(found.chosen) == best


def test_the_losses_are_those_of_rolling_the_chosen_courses_forward():
    case = garden()
    found = propose(case.ask, PROVED)

    for place, prospect in enumerate(found.prospects):
        outcome = rollout.roll_out(case.ask.base, place, prospect.courses)
        assert np.allclose(losses_of(case.ask, place, prospect.programmes, outcome), prospect.losses)


def test_what_may_come_is_the_same_on_one_core_as_on_all():
    ask, cores = garden().ask, numba.get_num_threads()
    on_all = rolled(ask)
    numba.set_num_threads(1)
    try:
        on_one = rolled(ask)
    finally:
        numba.set_num_threads(cores)

    for one, other in zip(on_one.prospects, on_all.prospects, strict=True):
        assert np.array_equal(one.losses, other.losses)


def test_whatever_is_refused_a_plan_comes_out_and_its_bound_still_holds():
    case = garden()

    def stubborn(chosen):
        refusal = refuse("too_many_running", code="3", turns=3, most=2)
        return [(place, step, (refusal,)) for place, each in enumerate(chosen) for step in each.sprays]

    found = propose(case.ask, Effort(0.0, 2.0), against=stubborn)
    free = propose(case.ask, PROVED)

    assert not any(step for each in plan_cases.programmes(found) for step in each.sprays)
    assert found.again > 0
    assert found.choice.bound <= free.choice.objective + 1e-6 <= found.choice.objective + 2e-6


def test_an_hour_of_ones_own_is_not_spent_where_there_is_none():
    case = garden(time=Time([0.0] * WEEKS, 0.0, {"blue": 0.0}))

    assert set(plan_cases.programmes(propose(case.ask, PROVED))) == {WAIT}


@pytest.mark.parametrize("case", [ONE_BOTTLE, ONE_HOUR, garden()], ids=["one bottle", "one hour", "plenty"])
def test_nothing_that_the_others_leave_room_for_is_better_than_what_was_chosen(case: Case):
    found = propose(case.ask, PROVED, against=case.against)

    for place in range(len(NAMES)):
        told = account(case.ask, found, place, np.full(found.prospects[place].losses.shape[1], 0.2))
        assert told.saves is None or told.saves.saved_money >= -1e-6
        assert told.other is None or told.other.now() != told.programme.now()

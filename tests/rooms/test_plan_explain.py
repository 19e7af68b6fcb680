"""Why this programme: kinds and numbers."""

from dataclasses import replace

import numpy as np
import pytest
from tests.invented_choice import Bid, problem_of

from abaxial.plan import cost, explain
from abaxial.plan.choose.solve import Effort, choose
from abaxial.plan.explain import Contrast, Look, Turning

VERSIONS = 200
SEEN = np.linspace(0.001, 0.6, VERSIONS)
#: waiting loses what there is, spraying a steady sum; they are equal where a fifth of leaves is rusted
WAIT, SPRAY = 100.0 * SEEN, np.full(VERSIONS, 20.0)
LOOK = Look(SEEN, leaves=14, among_frac=0.05, blunder_frac=0.02)


def test_a_course_that_is_better_in_every_version_is_surely_better():
    against = explain.contrast(SPRAY, SPRAY + 5.0)

    assert against == pytest.approx(Contrast(5.0, 5.0, 5.0, 1.0))


def test_a_course_against_itself_is_neither_better_nor_worse():
    assert explain.contrast(WAIT, WAIT) == Contrast(0.0, 0.0, 0.0, 0.5)


def test_luck_that_both_share_does_not_blur_the_difference():
    luck = 1000.0 * np.sin(np.arange(VERSIONS))

    against = explain.contrast(luck, luck + 1.0)

    assert against.sure_frac == 1.0
    assert against.high_money == pytest.approx(against.low_money)


def test_weights_say_which_versions_count():
    weights = (SEEN > 0.2).astype(float)

    assert explain.contrast(SPRAY, WAIT, weights).sure_frac == pytest.approx(1.0)
    assert explain.contrast(SPRAY, WAIT).sure_frac < 0.75


def test_the_other_course_is_one_that_asks_for_something_else_now():
    now = ["spray", "spray", "wait", "cut"]

    assert explain.best_other(np.array([1.0, 1.1, 3.0, 2.0]), 0, now) == 3
    assert explain.best_other(np.array([1.0, 1.1]), 0, now[:2]) == -1


def test_few_rusted_leaves_turn_spraying_into_waiting():
    turned = explain.turning(np.stack([WAIT, SPRAY]), LOOK)

    assert 1 <= turned.fewer_than <= 4
    assert turned.fewer_course == 0
    assert turned.more_course == -1
    assert 0.2 < turned.change_frac < 0.6
    assert turned.worth_money > 0.0


def test_many_rusted_leaves_turn_waiting_into_spraying():
    turned = explain.turning(np.stack([0.5 * WAIT, SPRAY]), LOOK)

    assert turned.fewer_course == -1
    assert turned.more_course == 1
    assert turned.more_than >= 5


def test_where_one_course_is_always_best_no_look_changes_it():
    turned = explain.turning(np.stack([SPRAY, SPRAY + WAIT]), LOOK)

    assert turned == Turning(0.0, 14, 0, -1, 14, -1, 0.0)


def test_a_look_is_never_worth_more_than_knowing_everything_and_more_leaves_tell_more():
    losses = np.stack([WAIT, SPRAY])

    worths = [explain.turning(losses, LOOK._replace(leaves=leaves)).worth_money for leaves in (4, 10, 30)]

    assert worths == sorted(worths)
    assert worths[-1] <= explain.perfect_worth_money(losses)


def test_who_fears_bad_luck_asks_for_cleaner_leaves_before_waiting():
    def averse(losses, weights):
        return cost.averse_money(losses, cost.read_values(), replaceable=False, weights=weights)

    losses = np.stack([WAIT, SPRAY])

    assert explain.turning(losses, LOOK, cost=averse).fewer_than <= explain.turning(losses, LOOK).fewer_than


def test_the_reasons_name_what_is_bought_what_a_look_changes_and_what_bound():
    problem = problem_of([Bid((0,), 10), Bid((0,), 5, (), (30,))])
    tight = replace(problem, hours=replace(problem.hours, minutes=np.zeros(2)))
    bound = choose(tight, Effort(0.0, 5.0)).binding

    told = explain.because(
        explain.contrast(SPRAY, WAIT), explain.turning(np.stack([WAIT, SPRAY]), LOOK), bound, other=0
    )

    assert [each.kind for each in told] == ["saves", "look_changes", "bound_by"]
    assert told[2].details["rule"] == "minutes"
    assert told[2].details["money"] == pytest.approx(5.0)


def test_a_look_that_changes_nothing_is_no_reason():
    turned = explain.turning(np.stack([SPRAY, SPRAY + WAIT]), LOOK)

    told = explain.because(explain.contrast(SPRAY, WAIT), turned, (), other=0)

    assert [each.kind for each in told] == ["saves"]

"""When a look may stop."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial import chance
from abaxial.errors import ScoutingError
from abaxial.scouting import sampling, stopping
from abaxial.scouting.sampling.detection import cluster_chances

PLAN = stopping.stopping_plan(0.05, 0.20, false_alarm_frac=0.1, missed_frac=0.05)


def test_two_of_the_first_five_mean_acting_and_two_of_six_do_not_yet():
    said = [stopping.decision(PLAN, turned, 2) for turned in (2, 5, 6)]

    assert said == ["act", "act", "go on"]


def test_none_of_seventeen_means_clean_and_none_of_sixteen_does_not_yet():
    assert [stopping.decision(PLAN, turned, 0) for turned in (16, 17)] == ["go on", "clean"]


def test_before_any_leaf_one_goes_on():
    assert stopping.decision(PLAN, 0, 0) == "go on"


@given(turned=st.integers(1, 300), data=st.data())
def test_the_limits_say_what_the_decision_says(turned, data):
    rusted = data.draw(st.integers(0, turned))
    clean, act = stopping.limits_after(PLAN, turned)

    said = stopping.decision(PLAN, turned, rusted)

    assert (said == "clean") == (clean is not None and rusted <= clean)
    assert (said == "act") == (act is not None and rusted >= act)


@given(st.integers(0, 30))
def test_so_many_rusted_first_mean_clean_where_it_is_said(rusted):
    first = stopping.first_clean(PLAN, rusted)

    assert stopping.decision(PLAN, first, rusted) == "clean"
    assert stopping.decision(PLAN, first - 1, min(rusted, first - 1)) != "clean"


@given(turned=st.integers(1, 300), data=st.data())
def test_at_the_last_leaf_one_decides(turned, data):
    rusted = data.draw(st.integers(0, turned))

    assert stopping.decision(PLAN, turned, rusted, last=True) != "go on"


@pytest.mark.parametrize("errors", [(0.1, 0.05), (0.05, 0.05), (0.1, 0.1)])
def test_an_endless_plan_is_wrong_about_as_seldom_as_promised(errors):
    plan = stopping.stopping_plan(0.05, 0.20, false_alarm_frac=errors[0], missed_frac=errors[1])

    clean, act = (stopping.operating(plan, share, most=400) for share in (0.05, 0.20))

    # the lines are overshot, which mostly makes the plan a little better than promised
    assert clean.act_frac <= errors[0] * 1.1
    assert act.clean_frac <= errors[1] * 1.15


def test_an_endless_plan_needs_a_little_more_than_the_mean_without_overshoot():
    for share in (0.05, 0.20):
        exact = stopping.operating(PLAN, share, most=400).mean_leaves

        assert stopping.mean_leaves(PLAN, share) <= exact <= 1.25 * stopping.mean_leaves(PLAN, share)


@given(low=st.floats(0.0, 0.5), high=st.floats(0.0, 0.5), most=st.integers(5, 60))
def test_more_rust_never_makes_clean_likelier(low, high, most):
    low, high = sorted((low, high))

    little, much = (stopping.operating(PLAN, share, most=most) for share in (low, high))

    assert much.clean_frac <= little.clean_frac + 1e-9
    assert little.clean_frac + little.act_frac == pytest.approx(1.0)


def test_the_exact_reckoning_is_what_dice_give():
    leaves = chance.uniforms(7, "stopping test", 0, 20_000 * 55).reshape(20_000, 55) < 0.1
    counts = np.cumsum(leaves, axis=1)
    ends = np.array(
        [[stopping.decision(PLAN, n + 1, min(k, n + 1), last=n == 54) for k in range(56)] for n in range(55)]
    )
    said = ends[np.arange(55), counts]
    first = (said != "go on").argmax(axis=1)

    exact = stopping.operating(PLAN, 0.1, most=55)

    assert (said[np.arange(20_000), first] == "act").mean() == pytest.approx(exact.act_frac, abs=0.01)
    assert (first + 1).mean() == pytest.approx(exact.mean_leaves, rel=0.02)


def test_single_leaves_of_plants_are_clusters_of_one():
    alone = stopping.operating(PLAN, 0.1, most=40)
    clusters = stopping.operating_in_clusters(PLAN, 0.1, plants=40, each=1, correlation_frac=0.3)

    assert clusters == pytest.approx(alone)


def test_leaves_that_are_alike_break_the_promise_unless_the_plan_is_widened():
    factor = sampling.design_factor(5, correlation_frac=0.3)
    wide = stopping.stopping_plan(0.05, 0.20, false_alarm_frac=0.1, missed_frac=0.05, inflation_factor=factor)

    alarms = [
        stopping.operating_in_clusters(plan, 0.05, plants=100, each=5, correlation_frac=0.3).act_frac
        for plan in (PLAN, wide)
    ]

    assert alarms[0] > 0.15
    assert alarms[1] < 0.1


def test_in_a_large_bed_looking_twice_makes_no_difference():
    bed = stopping.operating_in_bed(PLAN, rusted_units=10_000, bed_units=100_000, most=55)

    assert bed == pytest.approx(stopping.operating(PLAN, 0.1, most=55), rel=1e-3)


def test_a_small_bed_looked_at_whole_is_called_what_it_is():
    none = stopping.operating_in_bed(PLAN, rusted_units=0, bed_units=12, most=12)
    four = stopping.operating_in_bed(PLAN, rusted_units=4, bed_units=12, most=12)

    assert none.clean_frac == 1.0
    assert four.act_frac == pytest.approx(1.0)


def test_the_last_leaf_is_the_last_there_is_or_twice_the_hardest_mean():
    assert stopping.most_leaves(PLAN, leaves_there=30) == 30
    assert stopping.most_leaves(PLAN, leaves_there=1000) == 55


def test_a_cluster_of_leaves_has_the_spread_of_its_design_factor():
    chances, found = cluster_chances(8, 0.2, correlation_frac=0.25), np.arange(9)

    variance = chances @ found**2 - (chances @ found) ** 2

    assert variance == pytest.approx(8 * 0.2 * 0.8 * sampling.design_factor(8, correlation_frac=0.25))


@pytest.mark.parametrize(
    ("clean", "act", "alarm", "missed", "inflation"),
    [(0.2, 0.1, 0.1, 0.1, 1), (0.0, 0.1, 0.1, 0.1, 1), (0.1, 1.0, 0.1, 0.1, 1), (0.1, 0.2, 0.0, 0.1, 1),
     (0.1, 0.2, 0.6, 0.4, 1), (0.1, 0.2, 0.1, 0.1, 0.5)],
)  # fmt: skip
def test_a_plan_that_cannot_be_is_refused(clean, act, alarm, missed, inflation):
    with pytest.raises(ScoutingError) as caught:
        stopping.stopping_plan(clean, act, false_alarm_frac=alarm, missed_frac=missed, inflation_factor=inflation)

    assert caught.value.remedy


def test_counts_that_cannot_be_are_refused():
    with pytest.raises(ScoutingError):
        stopping.decision(PLAN, 3, 4)
    with pytest.raises(ScoutingError):
        stopping.operating_in_bed(PLAN, rusted_units=13, bed_units=12, most=12)
    with pytest.raises(ScoutingError):
        stopping.mean_leaves(PLAN, 0.1)

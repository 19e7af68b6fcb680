"""A compost heap's log against standards."""

import itertools
import math
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.errors import ParameterError, RequestError
from abaxial.label.sanitation import compost
from abaxial.label.sanitation.compost import PileDay
from abaxial.label.sanitation.standards import read_standard, standard_keys

START = date(2026, 5, 1)
CORES = st.lists(st.floats(20.0, 75.0), min_size=1, max_size=40)


def log_of(core_c, turned=(), **more):
    return [PileDay(START + timedelta(day), each, day in turned, **more) for day, each in enumerate(core_c)]


HOT = log_of([60.0] * 16, turned=range(1, 16, 3))


def test_a_hot_heap_turned_often_enough_passes_by_its_log():
    found = compost.compost_fit({"rust"}, HOT)

    assert found.fit
    assert found.reasons == ("passed",)


def test_rusted_leaves_are_not_composted_without_a_log():
    assert compost.compost_fit({"rust"}, []) == compost.Fit(False, ("no_log",), ())


@pytest.mark.parametrize("trouble", ["virus", "bud_rot"])
def test_no_log_makes_up_for_virus_or_bud_rot(trouble):
    assert not compost.compost_fit({"rust", trouble}, HOT).fit


def test_healthy_leaves_need_no_log():
    assert compost.compost_fit(set(), []).fit


def test_a_log_says_by_what_it_falls_short():
    judged = compost.judge(log_of([60.0] * 11, turned=(2, 5)), read_standard("windrow"))

    assert [tuple(each) for each in judged.shortfalls] == [("hot_days", 15.0, 11.0), ("turnings", 5.0, 2.0)]


def test_what_was_added_later_has_not_been_hot_before():
    fresh = [*HOT[:-1], HOT[-1]._replace(added=True)]

    assert compost.judge(HOT, read_standard("windrow")).passes
    assert compost.judge(fresh, read_standard("windrow")).shortfalls[0].found == 0.0


def test_a_day_nobody_read_breaks_the_row():
    judged = compost.judge(HOT[:8] + HOT[9:], read_standard("windrow"))

    assert judged.shortfalls[0].found == 8.0


def test_of_several_readings_of_a_day_the_coldest_counts():
    judged = compost.judge([*HOT, HOT[3]._replace(core_c=50.0)], read_standard("windrow"))

    assert not judged.passes


def test_moisture_nobody_measured_is_not_enough():
    judged = compost.judge(log_of([66.0] * 7, turned=(2, 4)), read_standard("seven_very_hot"))

    assert [each.kind for each in judged.shortfalls] == ["moisture"]
    assert math.isnan(judged.shortfalls[0].found)


@pytest.mark.parametrize("core", [140.0, -30.0, math.nan])
def test_a_reading_no_heap_can_have_is_refused(core):
    with pytest.raises(RequestError, match="must lie between"):
        compost.judge(log_of([core]), read_standard("windrow"))


def test_an_empty_log_is_refused():
    with pytest.raises(RequestError, match="empty"):
        compost.judge_all([])


def test_a_standard_nobody_knows_is_refused():
    with pytest.raises(ParameterError, match="No standard"):
        read_standard("luck")


@given(
    core=CORES, turned=st.sets(st.integers(0, 39)), warmer=st.floats(0.0, 15.0), key=st.sampled_from(standard_keys())
)
def test_a_warmer_heap_never_fails_what_a_cooler_one_passed(core, turned, warmer, key):
    standard = read_standard(key)

    cool = compost.judge(log_of(core, turned, moisture_frac=0.6), standard)
    warm = compost.judge(log_of([each + warmer for each in core], turned, moisture_frac=0.6), standard)

    # only what is counted within the longest hot row may move with it
    assert warm.passes or not cool.passes or standard.while_hot


@given(core=CORES, hot_c=st.floats(30.0, 70.0))
def test_a_run_is_the_longest_of_all_stretches(core, hot_c):
    stretches = [
        last - first
        for first, last in itertools.combinations(range(len(core) + 1), 2)
        if all(each >= hot_c for each in core[first:last])
    ]

    assert compost.longest_run(core, hot_c) == max(stretches, default=0)
    assert compost.longest_run(core, hot_c) <= compost.hot_days(core, hot_c)


@given(days=st.sets(st.integers(0, 15), max_size=8), apart=st.integers(1, 5))
def test_no_choice_of_turnings_counts_more(days, apart):
    rising = sorted(days)
    spread = [
        len(chosen)
        for size in range(len(rising) + 1)
        for chosen in itertools.combinations(rising, size)
        if all(later - earlier >= apart for earlier, later in itertools.pairwise(chosen))
    ]

    assert compost.turnings_counted(rising, apart) == max(spread)

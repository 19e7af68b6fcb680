"""Lineage, clocks, and when a clump may be divided."""

from datetime import date, timedelta

import numpy as np
import pytest

from abaxial.collection import clean, clock
from abaxial.collection.clean import Case, Looked, may_divide
from abaxial.collection.lineage import (
    Division,
    Stay,
    ancestors,
    descendants,
    exposed,
    lineage_of,
    trace_back,
    trace_forward,
)
from abaxial.errors import RequestError

DAY = date(2026, 6, 1)
STEADY = np.repeat(np.arange(61)[:, None] / 10.0, 5, axis=1)


def on(day):
    return DAY + timedelta(day)


#: "old" gives "a" on day 10 and "b" on day 30; "a" and "c" share a bed; "d" stands alone and came of "a" before
FAMILY = lineage_of(
    [Division("a", "old", on(10), 3), Division("b", "old", on(30)), Division("d", "a", on(12))],
    [Stay("old", "west", on(0)), Stay("a", "east", on(10)), Stay("c", "east", on(0), on(45)), Stay("b", "south", on(30)),
     Stay("d", "north", on(12))],
)  # fmt: skip


def names(traces):
    return [(each.planting, each.how) for each in traces]


def test_every_division_of_a_family_is_found():
    assert [each.parent for each in ancestors("d", FAMILY)] == ["a", "old"]
    assert [each.child for each in descendants("old", FAMILY)] == ["a", "d", "b"]


def test_rust_on_a_division_puts_its_mother_and_its_sisters_under_suspicion():
    found = exposed("a", FAMILY, since=on(5), until=on(60))

    assert names(found) == [("old", "ancestor"), ("c", "bed"), ("d", "division"), ("b", "division")]
    assert {each.planting: each.via for each in found}["b"] == "old"


def test_a_mother_is_not_suspected_where_the_rust_began_after_the_division():
    assert names(exposed("a", FAMILY, since=on(20), until=on(60))) == [("c", "bed")]


def test_a_division_taken_before_it_began_is_not_reached():
    assert "d" not in dict(names(trace_forward("a", FAMILY, since=on(13), until=on(60))))
    assert "d" in dict(names(trace_forward("a", FAMILY, since=on(12), until=on(60))))


def test_it_can_have_come_from_the_mother_or_from_the_bed():
    found = trace_back("a", FAMILY, seen_on=on(40), since=on(5))

    assert names(found) == [("c", "bed"), ("old", "parent")]
    assert found[1].on == on(10)


def test_plants_that_left_before_are_not_suspected():
    assert names(trace_forward("a", FAMILY, since=on(46), until=on(60))) == []


@pytest.mark.parametrize(
    ("divisions", "stays", "rule"),
    [
        ([Division("a", "b", DAY), Division("a", "c", DAY)], [], "two parents"),
        ([Division("a", "b", DAY), Division("b", "a", DAY)], [], "itself"),
        ([Division("a", "a", DAY)], [], "itself"),
        ([Division("a", "b", DAY), Division("b", "c", on(3))], [], "came to be"),
        ([], [Stay("a", "x", on(3), DAY)], "left"),
    ],
)
def test_a_lineage_that_cannot_be_is_refused(divisions, stays, rule):
    with pytest.raises(RequestError, match=rule):
        lineage_of(divisions, stays)


def test_a_clock_stands_still_in_the_cold():
    ripening = np.repeat(np.array([0.1] * 10 + [0.0] * 30 + [0.1] * 20)[:, None], 3, axis=1)
    found = clock.clock(clock.ripened(ripening), set_day=0, now_day=30, periods=2.0)

    assert found.passed == pytest.approx([1.0] * 3)
    assert found.over_frac == 0.0
    assert found.middle_day == 50.0


def test_a_clock_that_does_not_run_out_in_sight_says_so():
    assert np.isinf(clock.clock(STEADY, set_day=0, now_day=0, periods=9.0).early_day)


def test_the_first_day_of_an_infection_is_as_far_back_as_the_slowest_member_allows():
    progress = np.stack([np.arange(41) / 10.0, np.arange(41) / 20.0], axis=1)

    assert clock.could_have_begun(progress, seen_day=40, periods=1.5) == clock.Began(10, True)
    assert clock.could_have_begun(progress, seen_day=20, periods=1.5) == clock.Began(0, False)


def test_progress_that_falls_is_no_progress():
    with pytest.raises(RequestError, match="cannot fall"):
        clock.runs_out_day(STEADY[::-1], 0, 1.0)


def case(**changes):
    wet = np.zeros(61, bool)
    wet[5] = True
    fit = Case(STEADY, wet, 30, 0, (Looked(25, 40, 0),), 40, 0.01)
    return fit._replace(**changes)


def kinds(verdict):
    return [each.kind for each in verdict.reasons]


def test_time_rain_looks_and_estimate_together_let_a_clump_be_divided():
    found = may_divide(case())

    assert found.allowed
    assert found.first_day == 30.0
    assert found.any_rust_frac == 0.01


def test_no_number_of_looks_makes_a_clump_fit_to_divide():
    found = may_divide(case(looks=(Looked(25, 100_000, 0),), any_rust_frac=None))

    assert not found.allowed
    assert kinds(found) == ["no_estimate"]


@pytest.mark.parametrize(
    ("changes", "kind"),
    [
        ({"now_day": 19, "looks": ()}, "too_soon"),
        ({"wet": np.zeros(61, bool)}, "no_rain_since"),
        ({"wet": np.arange(61) == 28}, "rain_too_young"),
        ({"looks": (Looked(25, 10, 0),)}, "too_few_leaves"),
        ({"looks": (Looked(12, 40, 0),)}, "too_few_leaves"),
        ({"any_rust_frac": 0.2}, "chance_of_rust"),
        ({"lasting": True}, "lasting_disease"),
        ({"looks": (Looked(25, 40, 0), Looked(29, 10, 1))}, "rust_seen"),
    ],
)
def test_each_thing_that_is_lacking_is_named(changes, kind):
    found = may_divide(case(**changes))

    assert not found.allowed
    assert kind in kinds(found)


def test_rust_that_was_seen_sets_the_clock_anew():
    found = may_divide(case(looks=(Looked(25, 40, 2),), wet=np.arange(61) > 3))

    assert found.first_day == 45.0
    assert {"rust_seen", "too_soon"} <= set(kinds(found))


def test_rain_to_come_tells_when_it_may_be_divided():
    found = may_divide(case(wet=np.arange(61) == 33))

    assert found.first_day == 43.0
    assert may_divide(case(wet=np.zeros(61, bool))).first_day == np.inf


def test_a_lasting_disease_has_no_day():
    assert may_divide(case(lasting=True)).first_day == np.inf


def test_a_small_clump_is_turned_more_than_once():
    bars = clean.read_bars()

    assert clean.leaves_needed(3, bars) > 3
    assert clean.leaves_needed(400, bars) < 400


@pytest.mark.parametrize(
    "changes",
    [{"now_day": 99}, {"set_day": 31}, {"wet": np.zeros(5, bool)}, {"leaves": 0}, {"any_rust_frac": 1.5},
     {"looks": (Looked(3, 2, 5),)}],
)  # fmt: skip
def test_a_case_that_does_not_hold_together_is_refused(changes):
    with pytest.raises(RequestError):
        may_divide(case(**changes))

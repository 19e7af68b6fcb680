"""Speed that must not be lost. Limits leave a busy machine room; benchmarks/ measures the figures themselves."""

import pytest
from benchmarks import drivers, epidemic, leaf_wetness, rollout


@pytest.mark.alone
@pytest.mark.parametrize(("columns", "times_numpy"), [(200, 15.0), (960, 6.0)])
def test_the_compiled_leaf_is_many_times_faster_than_numpy_and_near_its_floor(columns, times_numpy):
    measured = leaf_wetness.measure(columns)

    assert measured["times_numpy"] > times_numpy
    assert measured["times_floor"] < 3.0


@pytest.mark.alone
def test_the_compiled_nights_are_many_times_faster_than_numpy_and_near_their_floor():
    measured = drivers.measure(plantings=7)

    assert measured["times_numpy"] > 30.0
    assert measured["times_floor"] < 3.0


@pytest.mark.alone
def test_the_compiled_epidemic_is_many_times_faster_than_numpy_and_near_its_floor():
    measured = epidemic.measure()

    assert measured["times_numpy"] > 8.0
    assert measured["times_floor"] < 3.0


@pytest.mark.alone
def test_compiled_courses_are_many_times_faster_than_numpy_and_come_to_the_same():
    measured = rollout.measure()

    assert measured["times_numpy"] > 8.0
    assert measured["apart_area_d"] < 1e-4 * measured["largest_area_d"]

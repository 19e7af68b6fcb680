"""Two series become one: the better value of each hour stands."""

from dataclasses import replace

import numpy as np
import pytest

from abaxial.weather import series
from abaxial.weather.series import Mark

FIRST_HOUR, HOURS = 400_000, 4


def of(value: float, mark: int = 0, *, first_hour: int = FIRST_HOUR) -> series.Weather:
    """The same temperature every hour, marked alike; everything else missing."""
    empty = series.empty(first_hour, HOURS)
    marks = {**empty.marks, "temperature_c": np.full(HOURS, mark, np.uint8)}
    return replace(empty, temperature_c=np.full(HOURS, value), marks=marks)


STATION, CELL, FORECAST = of(10.0), of(20.0, Mark.GRID), of(30.0, Mark.GRID | Mark.FORECAST)


@pytest.mark.parametrize(("better", "worse"), [(STATION, CELL), (STATION, FORECAST), (CELL, FORECAST)])
def test_the_better_value_stands_in_whichever_order_they_come(better, worse):
    for both in (series.merge(better, worse), series.merge(worse, better)):
        assert both.temperature_c.tolist() == better.temperature_c.tolist()
        assert both.marks["temperature_c"].tolist() == better.marks["temperature_c"].tolist()


def test_of_two_stations_the_one_named_first_stands():
    assert series.merge(STATION, of(11.0)).temperature_c.tolist() == [10.0] * HOURS


def test_a_cell_fills_the_hours_a_station_misses():
    gappy = replace(STATION, temperature_c=np.array([10.0, np.nan, 10.0, np.nan]))

    assert series.merge(CELL, gappy).temperature_c.tolist() == [10.0, 20.0, 10.0, 20.0]


def test_hours_that_neither_has_stay_missing():
    both = series.merge(STATION, of(20.0, first_hour=FIRST_HOUR + HOURS + 2))

    assert np.isnan(both.temperature_c).tolist() == [False] * 4 + [True] * 2 + [False] * 4


def test_nothing_outside_a_series_is_known():
    assert np.isnan(series.between(STATION, FIRST_HOUR - 2, FIRST_HOUR).temperature_c).all()

"""Short gaps are filled and say so, long ones stay, and rain is never invented."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.place import Place
from abaxial.weather import gaps, sky, sun
from abaxial.weather.series import VARIABLES, Mark, empty

PLACE = Place(45.0, 0.0, 100.0, "UTC")
HOUR = np.arange(20 * 24)
FIRST = 484_920
FILLABLE = ("temperature_c", "relative_humidity_frac", "wind_speed_m_s")


def fair():
    wave = np.cos((HOUR % 24 - 14) * np.pi / 12.0)
    elevation_deg = sun.solar_elevation_deg(FIRST + HOUR + 0.5, PLACE)
    return replace(
        empty(FIRST, HOUR.size),
        temperature_c=16.0 + 6.0 * wave + HOUR * 0.01,
        relative_humidity_frac=0.75 - 0.2 * wave,
        wind_speed_m_s=2.0 + wave,
        rain_mm=np.where(HOUR % 72 == 18, 1.5, 0.0),
        shortwave_w_m2=0.7 * sun.clear_sky_w_m2(elevation_deg, PLACE.elevation_m),
        cloud_frac=np.full(HOUR.size, 0.6),
    )


def without(names, begin, end):
    weather = fair()
    columns = {name: weather.variable(name).copy() for name in names}
    for values in columns.values():
        values[begin:end] = np.nan
    return replace(weather, **columns)


def test_three_hours_lie_on_a_line():
    filled = gaps.fill(without(["wind_speed_m_s"], 100, 103), PLACE)

    ends = fair().wind_speed_m_s[[99, 103]]
    assert filled.wind_speed_m_s[99:104] == pytest.approx(np.linspace(*ends, 5))


@pytest.mark.parametrize("length", [4, 12, 24, 30, 48])
def test_up_to_two_days_take_the_course_of_their_neighbours_and_join_both_ends(length):
    filled = gaps.fill(without(["temperature_c"], 200, 200 + length), PLACE)

    assert filled.temperature_c == pytest.approx(fair().temperature_c, abs=1e-6)


def test_a_change_of_the_weather_within_a_gap_is_spread_over_it():
    broken = without(["temperature_c"], 200, 212)
    warmer = replace(broken, temperature_c=broken.temperature_c + np.where(HOUR >= 212, 3.0, 0.0))
    filled = gaps.fill(warmer, PLACE)

    spread = 3.0 * np.arange(1, 13) / 13.0
    assert filled.temperature_c[200:212] == pytest.approx(fair().temperature_c[200:212] + spread, abs=1e-6)


def test_more_than_two_days_stay_missing():
    filled = gaps.fill(without(["temperature_c"], 200, 249), PLACE)

    assert np.isnan(filled.temperature_c[200:249]).all()


def test_the_ends_of_a_series_are_not_continued():
    filled = gaps.fill(without(["temperature_c"], 470, 480), PLACE)

    assert np.isnan(filled.temperature_c[470:]).all()


@given(begin=st.integers(0, 470), length=st.integers(1, 60))
def test_rain_nobody_recorded_stays_unknown(begin, length):
    filled = gaps.fill(without(["rain_mm"], begin, begin + length), PLACE)

    assert np.isnan(filled.rain_mm[begin : begin + length]).all()


@given(begin=st.integers(0, 470), length=st.integers(1, 60), name=st.sampled_from(FILLABLE))
def test_exactly_what_was_filled_is_marked_and_what_was_there_is_untouched(begin, length, name):
    broken = without([name], begin, begin + length)
    filled = gaps.fill(broken, PLACE)

    missing = np.isnan(broken.variable(name))
    new = missing & np.isfinite(filled.variable(name))
    assert np.array_equal((filled.marks[name] & Mark.FILLED) > 0, new)
    assert np.array_equal(filled.variable(name)[~missing], broken.variable(name)[~missing])


def test_a_suspect_value_is_replaced_and_keeps_its_mark():
    weather = fair()
    values, flags = weather.temperature_c.copy(), weather.marks["temperature_c"].copy()
    values[100], flags[100] = 85.0, Mark.RANGE
    filled = gaps.fill(replace(weather, temperature_c=values, marks={**weather.marks, "temperature_c": flags}), PLACE)

    assert filled.temperature_c[100] == pytest.approx(values[[99, 101]].mean())
    assert filled.marks["temperature_c"][100] == Mark.RANGE | Mark.FILLED


def test_suspect_rain_becomes_unknown_and_not_dry():
    weather = fair()
    flags = weather.marks["rain_mm"].copy()
    flags[18] = Mark.CROSS
    filled = gaps.fill(replace(weather, marks={**weather.marks, "rain_mm": flags}), PLACE)

    assert np.isnan(filled.rain_mm[18])


def test_filling_twice_is_filling_once():
    once = gaps.fill(without(VARIABLES, 200, 230), PLACE)
    twice = gaps.fill(once, PLACE)

    assert once.findings == twice.findings
    assert all(np.array_equal(once.variable(name), twice.variable(name), equal_nan=True) for name in VARIABLES)
    assert all(np.array_equal(once.marks[name], twice.marks[name]) for name in VARIABLES)


def test_cloud_comes_from_sunlight_and_lasts_through_the_night():
    filled = gaps.fill(without(["cloud_frac"], 0, HOUR.size), PLACE)

    # seven tenths of clear-sky light: the root of 0.3 / 0.75
    assert filled.cloud_frac == pytest.approx(np.full(HOUR.size, 0.632), abs=0.01)
    assert ((filled.marks["cloud_frac"] & Mark.DERIVED) > 0).all()


def test_sunlight_comes_from_cloud():
    filled = gaps.fill(without(["shortwave_w_m2"], 0, HOUR.size), PLACE)

    share = 1.0 - 0.75 * 0.6**3.4
    assert filled.shortwave_w_m2 == pytest.approx(fair().shortwave_w_m2 / 0.7 * share)
    assert ((filled.marks["shortwave_w_m2"] & Mark.DERIVED) > 0).all()


def test_both_come_from_the_range_of_temperature_and_a_wide_range_is_a_clear_day():
    wide = without(["shortwave_w_m2", "cloud_frac"], 0, HOUR.size)
    narrow = replace(wide, temperature_c=16.0 + 0.2 * (wide.temperature_c - 16.0))
    clear, dull = gaps.fill(wide, PLACE), gaps.fill(narrow, PLACE)

    assert dull.shortwave_w_m2.sum() < 0.6 * clear.shortwave_w_m2.sum()
    assert dull.cloud_frac.mean() > clear.cloud_frac.mean() + 0.2


def test_the_range_of_temperature_gives_the_sunlight_of_the_published_formula():
    wide = gaps.fill(without(["shortwave_w_m2", "cloud_frac"], 0, HOUR.size), PLACE)
    elevation_deg = sun.solar_elevation_deg(FIRST + HOUR + 0.5, PLACE)
    outside = sun.extraterrestrial_w_m2(elevation_deg, FIRST + HOUR + 0.5)

    span = fair().temperature_c[:24].max() - fair().temperature_c[:24].min()
    share = wide.shortwave_w_m2.sum() / outside.sum()
    assert share == pytest.approx(0.175 * np.sqrt(span), rel=0.03)


def test_the_polar_night_is_dark_and_its_cloud_unknown():
    pole = Place(80.0, 0.0, 0.0, "UTC")
    winter = replace(without(["shortwave_w_m2", "cloud_frac"], 0, HOUR.size), first_hour=FIRST + 24 * 250)
    filled = gaps.fill(winter, pole)

    assert np.isnan(filled.cloud_frac).all()
    assert (filled.shortwave_w_m2 == 0.0).all()


@pytest.mark.parametrize("hours", [0, 1, 5])
def test_a_short_or_empty_series_can_be_filled(hours):
    assert gaps.fill(empty(FIRST, hours), PLACE).hours == hours


@given(cloud_frac=st.floats(0.0, 1.0))
def test_more_cloud_never_brings_more_sunlight(cloud_frac):
    share = sky.sunlight_share_frac([cloud_frac, min(cloud_frac + 0.01, 1.0)])

    assert 0.25 <= share[1] <= share[0] <= 1.0


def test_cloud_that_no_file_held_is_told_as_worked_out_and_not_as_a_gap():
    filled = gaps.fill(without(["cloud_frac"], 0, HOUR.size), PLACE)

    assert [(f.kind, f.details["variable"]) for f in filled.findings] == [("sky_derived", "cloud_frac")]

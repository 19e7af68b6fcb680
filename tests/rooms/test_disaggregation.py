"""Hours made from days."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.place import Place
from abaxial.weather import disaggregation

KAMPALA = Place(0.3, 32.6, 1190.0, "Africa/Kampala")
TROMSO = Place(69.6, 18.9, 10.0, "Europe/Oslo")
MIDNIGHTS = 480_003 + 24 * np.arange(5)


def test_the_closed_curve_has_no_step_at_dawn():
    low, high = np.array([20.0, 14.0, 19.0, 12.0, 20.0]), np.array([30.0, 25.0, 31.0, 22.0, 33.0])
    dense = disaggregation.hourly_temperature_c(low, high, np.full(5, 6.0), np.full(5, 12.0)).ravel()

    assert np.abs(np.diff(dense)).max() < 5.0
    assert np.abs(np.diff(dense.reshape(5, 24)[:, 4:7], axis=1)).max() < 2.0


def test_a_day_reaches_its_extremes_to_within_half_an_hour_of_them():
    low, high = np.full(5, 12.0), np.full(5, 26.0)
    hours = disaggregation.hourly_temperature_c(low, high, np.full(5, 6.0), np.full(5, 12.0))

    assert hours.min(axis=1) == pytest.approx(low, abs=0.8)
    assert hours.max(axis=1) == pytest.approx(high, abs=0.2)


def test_a_days_hours_of_sun_add_up_to_the_day():
    angles = np.radians(np.arange(-180.0, 180.0, 1.0) + 0.5)
    for sunset in (1.0, 1.5708, 2.2):
        share = disaggregation.daily_to_hourly_sun_frac(angles, sunset)

        assert share.sum() / 15.0 == pytest.approx(1.0, abs=0.02)


def test_days_at_the_equator_last_twelve_hours_and_polar_nights_keep_two():
    _, equator = disaggregation.daylight_h(KAMPALA, MIDNIGHTS)
    _, arctic = disaggregation.daylight_h(TROMSO, np.array([473_351]))

    assert equator == pytest.approx(np.full(5, 12.1), abs=0.2)
    assert arctic[0] == 2.0


@given(st.floats(-30, 45), st.floats(0.02, 1.0))
def test_humidity_and_dew_point_are_each_others_inverse(air_c, humidity):
    back = disaggregation.relative_humidity_frac(air_c, disaggregation.dew_point_c(air_c, humidity))

    assert back == pytest.approx(humidity, rel=1e-9)


@given(st.floats(0, 1))
def test_cloud_and_dimming_are_each_others_inverse(cloud):
    assert disaggregation.cloud_from_dimming_frac(disaggregation.dimmed_frac(cloud)) == pytest.approx(cloud, abs=1e-4)


def test_rain_falls_in_the_moist_hours_and_adds_up():
    moist = np.full((24, 400), 0.5)
    moist[2:6] = 0.98
    draws = np.random.default_rng(1).uniform(0.001, 0.999, (27, 400))
    rain = disaggregation.rain_hours_mm(np.full(400, 8.0), moist, draws)

    assert rain.sum(axis=0) == pytest.approx(np.full(400, 8.0))
    assert rain[2:10].sum() > 0.8 * rain.sum()

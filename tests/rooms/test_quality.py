"""Sensors that err are marked, weather that is only rare is not, and nothing is deleted."""

from dataclasses import replace

import numpy as np
import pytest

from abaxial.place import Place
from abaxial.weather import quality, sun
from abaxial.weather.series import VARIABLES, Mark, empty

PLACE = Place(45.0, 0.0, 100.0, "UTC")
DAYS = 60
HOUR = np.arange(DAYS * 24)
FIRST = 484_920  # a midnight of UTC in spring


def fair(**changes):
    """Sixty days of ordinary weather: warm by day, moist by night, a shower every third evening."""
    wave = np.cos((HOUR % 24 - 14) * np.pi / 12.0)
    wander = 2.0 * np.sin(HOUR / 53.0)
    elevation_deg = sun.solar_elevation_deg(FIRST + HOUR + 0.5, PLACE)
    series = replace(
        empty(FIRST, HOUR.size),
        temperature_c=16.0 + 6.0 * wave + wander,
        relative_humidity_frac=np.clip(0.78 - 0.2 * wave + 0.02 * wander, 0.0, 1.0),
        wind_speed_m_s=2.0 + wave + 0.3 * np.sin(HOUR / 7.0),
        rain_mm=np.where((HOUR % 72 >= 18) & (HOUR % 72 < 21), 1.5, 0.0),
        shortwave_w_m2=0.7 * sun.clear_sky_w_m2(elevation_deg, PLACE.elevation_m),
        cloud_frac=0.5 + 0.4 * np.sin(HOUR / 31.0),
    )
    return replace(series, **changes)


def with_hour(name, hours, value):
    values = fair().variable(name).copy()
    values[hours] = value
    return fair(**{name: values})


def marked(weather, name, mark):
    return np.flatnonzero(quality.check(weather, PLACE).marks[name] & mark).tolist()


def found(weather, kind):
    return next((finding for finding in quality.check(weather, PLACE).findings if finding.kind == kind), None)


def test_ordinary_weather_is_believed():
    checked = quality.check(fair(), PLACE)

    assert not checked.findings
    assert not any(checked.marks[name].any() for name in VARIABLES)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("temperature_c", 85.0),
        ("relative_humidity_frac", 8.5),
        ("relative_humidity_frac", 0.0),
        ("wind_speed_m_s", 350.0),
        ("rain_mm", -1.0),
        ("shortwave_w_m2", 2500.0),
        ("cloud_frac", 9.0),
    ],
)
def test_what_cannot_be_is_out_of_range(name, value):
    assert marked(with_hour(name, 500, value), name, Mark.RANGE) == [500]


def test_a_spike_is_marked_alone():
    weather = with_hour("temperature_c", 500, fair().temperature_c[500] + 15.0)

    assert marked(weather, "temperature_c", Mark.STEP) == [500]


def test_a_cold_front_is_weather():
    values = fair().temperature_c.copy()
    values[500:] -= 14.0

    assert marked(fair(temperature_c=values), "temperature_c", Mark.STEP) == []


def test_a_fall_over_two_hours_is_no_spike():
    values = fair().temperature_c.copy()
    values[500:] -= 9.0
    values[501:] -= 9.0

    assert marked(fair(temperature_c=values), "temperature_c", Mark.STEP) == []


def test_a_sensor_that_stops_moving_is_stuck():
    hours = list(range(300, 330))

    assert marked(with_hour("temperature_c", slice(300, 330), 17.3), "temperature_c", Mark.STUCK) == hours


def test_a_foggy_day_at_saturation_is_weather():
    weather = with_hour("relative_humidity_frac", slice(300, 330), 1.0)

    assert marked(weather, "relative_humidity_frac", Mark.STUCK) == []


def test_wind_of_exactly_nothing_for_days_is_a_stopped_cup():
    assert len(marked(with_hour("wind_speed_m_s", slice(300, 400), 0.0), "wind_speed_m_s", Mark.STUCK)) == 100


def test_a_calm_night_is_weather():
    assert marked(with_hour("wind_speed_m_s", slice(300, 312), 0.0), "wind_speed_m_s", Mark.STUCK) == []


def test_rain_in_dry_air_is_doubted():
    dry = with_hour("relative_humidity_frac", slice(18, 21), 0.2)

    assert marked(dry, "rain_mm", Mark.CROSS) == [18, 19, 20]


def test_sun_in_the_night_is_doubted():
    assert marked(with_hour("shortwave_w_m2", 24, 300.0), "shortwave_w_m2", Mark.CROSS) == [24]


@pytest.mark.parametrize("late_h", [-5, -1, 2, 6])
def test_sunlight_on_another_clock_than_the_sun_is_noticed_with_the_hours(late_h):
    moved = fair(shortwave_w_m2=np.roll(fair().shortwave_w_m2, late_h))

    assert found(moved, "clock_shift").details["late_h"] == pytest.approx(late_h, abs=0.2)


def stopping_at(ceiling):
    return fair(relative_humidity_frac=np.minimum(fair().relative_humidity_frac + 0.06, ceiling))


def test_humidity_that_stops_at_one_value_night_after_night_has_a_ceiling():
    details = found(stopping_at(0.93), "sensor_ceiling").details

    assert details["ceiling_frac"] == pytest.approx(0.93, abs=0.005)


def test_humidity_that_reaches_saturation_has_no_ceiling():
    assert found(stopping_at(1.0), "sensor_ceiling") is None


def test_a_dry_climate_is_not_a_broken_sensor():
    # its nights end anywhere between half and nine tenths of saturation
    nightly = np.repeat(0.5 + 0.42 * ((np.arange(DAYS) * 0.618) % 1.0), 24)
    desert = fair(relative_humidity_frac=fair().relative_humidity_frac * nightly, rain_mm=np.zeros(HOUR.size))

    assert found(desert, "sensor_ceiling") is None


def test_the_ceiling_is_corrected_only_when_asked_and_only_above_its_half():
    checked = quality.check(stopping_at(0.93), PLACE)
    corrected = quality.correct_ceiling(checked)

    assert np.array_equal(checked.relative_humidity_frac, stopping_at(0.93).relative_humidity_frac)
    assert corrected.relative_humidity_frac.max() == pytest.approx(1.0, abs=0.005)
    low = checked.relative_humidity_frac <= 0.465
    assert np.array_equal(corrected.relative_humidity_frac[low], checked.relative_humidity_frac[low])
    assert quality.correct_ceiling(corrected) is corrected


def test_checking_deletes_nothing_and_twice_is_once():
    weather = with_hour("temperature_c", 500, 85.0)
    checked = quality.check(weather, PLACE)
    again = quality.check(checked, PLACE)

    assert all(np.array_equal(checked.variable(name), weather.variable(name), equal_nan=True) for name in VARIABLES)
    assert again.findings == checked.findings
    assert all(np.array_equal(again.marks[name], checked.marks[name]) for name in VARIABLES)


@pytest.mark.parametrize("hours", [0, 1, 2, 30])
def test_a_short_or_empty_series_can_be_checked(hours):
    assert quality.check(empty(FIRST, hours), PLACE).hours == hours


def test_the_polar_day_and_night_can_be_checked():
    pole = Place(85.0, 0.0, 0.0, "UTC")

    assert quality.check(fair(), pole).hours == HOUR.size

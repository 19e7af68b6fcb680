"""The sun: where it stands for people everywhere."""

from datetime import UTC, datetime

import numpy as np
import pytest

from abaxial.microclimate import evapotranspiration
from abaxial.place import Place
from abaxial.weather import sun

AUCKLAND = Place(-36.85, 174.76, 20.0, "Pacific/Auckland")
KAMPALA = Place(0.31, 32.58, 1200.0, "Africa/Kampala")
TROMSO = Place(69.65, 18.96, 10.0, "Europe/Oslo")


def hour(*when: int) -> float:
    return datetime(*when, tzinfo=UTC).timestamp() / 3600.0


def test_in_the_south_the_noon_sun_stands_in_the_north() -> None:
    azimuth_deg = sun.solar_azimuth_deg(hour(2026, 1, 15, 0, 30), AUCKLAND)

    assert min(azimuth_deg, 360.0 - azimuth_deg) < 10.0


def test_on_the_equator_the_equinox_sun_passes_overhead() -> None:
    minutes = hour(2026, 3, 20) + np.arange(0.0, 24.0, 1.0 / 60.0)

    assert sun.solar_elevation_deg(minutes, KAMPALA).max() > 89.4


def test_beyond_the_circle_midsummer_has_no_night_and_midwinter_no_day() -> None:
    june = sun.solar_elevation_deg(hour(2026, 6, 21) + np.arange(24.0), TROMSO)
    december = sun.solar_elevation_deg(hour(2026, 12, 21) + np.arange(24.0), TROMSO)

    assert june.min() > 0.0
    assert december.max() < 0.0


def test_it_rises_in_the_east_and_sets_in_the_west() -> None:
    hours = hour(2026, 7, 1) + np.arange(0.0, 24.0, 0.05)
    elevation_deg, azimuth_deg = sun.solar_position(hours, 45.0, 0.0)
    up = hours[elevation_deg > 0.0]

    assert azimuth_deg[hours == up[0]][0] < 90.0
    assert azimuth_deg[hours == up[-1]][0] > 270.0


def test_night_has_no_sunlight_of_any_kind() -> None:
    below_deg = np.array([-90.0, -30.0, 0.0])

    assert (sun.clear_sky_w_m2(below_deg, 100.0) == 0.0).all()
    assert (sun.extraterrestrial_w_m2(below_deg, 400000.0) == 0.0).all()


def test_a_clear_sky_lets_through_less_than_comes_in_and_more_on_a_mountain() -> None:
    elevation_deg = np.array([5.0, 30.0, 80.0])
    outside = sun.extraterrestrial_w_m2(elevation_deg, hour(2026, 7, 4))

    assert (sun.clear_sky_w_m2(elevation_deg, 3000.0) < outside).all()
    assert sun.clear_sky_w_m2(30.0, 3000.0) > sun.clear_sky_w_m2(30.0, 0.0)


def test_a_day_of_instants_adds_up_to_the_day_of_the_water_formulas() -> None:
    instants = hour(2026, 7, 6) + np.arange(0.0, 24.0, 0.1)
    elevation_deg = sun.solar_position(instants, 50.8, 4.35)[0]

    day_mj_m2 = sun.extraterrestrial_w_m2(elevation_deg, instants).mean() * 86400.0 / 1e6

    assert day_mj_m2 == pytest.approx(evapotranspiration.extraterrestrial_mj_m2_d(50.8, 187.0), rel=0.01)

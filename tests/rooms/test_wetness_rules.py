"""Rules of thumb for wetness: their memory, their edges and a misprint."""

import numpy as np

from abaxial.microclimate import wetness_rules


def test_a_leaf_wet_at_two_kelvin_stays_wet_until_nearly_four() -> None:
    wet = wetness_rules.near_dew_point([3.0, 1.9, 3.7, 3.9, 3.0])

    assert wet.tolist() == [False, True, True, False, False]


def test_rules_with_a_memory_keep_places_apart() -> None:
    wet = wetness_rules.near_dew_point(np.array([[1.0, 5.0], [3.0, 3.0]]))

    assert wet.tolist() == [[True, False], [True, False]]


def test_a_windy_hour_can_be_wet_which_the_circulating_misprint_forbids() -> None:
    temperature_c, humidity_frac, wind_m_s = np.meshgrid(
        np.arange(1.0, 40.0), np.linspace(0.88, 1.0, 13), [2.5, 5.0, 20.0]
    )
    percent = 100.0 * humidity_frac
    score = wetness_rules.windy_score(temperature_c, humidity_frac, wind_m_s)
    misprinted = score - 0.0046 * percent**2 + 0.0046 * percent

    assert score.max() > 37.0
    assert misprinted.max() < 2.0


def test_frost_gives_the_tree_an_answer_and_no_warning() -> None:
    assert wetness_rules.tree_rule(np.array([-5.0, -5.0]), 0.97, np.array([0.5, 4.0])).dtype == bool


def test_a_day_is_never_wet_for_more_than_its_hours() -> None:
    hours = wetness_rules.daily_wetness_h(np.linspace(0.6, 1.0, 41), 0.6)

    assert hours.max() <= 24.0
    assert (np.diff(hours) >= 0.0).all()


def test_dew_on_a_plate_needs_a_sky_colder_than_the_air() -> None:
    assert wetness_rules.sensor_dew_w_m2(20.0, 0.95, 0.5, 0.0) < 0.0
    assert wetness_rules.sensor_dew_w_m2(20.0, 0.95, 0.5, -60.0) > 0.0


def test_a_leaf_cannot_be_more_than_covered() -> None:
    assert wetness_rules.covered_frac(np.array([0.0, 0.2, 0.9]), 0.2).tolist() == [0.0, 1.0, 1.0]

"""The stochastic weather generator."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.clock import quickest_s

from abaxial.place import Place
from abaxial.weather import generator
from abaxial.weather.series import between, empty

PLACE = Place(-27.5, 153.0, 20.0, "Australia/Brisbane")
FIRST = 480_000
SKETCH = replace(
    generator.assumed_sketch(PLACE), rain_days=(14.0,) * 4 + (5.0,) * 5 + (12.0,) * 3, rain_per_wet_day_mm=(9.0,) * 12
)
HISTORY = generator.invent(PLACE, SKETCH, first_hour=FIRST, hours=24 * 730, seed=5)
CLIMATE = generator.fit(HISTORY, PLACE)
NAMES = ("temperature_c", "dew_point_c", "wind_speed_m_s", "rain_mm", "shortwave_w_m2", "cloud_frac")


def simulated(seed=1, **changes):
    wanted = {"first_hour": FIRST + 24 * 730, "hours": 24 * 60, "members": 16, **changes}
    return generator.simulate(CLIMATE, seed=seed, **wanted)


def test_a_misprinted_matrix_does_not_give_back_the_published_correlations():
    m0 = [[1, 0.633, 0.186], [0.633, 1, -0.193], [0.186, -0.193, 1]]
    m1 = [[0.621, 0.445, 0.087], [0.563, 0.674, -0.1], [0.015, -0.091, 0.251]]
    _, b = generator.wgen_matrices(m0, m1)

    assert abs(b[0, 0] - 0.781) < 0.002 < abs(b[0, 0] - 0.718)
    assert abs(b[2, 1] + 0.341) < 0.002 < abs(b[2, 1] + 0.314)


def test_matrices_and_correlations_lead_to_each_other():
    m0 = np.array([[1, 0.6, 0.2], [0.6, 1, -0.1], [0.2, -0.1, 1]])
    m1 = 0.5 * m0
    back = generator.stationary_correlations(*generator.wgen_matrices(m0, m1))

    assert back[0] == pytest.approx(m0)
    assert back[1] == pytest.approx(m1)


@pytest.mark.parametrize("shape", [0.4, 0.7, 1.0, 3.0])
def test_gamma_quantiles_agree_with_a_reference_library(shape):
    share = np.array([0.01, 0.1, 0.5, 0.9, 0.99])

    assert generator.gamma_quantile(share, shape) == pytest.approx(
        stats.gamma(shape, scale=1 / shape).ppf(share), rel=0.01
    )


def test_the_shape_of_rain_amounts_is_found_again():
    amounts = stats.gamma(0.7, scale=12).rvs(4000, random_state=3)

    assert generator.gamma_shape(amounts) == pytest.approx(0.7, abs=0.05)


def test_invented_weather_keeps_to_its_sketch():
    rain_mm = HISTORY.rain_mm.reshape(-1, 24).sum(axis=1)
    wet = rain_mm > 0.3

    assert wet.mean() == pytest.approx(sum(SKETCH.rain_days) / 365, abs=0.06)
    assert rain_mm[rain_mm > 0].mean() == pytest.approx(9.0, rel=0.2)
    assert HISTORY.temperature_c.mean() == pytest.approx(np.mean(SKETCH.min_c + SKETCH.max_c), abs=1.5)


def test_invented_weather_is_possible_and_says_that_it_is_invented():
    assert all(np.isfinite(HISTORY.variable(name)).all() for name in ("temperature_c", "rain_mm", "cloud_frac"))
    assert 0.0 < HISTORY.relative_humidity_frac.min() <= HISTORY.relative_humidity_frac.max() <= 1.0
    assert HISTORY.findings[0].kind == "invented_weather"


def test_the_same_seed_gives_the_same_weather_and_another_seed_another():
    again, other = simulated(), simulated(seed=2)

    assert all((getattr(simulated(), name) == getattr(again, name)).all() for name in NAMES)
    assert (again.temperature_c != other.temperature_c).any()


def test_more_members_change_none_of_the_others():
    few, many = simulated(members=5), simulated(members=16)

    assert all((getattr(few, name) == getattr(many, name)[:, :5]).all() for name in NAMES)


def test_a_simulated_summer_is_as_rainy_as_the_summers_it_learnt_from():
    run = simulated(members=200, hours=24 * 90)
    course = run.first_hour % (24 * 365)
    hours = np.arange(HISTORY.hours) + FIRST
    alike = ((hours - course) % (24 * 365)) < 24 * 90

    learnt = (HISTORY.rain_mm[alike].reshape(-1, 24).sum(axis=1) > 0.3).mean()
    assert (run.rain_mm.reshape(90, 24, -1).sum(axis=1) > 0.3).mean() == pytest.approx(learnt, abs=0.12)


def test_wet_spells_are_about_as_long_as_those_it_learnt_from():
    def persistence(rain_mm):
        wet = rain_mm > 0.3
        return wet[1:][wet[:-1]].mean() - wet[1:][~wet[:-1]].mean()

    # from local midnight, so that a night's rain is not cut in two
    learnt = persistence(HISTORY.rain_mm[14:-10].reshape(-1, 24).sum(axis=1))
    run = simulated(members=100, hours=24 * 365, first_hour=FIRST + 24 * 730 + 14)
    assert persistence(run.rain_mm.reshape(365, 24, -1).sum(axis=1)) == pytest.approx(learnt, abs=0.1)


def test_rainy_hours_are_moister_than_dry_ones():
    run = simulated()
    depression_k = run.temperature_c - run.dew_point_c

    assert depression_k[run.rain_mm > 0].mean() < 0.5 * depression_k[run.rain_mm == 0].mean()
    assert depression_k.min() >= 0.0


@pytest.mark.alone
def test_two_months_for_sixteen_members_take_a_moment():
    assert quickest_s(lambda: simulated(seed=9)) < 0.3


def test_a_short_history_says_that_a_climate_was_assumed():
    short = generator.fit(between(HISTORY, FIRST, FIRST + 24 * 20), PLACE)

    assert short.assumed
    assert not CLIMATE.assumed


def test_a_short_history_still_moves_the_assumed_climate_to_its_own_temperature():
    cold = replace(between(HISTORY, FIRST, FIRST + 24 * 30), temperature_c=HISTORY.temperature_c[: 24 * 30] - 8)

    moved = (
        generator.fit(cold, PLACE).daily.mean[0, :, 1].mean()
        - generator.fit(empty(FIRST, 24), PLACE).daily.mean[0, :, 1].mean()
    )
    assert moved < -4.0


def test_no_history_at_all_still_gives_weather_without_gaps():
    climate = generator.fit(empty(FIRST, 48), PLACE)
    run = generator.simulate(climate, first_hour=FIRST, hours=100, members=4, seed=1)

    assert all(np.isfinite(getattr(run, name)).all() for name in NAMES)


def test_a_polar_night_and_a_polar_day_can_be_simulated():
    svalbard = Place(78.2, 15.6, 10.0, "Arctic/Longyearbyen")
    history = generator.invent(svalbard, generator.assumed_sketch(svalbard), first_hour=FIRST, hours=24 * 100, seed=1)
    run = generator.simulate(generator.fit(history, svalbard), first_hour=FIRST, hours=24 * 200, members=2, seed=1)

    assert all(np.isfinite(getattr(run, name)).all() for name in NAMES)

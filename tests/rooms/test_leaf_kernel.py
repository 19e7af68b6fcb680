"""The leaf kernel: the same as its NumPy twin, and the textbook leaf where its extras are taken away."""

import numpy as np
import pytest
from benchmarks import leaf_wetness, numpy_twin
from tests.one_leaf import Hours, drivers_of, run, wet_hours

from abaxial.microclimate import kernel, leaf_balance, vapour

# the textbook's conductances carry neither the 1.4 of open air nor free exchange
TEXTBOOK = 1.0 / 1.4


def test_the_compiled_kernel_and_its_numpy_twin_agree():
    drivers, leaf = leaf_wetness.invented_drivers(80, hours=240)
    shape, films = (10, 240, 4, 8), [np.zeros((10, 3, 8)) for _ in range(2)]
    answers = [np.empty(shape, np.float32) for _ in range(2)]

    kernel.leaf_hours(films[0], drivers, leaf, answers[0])
    numpy_twin.leaf_hours(films[1], drivers, leaf, answers[1])

    assert np.abs(answers[0] - answers[1]).max() < 1e-4


@pytest.mark.parametrize(
    ("temperature_c", "humidity", "wind_m_s", "sky"),
    [(20.0, 0.90, 0.5, 1.0), (20.0, 0.95, 0.5, 1.0), (15.0, 0.90, 0.5, 1.0), (20.0, 0.90, 2.0, 1.0)],
)
def test_a_night_leaf_without_extras_is_the_textbook_leaf(temperature_c, humidity, wind_m_s, sky):
    weather = Hours(temperature_c, humidity, wind_m_s, sky_frac=sky, exchange_factor=TEXTBOOK, storage_mm=10.0)
    textbook_c, textbook_dew = leaf_balance.night_leaf(
        temperature_c, humidity, wind_m_s, sky_view_frac=sky, size_m=0.2 * 0.72, is_wet=True
    )

    hour = run(weather, 40, film_mm=5.0)
    dew = hour[-1, 3] - hour[-2, 3]

    # free exchange, which the textbook form leaves out, warms the leaf a little
    assert hour[-1, 2] == pytest.approx(textbook_c, abs=0.35)
    assert dew == pytest.approx(textbook_dew, abs=0.006)


def test_half_a_hidden_sky_takes_the_dew_away():
    open_sky, half_sky = Hours(20.0, 0.9, 0.5, sky_frac=1.0), Hours(20.0, 0.9, 0.5, sky_frac=0.5)

    gained = [np.diff(run(each, 10, film_mm=0.02)[-3:, 3])[-1] for each in (open_sky, half_sky)]

    assert gained[0] > 0.005 > 0.001 > gained[1]


def test_wind_takes_the_dew_away():
    calm, windy = Hours(20.0, 0.9, 0.5, storage_mm=10.0), Hours(20.0, 0.9, 3.0, storage_mm=10.0)

    assert run(calm, 10)[-1, 3] > 0.1 > run(windy, 10)[-1, 3]


def test_shade_keeps_a_rained_on_leaf_wet_longer_by_day():
    rain = np.where(np.arange(12) == 0, 3.0, 0.0)
    sunny = Hours(24.0, 0.65, 1.0, rain_mm=rain, sun_w_m2=500.0, cloud_frac=0.3, sky_frac=1.0)

    assert wet_hours(sunny._replace(sky_frac=0.2), 12) >= wet_hours(sunny, 12) + 1.0


def test_a_large_leaf_dries_more_slowly_than_a_small_one():
    rain = np.where(np.arange(12) == 0, 3.0, 0.0)
    small = Hours(20.0, 0.75, 0.3, rain_mm=rain, cloud_frac=1.0, leaf_width_m=0.03)

    assert wet_hours(small._replace(leaf_width_m=0.25), 12) > wet_hours(small, 12)


def test_the_lower_face_is_wetted_by_dew_as_the_upper_one_is():
    wet = run(Hours(20.0, 0.97, 0.2), 8)

    assert wet[-1, 1] == pytest.approx(wet[-1, 0], abs=0.02)


def test_a_film_in_still_cloudy_air_follows_the_humidity_rule():
    """No sky to cool to and no sun: the leaf is wet where humidity passes the activity at which films join up."""
    overcast = Hours(18.0, 0.80, 0.5, sky_frac=0.0)
    wet_at = [run(overcast._replace(relative_humidity_frac=h), 24)[-1, 0] for h in (0.80, 0.85, 0.88, 0.91, 0.95)]

    assert wet_at == pytest.approx([0.0, 0.0, 0.25, 0.625, 1.0], abs=0.05)


def test_moist_air_under_foliage_keeps_leaves_wet():
    rain = np.where(np.arange(12) == 0, 3.0, 0.0)
    airy = Hours(20.0, 0.75, 0.3, rain_mm=rain, cloud_frac=1.0, sky_frac=0.3)

    assert wet_hours(airy._replace(moist_frac=0.5), 12) > wet_hours(airy, 12)


def test_no_wind_no_sun_and_dry_air_give_numbers():
    answer = run(Hours(35.0, 0.05, 0.0, sky_frac=1.0), 5)

    assert np.isfinite(answer).all()


def test_the_film_left_is_the_root_of_the_implicit_step():
    before, supply, demand, solute = 0.05, 0.21, 0.24, 0.001
    film, _ = kernel.film_after_hour_mm(before, supply, demand, solute)

    assert film == pytest.approx(before + supply - demand * film / (film + solute), abs=1e-12)


def test_drivers_of_the_tests_hold_the_vapour_they_claim():
    drivers, _ = drivers_of(Hours(20.0, 0.5), 1)

    assert drivers.air[0, 1, 0] == pytest.approx(0.5 * vapour.saturation_vapour_pressure_kpa(20.0))

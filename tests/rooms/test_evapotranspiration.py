"""Evapotranspiration: the poles, the night, and a day made of hours."""

import numpy as np
import pytest

from abaxial.compiled import small_kernel
from abaxial.microclimate import evapotranspiration as et
from abaxial.microclimate import soil_water, wetness_rules


def test_beyond_the_circle_a_day_has_24_hours_or_none() -> None:
    assert et.daylight_h(80.0, np.array([172.0, 355.0])) == pytest.approx([24.0, 0.0])
    assert et.extraterrestrial_mj_m2_d(80.0, 355.0) == pytest.approx(0.0, abs=1e-9)


def test_the_hours_of_a_day_add_up_to_the_day_wherever_one_stands() -> None:
    middle_h = np.arange(24.0)[:, None] + 0.5
    latitude_deg = np.array([-80.0, -35.0, 0.0, 20.0, 60.0])

    hours = et.extraterrestrial_mj_m2_h(latitude_deg, np.array([170.0, 18.0, 33.0, -70.0, 10.0]), 20.0, middle_h)

    assert hours.sum(axis=0) == pytest.approx(et.extraterrestrial_mj_m2_d(latitude_deg, 20.0), abs=0.01)


def test_drier_windier_and_sunnier_air_each_take_more() -> None:
    usual = et.reference_mm_h(25.0, 0.6, 1.0, 1.5, 0.7, 101.3)

    assert et.reference_mm_h(25.0, 0.4, 1.0, 1.5, 0.7, 101.3) > usual
    assert et.reference_mm_h(25.0, 0.6, 3.0, 1.5, 0.7, 101.3) > usual
    assert et.reference_mm_h(25.0, 0.6, 1.0, 2.5, 0.7, 101.3) > usual


def test_a_darker_sky_than_the_formula_knows_is_held_at_its_darkest() -> None:
    black, darkest = (et.reference_mm_h(20.0, 0.8, 1.0, 0.1, relative, 101.3) for relative in (0.0, 0.3))

    assert black == darkest


def test_a_thermometer_that_stands_still_says_nothing_of_water() -> None:
    assert et.reference_from_temperature_mm_d(20.0, 20.0, 30.0) == 0.0


def test_closing_foliage_brings_a_bed_from_bare_soil_to_full_use() -> None:
    use = et.cover_coefficient(np.array([0.0, 1.0, 3.0, 10.0]), 0.2, 1.1)

    assert use[0] == 0.2
    assert (np.diff(use) > 0.0).all()
    assert use[-1] == pytest.approx(1.1, abs=0.001)


@small_kernel
def in_a_kernel(answer):
    """Water formulas computed inside compiled code."""
    answer[0] = et.reference_mm_h(25.0, 0.6, 1.0, 1.5, 0.7, 101.3)
    answer[1] = et.reference_mm_d((14.0, 27.0), 1.4, 2.0, 20.0, 30.0, 101.3)
    answer[2] = et.extraterrestrial_mj_m2_h(-36.8, 174.7, 20.0, 1.5)
    answer[3], answer[4], answer[5] = soil_water.step(90.0, 5.0, 4.0, 100.0, 0.4)
    answer[6] = wetness_rules.calm_score(20.0, 0.9, 0.5)
    answer[7] = wetness_rules.sensor_dew_w_m2(20.0, 0.95, 0.5, -60.0)
    answer[8] = wetness_rules.covered_frac(0.1, 0.2)


def test_water_formulas_say_the_same_inside_compiled_code_and_outside() -> None:
    inside, outside = np.zeros(9), np.zeros(9)

    in_a_kernel(inside)
    in_a_kernel.py_func(outside)

    assert inside == pytest.approx(outside, rel=1e-9)

"""Water vapour: what must hold whatever the coefficients."""

import numpy as np
import pytest

from abaxial.compiled import small_kernel
from abaxial.microclimate import boundary_layer, canopy, radiation, vapour
from abaxial.weather import sun

TEMPERATURE_C = np.linspace(-10.0, 45.0, 56)


@small_kernel
def in_a_kernel(temperature_c, humidity_frac, answer):
    """A number from every formula file, computed inside compiled code."""
    air_kpa = vapour.vapour_pressure_kpa(temperature_c, humidity_frac)
    answer[0] = vapour.dew_point_c(air_kpa)
    answer[1] = vapour.wet_bulb_c(temperature_c, humidity_frac, vapour.atmospheric_pressure_kpa(500.0))
    answer[2] = radiation.clear_sky_emissivity_frac(air_kpa, temperature_c)
    answer[3] = radiation.longwave_w_m2(answer[2], temperature_c)
    answer[4] = radiation.diffuse_frac(0.5)
    answer[5] = boundary_layer.free_heat_mol_m2_s(-2.0, 0.2)
    answer[6] = canopy.wind_in_canopy_m_s(2.0, 0.5, canopy.wind_attenuation(2.0, 0.25, 1.5))
    answer[7], answer[8] = sun.solar_position(400000.5, -36.8, 174.7)


def test_formulas_say_the_same_inside_compiled_code_and_outside() -> None:
    inside, outside = np.zeros(9), np.zeros(9)

    in_a_kernel(18.0, 0.9, inside)
    in_a_kernel.py_func(18.0, 0.9, outside)

    assert inside == pytest.approx(outside, rel=1e-9)


def test_air_cooled_to_its_dew_point_is_saturated() -> None:
    back_c = vapour.dew_point_c(vapour.saturation_vapour_pressure_kpa(TEMPERATURE_C))

    assert back_c == pytest.approx(TEMPERATURE_C, abs=0.02)


def test_the_slope_is_the_rise_of_saturation_over_a_small_step() -> None:
    above = vapour.saturation_vapour_pressure_kpa(TEMPERATURE_C + 0.01)
    below = vapour.saturation_vapour_pressure_kpa(TEMPERATURE_C - 0.01)

    slope = vapour.slope_saturation_vapour_pressure_kpa_per_k(TEMPERATURE_C)

    assert slope == pytest.approx((above - below) / 0.02, rel=1e-3)


def test_a_wet_thermometer_stands_between_dew_point_and_air() -> None:
    wet_c = vapour.wet_bulb_c(TEMPERATURE_C, 0.6, 101.3)

    assert (wet_c < TEMPERATURE_C).all()
    assert (wet_c > vapour.dew_point_c(vapour.vapour_pressure_kpa(TEMPERATURE_C, 0.6))).all()


def test_ice_holds_less_vapour_than_water_below_freezing() -> None:
    cold_c = np.array([-30.0, -10.0, -1.0])

    over_ice = vapour.saturation_vapour_pressure_over_ice_kpa(cold_c)

    assert (over_ice < vapour.saturation_vapour_pressure_wmo_kpa(cold_c)).all()


def test_saturation_formulas_differ_by_less_than_half_a_hundredth() -> None:
    warm_c = np.linspace(0.0, 40.0, 41)
    ours = vapour.saturation_vapour_pressure_kpa(warm_c)

    assert vapour.saturation_vapour_pressure_wmo_kpa(warm_c) == pytest.approx(ours, rel=0.005)
    assert vapour.saturation_vapour_pressure_magnus_kpa(warm_c) == pytest.approx(ours, rel=0.005)

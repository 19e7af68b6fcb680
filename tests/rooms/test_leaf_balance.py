"""One textbook leaf: its energy closes, and every contrast has the right sign."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.microclimate import leaf_balance, wetness_rules


@given(
    temperature_c=st.floats(2.0, 32.0),
    humidity_frac=st.floats(0.3, 1.0),
    wind_m_s=st.floats(0.1, 5.0),
    sky_frac=st.floats(0.0, 1.0),
)
def test_a_wet_leaf_gains_what_it_loses_and_dews_no_more_than_nature(
    temperature_c: float, humidity_frac: float, wind_m_s: float, sky_frac: float
) -> None:
    leaf_c, dew_mm_h = leaf_balance.night_leaf(temperature_c, humidity_frac, wind_m_s, sky_frac, 0.2, True)
    around = leaf_balance.surroundings(temperature_c, humidity_frac, wind_m_s, sky_frac, 0.2)
    heat_w_m2 = leaf_balance.CP_J_MOL_K * around.heat_mol_m2_s * (leaf_c - temperature_c)
    latent_w_m2 = leaf_balance.LATENT_J_MOL * dew_mm_h / leaf_balance.MM_H_PER_MOL_M2_S

    assert leaf_balance.net_radiation_w_m2(around, leaf_c) + latent_w_m2 == pytest.approx(heat_w_m2, abs=1e-6)
    assert dew_mm_h < 0.08


def test_dew_stays_below_what_the_lost_heat_can_set_down() -> None:
    leaf_c, dew_mm_h = leaf_balance.night_leaf(20.0, 1.0, 0.5, 1.0, 0.2, True)
    around = leaf_balance.surroundings(20.0, 1.0, 0.5, 1.0, 0.2)

    assert dew_mm_h < 1.02 * wetness_rules.greatest_dew_mm_h(20.0, -leaf_balance.net_radiation_w_m2(around, leaf_c))


@pytest.mark.parametrize(("wind_m_s", "sky_frac"), [(0.5, 0.5), (2.0, 1.0)])
def test_a_hidden_sky_or_a_wind_keeps_a_leaf_free_of_dew(wind_m_s: float, sky_frac: float) -> None:
    open_and_calm = leaf_balance.night_leaf(20.0, 0.9, 0.5, 1.0, 0.2, False)[1]

    assert open_and_calm > 0.0
    assert leaf_balance.night_leaf(20.0, 0.9, wind_m_s, sky_frac, 0.2, False)[1] == 0.0


def test_shade_by_day_keeps_a_wet_leaf_wet() -> None:
    sunny, shaded = (leaf_balance.wet_leaf_by_day(25.0, 0.7, 0.5, 0.7, 0.2, light)[1] for light in (200.0, 10.0))

    assert sunny > 2.0 * shaded


def test_a_broad_leaf_is_colder_at_night_than_a_narrow_one() -> None:
    broad_c, narrow_c = (leaf_balance.night_leaf(20.0, 0.6, 0.5, 1.0, size_m, False)[0] for size_m in (0.2, 0.02))

    assert broad_c < narrow_c

"""The bucket under a bed: no drop is made or lost."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.microclimate import soil_water


@given(
    depletion_mm=st.floats(0.0, 100.0),
    water_mm=st.floats(0.0, 200.0),
    wanted_mm=st.floats(0.0, 12.0),
    easy_frac=st.floats(0.1, 0.8),
)
def test_what_comes_in_is_drained_used_or_kept(
    depletion_mm: float, water_mm: float, wanted_mm: float, easy_frac: float
) -> None:
    after_mm, drained_mm, used_mm = soil_water.step(depletion_mm, water_mm, wanted_mm, 100.0, easy_frac)

    assert depletion_mm - after_mm == pytest.approx(water_mm - drained_mm - used_mm, abs=1e-9)
    assert 0.0 <= after_mm <= 100.0


def test_a_dry_spell_slows_itself() -> None:
    depletion_mm = soil_water.depletion_over_days_mm(0.0, np.zeros(200), 6.0, available_mm=100.0, easy_share_frac=0.35)

    assert (np.diff(depletion_mm, n=2)[8:] <= 1e-12).all()
    assert 95.0 < depletion_mm[-1] < 100.0


def test_members_of_different_rain_go_their_own_way() -> None:
    water_mm = np.array([[0.0, 10.0], [0.0, 0.0]])

    depletion_mm = soil_water.depletion_over_days_mm(20.0, water_mm, 4.0, available_mm=100.0, easy_share_frac=0.5)

    assert depletion_mm == pytest.approx(np.array([[24.0, 14.0], [28.0, 18.0]]))


def test_a_hot_day_makes_plants_thirsty_sooner() -> None:
    mild, hot = soil_water.easy_share_frac(0.35, np.array([3.0, 8.0]))

    assert hot < mild
    assert soil_water.easy_share_frac(0.75, 0.0) == 0.8

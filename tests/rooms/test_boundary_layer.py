"""The still air around a leaf: which way it answers."""

import numpy as np
import pytest

from abaxial.microclimate import boundary_layer


def test_a_leaf_four_times_as_wide_exchanges_half_as_much() -> None:
    narrow, broad = (boundary_layer.forced_heat_mol_m2_s(1.0, size_m) for size_m in (0.05, 0.2))

    assert broad == pytest.approx(narrow / 2.0)


def test_vapour_passes_a_little_faster_than_heat() -> None:
    heat = boundary_layer.forced_heat_mol_m2_s(1.0, 0.1)

    assert 1.0 < boundary_layer.forced_vapour_mol_m2_s(1.0, 0.1) / heat < 1.15


def test_in_still_air_only_the_leafs_own_warmth_moves_the_air() -> None:
    assert boundary_layer.forced_heat_mol_m2_s(0.0, 0.1) == 0.0
    assert boundary_layer.free_heat_mol_m2_s(np.array([-2.0, 2.0]), 0.1).min() > 0.0


def test_two_ways_to_write_the_same_exchange_agree_within_a_quarter() -> None:
    wind_m_s = np.array([0.2, 1.0, 3.0])
    molar_m_s = boundary_layer.forced_heat_mol_m2_s(wind_m_s, 0.1) / 41.6

    assert boundary_layer.flat_plate_heat_m_s(wind_m_s, 0.1) == pytest.approx(molar_m_s, rel=0.25)
    assert boundary_layer.forced_leuning_m_s(wind_m_s, 0.1) == pytest.approx(molar_m_s, rel=0.25)

"""Foliage, walls and hedges: limits and order."""

import numpy as np
import pytest

from abaxial.microclimate import canopy


def test_without_leaves_all_light_comes_through() -> None:
    assert canopy.light_through_frac(0.7, 0.0) == 1.0


def test_wind_dies_away_downward_and_faster_where_leaves_are_dense() -> None:
    heights_frac = np.array([0.2, 0.5, 0.9])
    thin = canopy.wind_in_canopy_m_s(2.0, heights_frac, canopy.wind_attenuation(1.0, 0.25, 1.5))
    dense = canopy.wind_in_canopy_m_s(2.0, heights_frac, canopy.wind_attenuation(4.0, 0.25, 1.5))

    assert (np.diff(thin) > 0.0).all()
    assert (dense < thin).all()


def test_a_wall_of_no_height_hides_nothing_and_an_endless_one_hides_half() -> None:
    assert canopy.wall_sky_view_frac(0.0, 1.0) == 1.0
    assert canopy.wall_sky_view_frac(1e6, 1.0) == pytest.approx(0.5, abs=1e-5)


def test_two_walls_hide_what_each_hides_alone_midway_between_them() -> None:
    hidden_by_one = 1.0 - canopy.wall_sky_view_frac(2.0, 1.5)

    assert canopy.canyon_sky_view_frac(2.0, 3.0) == pytest.approx(1.0 - 2.0 * hidden_by_one)


def test_flat_leaves_take_overhead_light_and_upright_ones_let_it_by() -> None:
    flat, upright = canopy.ellipsoidal_extinction(0.0, 5.0), canopy.ellipsoidal_extinction(0.0, 0.2)

    assert flat > 2.0 * upright


def test_a_sphere_of_leaves_is_the_same_by_both_formulas() -> None:
    zenith_deg = np.array([10.0, 40.0, 70.0])

    assert canopy.ellipsoidal_extinction(zenith_deg, 1.0) == pytest.approx(
        canopy.spherical_extinction(90.0 - zenith_deg), rel=0.002
    )


def test_wind_at_the_height_it_was_measured_is_what_was_measured() -> None:
    assert canopy.wind_log_law_frac(2.0, 2.0, 0.08, 0.0148) == 1.0
    assert canopy.wind_to_two_metres_frac(2.0) == pytest.approx(1.0, abs=0.001)

"""Radiation: signs and joins."""

import numpy as np

from abaxial.microclimate import radiation, vapour


def test_a_moister_sky_is_warmer() -> None:
    vapour_kpa = vapour.vapour_pressure_kpa(20.0, np.linspace(0.2, 1.0, 9))

    assert (np.diff(radiation.clear_sky_emissivity_frac(vapour_kpa, 20.0)) > 0.0).all()
    assert (np.diff(radiation.clear_sky_emissivity_prata_frac(vapour_kpa, 20.0)) > 0.0).all()


def test_clouds_warm_the_sky_and_never_beyond_a_black_body() -> None:
    emissivity_frac = radiation.cloudy_sky_emissivity_frac(0.8, np.linspace(0.0, 1.0, 11))

    assert (np.diff(emissivity_frac) > 0.0).all()
    assert emissivity_frac[-1] < 1.0


def test_the_diffuse_share_falls_without_a_jump_as_the_sky_clears() -> None:
    share_frac = radiation.diffuse_frac(np.linspace(0.0, 1.2, 1201))

    assert (np.abs(np.diff(share_frac)) < 0.01).all()
    assert share_frac[0] == 1.0
    assert 0.15 < share_frac.min() < 0.17

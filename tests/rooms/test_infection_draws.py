"""A thousand versions of a rust: spread as wide as is known, in order, and the same every time."""

import numpy as np
import pytest

from abaxial.infection import curves, draws, latency, pathogen, response

CANNA = pathogen.read_pathogen("canna_rust")
DRAWS = draws.make_draws(CANNA, seed=1)


def test_a_thousand_draws_become_sixty_four_for_each_of_sixteen_members():
    assert DRAWS.first_wet_h.shape == (16, 64)
    assert DRAWS.total == 1024


@pytest.mark.parametrize("rust", pathogen.pathogen_keys())
def test_limits_stay_in_order_in_every_draw(rust):
    drawn = draws.make_draws(pathogen.read_pathogen(rust), seed=5)

    assert (drawn.infection_minimum_c < drawn.infection_optimum_c).all()
    assert (drawn.infection_optimum_c < drawn.infection_maximum_c).all()
    assert (drawn.latent_minimum_c < drawn.latent_optimum_c).all()
    assert (drawn.latent_optimum_c < drawn.latent_maximum_c).all()
    assert (drawn.first_wet_h < drawn.full_wet_h).all()


@pytest.mark.parametrize("name", ["first_wet_h", "shortest_latent_d", "infection_optimum_c", "showing_span_d"])
def test_nine_in_ten_draws_of_a_measured_rust_lie_in_its_range(name):
    rust = pathogen.read_pathogen("daylily_rust")
    values = getattr(draws.make_draws(rust, seed=2), name)
    known = rust.parameters[name]

    assert np.mean((values >= known.low) & (values <= known.high)) == pytest.approx(0.9, abs=0.02)
    assert np.median(values) == pytest.approx(known.value, abs=0.02 * (known.high - known.low))


def test_relatives_speak_for_canna_rust_by_their_weight():
    shares = np.bincount(DRAWS.analogue.ravel()) / DRAWS.total

    np.testing.assert_allclose(shares, [each.weight_frac for each in CANNA.analogues], atol=0.002)


def test_draws_of_canna_rust_cover_the_judged_latent_periods():
    # the judged table at 16, 20, 25 and 28 °C: shortest, middle, longest
    judged = {16.0: (13.2, 19.4, 35.0), 20.0: (8.5, 11.7, 18.3), 25.0: (7.0, 9.1, 13.4), 28.0: (7.7, 9.3, 13.1)}
    limits = DRAWS.latent_minimum_c, DRAWS.latent_optimum_c, DRAWS.latent_maximum_c, DRAWS.shortest_latent_d
    drawn = np.array([np.quantile(latency.latent_period_d(t, *limits), (0.1, 0.5, 0.9)) for t in judged])

    np.testing.assert_allclose(drawn, list(judged.values()), rtol=0.25)


def test_draws_of_canna_rust_cover_the_judged_wet_hours():
    judged = {20.0: (4.0, 6.6, 11.9), 24.0: (4.4, 6.1, 9.1)}
    limits = DRAWS.infection_minimum_c, DRAWS.infection_optimum_c, DRAWS.infection_maximum_c, DRAWS.first_wet_h
    drawn = np.array([np.quantile(response.required_wetness_h(t, *limits, 48.0), (0.1, 0.5, 0.9)) for t in judged])

    np.testing.assert_allclose(drawn, list(judged.values()), rtol=0.3)


def test_the_same_seed_makes_the_same_draws_and_another_makes_others():
    again, other = draws.make_draws(CANNA, seed=1), draws.make_draws(CANNA, seed=2)

    np.testing.assert_array_equal(again.first_wet_h, DRAWS.first_wet_h)
    assert (other.first_wet_h != DRAWS.first_wet_h).any()


def test_tables_give_the_curves_back():
    tables = curves.curves_of(DRAWS)
    row = int((19.3 - curves.COLDEST_C) * curves.ROWS_PER_C)
    part = (19.3 - curves.COLDEST_C) * curves.ROWS_PER_C - row

    read_off = tables.infection_frac[:, row] * (1 - part) + tables.infection_frac[:, row + 1] * part
    exact = response.beta_response_frac(
        19.3, DRAWS.infection_minimum_c, DRAWS.infection_optimum_c, DRAWS.infection_maximum_c
    )

    np.testing.assert_allclose(read_off, exact, atol=1e-3)

"""What must be true of infection by any rust."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from tests.one_rust import Leaf, infected, nights_on, wet_from

from abaxial.infection import pathogen, response, survival

RUSTS = st.sampled_from(pathogen.pathogen_keys())
temperatures = st.floats(5.0, 35.0)


@given(RUSTS, temperatures, st.integers(2, 20), st.integers(1, 20), st.integers(0, 6), st.integers(0, 6))
def test_a_longer_wet_spell_never_lets_in_fewer(rust, temperature, first, hours, earlier, later):
    short = infected(Leaf(wet_from(first + 6, hours), temperature), rust=rust)

    long = infected(Leaf(wet_from(first + 6 - earlier, hours + earlier + later), temperature), rust=rust)

    assert long >= short - 1e-5


@given(RUSTS, temperatures, st.integers(0, 10_000))
def test_the_share_that_gets_in_lies_between_none_and_all(rust, temperature, seed):
    pick = np.random.default_rng(seed)
    leaf = Leaf(pick.integers(0, 2, 120).astype(float), temperature, pick.uniform(0.4, 1.0, 120), 300.0)

    share = nights_on(leaf, 5, rust).infected_frac

    assert (share >= 0.0).all()
    assert (share <= 1.0).all()


@given(RUSTS, st.floats(0.0, 40.0), st.floats(1.0, 30.0))
def test_more_sun_on_waiting_spores_never_lets_more_in(rust, dose_mj, more_mj):
    low, high = (
        nights_on(Leaf(wet_from(36, 12), 20.0, 0.6, sun / 36 / 0.0036), 2, rust).infected_frac[0, 0, :, 0].sum()
        for sun in (dose_mj, dose_mj + more_mj)
    )

    assert high <= low + 1e-6


@given(st.floats(-20.0, 60.0), st.floats(-5.0, 15.0), st.floats(2.0, 20.0), st.floats(2.0, 20.0))
def test_response_lies_between_none_and_one_and_is_none_outside_the_limits(t, minimum, above, below):
    speed = response.beta_response_frac(t, minimum, minimum + above, minimum + above + below)

    assert 0.0 <= speed <= 1.0 + 1e-12
    assert speed == 0.0 or minimum < t < minimum + above + below


@given(st.floats(-5.0, 15.0), st.floats(2.0, 20.0), st.floats(2.0, 20.0))
def test_response_is_one_at_the_optimum(minimum, above, below):
    best = minimum + above

    assert abs(response.beta_response_frac(best, minimum, best, best + below) - 1.0) < 1e-9


@given(st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_doses_of_sun_add_up(first, second):
    at_once = survival.alive_frac(first + second, 0.0, 0.07, 0.0)

    in_turn = survival.alive_frac(first, 0.0, 0.07, 0.0) * survival.alive_frac(second, 0.0, 0.07, 0.0)

    assert abs(at_once - in_turn) < 1e-12


@given(RUSTS)
def test_a_dark_dry_day_kills_at_most_six_in_a_hundred(rust):
    from_yesterday = nights_on(Leaf(wet_from(48, 24, 72), 20.0), 3, rust).infected_frac[0, 0, 2, 0]

    immortal = nights_on(Leaf(wet_from(48, 24, 72), 20.0), 3, rust, dark_loss_per_d=0.0).infected_frac[0, 0, 2, 0]

    assert 0.94 < from_yesterday / immortal < 1.06


def test_a_false_start_may_cost_more_than_it_brings():
    # the exception to "more wet hours, more infection": four wet hours, then dry, kill what a later night would let in
    without = nights_on(Leaf(wet_from(36, 12), 23.0), 2).infected_frac[0, 0, 1, 0]

    with_false_start = nights_on(Leaf(wet_from(36, 12) + wet_from(28, 4), 23.0), 2).infected_frac[0, 0, 1, 0]

    assert with_false_start < without

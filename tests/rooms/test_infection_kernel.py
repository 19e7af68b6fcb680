"""The kernel against its own rules in plain Python, and the small cases one can do by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.one_rust import Leaf, central, hours_on, nights_on, twin, wet_from

from abaxial.errors import FaultError
from abaxial.infection import curves, draws, kernel, pathogen, response

HOURS = 96


@st.composite
def leaves(draw: st.DrawFn) -> Leaf:
    """Four days of any wetness and weather, wet and dry in runs as in nature."""
    pick = np.random.default_rng(draw(st.integers(0, 10_000)))
    wet = np.repeat(pick.integers(0, 2, HOURS), pick.integers(1, 14, HOURS))[:HOURS].astype(float)
    return Leaf(wet, pick.uniform(5.0, 36.0, HOURS), pick.uniform(0.5, 1.0, HOURS), pick.uniform(0.0, 900.0, HOURS))


@given(leaves(), st.sampled_from(["canna_rust", "daylily_rust", "pelargonium_rust", "bean_rust"]))
def test_the_kernel_does_what_its_rules_say(leaf, rust):
    numbers = central(rust)

    fast = kernel.infect(hours_on(leaf, HOURS), curves.curves_of(numbers), np.arange(0, HOURS + 1, 24))
    share, ripe = twin(leaf, HOURS, numbers)

    np.testing.assert_allclose(fast.infected_frac[0, 0, :, 0], share, atol=2e-3)
    np.testing.assert_allclose(fast.progress[0, 0, :, 0], ripe, atol=1e-3)


def test_a_dry_leaf_is_never_infected():
    nights = nights_on(Leaf(is_wet=0.0), 5)

    assert nights.infected_frac.max() == 0.0


def test_a_wet_spell_of_six_hours_at_the_best_temperature_is_the_first_to_infect():
    shares = [nights_on(Leaf(wet_from(20, hours), 23.0), 2).infected_frac[0, 0, :, 0].sum() for hours in (5, 9)]

    assert shares[0] == 0.0
    assert shares[1] > 0.05


@pytest.mark.parametrize("hours", [8, 10, 14, 20])
def test_a_steady_stream_of_newcomers_equals_reckoning_every_hour_of_landing_by_itself(hours):
    # one day's fall has waited, and a twenty-fourth of a fall lands in each wet hour
    night = nights_on(Leaf(wet_from(24, hours), 23.0), 2, sun_loss_per_mj=0.0, dark_loss_per_d=0.0)

    landed_in_spell = response.infected_share_frac(np.arange(1.0, hours + 1.0), 6.0, 14.0).sum() / 24.0
    by_itself = (response.infected_share_frac(float(hours), 6.0, 14.0) + landed_in_spell) / 2.0
    assert night.infected_frac[0, 0, 1, 0] == pytest.approx(by_itself, abs=1e-4)


def test_a_dry_break_kills_of_the_germinated_and_a_humid_one_does_not():
    wet = wet_from(24, 20)
    wet[29] = 0.0
    dry, humid = (nights_on(Leaf(wet, 23.0, humidity), 2).infected_frac[0, 0, 1, 0] for humidity in (0.6, 0.95))

    assert dry < 0.8 * humid


def test_a_break_kills_only_what_had_germinated():
    # after one wet hour a third has germinated, after three hours all
    unbroken, early, late = wet_from(24, 16), wet_from(24, 16), wet_from(24, 16)
    early[25] = 0.0
    late[28] = 0.0
    whole, after_one, after_four = (
        nights_on(Leaf(wet, 23.0), 2, break_kill_frac=1.0).infected_frac[0, 0, 1, 0] for wet in (unbroken, early, late)
    )

    assert whole > after_one > 2.0 * after_four


def test_infections_of_a_night_are_dated_by_the_hours_in_which_they_happened():
    nights = nights_on(Leaf(wet_from(26, 12), 26.0), 2)
    at, progress = nights.progress_at_infection[0, 0, 1, 0], nights.progress[0, 0, :, 0]

    assert progress[1] + 6 / 216 < at < progress[1] + 14 / 216


def test_draws_and_members_do_not_touch_each_other():
    rust = pathogen.read_pathogen("canna_rust")
    numbers = draws.make_draws(rust, seed=3, members=2, at_least=32)
    leaf = hours_on(Leaf(wet_from(20, 12), 21.0), 48)
    two = kernel.LeafHours(*(np.repeat(each, 2, axis=2) for each in leaf))
    whole = kernel.infect(two, curves.curves_of(numbers), np.array([0, 24, 48]))
    one = draws.Draws(*(each[1:, 5:6] if isinstance(each, np.ndarray) else each for each in numbers))

    alone = kernel.infect(leaf, curves.curves_of(one), np.array([0, 24, 48]))

    np.testing.assert_allclose(whole.infected_frac[0, 1, :, 5], alone.infected_frac[0, 0, :, 0], atol=1e-6)


def test_gaps_in_the_hours_are_our_own_fault():
    with pytest.raises(FaultError, match="gaps"):
        nights_on(Leaf(temperature_c=np.nan), 1)

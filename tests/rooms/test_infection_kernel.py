"""The kernel against its own rules in plain Python, and the small cases one can do by hand."""

import numpy as np
import pytest
from benchmarks import nights_twin
from hypothesis import given
from hypothesis import strategies as st
from tests.one_rust import Leaf, central, hours_on, nights_on, twin, wet_from

from abaxial.errors import FaultError
from abaxial.infection import curves, draws, kernel, library, pathogen, response

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


def wild_hours(seed: int, members: int = 2, days: int = 12) -> kernel.LeafHours:
    """Two levels, wet and dry in runs, another weather for each member."""
    pick = np.random.default_rng(seed)
    shape = (24 * days, 2, members)
    runs = pick.integers(1, 16, shape)
    wet = np.stack(
        [
            np.repeat(np.arange(24 * days) % 2, runs[:, level, m])[: 24 * days]
            for level in range(2)
            for m in range(members)
        ],
        axis=1,
    ).reshape(shape)
    return kernel.LeafHours(wet, pick.uniform(5, 35, shape), pick.uniform(0.5, 1, shape), pick.uniform(0, 900, shape))


def thirteen_days() -> np.ndarray:
    """Garden days of 24 hours, but for a short first and a short last one."""
    return np.array([0, *range(10, 24 * 12, 24), 24 * 12])


@pytest.mark.parametrize("rust", ["canna_rust", "daylily_rust", "pelargonium_rust", "bean_rust"])
def test_single_precision_says_what_double_precision_says(rust):
    tables = curves.curves_of(draws.make_draws(pathogen.read_pathogen(rust), seed=5, members=2, at_least=160))

    fast, exact = (way(wild_hours(6), tables, thirteen_days()) for way in (kernel.infect, nights_twin.infect))

    for name in ("infected_frac", "progress", "wet_reach_h", "alive_frac"):
        np.testing.assert_allclose(getattr(fast, name), getattr(exact, name), rtol=1e-5, atol=5e-6, err_msg=name)
    dated = exact.infected_frac > 1e-4
    np.testing.assert_allclose(fast.progress_at_infection[dated], exact.progress_at_infection[dated], atol=1e-5)


def test_wet_reach_counts_the_wet_hours_of_the_longest_spell_that_touched_the_day():
    # at the best temperature: nothing; 3 hours, then 5 up to the day's end; those 5 and 4 more; nothing
    wet = wet_from(26, 3, 96) + wet_from(43, 9, 96)
    nights = nights_on(Leaf(wet, 23.0, 0.6), 4)

    assert nights.wet_reach_h[0, 0, :, 0] == pytest.approx([0.0, 5.0, 9.0, 0.0], abs=1e-3)


def test_wet_reach_says_what_share_of_the_spores_that_waited_is_inside():
    # with so much on the leaf that what lands in the spell does not count
    nights = nights_on(Leaf(wet_from(960, 12, 984), 21.0), 41, sun_loss_per_mj=0.0, dark_loss_per_d=0.0)

    expected = response.infected_share_frac(nights.wet_reach_h[0, 0, 40, 0], 6.0, 14.0)
    assert expected > 0.2
    assert nights.infected_frac[0, 0, 40, 0] == pytest.approx(expected, rel=0.03)


def test_nothing_dies_where_neither_sun_nor_darkness_nor_a_break_kills():
    unharmed = {"sun_loss_per_mj": 0.0, "dark_loss_per_d": 0.0, "break_kill_frac": 0.0}
    nights = nights_on(Leaf(wet_from(30, 9, 96) + wet_from(60, 7, 96), 22.0, 0.6, 500.0), 4, **unharmed)

    assert nights.alive_frac[0, 0, :, 0] == pytest.approx(np.ones(4), abs=1e-5)


def test_spores_of_a_dark_dry_day_die_each_according_to_the_hours_it_lay_there():
    # a day's fall lies there from before, another lands in twenty-four pieces, each at the end of its hour
    alive = nights_on(Leaf(0.0), 2, dark_loss_per_d=0.24).alive_frac[0, 0, :, 0]

    survival = np.exp(-0.01 * np.arange(24))
    first = survival.mean()
    assert alive[0] == pytest.approx(first, rel=1e-5)
    assert alive[1] == pytest.approx((first * np.exp(-0.24) + first) / (first + 1.0), rel=1e-5)


@given(st.integers(0, 10_000))
def test_what_got_in_what_lives_and_what_died_are_all_that_landed(seed):
    numbers = curves.curves_of(central())
    hours = kernel.LeafHours(*(each[:, :1, :1] for each in wild_hours(seed, 1)))
    nights = kernel.infect(hours, numbers, np.arange(0, 24 * 12 + 1, 24))
    at_once = kernel.infect(hours, numbers, np.array([0, 24 * 12]))

    lying, inside = 0.0, 0.0
    for share, living in zip(nights.infected_frac[0, 0, :, 0], nights.alive_frac[0, 0, :, 0], strict=True):
        inside += (lying + 1.0) * share
        lying = (lying + 1.0) * (1.0 - share) * living

    # one long day lets in as much, and leaves as many alive, though it counts a twelfth as many falls
    assert inside == pytest.approx(12.0 * at_once.infected_frac[0, 0, 0, 0], abs=1e-4)
    assert lying == pytest.approx((12.0 - inside) * at_once.alive_frac[0, 0, 0, 0], abs=1e-4)


def test_a_library_holds_the_nights_of_each_planting():
    rusts = ("canna_rust", "bean_rust", "canna_rust")
    tables = [
        curves.curves_of(draws.make_draws(pathogen.read_pathogen(rust), seed=5, members=2, at_least=160))
        for rust in rusts
    ]
    leaves = [wild_hours(seed) for seed in (1, 2, 3)]

    together = library.make_library(leaves, tables, thirteen_days())

    for place in range(3):
        alone = kernel.infect(leaves[place], tables[place], thirteen_days())
        for name in kernel.Nights._fields:
            assert np.array_equal(getattr(together, name)[place], getattr(alone, name)), name


@pytest.mark.parametrize("seeds", [(), (1, 2)])
def test_a_library_of_unlike_plantings_or_of_none_is_our_own_fault(seeds):
    leaves = [wild_hours(seed, days=4 + seed) for seed in seeds]

    with pytest.raises(FaultError, match="alike"):
        library.make_library(leaves, [curves.curves_of(central())] * len(seeds), np.array([0, 24]))


def test_gaps_in_the_hours_are_our_own_fault():
    with pytest.raises(FaultError, match="gaps"):
        nights_on(Leaf(temperature_c=np.nan), 1)

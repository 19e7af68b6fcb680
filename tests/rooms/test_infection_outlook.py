"""Nights put together: bands that can be worked out by hand, and changes that move them as they should."""

import numpy as np
import pytest
from tests.one_rust import Leaf, hours_on

from abaxial.infection import curves, draws, kernel, outlook, pathogen

DAYS, TODAY, NIGHT = 40, 20, 12
RUST = pathogen.read_pathogen("canna_rust")
DRAWS = draws.make_draws(RUST, seed=1, members=2, at_least=200)


def nights(temperature_c: float = 23.0, wet_h: int = 14, night: int = NIGHT) -> kernel.Nights:
    """Forty dry days but for one wet night, alike in both levels and members."""
    wet = np.zeros(DAYS * 24)
    wet[night * 24 + 6 : night * 24 + 6 + wet_h] = 1.0
    one = hours_on(Leaf(wet, temperature_c), DAYS * 24)
    alike = kernel.LeafHours(*(np.broadcast_to(each, (DAYS * 24, 2, 2)) for each in one))
    return kernel.infect(alike, curves.curves_of(DRAWS), np.arange(DAYS + 1) * 24)


def told(what: kernel.Nights, kept: float = 1.0, today: int = TODAY) -> outlook.Outlook:
    """The outlook with half of the leaf area at each level."""
    return outlook.summarise(
        what,
        DRAWS,
        upper_weight_frac=np.full(DAYS, 0.5),
        kept_frac=np.full(DAYS, kept),
        today=today,
        enough_frac=RUST["enough_frac"],
    )


def test_one_wet_night_is_the_one_night_that_is_told():
    found = told(nights())

    assert [each.day for each in found.nights] == [NIGHT]
    assert found.chance_frac[NIGHT] > 0.8
    assert found.chance_frac.sum() == found.chance_frac[NIGHT]


def test_half_of_a_night_shows_one_latent_period_after_it():
    night = told(nights(26.0)).nights[0]

    # at 26 °C nearly every draw is near its optimum, and the middle of shortest_latent_d is about nine days
    assert night.showing_day[1] - (NIGHT + 0.6) == pytest.approx(9.2, abs=1.0)
    assert night.first_showing_day[1] < night.showing_day[1]
    assert (np.diff(night.showing_day) > 0.0).all()


def test_a_cooler_garden_shows_later():
    warm, cool = (told(nights(each)).nights[0].showing_day for each in (24.0, 18.0))

    assert (cool > warm).all()


def test_the_rise_crosses_one_on_the_day_of_showing():
    night = told(nights()).nights[0]
    crossing = NIGHT + np.interp(1.0, night.rise[:, 1], np.arange(len(night.rise)))

    assert crossing == pytest.approx(night.showing_day[1], abs=0.7)


def test_what_never_ripens_within_the_outlook_is_open_ended():
    night = told(nights(12.5, wet_h=40)).nights[0]

    assert night.open_ended
    assert night.showing_day[2] == DAYS


def test_leaves_taken_off_take_what_is_latent_with_them():
    whole, half = told(nights()).latent_nights, told(nights(), kept=0.5).latent_nights

    np.testing.assert_allclose(half, whole / 2.0, rtol=1e-5)


def test_what_is_latent_turns_into_what_shows():
    soon, late = (told(nights(), today=today).latent_nights[1] for today in (NIGHT + 2, NIGHT + 22))

    assert soon > 0.2
    assert late < 0.05 * soon


def test_the_next_pustules_come_between_today_and_the_half_of_the_night():
    found = told(nights(), today=NIGHT + 3)

    assert NIGHT + 3 < found.next_showing_day[1] < found.nights[0].showing_day[1]


def test_with_nothing_latent_nothing_is_due():
    found = told(nights(wet_h=0))

    assert found.nights == ()
    assert (found.next_showing_day == DAYS).all()
    assert found.next_week_chance_frac == 0.0


def test_a_wet_night_ahead_is_next_weeks_chance():
    found = told(nights(night=TODAY + 3))

    assert found.next_week_chance_frac == found.chance_frac[TODAY + 3] > 0.8
    assert found.nights[0].latent_frac[0] == pytest.approx(1.0)


def test_a_shorter_wet_night_is_a_gain_and_the_same_night_is_none():
    half = np.full(DAYS, 0.5)
    now = nights(wet_h=14)
    shorter = outlook.compare(now, nights(wet_h=9), weights=(half, half), first_day=7, end_day=21)
    same = outlook.compare(now, now, weights=(half, half), first_day=7, end_day=21)

    assert shorter.gain_frac[1] > 0.4
    assert (shorter.infections_per_week <= shorter.infections_per_week_now).all()
    assert (same.gain_frac == 0.0).all()


def test_infection_counts_by_the_leaf_area_of_each_level():
    night = nights()
    night.infected_frac[1] = 0.0
    low, high = (
        outlook.compare(night, night, weights=(np.full(DAYS, upper),) * 2, first_day=0, end_day=DAYS)
        for upper in (0.25, 0.75)
    )

    np.testing.assert_allclose(low.infections_per_week_now, 3.0 * high.infections_per_week_now, rtol=1e-5)

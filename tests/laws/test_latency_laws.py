"""What must be true of the time between infection and open pustules."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from tests.one_rust import Leaf, nights_on

from abaxial.infection import latency, pathogen
from abaxial.infection.checks import profiles

RUSTS = st.sampled_from(pathogen.pathogen_keys())
shapes = st.floats(2.0, 15.0)


@given(RUSTS, st.integers(0, 10_000))
def test_progress_is_never_taken_back(rust, seed):
    weather = np.random.default_rng(seed).uniform(-15.0, 50.0, 240)

    progress = nights_on(Leaf(0.0, weather), 10, rust).progress

    assert (np.diff(progress, axis=2) >= 0.0).all()


@given(RUSTS, st.floats(5.0, 45.0), st.floats(0.5, 10.0))
def test_the_latent_period_is_shortest_at_one_temperature_and_longer_on_both_sides(rust, t, step):
    grid = np.linspace(-5.0, 50.0, 1101)
    best = grid[np.argmin(profiles.latent_period_of_d(rust, grid))]
    nearer, farther = (
        profiles.latent_period_of_d(rust, best + (t - best) * share) for share in (1.0, 1.0 + step / 10.0)
    )

    assert farther >= nearer - 1e-3


@given(shapes, st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_showing_is_a_distribution(shape, one, other):
    early, late = sorted((one, other))

    assert 0.0 <= latency.shown_frac(np.array(early), shape) <= latency.shown_frac(np.array(late), shape) <= 1.0


@given(shapes)
def test_half_is_open_when_the_latent_period_is_over(shape):
    assert abs(latency.shown_frac(np.array(1.0), shape) - 0.5) < 1e-12


@given(st.floats(1.0, 20.0), st.floats(3.0, 30.0))
def test_the_first_and_the_last_pustule_in_a_hundred_are_a_span_apart(span, latent):
    shape = latency.showing_shape(np.array(span), np.array(latent))

    ends = [latency.progress_when_shown(share, shape) for share in (0.01, 0.99)]

    assert abs((ends[1] - ends[0]) * latent - span) < 1e-6 * span + 1e-6


def test_hot_and_cold_hours_are_not_their_mean():
    # groundnut rust's lesson: with a curved response, hourly temperatures and their daily mean give different dates
    swing = 21.0 + 12.0 * np.sin(2.0 * np.pi * np.arange(480) / 24.0)
    hourly = nights_on(Leaf(0.0, swing), 20).progress[0, 0, -1, 0]

    by_mean = nights_on(Leaf(0.0, 21.0), 20).progress[0, 0, -1, 0]

    assert abs(hourly - by_mean) > 0.15 * by_mean


def test_daylily_rust_waits_out_thirty_five_days_of_cold_and_shows_within_a_week_of_warmth():
    weather = np.concatenate([np.full(35 * 24, 4.0), np.full(7 * 24, 20.0)])
    progress = nights_on(Leaf(0.0, weather), 42, "daylily_rust").progress[0, 0, :, 0]

    shown = latency.shown_frac(progress, latency.showing_shape(np.array(8.0), np.array(6.8)))

    assert shown[35] < 0.01
    assert shown[42] > 0.5


def test_canna_rust_stalls_below_its_limit_and_goes_on_where_it_was():
    weather = np.concatenate([np.full(96, 22.0), np.full(240, 5.0), np.full(96, 22.0)])
    progress = nights_on(Leaf(0.0, weather), 18).progress[0, 0, :, 0]

    assert progress[14] == progress[4]
    assert abs(progress[18] - 2.0 * progress[4]) < 1e-3

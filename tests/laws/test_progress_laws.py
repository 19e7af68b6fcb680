"""What must be true of any epidemic's curve, of any counts, and of any theory of its start."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.epidemic import theory
from abaxial.scouting import aggregation, curves, progress

shares = st.floats(0.001, 0.999)
periods_d = st.floats(0.5, 60.0)
forms = st.sampled_from(curves.FORMS)


@given(st.lists(st.floats(0.0, 1.0), min_size=3, max_size=12), st.data())
def test_two_stretches_of_an_epidemic_have_the_area_of_both(seen, data):
    gaps = data.draw(st.lists(st.floats(0.5, 30.0), min_size=len(seen), max_size=len(seen)))
    days = np.cumsum(gaps)
    cut = data.draw(st.integers(1, len(seen) - 2))

    parts = progress.area_under_progress_frac_d(days[: cut + 1], seen[: cut + 1])
    parts += progress.area_under_progress_frac_d(days[cut:], seen[cut:])

    assert progress.area_under_progress_frac_d(days, seen) == pytest.approx(parts, abs=1e-9)


@given(st.lists(st.floats(0.0, 1.0), min_size=2, max_size=12))
def test_a_mean_lies_between_the_least_and_the_most_that_was_seen(seen):
    mean = progress.mean_under_progress_frac(np.arange(len(seen)), seen)

    assert min(seen) - 1e-12 <= mean <= max(seen) + 1e-12


@given(shares, st.floats(0.001, 0.5), st.floats(0.1, 60.0), forms)
def test_the_time_to_a_level_is_the_time_the_curve_takes(start, rate, until, form):
    level = float(curves.curve_frac(until, start, rate_per_d=rate, form=form))

    if 0.0 < level < 1.0 - 1e-9:
        assert progress.days_to_level_d(start, level, rate_per_d=rate, form=form) == pytest.approx(until, rel=1e-4)


@given(shares, forms)
def test_a_share_comes_back_from_its_straight_scale(share, form):
    assert curves.seen_back_frac(curves.straightened(share, form), form) == pytest.approx(share, rel=1e-9)


@given(st.lists(st.floats(0.0, 1.0), min_size=3, max_size=10), forms)
def test_a_fit_leaves_no_more_over_than_a_level_line_would_or_says_that_it_did_not_arrive(seen, form):
    fit = curves.fit_curve(7.0 * np.arange(len(seen)), seen, form=form)

    level = np.sqrt(np.sum((np.array(seen) - np.mean(seen)) ** 2) / (len(seen) - 2))
    assert isinstance(fit, curves.Unfitted) or not fit.converged or fit.error_frac <= level * (1.0 + 1e-3) + 1e-9


@given(st.lists(st.integers(0, 8), min_size=2, max_size=30).filter(lambda found: 0 < sum(found) < 8 * len(found)))
def test_a_beta_binomial_is_never_less_likely_than_the_binomial(found):
    fit = aggregation.fit_beta_binomial(found, 8)

    assert fit.likelihood_log >= fit.binomial_likelihood_log - 1e-9
    assert 0.0 <= fit.chance_frac <= 1.0
    assert fit.overdispersion >= 0.0


@given(st.lists(st.integers(0, 200), min_size=2, max_size=30).filter(any))
def test_a_negative_binomial_is_never_less_likely_than_the_poisson(count):
    fit = aggregation.fit_negative_binomial(count)

    assert fit.likelihood_log >= fit.poisson_likelihood_log - 1e-6 * (1.0 + abs(fit.poisson_likelihood_log))
    assert fit.shape > 0.0


@given(st.floats(0.1, 30.0), periods_d, periods_d, st.integers(1, 12), st.integers(1, 12))
def test_more_offspring_or_a_shorter_wait_start_an_epidemic_faster(offspring, latent, infectious, first, second):
    def rate(reproduction, latent_d):
        return theory.growth_rate_per_d(
            reproduction, latent_d, infectious, latent_stages=first, infectious_stages=second
        )

    assert rate(1.2 * offspring, latent) > rate(offspring, latent)
    if offspring > 1.01:
        assert rate(offspring, latent) > rate(offspring, 1.2 * latent)


@given(st.floats(1.001, 50.0))
def test_the_final_size_is_what_it_would_leave(reproduction):
    size = float(theory.final_size_frac(reproduction))

    assert 0.0 < size <= 1.0
    assert size == pytest.approx(1.0 - np.exp(-size * reproduction), abs=1e-12)

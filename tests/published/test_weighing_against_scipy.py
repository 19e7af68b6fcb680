"""Our special functions, counts of alike leaves and scores against a general library that others wrote and many use."""

import numpy as np
import pytest
from scipy import special as theirs
from scipy import stats

from abaxial.assimilation import counts, diagnose, special

POSITIVE = np.concatenate([np.geomspace(1e-10, 1e6, 400), np.linspace(0.5, 12.0, 400)])


def test_log_gamma_is_that_of_the_library():
    np.testing.assert_allclose(special.gamma_log(POSITIVE), theirs.gammaln(POSITIVE), rtol=2e-14, atol=2e-14)


def test_log_beta_is_that_of_the_library():
    a, b = np.meshgrid(np.geomspace(1e-6, 300.0, 40), np.geomspace(1e-6, 300.0, 40))

    np.testing.assert_allclose(special.beta_log(a, b), theirs.betaln(a, b), rtol=1e-12, atol=1e-11)


def test_the_number_of_ways_to_choose_is_that_of_the_library():
    ways = [special.binomial_log(40, taken) for taken in range(41)]

    np.testing.assert_allclose(np.exp(ways), theirs.comb(40, np.arange(41)), rtol=1e-12)


def test_the_normal_distribution_is_that_of_the_library_far_into_both_tails():
    z = np.linspace(-37.0, 37.0, 4001)

    np.testing.assert_allclose(special.normal_cdf_frac(z), stats.norm.cdf(z), rtol=1e-12)


def test_a_stretch_of_the_normal_distribution_is_that_of_the_library_also_far_out():
    low = np.linspace(-30.0, 29.0, 200)
    from_nearer_tail = np.where(
        low > 0.0, stats.norm.sf(low) - stats.norm.sf(low + 1.0), stats.norm.cdf(low + 1.0) - stats.norm.cdf(low)
    )

    np.testing.assert_allclose(special.normal_between_frac(low, low + 1.0), from_nearer_tail, rtol=1e-11)


@pytest.mark.parametrize("degrees", [1, 2, 3, 8, 19, 40])
def test_the_chi_square_distribution_is_that_of_the_library(degrees):
    values = np.linspace(0.0, 120.0, 61)
    ours = [special.chi_square_above_frac(value, degrees) for value in values]

    np.testing.assert_allclose(ours, stats.chi2.sf(values, degrees), rtol=1e-10, atol=1e-300)


@pytest.mark.parametrize(("turned", "correlation_frac"), [(1, 0.1), (8, 0.3), (30, 0.02), (200, 0.1)])
def test_counts_of_alike_leaves_are_those_of_the_library(turned, correlation_frac):
    means = np.array([1e-4, 0.03, 0.5, 0.97])
    alpha, beta = counts.beta_shapes(means, correlation_frac)
    theirs_frac = stats.betabinom.pmf(np.arange(turned + 1)[:, None], turned, alpha, beta)

    np.testing.assert_allclose(counts.every_count_frac(turned, means, correlation_frac), theirs_frac, rtol=1e-8)


def test_one_count_is_that_of_the_library():
    means = np.array([1e-4, 0.03, 0.5, 0.97])
    ours = [counts.count_log(30, rusted, means, 0.1) for rusted in (0, 1, 15, 30)]
    expected = [stats.betabinom.logpmf(rusted, 30, *counts.beta_shapes(means, 0.1)) for rusted in (0, 1, 15, 30)]

    np.testing.assert_allclose(ours, expected, rtol=1e-10)


def test_evenness_of_ranks_is_the_chi_square_of_the_library():
    ranks = np.array([0, 0, 1, 2, 3, 5, 5, 5, 6, 7, 8, 9, 9, 9, 9])
    even = diagnose.rank_uniformity(ranks, 9)
    binned = np.bincount(np.searchsorted([3, 7], ranks, side="right"), minlength=3)

    expected = stats.chisquare(binned, np.array([0.3, 0.4, 0.3]) * 15)

    assert (even.chi_square, even.chance_frac) == pytest.approx(tuple(expected))

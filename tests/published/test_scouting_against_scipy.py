"""Sampling, against a general library of statistics."""

import numpy as np
import pytest
from scipy import stats

from abaxial.scouting import agreement, sampling
from abaxial.scouting.sampling.detection import cluster_chances
from abaxial.scouting.sampling.limits import beta_quantile_frac, beta_share_frac


@pytest.mark.parametrize("bed", [1, 7, 60, 5000])
@pytest.mark.parametrize("share", [0.0, 0.02, 0.3, 1.0])
@pytest.mark.parametrize("efficacy", [0.0, 0.3, 0.9, 1.0])
def test_what_is_missed_in_a_bed_is_a_mean_over_the_hypergeometric(bed, share, efficacy):
    rusted = round(share * bed)
    for looked in {0, 1, bed // 3, bed}:
        found = np.arange(looked + 1)
        theirs = np.sum(stats.hypergeom.pmf(found, bed, rusted, looked) * (1 - efficacy) ** found)

        ours = sampling.missed_in_bed_frac(looked, bed_units=bed, rusted_units=rusted, efficacy_frac=efficacy)

        assert ours == pytest.approx(theirs, rel=1e-8, abs=1e-12)


@pytest.mark.parametrize("each", [1, 2, 10, 60])
@pytest.mark.parametrize("incidence", [0.001, 0.05, 0.5, 0.97])
@pytest.mark.parametrize("correlation", [0.001, 0.1, 0.5, 0.95])
def test_chances_on_a_plant_are_beta_binomial(each, incidence, correlation):
    alpha, beta = incidence * (1 / correlation - 1), (1 - incidence) * (1 / correlation - 1)

    ours = cluster_chances(each, incidence, correlation_frac=correlation)

    assert ours == pytest.approx(stats.betabinom.pmf(np.arange(each + 1), each, alpha, beta), rel=1e-8, abs=1e-14)


@pytest.mark.parametrize("alpha", [0.05, 0.5, 1.0, 3.7, 40.0, 3000.0])
@pytest.mark.parametrize("beta", [0.05, 1.0, 12.0, 900.0])
def test_shares_and_quantiles_of_the_beta_distribution(alpha, beta):
    at = np.array([1e-6, 0.01, 0.2, 0.5, 0.8, 0.999])
    shares = [0.001, 0.025, 0.5, 0.975]

    assert [beta_share_frac(x, alpha, beta) for x in at] == pytest.approx(
        stats.beta.cdf(at, alpha, beta), rel=1e-9, abs=1e-12
    )
    assert [beta_quantile_frac(share, alpha, beta) for share in shares] == pytest.approx(
        stats.beta.ppf(shares, alpha, beta), rel=1e-7, abs=1e-12
    )


@pytest.mark.parametrize("looked", [1, 9, 60, 2000])
@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.95, 0.99])
def test_limits_of_a_share_are_theirs(looked, confidence):
    for rusted in {0, 1, looked // 3, looked}:
        test = stats.binomtest(rusted, looked)
        exact, wilson = (test.proportion_ci(confidence, method) for method in ("exact", "wilson"))

        assert sampling.exact_limits_frac(rusted, looked, confidence_frac=confidence) == pytest.approx(
            tuple(exact), abs=1e-9
        )
        assert sampling.wilson_limits_frac(rusted, looked, confidence_frac=confidence) == pytest.approx(
            tuple(wilson), abs=1e-9
        )


@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.95, 0.99])
@pytest.mark.parametrize("incidence", [0.001, 0.03, 0.2, 0.8])
def test_the_number_to_look_at_is_where_their_chance_of_none_falls_below(confidence, incidence):
    looked = sampling.units_to_find(incidence, confidence_frac=confidence, efficacy_frac=0.9)
    poisson = sampling.units_to_find_poisson(incidence, confidence_frac=confidence, efficacy_frac=0.9)

    noticed = 0.9 * incidence
    assert stats.binom.pmf(0, looked, noticed) <= 1 - confidence < stats.binom.pmf(0, looked - 1, noticed)
    assert stats.poisson.pmf(0, poisson * noticed) <= 1 - confidence < stats.poisson.pmf(0, (poisson - 1) * noticed)


def test_the_correlation_of_estimates_is_theirs():
    dice = np.random.default_rng(3)
    actual, estimated = dice.uniform(0, 50, 30), dice.uniform(0, 50, 30)

    ours = agreement.agreement(actual, estimated)

    assert ours.correlation == pytest.approx(stats.pearsonr(actual, estimated).statistic)
    assert ours.scale_shift == pytest.approx(actual.std() / estimated.std())

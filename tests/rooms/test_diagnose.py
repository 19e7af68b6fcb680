"""Scores, ranks and weights: what tells a good estimate from a bad one."""

import math
from statistics import NormalDist

import numpy as np
import pytest

from abaxial import chance
from abaxial.assimilation import diagnose
from abaxial.errors import FaultError

NORMAL = chance.normals(1, "test/normal", 0, 4000)
EVEN_NORMAL = np.array([NormalDist().inv_cdf((n + 0.5) / 2000) for n in range(2000)])
UNEVEN = chance.uniforms(1, "test/weights", 0, 4000)


def crps_of_a_normal(truth, mean, sd):
    z = (truth - mean) / sd
    density, below = math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi), 0.5 * math.erfc(-z / math.sqrt(2.0))
    return sd * (z * (2.0 * below - 1.0) + 2.0 * density - 1.0 / math.sqrt(math.pi))


def ranks_of_a_forecaster(cases, *, sd=1.0, bias=0.0, weights=None, versions=99):
    truth = chance.normals(2, "test/truth", 0, cases)
    uniform = chance.uniforms(2, "test/uniform", 0, cases)
    weights = np.ones(versions) if weights is None else weights
    return [
        diagnose.rank_of(truth[n], bias + sd * chance.normals(2, "test/versions", n, versions), weights, uniform[n])
        for n in range(cases)
    ]


def test_equal_weights_say_as_much_as_there_are_versions():
    assert diagnose.effective_sample_size(np.full(64, 0.3)) == pytest.approx(64.0)


def test_one_heavy_version_says_as_much_as_one():
    assert diagnose.effective_sample_size([0.0, 5.0, 0.0]) == pytest.approx(1.0)


def test_quantiles_of_equal_weights_are_those_of_the_middle_of_each_step():
    values = np.array([[3.0, 1.0, 2.0, 10.0], [0.0, 0.0, 0.0, 0.0]])
    found = diagnose.weighted_quantiles(values, np.ones(4), [0.0, 0.125, 0.5, 1.0])

    np.testing.assert_allclose(found, [[1.0, 1.0, 2.5, 10.0], [0.0, 0.0, 0.0, 0.0]])


def test_a_version_without_weight_is_no_quantile():
    found = diagnose.weighted_quantiles([-100.0, 1.0, 2.0, 100.0], [0.0, 1.0, 1.0, 0.0], [0.0, 1.0])

    np.testing.assert_array_equal(found, [1.0, 2.0])


def test_a_weight_of_three_counts_as_three_versions():
    weighted = diagnose.weighted_quantiles(NORMAL[:200], 1.0 + 2.0 * (np.arange(200) % 2), [0.1, 0.5, 0.9])
    copies = np.concatenate([NORMAL[:200:2], *(NORMAL[1:200:2] for _ in range(3))])

    np.testing.assert_allclose(weighted, np.quantile(copies, [0.1, 0.5, 0.9], method="hazen"), atol=0.03)


def test_a_rank_counts_the_versions_below():
    assert diagnose.rank_of(2.5, [1.0, 2.0, 3.0, 4.0], np.ones(4), 0.5) == 2


@pytest.mark.parametrize(("uniform", "rank"), [(0.01, 1), (0.49, 2), (0.99, 4)])
def test_ties_are_broken_by_chance(uniform, rank):
    assert diagnose.rank_of(2.0, [1.0, 2.0, 2.0, 2.0, 5.0], np.ones(5), uniform) == rank


def test_a_rank_is_of_the_weight_and_not_of_the_number():
    assert diagnose.rank_of(2.0, [1.0, 3.0, 3.0, 3.0], [97.0, 1.0, 1.0, 1.0], 0.5) >= 3


def test_the_truth_ranks_evenly_where_it_is_one_draw_more():
    even = diagnose.rank_uniformity(ranks_of_a_forecaster(600), 99)

    assert even.chance_frac > 0.05
    assert even.deviation_sd < even.limit_sd


def test_the_truth_ranks_evenly_under_weights_that_do_not_depend_on_it():
    even = diagnose.rank_uniformity(ranks_of_a_forecaster(600, weights=0.5 + UNEVEN[:99]), 99)

    assert even.chance_frac > 0.01
    assert even.deviation_sd < even.limit_sd


@pytest.mark.parametrize("fault", [{"sd": 0.6}, {"sd": 1.8}, {"bias": 0.4}])
def test_too_sure_too_timid_and_too_high_all_show_in_the_ranks(fault):
    even = diagnose.rank_uniformity(ranks_of_a_forecaster(300, **fault), 99)

    assert even.chance_frac < 0.01
    assert even.deviation_sd > even.limit_sd


def test_ranks_out_of_bounds_or_too_few_are_refused():
    with pytest.raises(FaultError, match="between 0 and 99"):
        diagnose.rank_uniformity([*range(20), 100], 99)
    with pytest.raises(FaultError, match="ten are needed"):
        diagnose.rank_uniformity([1, 2, 3], 99)


def test_one_place_is_left_as_often_as_the_binomial_distribution_says():
    # ten tosses of a coin, between three and seven heads
    inside = sum(math.comb(10, heads) for heads in range(3, 8)) / 2**10

    assert diagnose.within_frac(10, (0.5,), 2.0 / math.sqrt(2.5)) == pytest.approx(inside)


def test_all_places_are_left_as_often_as_dice_say():
    places = tuple(np.arange(1, 20) / 20)
    sorted_draws = np.sort([chance.uniforms(3, "test/even", n, 80) for n in range(4000)], axis=1)
    below = np.array([np.searchsorted(row, places) for row in sorted_draws])
    spread = np.sqrt(80 * np.array(places) * (1 - np.array(places)))
    inside = np.mean((np.abs(below - 80 * np.array(places)) / spread).max(axis=1) <= 2.5)

    assert diagnose.within_frac(80, places, 2.5) == pytest.approx(inside, abs=0.02)


@pytest.mark.parametrize("cases", [10, 50, 400, 2000])
def test_the_limit_keeps_nineteen_in_twenty_and_not_many_more(cases):
    places = tuple(np.arange(1, 32) / 32)
    limit = diagnose.deviation_limit_sd(cases, places)

    assert 2.3 < limit < 4.5
    assert diagnose.within_frac(cases, places, limit) >= 0.95
    assert diagnose.within_frac(cases, places, limit - 1e-3) < 0.95


def test_coverage_counts_the_limits_themselves():
    assert diagnose.coverage_frac([1.0, 2.0, 3.0, 4.0], [1.0, 1.0, 1.0, 1.0], 3.0) == 0.75


def test_chances_of_a_coin_score_a_quarter_whatever_falls():
    assert diagnose.brier_score(np.full(7, 0.5), [1, 0, 0, 1, 1, 0, 0]) == 0.25


def test_the_brier_score_falls_into_reliability_resolution_and_uncertainty():
    said = np.round(UNEVEN * 10.0) / 10.0
    happened = chance.uniforms(4, "test/happened", 0, said.size) < said**1.5
    groups = [(np.mean(said == each), each, happened[said == each].mean()) for each in np.unique(said)]
    reliability = sum(share * (each - came) ** 2 for share, each, came in groups)
    resolution = sum(share * (came - happened.mean()) ** 2 for share, _, came in groups)
    uncertainty = happened.mean() * (1.0 - happened.mean())

    assert diagnose.brier_score(said, happened) == pytest.approx(reliability - resolution + uncertainty)


@pytest.mark.parametrize("truth", [-3.0, 0.0, 0.4, 2.0])
def test_the_score_of_many_normal_versions_is_the_closed_form(truth):
    score = diagnose.crps_of_versions(truth, 5.0 * EVEN_NORMAL + 1.0)

    assert score == pytest.approx(crps_of_a_normal(truth, 1.0, 5.0), abs=1e-3)


def test_the_score_of_weighted_versions_is_the_double_sum():
    values, weights, truth = NORMAL[:300], UNEVEN[:300] / UNEVEN[:300].sum(), 0.7
    apart = weights @ np.abs(values[:, None] - values) @ weights

    expected = weights @ np.abs(values - truth) - 0.5 * apart

    assert diagnose.crps_of_versions(truth, values, UNEVEN[:300]) == pytest.approx(expected)


def test_the_score_of_one_version_is_its_distance():
    assert diagnose.crps_of_versions([1.0, 4.0], [[3.0], [3.0]]) == pytest.approx([2.0, 1.0])


def test_the_score_of_a_yes_or_no_is_the_brier_score():
    weights = np.array([0.3, 0.7])

    assert diagnose.crps_of_versions(1.0, [0.0, 1.0], weights) == pytest.approx(diagnose.brier_score([0.7], [1]))


def test_quantiles_at_even_steps_score_as_the_versions_they_are():
    values = np.sort(NORMAL[:250])
    shares = (np.arange(250) + 0.5) / 250

    assert diagnose.crps_of_quantiles(0.3, shares, values) == pytest.approx(diagnose.crps_of_versions(0.3, values))


def test_scores_are_taken_case_by_case():
    rows = NORMAL.reshape(40, 100)
    together = diagnose.crps_of_versions(rows[:, 0], rows[:, 1:], UNEVEN[:99])
    apart = [float(diagnose.crps_of_versions(row[0], row[1:], UNEVEN[:99])) for row in rows]

    assert together == pytest.approx(apart)


def test_honest_versions_score_better_than_sure_and_timid_ones():
    truths = chance.normals(5, "test/score", 0, 2000)
    honest, sure, timid = (
        diagnose.crps_of_versions(truths, np.broadcast_to(NORMAL[:500] * sd, (2000, 500))).mean()
        for sd in (1.0, 0.4, 2.5)
    )

    assert honest < min(sure, timid)


def test_a_miss_costs_more_the_surer_the_limits_claimed_to_be():
    hit, miss_of_eighty, miss_of_ninety = (
        diagnose.interval_score(truth, 1.0, 3.0, level_frac=level)
        for truth, level in ((2.0, 0.8), (3.5, 0.8), (3.5, 0.9))
    )

    assert (hit, miss_of_eighty, miss_of_ninety) == pytest.approx((2.0, 7.0, 12.0))


def test_a_sure_and_right_forecast_of_a_count_has_no_error_and_a_sure_and_wrong_one_is_off_by_its_distance():
    chances = np.zeros(11)
    chances[3] = 1.0

    assert diagnose.crps_of_counts(3, chances) == 0.0
    assert diagnose.crps_of_counts(7, chances) == pytest.approx(0.4)

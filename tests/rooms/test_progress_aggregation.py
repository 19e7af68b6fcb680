"""Whether rust stands in clumps, and what cannot be told."""

import math

import numpy as np
import pytest

from abaxial.errors import ScoutingError
from abaxial.scouting import aggregation
from abaxial.scouting.sampling.detection import cluster_chances

EVEN = [2, 3, 2, 3, 2, 3]
CLUMPED = [0, 0, 6, 5, 0, 6, 1, 0]


def test_clumped_rust_varies_more_than_chance_and_even_rust_less() -> None:
    assert aggregation.dispersion(CLUMPED, 6).index > 3.0
    assert aggregation.dispersion(EVEN, 6).index < 0.3
    assert aggregation.dispersion(CLUMPED, 6).c_alpha_score > 5.0 > -1.0 > aggregation.dispersion(EVEN, 6).c_alpha_score


def test_counts_said_once_each_or_by_how_often_are_the_same() -> None:
    once = aggregation.fit_beta_binomial(CLUMPED, 6)
    often = aggregation.fit_beta_binomial([0, 1, 5, 6], 6, times=[4, 1, 1, 2])

    assert often.likelihood_log == pytest.approx(once.likelihood_log)
    assert often.correlation == pytest.approx(once.correlation)


def test_rust_more_even_than_chance_has_no_clumping_to_fit() -> None:
    fit = aggregation.fit_beta_binomial(EVEN, 6)

    assert (fit.overdispersion, fit.correlation, fit.likelihood_ratio, fit.chance_frac) == (0.0, 0.0, 0.0, 1.0)
    assert fit.alpha_shape == math.inf
    assert math.isnan(fit.overdispersion_se)


def test_the_fit_is_a_top_of_the_likelihood() -> None:
    fit = aggregation.fit_beta_binomial(CLUMPED, 6)

    def likelihood_log(mean_frac: float, overdispersion: float) -> float:
        chances = cluster_chances(6, mean_frac, correlation_frac=overdispersion / (1.0 + overdispersion))
        return float(np.log(chances[CLUMPED]).sum())

    here = likelihood_log(fit.mean_frac, fit.overdispersion)
    around = [likelihood_log(fit.mean_frac * a, fit.overdispersion * b) for a in (0.98, 1.02) for b in (0.98, 1.02)]
    assert fit.converged
    assert here == pytest.approx(fit.likelihood_log)
    assert max(around) < here


def test_units_of_different_size_are_weighed_by_what_was_looked_at() -> None:
    fit = aggregation.fit_beta_binomial([0, 2, 5, 0, 3], [4, 12, 6, 9, 3])

    assert fit.converged
    assert fit.correlation > 0.1
    assert aggregation.dispersion([0, 2, 5, 0, 3], [4, 12, 6, 9, 3]).correlation is None


def test_whole_units_rusted_beside_clean_ones_are_beyond_any_fit_and_that_is_said() -> None:
    fit = aggregation.fit_beta_binomial([0, 6, 0, 6], 6)

    assert fit.correlation > 0.99
    assert not fit.converged


@pytest.mark.parametrize(
    ("found", "turned", "said"),
    [
        ([0, 0, 0], 6, "none was rusted"),
        ([6, 6, 6], 6, "all were rusted"),
        ([0, 1, 0], 1, "one was looked at"),
        ([3, 7, 2], 6, "7 were found rusted of 6"),
        ([3], 6, "two units"),
        ([1.5, 2], 6, "whole number"),
        ([1, -2], 6, "whole number"),
        ([1, np.nan], 6, "whole number"),
    ],
)
def test_counts_that_tell_nothing_are_refused_with_the_reason(found, turned, said: str) -> None:
    with pytest.raises(ScoutingError, match=said):
        aggregation.fit_beta_binomial(found, turned)
    with pytest.raises(ScoutingError, match=said):
        aggregation.dispersion(found, turned)


def test_the_test_without_a_fit_and_the_fit_agree_on_which_plots_are_clumped() -> None:
    def both(found: list[int]) -> tuple[bool, bool]:
        return (
            aggregation.dispersion(found, 6).c_alpha_chance_frac < 0.05,
            aggregation.fit_beta_binomial(found, 6).chance_frac < 0.05,
        )

    assert both(CLUMPED) == (True, True)
    assert both(EVEN) == (False, False)


def test_clumped_pustules_have_a_small_shape_and_even_ones_none() -> None:
    clumped = aggregation.fit_negative_binomial([0, 0, 0, 40, 0, 1, 90, 0])
    even = aggregation.fit_negative_binomial([3, 4, 3, 4, 4])

    assert clumped.shape < 0.3
    assert clumped.chance_frac < 1e-6
    assert (even.shape, even.likelihood_ratio, even.chance_frac) == (math.inf, 0.0, 1.0)


def test_patchiness_is_one_where_chance_alone_is_at_work() -> None:
    assert aggregation.patchiness(1.0, 12.0) == 1.0
    assert aggregation.dispersion_of_counts([0, 0, 0, 40]).patchiness > 3.0


@pytest.mark.parametrize("reckon", [aggregation.dispersion_of_counts, aggregation.fit_negative_binomial])
def test_nothing_counted_tells_nothing_of_clumping(reckon) -> None:
    with pytest.raises(ScoutingError, match="nothing was counted"):
        reckon([0, 0, 0])


def test_a_power_law_that_was_drawn_is_found_again() -> None:
    shares = np.array([0.02, 0.1, 0.3, 0.5, 0.8])

    variance = aggregation.power_law_variance_frac(shares, turned=10, multiplier=2.5, exponent=1.3)
    law = aggregation.fit_power_law(shares, variance * [1.01, 0.99, 1.0, 1.01, 0.99], turned=10)

    assert (law.multiplier, law.exponent) == pytest.approx((2.5, 1.3), rel=0.05)
    assert abs(law.exponent - 1.3) < 3.0 * law.exponent_se


def test_rust_that_stands_by_chance_has_a_power_law_of_ones() -> None:
    shares = np.array([0.05, 0.2, 0.45, 0.7])

    law = aggregation.fit_power_law(shares, shares * (1.0 - shares) / 8.0, turned=8)

    assert (law.multiplier, law.exponent) == pytest.approx((1.0, 1.0))


def test_the_four_ways_to_write_a_power_law_give_one_variance() -> None:
    multiplier, exponent, turned, share = 2.5, 1.3, 8, 0.2
    scales = aggregation.power_law_scales(multiplier, exponent, turned=turned)
    spread = share * (1.0 - share)

    of_share = float(
        aggregation.power_law_variance_frac(share, turned=turned, multiplier=multiplier, exponent=exponent)
    )

    assert scales.small_shares_multiplier * spread**exponent == pytest.approx(of_share)
    assert scales.numbers_multiplier * (turned * spread) ** exponent == pytest.approx(of_share * turned**2)
    assert scales.small_numbers_multiplier * spread**exponent == pytest.approx(of_share * turned**2)


def test_a_visit_with_all_units_alike_has_no_place_on_a_power_law() -> None:
    with pytest.raises(ScoutingError, match="all units were alike"):
        aggregation.fit_power_law([0.0, 0.1, 0.2], [0.0, 0.01, 0.02], turned=6)


def test_neighbours_alike_go_together_and_neighbours_opposed_go_against() -> None:
    alike = aggregation.autocorrelation([9, 8, 7, 2, 1, 0], [0, 1], divisor="pairs")
    opposed = aggregation.autocorrelation([9, 0, 9, 0, 9, 0], 1, divisor="all")

    assert alike[0] == pytest.approx(1.0)
    assert alike[1] > 0.5
    assert opposed < -0.8


@pytest.mark.parametrize(
    ("row", "apart", "divisor", "said"),
    [
        ([1, 2, 3], 1, "half", "'half'"),
        ([1, 1, 1], 1, "all", "that differ"),
        ([1, np.nan, 3], 1, "all", "that differ"),
        ([1, 2, 3], 3, "all", "3 units"),
        ([1, 2, 3], -1, "all", "3 units"),
    ],
)
def test_a_row_that_has_no_likeness_to_tell_is_refused(row, apart: int, divisor: str, said: str) -> None:
    with pytest.raises(ScoutingError, match=said):
        aggregation.autocorrelation(row, apart, divisor=divisor)


def test_a_likeness_of_none_or_all_has_no_shapes() -> None:
    with pytest.raises(ScoutingError, match="no beta distribution"):
        aggregation.shapes_of(0.1, correlation=0.0)

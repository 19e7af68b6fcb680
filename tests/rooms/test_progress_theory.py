"""What an epidemic does by theory alone, each formula against another way to the same number."""

import numpy as np
import pytest

from abaxial.epidemic import theory
from abaxial.errors import ParameterError

DAYS = np.arange(0.0, 301.0)
SLOW = {"hosts": 10_000.0, "reproduction": 3.0, "latent_d": 5.0, "infectious_d": 10.0}
COURSE = theory.hlir_course(DAYS, **SLOW)
DELAY = {"infection_per_d": 0.5, "latent_d": 8.0, "infectious_d": 14.0, "start_frac": 1e-4}


def _chain_rate_per_d(reproduction: float, latent_d: float, infectious_d: float, stages: tuple[int, int]) -> float:
    """The largest eigenvalue of the chain of stages written out."""
    latent, infectious = stages
    size = latent + infectious
    passing = np.array([latent / latent_d] * latent + [infectious / infectious_d] * infectious)
    chain = np.diag(-passing) + np.diag(passing[:-1], -1)
    chain[0, latent:] += reproduction / infectious_d
    assert chain.shape == (size, size)
    return float(np.linalg.eigvals(chain).real.max())


@pytest.mark.parametrize("stages", [(1, 1), (3, 1), (1, 4), (12, 4)])
@pytest.mark.parametrize("reproduction", [0.4, 1.0, 7.0, 20.0])
def test_the_rate_is_that_of_the_chain_written_out(reproduction: float, stages: tuple[int, int]) -> None:
    rate = theory.growth_rate_per_d(reproduction, 8.0, 14.0, latent_stages=stages[0], infectious_stages=stages[1])

    assert float(rate) == pytest.approx(_chain_rate_per_d(reproduction, 8.0, 14.0, stages), abs=1e-9)


def test_equal_reproduction_and_equal_means_start_at_different_rates() -> None:
    def rate(latent_stages: int, infectious_stages: int) -> float:
        found = theory.growth_rate_per_d(
            7.0, 8.0, 14.0, latent_stages=latent_stages, infectious_stages=infectious_stages
        )
        return float(found)

    # the quick ones among latent pustules hurry it on; the long-lived among the infectious come too late to
    assert rate(1, 4) > rate(4, 4) > rate(16, 4)
    assert rate(4, 1) < rate(4, 4) < rate(4, 16)
    assert theory.reproduction_number(0.5, 14.0) == theory.reproduction_number(1.0, 7.0)
    assert theory.delay_growth_rate_per_d(0.5, 8.0, 14.0) < theory.delay_growth_rate_per_d(1.0, 8.0, 7.0)


@pytest.mark.parametrize("reproduction", [0.2, 0.9, 1.0, 1.0001, 1.5, 40.0])
def test_an_epidemic_grows_where_one_pustule_leaves_more_than_one(reproduction: float) -> None:
    rates = [
        float(theory.hlir_growth_rate_per_d(reproduction, 8.0, 14.0)),
        float(theory.growth_rate_per_d(reproduction, 8.0, 14.0, latent_stages=5, infectious_stages=3)),
        float(theory.delay_growth_rate_per_d(reproduction / 14.0, 8.0, 14.0)),
    ]

    assert [np.sign(round(rate, 9)) for rate in rates] == [np.sign(reproduction - 1.0)] * 3


@pytest.mark.parametrize("infection", [0.02, 0.1, 0.5, 3.0])
def test_the_rate_of_the_delay_equation_solves_it(infection: float) -> None:
    rate = float(theory.delay_growth_rate_per_d(infection, 8.0, 14.0))

    assert infection * (np.exp(-8.0 * rate) - np.exp(-22.0 * rate)) == pytest.approx(rate, rel=1e-9)


def test_hosts_are_neither_made_nor_lost() -> None:
    assert COURSE.sum(axis=1) == pytest.approx(SLOW["hosts"])
    assert (np.diff(COURSE[:, 0]) <= 0.0).all()
    assert (COURSE >= 0.0).all()


def test_a_course_ends_at_the_final_size_and_grows_at_the_rate_before() -> None:
    wide = theory.hlir_course([60.0, 80.0], **{**SLOW, "hosts": 1e9})[:, 1]

    grown = np.log(wide[1] / wide[0]) / 20.0

    assert COURSE[-1, 3] / SLOW["hosts"] == pytest.approx(float(theory.final_size_frac(3.0)), abs=2e-4)
    assert grown == pytest.approx(float(theory.hlir_growth_rate_per_d(3.0, 5.0, 10.0)), rel=1e-3)


def test_most_are_infectious_near_day_101_and_some_1965_of_them() -> None:
    fine = np.arange(100.0, 103.0, 0.01)

    infectious = theory.hlir_course(fine, **SLOW)[:, 2]

    assert infectious.max() == pytest.approx(1964.74, abs=0.005)
    assert fine[infectious.argmax()] == pytest.approx(101.46, abs=0.011)


def test_while_it_grows_steadily_as_many_are_latent_as_infectious_as_removed() -> None:
    early = theory.hlir_course([60.0], **{**SLOW, "hosts": 1e9})[0]

    assert early[1:] / early[2] == pytest.approx([1.0, 1.0, 1.0], rel=0.01)


def test_finer_steps_change_nothing_that_matters() -> None:
    finer = theory.hlir_course([100.0], **SLOW, step_d=0.01)

    assert finer[0] == pytest.approx(COURSE[100], rel=1e-6)


def test_the_delay_equation_waits_a_latent_period_and_grows_at_its_rate() -> None:
    shares = theory.delay_course_frac([0.0, 7.9, 20.0, 40.0], **DELAY)

    assert shares[1] == shares[0] == 1e-4
    grown = np.log(shares[3] / shares[2]) / 20.0
    assert grown == pytest.approx(float(theory.delay_growth_rate_per_d(0.5, 8.0, 14.0)), rel=0.01)


def test_a_tired_epidemic_stays_below_all_leaves() -> None:
    (end,) = theory.delay_course_frac([200.0], **DELAY)

    assert end == pytest.approx(float(theory.final_size_frac(7.0)), abs=2e-5)


def test_below_the_threshold_nothing_comes_of_it() -> None:
    daily = float(theory.threshold_infection_per_d(14.0))

    assert theory.final_size_frac([0.0, 0.5, 1.0]).tolist() == [0.0, 0.0, 0.0]
    assert (
        theory.delay_growth_rate_per_d(0.99 * daily, 8.0, 14.0)
        < 0.0
        < theory.delay_growth_rate_per_d(1.01 * daily, 8.0, 14.0)
    )


def test_what_hides_and_what_shows_make_the_whole() -> None:
    hidden, factor = theory.hidden_frac(0.2, 8.0), theory.all_to_showing_factor(0.2, 8.0)

    assert (1.0 - hidden) * factor == pytest.approx(1.0)
    assert theory.hidden_frac(0.0, 8.0) == 0.0


def test_a_steeper_gradient_holds_the_front_back() -> None:
    assert theory.front_speed_m_d(0.2, 0.4) == 0.5 * theory.front_speed_m_d(0.2, 0.2)


@pytest.mark.parametrize(
    ("call", "inputs"),
    [
        (theory.hlir_growth_rate_per_d, (3.0, 0.0, 10.0)),
        (theory.delay_growth_rate_per_d, (0.0, 8.0, 14.0)),
        (theory.front_speed_m_d, (0.2, 0.0)),
        (theory.threshold_infection_per_d, (-1.0,)),
    ],
)
def test_periods_and_rates_of_nought_are_refused(call, inputs) -> None:
    with pytest.raises(ParameterError, match="above 0"):
        call(*inputs)


def test_days_out_of_order_and_periods_without_stages_are_refused() -> None:
    with pytest.raises(ParameterError, match="must rise"):
        theory.hlir_course([10.0, 5.0], **SLOW)
    with pytest.raises(ParameterError, match="one stage or more"):
        theory.growth_rate_per_d(3.0, 5.0, 10.0, latent_stages=0, infectious_stages=1)

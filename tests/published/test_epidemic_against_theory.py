"""The step through the days against what theory says of epidemics, in the limits in which theory holds.

Numbers of the HLIR course and of the delay equation are those of published/progress_of_delponte2023.toml and
published/vanderplank1963.toml, or worked out from the same equations.
"""

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar
from tests.one_epidemic import Rust, go, limit_course, planted, season_of, tissue, versions_of

from abaxial.epidemic import theory

HLIR = Rust(infection_per_d=0.3, latent_d=5.0, infectious_d=10.0, step_d=0.1)
DELAY = Rust(infection_per_d=0.5, latent_d=8.0, infectious_d=14.0, latent_stages=200, showing_stages=200, step_d=0.1)
REAL = Rust(infection_per_d=0.5, latent_d=8.0, infectious_d=14.0, latent_stages=16, showing_stages=4, step_d=0.1)


def _rate_per_d(rust: Rust, days: tuple[float, float] = (60.0, 90.0)) -> float:
    """Of the share ever diseased, early enough that hardly a leaf is hit twice."""
    early, late = limit_course(rust, days, latent_frac=1e-9)[:, 1:].sum(axis=1)
    return float(np.log(late / early) / (days[1] - days[0]))


def _theory_per_d(rust: Rust) -> float:
    number = rust.infection_per_d * rust.infectious_d
    stages = {"latent_stages": rust.latent_stages, "infectious_stages": rust.showing_stages}
    return float(theory.growth_rate_per_d(number, rust.latent_d, rust.infectious_d, **stages))


# healthy, latent, infectious and removed of 10,000 hosts
@pytest.mark.parametrize(
    ("day", "hosts"),
    [
        (20, (9991.64, 2.95, 2.95, 2.45)),
        (50, (9825.45, 57.84, 58.35, 58.36)),
        (80, (7374.38, 743.42, 867.29, 1014.91)),
        (100, (2997.43, 1029.47, 1957.33, 4015.77)),
        (120, (1087.24, 317.39, 1199.23, 7396.14)),
        (150, (645.82, 30.01, 191.77, 9132.40)),
    ],
)
def test_one_stage_each_and_small_steps_are_the_system_of_healthy_latent_infectious_and_removed(day, hosts):
    found = 10_000.0 * limit_course(HLIR, [day], latent_frac=1e-4)[0]

    np.testing.assert_allclose(found, hosts, rtol=0.003)


def test_that_system_starts_at_a_tenth_a_day_and_takes_94_leaves_in_100():
    (end,) = limit_course(HLIR, [250.0], latent_frac=1e-4)

    assert _rate_per_d(HLIR) == pytest.approx(0.1, rel=0.002)
    assert end[3] == pytest.approx(0.940466, abs=2e-4)


def test_many_stages_are_the_equation_of_the_delay():
    days = [10.0, 20.0, 40.0, 60.0, 80.0, 100.0, 120.0]
    printed = [2.000e-4, 8.991e-4, 0.014890, 0.214135, 0.936718, 0.998901, 0.999088]

    diseased = 1.0 - limit_course(DELAY, days, latent_frac=1e-4)[:, 0]

    # two hundred stages still spread a night's pustules over half a day on either side
    np.testing.assert_allclose(diseased, printed, rtol=0.016)


def test_the_delay_equation_starts_at_its_rate():
    assert _rate_per_d(DELAY) == pytest.approx(_theory_per_d(DELAY), rel=0.001)
    assert _rate_per_d(DELAY) == pytest.approx(0.140089, rel=0.005)


@pytest.mark.parametrize(("latent", "showing"), [(1, 1), (4, 1), (1, 4), (16, 4), (40, 10)])
def test_stages_start_at_the_rate_of_their_own_distributions(latent, showing):
    rust = REAL._replace(latent_stages=latent, showing_stages=showing)

    assert _rate_per_d(rust) == pytest.approx(_theory_per_d(rust), rel=0.002)


def test_equal_reproduction_ends_alike_and_starts_differently():
    kinds = [REAL._replace(latent_stages=latent, showing_stages=1) for latent in (1, 4, 16)]
    ends = [limit_course(rust, [600.0], latent_frac=1e-5)[0, 3] for rust in kinds]
    rates = [_rate_per_d(rust) for rust in kinds]

    assert ends == pytest.approx([float(theory.final_size_frac(7.0))] * 3, abs=2e-4)
    assert rates[0] > 1.04 * rates[1] > 1.04**1.5 * rates[2]


@pytest.mark.parametrize("reproduction", [1.5, 2.0, 3.0])
def test_the_end_is_that_of_the_equation_of_the_final_size(reproduction):
    rust = HLIR._replace(infection_per_d=reproduction / 10.0)

    (end,) = limit_course(rust, [1200.0], latent_frac=1e-5)

    assert end[3] == pytest.approx(float(theory.final_size_frac(reproduction)), abs=3e-4)


def test_below_one_new_patch_from_each_it_dies_out():
    rust = HLIR._replace(infection_per_d=0.09)

    assert limit_course(rust, [500.0], latent_frac=1e-4)[0, 3] < 0.0011


def test_whole_days_slow_an_epidemic_by_no_more_than_the_day_that_a_pustule_waits_for_its_evening():
    whole = REAL._replace(step_d=1.0)
    season = season_of(90, whole)
    state, ever = planted(season, latent_frac=1e-7), []
    for span in ((0, 60), (60, 90)):
        go(season, versions_of(season, whole), state, span)
        ever.append(tissue(season, state)[1:, 0].sum())
    rate = np.log(ever[1] / ever[0]) / 30.0

    # a patch made at the end of a day gives its first spores the day after it opens
    later = theory.growth_rate_per_d(7.0, 9.5, 14.0, latent_stages=16, infectious_stages=4)
    assert float(later) < rate < _theory_per_d(REAL)


LINE, APART_M, STEP_D = 60, 1.0, 0.25


def _passing_days(steps: int, weight_of: object, start_frac: np.ndarray, level_frac: float = 1e-3) -> np.ndarray:
    """Days on which each planting of a line has had so much rust, its spores spread by a weight of the distance."""
    rust = REAL._replace(step_d=STEP_D)
    place = np.arange(LINE)
    apart_m = np.abs(place[:, None] - place[None, :]) * APART_M
    others = np.array([np.delete(place, each) for each in place])
    weight = weight_of(apart_m)
    season = season_of(
        steps, rust, plantings=LINE, own_frac=np.diag(weight).copy(), neighbour=others,
        neighbour_frac=np.take_along_axis(weight, others, axis=1), caught_frac=_upper_only(LINE, steps),
    )  # fmt: skip
    state, ever = planted(season, latent_frac=start_frac), []
    versions = versions_of(season, rust)
    for step in range(0, steps, 4):
        go(season, versions, state, (step, step + 4))
        ever.append([1e-30 + tissue(season, state, each, 1)[1:, 0].sum() for each in place])
    return np.array(
        [np.interp(np.log(level_frac), np.log(course), np.arange(1, len(course) + 1)) for course in np.transpose(ever)]
    )


def _upper_only(plantings: int, steps: int) -> np.ndarray:
    caught = np.zeros((plantings, 2, steps))
    caught[:, 1] = 1.0
    return caught


def _carried(rate_of: np.ndarray, s_per_m: float) -> float:
    """Rate at which rust grows where it thins out by e^(−s·x): spores from where there is more count for more."""
    sums = (rate_of * np.exp(s_per_m * APART_M * np.arange(-LINE, LINE + 1))).sum()
    return float(theory.growth_rate_per_d(7.0 * sums, 8.0, 14.0, latent_stages=16, infectious_stages=4))


def _exponential(steepness_per_m: float, kept: float):
    """A gradient that keeps a share on its own planting; the sum over an endless line is 1."""
    far = np.exp(-steepness_per_m * APART_M * np.arange(1, 400)).sum() * 2.0

    def weight(apart_m):
        return np.where(apart_m == 0.0, kept, (1.0 - kept) / far * np.exp(-steepness_per_m * apart_m))

    return weight


def test_an_edge_that_thins_out_exponentially_moves_at_the_rate_over_its_steepness():
    steepness = 0.2012
    # hardly a spore leaves its planting: the gradient is the one that was there
    weight = _exponential(2.0, 0.9999)
    rust_there = 1e-3 * np.exp(-steepness * APART_M * np.arange(LINE))

    days = _passing_days(480, weight, rust_there, level_frac=3e-3)

    speed = np.polyfit(days[5:40], np.arange(5, 40) * APART_M, 1)[0]
    daily = _carried(weight(np.abs(np.arange(-LINE, LINE + 1)) * APART_M), steepness)
    assert daily == pytest.approx(_theory_per_d(REAL), rel=0.01)
    assert speed == pytest.approx(float(theory.front_speed_m_d(daily, steepness)), rel=0.03)


def test_from_one_planting_an_exponential_gradient_sends_an_edge_at_the_slowest_speed_that_it_allows():
    weight = _exponential(1.0, 0.5)
    row = weight(np.abs(np.arange(-LINE, LINE + 1)) * APART_M)
    slowest = minimize_scalar(lambda s: _carried(row, s) / s, bounds=(0.05, 0.95), method="bounded").fun

    days = _passing_days(900, weight, np.where(np.arange(LINE) == 0, 1e-3, 0.0))

    speed = np.polyfit(days[20:50], np.arange(20, 50) * APART_M, 1)[0]
    halves = [np.diff(days[part]).mean() for part in (slice(10, 25), slice(35, 50))]
    assert halves[1] == pytest.approx(halves[0], rel=0.06)
    assert speed == pytest.approx(slowest, rel=0.08)


def test_past_a_power_the_edge_moves_ever_faster():
    def weight(apart_m):
        return np.where(apart_m == 0.0, 0.5, 0.25 / np.maximum(apart_m, APART_M) ** 2)

    days = _passing_days(320, weight, np.where(np.arange(LINE) == 0, 1e-3, 0.0))

    stretches = [days[to] - days[since] for since, to in ((2, 12), (12, 22), (22, 32), (32, 42))]
    assert stretches == sorted(stretches, reverse=True)
    assert stretches[-1] < 0.4 * stretches[0]


def test_the_root_of_the_renewal_equation_is_the_rate_whatever_solves_it():
    def over_one(rate):
        return 7.0 / 14.0 * (1.0 + rate / 2.0) ** -16 * (1.0 - (1.0 + rate * 3.5) ** -4) / rate - 1.0

    assert _theory_per_d(REAL) == pytest.approx(brentq(over_one, 0.01, 1.0), rel=1e-9)

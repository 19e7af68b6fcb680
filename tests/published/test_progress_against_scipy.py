"""Fits, roots and courses of epidemics against a general library that others wrote and many use."""

import numpy as np
import pytest
from scipy import integrate, optimize, stats

from abaxial.epidemic import theory
from abaxial.scouting import aggregation, curves, gradient, progress

WEEKS = np.arange(0.0, 50.0, 7.0)
GROUPS = {
    "early": [0.08, 0.13, 0.78, 0.92, 0.99, 0.995, 0.999, 0.999],
    "middle": [0.001, 0.01, 0.09, 0.25, 0.8, 0.98, 0.99, 0.999],
    "late": [0.001, 0.001, 0.01, 0.05, 0.18, 0.34, 0.48, 0.74],
}
TREES = np.arange(11)
PLOTS = {"1990": [92, 15, 16, 13, 6, 9, 9, 5, 2, 1, 0], "1991": [63, 20, 8, 9, 4, 12, 6, 13, 7, 12, 7]}


@pytest.mark.parametrize("group", GROUPS)
@pytest.mark.parametrize("form", curves.FORMS)
def test_straight_fits_are_those_of_linear_regression(group: str, form: str) -> None:
    theirs = stats.linregress(WEEKS, curves.straightened(GROUPS[group], form))

    ours = curves.fit_line(WEEKS, GROUPS[group], form=form)

    assert (ours.rate_per_d, ours.rate_se_per_d) == pytest.approx((theirs.slope, theirs.stderr))
    assert (ours.intercept, ours.explained_frac) == pytest.approx((theirs.intercept, theirs.rvalue**2))


@pytest.mark.parametrize("group", GROUPS)
@pytest.mark.parametrize("form", ["logistic", "gompertz", "monomolecular", "exponential"])
def test_bent_fits_are_those_of_a_library(group: str, form: str) -> None:
    ours = curves.fit_curve(WEEKS, GROUPS[group], form=form)

    def drawn(day: np.ndarray, intercept: float, rate_per_d: float) -> np.ndarray:
        return curves.seen_back_frac(intercept + rate_per_d * day, form)

    starts = [(ours.intercept + 0.5, ours.rate_per_d * 0.9), (-3.0, 0.1)]
    fits = [optimize.curve_fit(drawn, WEEKS, GROUPS[group], p0=start, xtol=1e-12, ftol=1e-12) for start in starts]
    squares = [float(np.sum((drawn(WEEKS, *each) - GROUPS[group]) ** 2)) for each, _ in fits]
    theirs, covariance = fits[int(np.argmin(squares))]
    assert ours.converged
    assert (ours.intercept, ours.rate_per_d) == pytest.approx(tuple(theirs), rel=1e-4)
    assert ours.rate_se_per_d == pytest.approx(np.sqrt(covariance[1, 1]), rel=1e-3)


def test_bent_fits_of_many_invented_epidemics_leave_no_more_over_than_a_library() -> None:
    dice = np.random.default_rng(7)
    more = []
    for _ in range(40):
        days = np.sort(dice.choice(90, 9, replace=False)).astype(float)
        seen = curves.curve_frac(days, 10 ** dice.uniform(-5, -1), rate_per_d=dice.uniform(0.05, 0.25), form="logistic")
        seen = np.clip(seen + dice.normal(0.0, 0.03, 9), 0.0, 1.0)
        for form in ("logistic", "gompertz"):
            ours = curves.fit_curve(days, seen, form=form)
            theirs = optimize.least_squares(
                lambda p, days=days, seen=seen, form=form: curves.seen_back_frac(p[0] + p[1] * days, form) - seen,
                [-4.0, 0.1],
                x_scale=[1.0, 0.01],
            )
            more.append(ours.error_frac**2 * 7 / (2.0 * theirs.cost) - 1.0)

    assert len(more) == 80
    assert max(more) < 1e-4


def test_areas_are_those_of_a_trapezoid_rule() -> None:
    for seen in GROUPS.values():
        assert progress.area_under_progress_frac_d(WEEKS, seen) == pytest.approx(
            float(integrate.trapezoid(seen, WEEKS))
        )


@pytest.mark.parametrize("year", PLOTS)
def test_the_beta_binomial_is_the_top_that_an_optimiser_finds(year: str) -> None:
    often = np.array(PLOTS[year])

    def against(logs: np.ndarray) -> float:
        return -float(often @ stats.betabinom.logpmf(TREES, 10, *np.exp(logs)))

    theirs = optimize.minimize(against, [-1.0, 0.5], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-11})
    ours = aggregation.fit_beta_binomial(TREES, 10, times=often)

    assert ours.likelihood_log == pytest.approx(-theirs.fun, abs=1e-7)
    assert (ours.alpha_shape, ours.beta_shape) == pytest.approx(tuple(np.exp(theirs.x)), rel=1e-4)
    share = float(often @ TREES) / (10.0 * often.sum())
    assert ours.binomial_likelihood_log == pytest.approx(float(often @ stats.binom.logpmf(TREES, 10, share)))


@pytest.mark.parametrize("counts", [[0, 0, 3, 1, 9, 0, 2], [41, 60, 81, 22, 8, 20, 28, 2, 0, 2, 2, 8, 0, 43, 61, 50]])
def test_the_negative_binomial_is_the_top_that_an_optimiser_finds(counts: list[int]) -> None:
    mean = float(np.mean(counts))

    def against(log_shape: float) -> float:
        shape = np.exp(log_shape)
        return -float(stats.nbinom.logpmf(counts, shape, shape / (shape + mean)).sum())

    theirs = optimize.minimize_scalar(against, bounds=(-6.0, 6.0), method="bounded", options={"xatol": 1e-10})
    ours = aggregation.fit_negative_binomial(counts)

    assert ours.shape == pytest.approx(float(np.exp(theirs.x)), rel=1e-5)
    assert ours.likelihood_log == pytest.approx(-float(theirs.fun))
    assert ours.poisson_likelihood_log == pytest.approx(float(stats.poisson.logpmf(counts, mean).sum()))


def test_counts_drawn_from_a_beta_binomial_give_its_likeness_back() -> None:
    drawn = stats.betabinom.rvs(8, 0.9, 2.1, size=4000, random_state=3)

    fit = aggregation.fit_beta_binomial(drawn, 8)

    assert abs(fit.mean_frac - 0.3) < 3.0 * fit.mean_se_frac
    assert abs(fit.overdispersion - 1.0 / 3.0) < 3.0 * fit.overdispersion_se


def test_a_chance_of_a_score_is_that_of_the_normal_curve() -> None:
    found = aggregation.dispersion(TREES, 10, times=[40, 20, 10, 6, 4, 2, 1, 0, 0, 0, 0])

    assert found.c_alpha_chance_frac == pytest.approx(float(stats.norm.sf(found.c_alpha_score)))


def test_a_searched_offset_is_the_one_an_optimiser_finds() -> None:
    metres = np.array([0.8, 1.6, 2.4, 3.2, 4.0, 7.2, 12.0, 15.2, 21.6, 28.8])
    lesions = np.array([184.9, 113.3, 113.3, 64.1, 25.0, 8.0, 4.3, 2.5, 1.0, 0.8])

    def left(p: np.ndarray) -> np.ndarray:
        return p[0] - p[1] * np.log(metres + np.exp(p[2])) - np.log(lesions)

    theirs = optimize.least_squares(left, [5.0, 1.5, -1.0], xtol=1e-14, ftol=1e-14)
    ours = gradient.fit_modified_power(metres, lesions)

    assert (np.log(ours.amount), ours.steepness, np.log(ours.offset_m)) == pytest.approx(tuple(theirs.x), rel=1e-4)


def test_the_course_is_that_of_an_integrator() -> None:
    def change(_: float, y: np.ndarray) -> list[float]:
        new = 3e-5 * y[0] * y[2]
        return [-new, new - 0.2 * y[1], 0.2 * y[1] - 0.1 * y[2], 0.1 * y[2]]

    days = [20.0, 80.0, 120.0, 200.0]
    theirs = integrate.solve_ivp(change, (0.0, 200.0), [9999.0, 1.0, 0.0, 0.0], t_eval=days, rtol=1e-10, atol=1e-8)

    ours = theory.hlir_course(days, hosts=10_000.0, reproduction=3.0, latent_d=5.0, infectious_d=10.0)

    assert ours == pytest.approx(theirs.y.T, rel=1e-6)


@pytest.mark.parametrize(("latent_stages", "infectious_stages"), [(1, 1), (8, 4)])
def test_the_rate_discounts_erlang_periods_to_one(latent_stages: int, infectious_stages: int) -> None:
    rate = float(
        theory.growth_rate_per_d(
            6.0, 8.0, 14.0, latent_stages=latent_stages, infectious_stages=infectious_stages
        )
    )  # fmt: skip
    latent = stats.gamma(latent_stages, scale=8.0 / latent_stages)
    infectious = stats.gamma(infectious_stages, scale=14.0 / infectious_stages)

    waiting = integrate.quad(lambda t: latent.pdf(t) * np.exp(-rate * t), 0.0, 200.0)[0]
    giving = integrate.quad(lambda t: infectious.sf(t) * np.exp(-rate * t), 0.0, 300.0)[0]

    assert 6.0 / 14.0 * waiting * giving == pytest.approx(1.0, rel=1e-6)

"""Curves fitted to visits, the best of them, and what stood in the way of the others."""

import numpy as np
import pytest

from abaxial.errors import ScoutingError
from abaxial.scouting import curves
from abaxial.scouting.curves import Fit, Unfitted

WEEKS = np.arange(0.0, 50.0, 7.0)
SLOW_START = [0.001, 0.01, 0.09, 0.25, 0.8, 0.98, 0.99, 0.999]
FITS = [curves.fit_line, curves.fit_curve]


@pytest.mark.parametrize("fit", FITS)
@pytest.mark.parametrize(
    ("form", "start", "rate"),
    [("exponential", 0.01, 0.08), ("monomolecular", 0.02, 0.03), ("logistic", 0.001, 0.2), ("gompertz", 1e-4, 0.1)],
)
def test_a_curve_that_was_drawn_is_found_again(fit, form: str, start: float, rate: float) -> None:
    found = fit(WEEKS, curves.curve_frac(WEEKS, start, rate_per_d=rate, form=form), form=form)

    assert (found.start_frac, found.rate_per_d) == pytest.approx((start, rate), rel=1e-4)
    assert found.converged
    assert found.error_frac < 1e-6
    assert found.seen_concordance == pytest.approx(1.0)


@pytest.mark.parametrize("method", curves.METHODS)
@pytest.mark.parametrize("form", curves.FORMS)
def test_the_form_that_made_the_curve_is_chosen(method: str, form: str) -> None:
    start, rate = {"monomolecular": (0.1, 0.03), "exponential": (0.02, 0.06)}.get(form, (0.01, 0.15))
    seen = curves.curve_frac(WEEKS, start, rate_per_d=rate, form=form)

    chosen = curves.choose(curves.fit_every(WEEKS, seen, method=method))

    assert chosen.best.form == form
    assert chosen.agrees


def test_two_ways_of_fitting_the_same_visits_give_two_rates() -> None:
    straight = curves.fit_line(WEEKS, SLOW_START, form="logistic")
    bent = curves.fit_curve(WEEKS, SLOW_START, form="logistic")

    assert straight.rate_per_d < bent.rate_per_d - 2.0 * bent.rate_se_per_d
    assert bent.error_frac < straight.error_frac


def test_forms_are_compared_on_the_scale_seen_and_not_on_their_own() -> None:
    fits = {each.form: each for each in curves.fit_every(WEEKS, SLOW_START, method="line")}

    assert fits["exponential"].error < 1.5
    assert fits["exponential"].error_frac > 30.0 * fits["logistic"].error_frac
    assert curves.choose(tuple(fits.values())).best.form == "logistic"


def test_shares_of_none_and_all_are_left_out_of_a_straight_fit_and_named() -> None:
    seen = [0.0, 0.01, 0.09, 0.25, 0.8, 0.98, 0.99, 1.0]

    left_out = {each.form: each.left_out for each in curves.fit_every(WEEKS, seen, method="line")}

    assert left_out == {"exponential": (0,), "monomolecular": (7,), "logistic": (0, 7), "gompertz": (0, 7)}
    assert all(each.left_out == () for each in curves.fit_every(WEEKS, seen, method="curve"))


@pytest.mark.parametrize("fit", FITS)
@pytest.mark.parametrize(
    ("days", "seen", "reason"),
    [
        ([0, 7], [0.1, 0.2], "too few"),
        ([3, 3, 3], [0.1, 0.2, 0.3], "too few"),
        ([], [], "too few"),
        ([0, 7, 14, 21], [0.2, 0.2, 0.2, 0.2], "constant"),
    ],
)
def test_what_stands_in_the_way_of_a_fit_is_said(fit, days, seen, reason: str) -> None:
    answer = fit(days, seen, form="logistic")

    assert isinstance(answer, Unfitted)
    assert answer.reason == reason


def test_too_few_are_counted_after_leaving_out() -> None:
    answer = curves.fit_line([0, 7, 14, 21], [0.0, 0.0, 0.3, 1.0], form="logistic")

    assert answer == Unfitted("logistic", "line", "too few", 1, (0, 1, 3))


@pytest.mark.parametrize("days", [[0, 7, 14, 21, 28, 35], list(range(0, 56, 7)), list(range(0, 30, 3))])
def test_a_leap_from_none_to_all_has_no_best_curve_and_that_is_said(days: list[int]) -> None:
    half = len(days) // 2

    fits = curves.fit_every(days, [0] * half + [1] * half, method="curve")

    steep = [each for each in fits if each.form in ("logistic", "gompertz")]
    assert [isinstance(each, Unfitted) or not each.converged for each in steep] == [True, True]
    assert {each.form for each in curves.choose(fits).ranked} == {"exponential", "monomolecular"}


def test_a_fit_that_did_not_arrive_says_so_and_is_not_chosen() -> None:
    hasty = curves.fit_curve(WEEKS, SLOW_START, form="gompertz", most_steps=1)
    arrived = curves.fit_curve(WEEKS, SLOW_START, form="monomolecular")

    chosen = curves.choose([hasty, arrived])

    assert not hasty.converged
    assert chosen.best is arrived
    assert chosen.passed_over == (hasty,)


def test_where_no_fit_arrived_nothing_is_chosen() -> None:
    assert curves.choose(curves.fit_every(WEEKS, [0.2] * 8, method="line")) is None


def test_the_lead_is_what_the_second_leaves_over_more() -> None:
    chosen = curves.choose(curves.fit_every(WEEKS, SLOW_START, method="curve"))

    first, second = chosen.ranked[:2]
    assert chosen.lead_frac == pytest.approx(second.error_frac / first.error_frac - 1.0)
    assert chosen.lead_frac > 0.3


@pytest.mark.parametrize("fit", FITS)
@pytest.mark.parametrize(
    ("seen", "said"),
    [([0.1, np.nan, 0.3], "Visit 2, day 7"), ([0.1, 0.2, 30.0], "Visit 3, day 14"), ([0.1, 0.2], "3 days and 2")],
)
def test_a_visit_that_cannot_be_read_is_named(fit, seen, said: str) -> None:
    with pytest.raises(ScoutingError, match=said):
        fit([0, 7, 14], seen, form="logistic")


def test_an_unknown_form_or_way_is_refused_by_name() -> None:
    with pytest.raises(ScoutingError, match="'richards'"):
        curves.fit_line(WEEKS, SLOW_START, form="richards")
    with pytest.raises(ScoutingError, match="'guess'"):
        curves.fit_every(WEEKS, SLOW_START, method="guess")


@pytest.mark.parametrize("fit", FITS)
def test_counting_days_from_another_day_moves_the_start_and_not_the_rate(fit) -> None:
    here = fit(WEEKS, SLOW_START, form="logistic")
    later = fit(WEEKS + 20_000.0, SLOW_START, form="logistic")

    assert later.rate_per_d == pytest.approx(here.rate_per_d, rel=1e-6)
    assert later.error_frac == pytest.approx(here.error_frac, rel=1e-6)


@pytest.mark.parametrize(("form", "fastest"), [("logistic", 0.5), ("gompertz", np.exp(-1.0))])
def test_a_curve_is_fastest_where_it_is_said_to_be(form: str, fastest: float) -> None:
    shares = np.linspace(0.001, 0.999, 999)

    speeds = curves.speed_per_d(shares, 0.1, form=form)

    assert shares[speeds.argmax()] == pytest.approx(fastest, abs=1e-3)
    assert curves.fastest_at_frac(form) == pytest.approx(fastest)


@pytest.mark.parametrize("form", ["exponential", "monomolecular"])
def test_a_curve_without_a_turning_point_has_no_fastest_share(form: str) -> None:
    assert curves.fastest_at_frac(form) is None


@pytest.mark.parametrize("form", curves.FORMS)
def test_the_speed_is_how_fast_the_curve_rises(form: str) -> None:
    before, at, after = curves.curve_frac([9.999, 10.0, 10.001], 0.02, rate_per_d=0.1, form=form)

    assert (after - before) / 0.002 == pytest.approx(float(curves.speed_per_d(at, 0.1, form=form)), rel=1e-5)


@pytest.mark.parametrize(("x", "y"), [([1, 2], [1, 2]), ([1, 1, 1], [1, 2, 3]), ([1, 2, 3], [2, 2, 2])])
def test_no_line_goes_through_too_little(x, y) -> None:
    with pytest.raises(ScoutingError, match="do not make a line"):
        curves.straight_line(x, y)


def test_a_fit_of_the_middle_share_is_not_hurt_by_a_share_of_all() -> None:
    with_all = curves.fit_curve([0, 5, 10, 15], [0.1, 0.4, 0.8, 1.0], form="logistic")

    assert isinstance(with_all, Fit)
    assert with_all.converged

"""Areas under curves, rates between two visits, and the time they give."""

import numpy as np
import pytest

from abaxial.errors import ScoutingError
from abaxial.scouting import curves, progress

DAYS, SEEN = [0, 2, 5, 6], [0.01, 0.02, 0.07, 0.075]


@pytest.mark.parametrize("area", [progress.area_under_progress_frac_d, progress.area_under_steps_frac_d])
def test_a_visit_without_a_count_is_refused_and_not_taken_as_none(area) -> None:
    with pytest.raises(ScoutingError, match="On day 5 the share is nan") as refused:
        area(DAYS, [0.01, 0.02, np.nan, 0.075])

    assert "not a visit with none" in refused.value.remedy


def test_a_left_out_visit_is_not_the_same_as_one_with_none() -> None:
    left_out = progress.area_under_progress_frac_d([0, 2, 6], [0.01, 0.02, 0.075])
    taken_as_none = progress.area_under_progress_frac_d(DAYS, [0.01, 0.02, 0.0, 0.075])

    assert left_out == pytest.approx(0.22)
    assert taken_as_none < 0.5 * left_out


def test_visits_need_not_be_evenly_spaced() -> None:
    straight = progress.area_under_progress_frac_d([0, 1, 9, 10], [0.0, 0.05, 0.45, 0.5])

    assert straight == pytest.approx(progress.area_under_progress_frac_d([0, 10], [0.0, 0.5]))


@pytest.mark.parametrize(
    ("days", "seen", "said"),
    [
        ([0, 7], [0.1], "2 days and 1 shares"),
        ([0], [0.1], "two visits or more"),
        ([0, 7, 7], [0.1, 0.2, 0.3], "do not rise"),
        ([0, 7, 3], [0.1, 0.2, 0.3], "do not rise"),
        ([0, np.nan], [0.1, 0.2], "do not rise"),
        ([0, 7], [0.1, 40.0], "between 0 and 1"),
        ([0, 7], [-0.1, 0.4], "between 0 and 1"),
    ],
)
def test_visits_that_make_no_curve_are_refused_by_rule_and_value(days, seen, said: str) -> None:
    with pytest.raises(ScoutingError, match=said):
        progress.area_under_progress_frac_d(days, seen)


def test_the_mean_under_a_level_curve_is_its_level() -> None:
    assert progress.mean_under_progress_frac([0, 4, 20], [0.3] * 3) == pytest.approx(0.3)
    assert progress.mean_under_steps_frac([0, 10, 20], [0.3] * 3) == pytest.approx(0.3)


def test_denser_visits_come_to_the_area_of_the_curve_itself() -> None:
    days = np.linspace(0.0, 60.0, 6001)

    seen = curves.curve_frac(days, 0.01, rate_per_d=0.2, form="logistic")

    whole = float(progress.logistic_area_frac_d(0.01, 0.2, until_d=60.0))
    assert progress.area_under_progress_frac_d(days, seen) == pytest.approx(whole, rel=1e-6)


@pytest.mark.parametrize("form", curves.FORMS)
def test_the_rate_between_two_visits_is_the_rate_the_curve_was_drawn_with(form: str) -> None:
    start, later = curves.curve_frac([0.0, 9.0], 0.02, rate_per_d=0.07, form=form)

    assert progress.apparent_rate_per_d(start, later, apart_d=9.0, form=form) == pytest.approx(0.07)


def test_a_share_that_fell_has_a_rate_below_nought() -> None:
    assert progress.apparent_rate_per_d(0.4, 0.3, apart_d=7.0, form="logistic") < 0.0


@pytest.mark.parametrize(
    ("earlier", "later", "form"),
    [(0.0, 0.1, "logistic"), (0.1, 1.0, "gompertz"), (0.0, 0.1, "exponential"), (0.1, 1.0, "monomolecular")],
)
def test_none_and_all_have_no_rate_where_the_form_never_gets_there(earlier: float, later: float, form: str) -> None:
    with pytest.raises(ScoutingError, match="has no place"):
        progress.apparent_rate_per_d(earlier, later, apart_d=7.0, form=form)


def test_visits_on_one_day_have_no_rate() -> None:
    with pytest.raises(ScoutingError, match="apart in time"):
        progress.apparent_rate_per_d(0.1, 0.2, apart_d=0.0, form="logistic")


def test_an_epidemic_that_does_not_grow_reaches_no_level_and_never_doubles() -> None:
    assert progress.days_to_level_d(0.1, [0.05, 0.5], rate_per_d=-0.1, form="logistic").tolist() == [0.0, np.inf]
    assert progress.days_to_level_d(0.1, 0.5, rate_per_d=0.0, form="logistic") == np.inf
    assert progress.doubling_time_d([0.0, -0.1]).tolist() == [np.inf, np.inf]


def test_taking_nine_in_ten_away_moves_the_whole_curve_by_the_delay() -> None:
    delay = float(progress.sanitation_delay_d(0.9, rate_per_d=0.2))

    whole = curves.curve_frac(30.0, 1e-5, rate_per_d=0.2, form="logistic")
    cleaned = curves.curve_frac(30.0 + delay, 1e-6, rate_per_d=0.2, form="logistic")
    assert cleaned == pytest.approx(float(whole), rel=1e-3)


def test_taking_all_away_ends_it_and_a_share_above_all_is_refused() -> None:
    assert progress.sanitation_delay_d(1.0, rate_per_d=0.2) == np.inf
    with pytest.raises(ScoutingError, match="gives no delay"):
        progress.sanitation_delay_d(1.2, rate_per_d=0.2)

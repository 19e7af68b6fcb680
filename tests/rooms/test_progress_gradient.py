"""Rust that thins out with distance."""

import numpy as np
import pytest

from abaxial.errors import ScoutingError
from abaxial.scouting import gradient

METRES = np.array([0.8, 1.6, 2.4, 3.2, 4.0, 7.2, 12.0, 15.2, 21.6, 28.8])
LESIONS = [184.9, 113.3, 113.3, 64.1, 25.0, 8.0, 4.3, 2.5, 1.0, 0.8]
EXPONENTIAL = 90.0 * np.exp(-0.2 * METRES)
MODIFIED = 400.0 * (METRES + 1.5) ** -2.1
LAMBERT = 300.0 * np.exp(-1.7 * METRES**0.6)


def test_gradients_that_were_drawn_are_found_again() -> None:
    plain = gradient.fit_exponential(METRES, EXPONENTIAL)
    bent = gradient.fit_modified_power(METRES, MODIFIED)
    root = gradient.fit_lambert(METRES, LAMBERT)

    assert (plain.amount, plain.steepness) == pytest.approx((90.0, 0.2))
    assert (bent.amount, bent.steepness, bent.offset_m) == pytest.approx((400.0, 2.1, 1.5), rel=1e-3)
    assert (root.amount, root.steepness, root.exponent) == pytest.approx((300.0, 1.7, 0.6), rel=1e-3)
    assert bent.inside
    assert root.inside


def test_a_searched_offset_explains_no_less_than_a_given_one() -> None:
    searched = gradient.fit_modified_power(METRES, LESIONS)

    given = [gradient.fit_modified_power(METRES, LESIONS, offset_m=each) for each in (0.0, 0.4, 1.0, 3.0)]
    assert searched.explained_frac > max(each.explained_frac for each in given)
    assert given[0].form == "power"


def test_lesions_near_a_source_thin_out_by_a_power_past_an_offset_before_all_else() -> None:
    power = gradient.fit_modified_power(METRES, LESIONS, offset_m=0.4)

    assert power.explained_frac > gradient.fit_power(METRES, LESIONS).explained_frac
    assert power.explained_frac > gradient.fit_exponential(METRES, LESIONS).explained_frac


def test_an_offset_at_the_edge_of_the_search_is_said_to_be() -> None:
    assert not gradient.fit_modified_power(METRES, EXPONENTIAL).inside
    assert gradient.fit_lambert(METRES, EXPONENTIAL).exponent == pytest.approx(1.0, abs=1e-3)


def test_distances_without_rust_are_left_out_and_named() -> None:
    found = gradient.fit_exponential([1, 2, 3, 4, 5], [20, 9, 0, 2, 0])

    assert found.left_out == (2, 4)
    assert found.points == 3


@pytest.mark.parametrize(
    "fitted",
    [
        gradient.fit_exponential(METRES, LESIONS),
        gradient.fit_power(METRES, LESIONS),
        gradient.fit_modified_power(METRES, LESIONS, offset_m=0.4),
        gradient.fit_lambert(METRES, LESIONS),
    ],
    ids=lambda each: each.form,
)
def test_at_the_half_distance_half_is_left(fitted: gradient.Gradient) -> None:
    further = gradient.half_distance_m(fitted, from_m=2.0)

    assert gradient.left_after_frac(fitted, from_m=2.0, to_m=2.0 + further) == pytest.approx(0.5)


def test_only_an_exponential_halves_over_the_same_distance_everywhere() -> None:
    plain, power = gradient.fit_exponential(METRES, LESIONS), gradient.fit_power(METRES, LESIONS)

    assert gradient.half_distance_m(plain, from_m=9.0) == pytest.approx(gradient.half_distance_m(plain))
    assert gradient.half_distance_m(power, from_m=9.0) == pytest.approx(
        9.0 * gradient.half_distance_m(power, from_m=1.0)
    )


def test_rust_that_does_not_thin_out_never_halves() -> None:
    rising = gradient.fit_exponential([1, 2, 3], [1.0, 2.0, 4.0])

    assert gradient.half_distance_m(rising) == np.inf


@pytest.mark.parametrize(
    ("distance", "count", "said"),
    [
        ([1, 2], [3, 2], "needs three"),
        ([1, 2, 3, 4], [3, 2, 0, 0], "needs three"),
        ([1, 2, 3], [3, 2], "3 distances and 2 counts"),
        ([1, -2, 3], [3, 2, 1], "below 0"),
        ([1, 2, 3], [3, np.nan, 1], "missing"),
        ([0, 1, 2], [9, 3, 1], "a power has no value"),
    ],
)
def test_what_makes_no_gradient_is_refused(distance, count, said: str) -> None:
    with pytest.raises(ScoutingError, match=said):
        gradient.fit_power(distance, count)


def test_a_power_has_no_half_at_the_source() -> None:
    with pytest.raises(ScoutingError, match="no half"):
        gradient.half_distance_m(gradient.fit_power(METRES, LESIONS))

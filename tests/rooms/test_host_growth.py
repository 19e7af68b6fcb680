"""Leaves counted by hand: how many in a month, which ones a walk should turn, and what a knife takes."""

import numpy as np
import pytest

from abaxial.host import growth, species

CANNA = species.read_species("canna")
WARM = np.full(300, 25.0)


def stand(**changes: object) -> growth.Growth:
    """A bed of cannas at a steady 25 °C, half a metre apart."""
    given = {"since_day": 0, "clumps": 4, "spacing_m": 0.5, **changes}
    return growth.grow(CANNA, WARM, **given)


def test_a_canna_leaf_unrolls_every_six_to_nine_days_in_a_warm_summer():
    days_per_leaf = 1.0 / np.diff(stand().emerged_leaves)[0]

    assert 6.0 <= days_per_leaf <= 9.0


def test_a_full_stand_of_cannas_is_as_leafy_as_was_measured():
    grown = stand()

    assert 4.0 < grown.leaf_area_index_lower[150] + grown.leaf_area_index_upper[150] < 12.0


def test_both_halves_of_an_untouched_stand_are_equal():
    grown = stand()

    np.testing.assert_allclose(grown.leaf_area_index_lower, grown.leaf_area_index_upper)


def test_low_leaves_taken_off_leave_the_upper_half_and_grow_back():
    grown = stand(cuts=((), (120,)))

    assert grown.leaf_area_index_lower[120] == 0.0
    assert grown.leaf_area_index_upper[120] == pytest.approx(grown.leaf_area_index_upper[119])
    assert grown.leaf_area_index_lower[160] == pytest.approx(grown.leaf_area_index_lower[119])


def test_five_leaves_stand_again_two_months_after_cutting_to_the_ground():
    # new shoots after some three weeks, then a leaf each week and a half or less
    grown = stand(cuts=((120,), ()))

    assert grown.open_leaves[120] == 0.0
    assert grown.open_leaves[130] == 0.0
    assert np.argmax(grown.open_leaves[120:] >= 5.0) == pytest.approx(58, abs=8)
    assert grown.height_m[120] == 0.0


def test_crowded_plants_hold_fewer_leaves_each_and_more_on_the_ground():
    near, far = stand(spacing_m=0.35), stand(spacing_m=0.9)

    assert near.open_leaves[200] < far.open_leaves[200]
    assert near.leaf_area_index_upper[200] > far.leaf_area_index_upper[200]


def test_the_leaves_to_turn_are_those_that_were_open_on_the_night():
    # a leaf comes every 7.47 days: 9 by day 70, 11 by day 85, and 7.3 hang at once
    grown = stand()

    assert np.floor(grown.emerged_leaves[[70, 85]]).tolist() == [9.0, 11.0]
    assert growth.leaf_ranks_open_on(grown, 70, 85) == (3, 7)


def test_on_the_night_itself_the_leaves_count_from_one():
    assert growth.leaf_ranks_open_on(stand(), 80, 80)[0] == 1


def test_leaves_that_have_gone_need_no_turning():
    assert growth.leaf_ranks_open_on(stand(cuts=((100,), ())), 90, 140) is None
    assert growth.leaf_ranks_open_on(stand(), 40, 200) is None


def test_what_hung_a_week_ago_mostly_hangs_today_and_what_was_cut_does_not():
    kept = growth.kept_frac(stand(), 150)
    cut = growth.kept_frac(stand(cuts=((145,), ())), 150)

    assert 0.8 < kept[143] < 1.0
    assert cut[143] == 0.0
    assert kept[60] == 0.0


def test_a_plant_that_was_there_before_the_weather_starts_full_grown():
    grown = stand(since_day=-200)

    assert grown.height_m[0] == CANNA["plant_height_m"]
    assert grown.open_leaves[0] == pytest.approx(grown.open_leaves[-1])


def test_the_upper_level_carries_all_where_the_low_leaves_are_off():
    weight = growth.upper_weight_frac(stand(cuts=((), (120,))))

    assert weight[119] == pytest.approx(0.5)
    assert weight[120] == 1.0


def test_members_grow_by_their_own_weather():
    grown = growth.grow(CANNA, np.stack([WARM, WARM - 8.0], axis=1), since_day=0, clumps=1, spacing_m=0.5)

    assert grown.emerged_leaves[50, 0] == pytest.approx(stand().emerged_leaves[50])
    assert grown.emerged_leaves[50, 1] < grown.emerged_leaves[50, 0]

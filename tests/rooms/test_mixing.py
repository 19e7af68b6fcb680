"""Sprayer, foliage, rate, tank: what a card for mixing says, and what it refuses."""

import math

import pytest

from abaxial.errors import FaultError, LabelError, ParameterError, RequestError
from abaxial.label.bottle import Bottle, Label, Rate
from abaxial.label.mixing import amounts, calibration, order, rinsing
from abaxial.label.mixing.card import USUAL, MixCard, NoMix, mix_card
from abaxial.label.mixing.from_label import product_of
from abaxial.label.mixing.habits import parameters, read_habits
from abaxial.label.mixing.job import Job, Product
from abaxial.label.mixing.tankfuls import equal_tankfuls, measured
from abaxial.label.mixing.volume import Volume
from abaxial.label.window.limits import read_limits
from abaxial.label.window.site import SiteFacts

HABITS, LIMITS = read_habits(), read_limits()
QUIET = SiteFacts(math.inf, math.inf, False, False, False, False)
BED = Job(ground_m2=6.0, leaf_area_m2=18.0, tank_l=5.0, facts=QUIET)
OIL = Product("oil", "emulsifiable", "ml", 5.0, "l")
POWDER = Product("powder", "wettable", "g", 4.0, "l")


def card_of(*products, job=BED):
    card = mix_card(products or (OIL,), job, HABITS, LIMITS)
    assert isinstance(card, MixCard), card
    return card


def kinds_of(*products, job=BED):
    found = mix_card(products, job, HABITS, LIMITS)
    assert isinstance(found, NoMix), found
    return [each.kind for each in found.hindrances]


def test_a_bed_of_three_layers_of_leaf_takes_a_few_drops_less_than_a_litre():
    card = card_of()

    assert (card.tankfuls, card.tankful_l, card.left_over_l) == (1, 0.9, 0.0)
    assert card.doses[0].whole == pytest.approx(4.5)


def test_what_does_not_go_into_one_tank_goes_into_equal_ones():
    card = card_of(job=BED._replace(leaf_area_m2=54.0, tank_l=1.5))

    assert card.tankfuls == 2
    assert card.tankful_l == pytest.approx(1.4)
    assert card.left_over_l <= 0.05 * 2.7 + 1e-9
    assert card.doses[0].whole == pytest.approx(2 * card.doses[0].per_tankful)


def test_a_tank_that_is_just_full_is_filled_to_the_brim():
    assert equal_tankfuls(3.0, 3.15, 1.5) == (2, 1.5)


def test_litres_are_as_round_as_the_left_over_allows():
    assert equal_tankfuls(9.7, 9.7 * 1.05, 15.0) == (1, 10.0)
    assert equal_tankfuls(1.31, 1.31 * 1.05, 15.0)[1] == pytest.approx(1.35)


def test_a_measure_is_read_down_and_never_up():
    assert measured(4.59, 0.1) == pytest.approx(4.5)
    assert measured(0.3, 0.1) == pytest.approx(0.3)


def test_an_amount_too_small_to_measure_is_refused_with_what_would_be_enough():
    found = mix_card((OIL._replace(amount=1.0),), BED, HABITS, LIMITS)

    details = found.hindrances[0].details
    assert found.hindrances[0].kind == "too_small"
    assert details["smallest"] == pytest.approx(2.0)
    assert details["enough_for_l"] == pytest.approx(2.0)
    assert details["graduation_needed"] == pytest.approx(0.045)


def test_a_finer_measure_makes_the_same_mix_possible():
    fine = HABITS._replace(graduation_ml=0.01)

    assert isinstance(mix_card((OIL._replace(amount=1.0),), BED, fine, LIMITS), MixCard)


def test_a_handful_of_leaves_is_too_little_water_to_measure():
    assert kinds_of(OIL._replace(amount=100.0), job=BED._replace(leaf_area_m2=0.47)) == ["too_little_water"]


def test_the_label_may_hold_the_spray_below_what_the_leaves_would_take():
    card = card_of(OIL._replace(most_per_m2=0.6))

    assert card.volume.notes == ("held_by_area",)
    assert card.doses[0].whole <= 0.6 * 6.0 + 1e-9
    assert card.left_over_l == 0.0


def test_where_so_little_is_allowed_that_leaves_stay_dry_nothing_is_mixed():
    assert kinds_of(OIL._replace(most_per_m2=0.3)) == ["too_little_to_wet"]


def test_a_label_that_asks_for_more_water_gets_it_and_the_card_says_it_runs_off():
    card = card_of(OIL._replace(least_l_per_m2=0.5))

    assert card.volume.needed_l == pytest.approx(3.0)
    assert card.volume.notes == ("raised_by_label", "runs_off")


def test_labels_of_which_one_asks_for_more_water_than_the_other_allows_disagree():
    assert kinds_of(OIL._replace(least_l_per_m2=0.3), POWDER._replace(most_l_per_m2=0.2)) == ["labels_disagree"]


def test_a_rate_on_the_ground_is_shared_out_over_the_tanks():
    card = card_of(POWDER._replace(per="m2", amount=1.0), job=BED._replace(leaf_area_m2=54.0, tank_l=1.5))

    assert card.doses[0].whole == pytest.approx(6.0)
    assert card.doses[0].per_tankful == pytest.approx(3.0)


def test_a_strongest_mix_asks_for_enough_water():
    card = card_of(POWDER._replace(per="m2", amount=1.0, most_per_l=4.0))

    assert card.volume.needed_l == pytest.approx(1.5)


def test_what_is_left_in_the_bottle_must_be_enough():
    assert kinds_of(OIL._replace(left=4.0)) == ["not_enough_left"]


def test_everything_wrong_with_the_doses_is_told_at_once():
    assert kinds_of(OIL._replace(amount=1.0), POWDER._replace(left=0.5)) == ["not_enough_left", "too_small"]


def test_powders_go_in_before_oils_and_as_a_paste():
    card = card_of(OIL, POWDER)

    assert [each.bottle for each in card.doses] == ["powder", "oil"]
    assert [each.kind for each in card.steps if "_and_add" in each.kind] == ["paste_and_add", "measure_and_add"]
    assert "jar_test" in [each.kind for each in card.steps]


def test_the_order_is_water_then_products_then_water_then_rinsing():
    kinds = [each.kind for each in card_of().steps]

    wanted = ["read_label", "dress", "first_water", "measure_and_add", "fill_up", "spray_all_on_bed", "rinse_sprayer"]
    assert [kind for kind in kinds if kind in wanted] == wanted
    assert "jar_test" not in kinds


def test_an_emptied_bottle_is_rinsed_into_the_last_tank_and_finds_room_there():
    card = card_of(OIL._replace(left=4.5, container_l=1.0))

    rinse = next(each for each in card.steps if each.kind == "rinse_container")
    first = next(each for each in card.steps if each.kind == "first_water")
    assert rinse.details["times"] == 3.0
    assert first.details["volume_l"] + 3.0 * rinse.details["volume_l"] < card.tankful_l


def test_an_emptied_bottle_of_unknown_size_is_filled_to_a_quarter_for_each_rinse():
    rinse = next(each for each in card_of(OIL._replace(left=4.5)).steps if each.kind == "rinse_container")

    assert rinse.details == {"bottle": "oil", "times": 3.0, "tankful": 1.0, "fill_frac": 0.25}


def test_a_bottle_with_something_left_is_not_rinsed():
    assert "rinse_container" not in [each.kind for each in card_of(OIL._replace(left=50.0)).steps]


def test_a_small_container_is_rinsed_with_a_quarter_and_a_large_one_with_a_fifth():
    assert rinsing.container_rinse_l(1.0, HABITS) == pytest.approx(0.25)
    assert rinsing.container_rinse_l(20.0, HABITS) == pytest.approx(4.0)


def test_no_card_is_made_before_the_questions_about_the_bed_are_answered():
    with pytest.raises(RequestError, match="children, washing"):
        card_of(job=BED._replace(facts=QUIET._replace(children=None, washing=None)))


def test_every_card_carries_the_usual_cautions_and_those_of_its_bed():
    card = card_of(job=BED._replace(facts=QUIET._replace(washing=True, fish_m=6.0)))

    assert {"label_first", "local_law", "never_stronger", "rest_never_poured_away"} < set(USUAL)
    assert set(USUAL) < set(card.cautions)
    assert card.cautions[-2:] == ("washing_in", "cover_pond")


@pytest.mark.parametrize("change", [{"cautions": USUAL[1:]}, {"tank_l": 0.5}, {"doses": ()}])
def test_a_card_without_its_cautions_or_beyond_its_tank_cannot_exist(change):
    volume = Volume(0.9, 0.9, 0.0, math.inf, ())
    good = {**vars(card_of()), "volume": volume}

    with pytest.raises(FaultError):
        MixCard(**{**good, **change})


@pytest.mark.parametrize(
    ("products", "change", "told"),
    [
        ((), {}, "nothing to mix"),
        ((OIL._replace(amount=0.0),), {}, "amount is 0.0"),
        ((OIL._replace(amount=math.nan),), {}, "amount is nan"),
        ((OIL._replace(unit="lb"),), {}, "unit 'lb'"),
        ((OIL._replace(per="kg"),), {}, "per 'kg'"),
        ((OIL._replace(left=-1.0),), {}, "left is -1.0"),
        ((OIL, OIL), {}, "named twice"),
        ((OIL,), {"tank_l": math.inf}, "tank_l is inf"),
        ((OIL,), {"leaf_area_m2": 0.0}, "leaf_area_m2 is 0.0"),
    ],
)
def test_what_cannot_be_a_mix_is_refused_with_the_reason(products, change, told):
    with pytest.raises(RequestError, match=told):
        mix_card(products, BED._replace(**change), HABITS, LIMITS)


def test_an_unknown_form_is_refused_with_the_list():
    with pytest.raises(RequestError, match="not a form") as refused:
        order.in_order(["wettable", "jelly"])

    assert "emulsifiable" in refused.value.remedy


def test_a_form_without_its_place_is_a_broken_file(tmp_path, monkeypatch):
    (tmp_path / "order.toml").write_text('[form.jelly]\nafter = "last"\ndry = false\n', encoding="utf-8")
    monkeypatch.setattr(order, "_PATH", tmp_path / "order.toml")

    with pytest.raises(ParameterError, match="jelly"):
        order.forms.__wrapped__()


def test_everything_in_order_toml_has_its_own_place():
    places = [each.after for each in order.forms().values()]

    assert sorted(set(places)) == sorted(places)


def label_of(**said):
    known = {
        "form": "liquid", "actives": {"sulfur": 0.5}, "strength_unit": "g_per_ml", "rate": Rate(5.0, "ml_per_l", 5.0),
        "sites": ("ornamentals",), "pests": ("rust",), "interval_d": 7, "most_applications": 4,
        "most_product_per_m2": None, "reentry_h": 0.0, "rain_fast_h": 2.0, "protective": (), "registration": "1",
    }  # fmt: skip
    return Label(**{**known, **said})


def test_a_bottle_goes_into_a_mix_at_the_rate_of_its_label():
    bottle = Bottle("blue", "bottle", label_of(most_product_per_m2=2.0), left=80.0)

    product = product_of(bottle, used_per_m2=1.5)

    assert (product.amount, product.unit, product.per, product.left) == (5.0, "ml", "l", 80.0)
    assert product.most_per_m2 == pytest.approx(0.5)
    assert product.form == "solution"


@pytest.mark.parametrize(
    ("bottle", "told"),
    [
        (Bottle("tea", "home_brew", None), "brewed at home"),
        (Bottle("blue", "bottle", None), "without its label"),
        (Bottle("blue", "bottle", label_of(rate=None)), "without the rate"),
        (Bottle("blue", "bottle", label_of(most_product_per_m2=1.0)), "of at most 1 in 365 days"),
    ],
)
def test_a_bottle_that_may_not_be_mixed_is_refused_with_the_reason(bottle, told):
    with pytest.raises(LabelError, match=told):
        product_of(bottle, used_per_m2=1.0)


def test_every_habit_has_a_range_around_it():
    assert all(each.low <= each.value <= each.high for each in parameters().values())


def test_the_two_ways_to_calibrate_agree_on_the_same_catch():
    caught_ml, plot_m2 = 800.0, 12.0

    metric = calibration.caught_l_per_ha(caught_ml, plot_m2)
    american = calibration.caught_gal_per_acre(caught_ml / 29.5735295625, plot_m2 / 0.3048**2)

    assert calibration.l_per_ha_of_gal_per_acre(american) == pytest.approx(metric)


def test_a_wand_in_american_units_gives_what_it_gives_in_metric_ones():
    metric = calibration.walking_l_per_ha(0.8, 3.0, 100.0)
    american = calibration.walking_gal_per_acre(0.8 / 3.785411784, 3.0 / 1.609344, 100.0 / 2.54)

    # 5940 is rounded in the trade
    assert calibration.l_per_ha_of_gal_per_acre(american) == pytest.approx(metric, rel=1e-3)


def test_both_faces_of_every_leaf_are_wetted():
    assert amounts.faces_m2(6.0, 3.0) == 2.0 * amounts.leaf_area_m2(6.0, 3.0)

"""Blades, mixes, what never meets, what becomes of cut leaves, and in which order one works."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from abaxial.errors import RequestError
from abaxial.infection.pathogen import read_pathogen
from abaxial.label.sanitation import arrivals, dilution, disinfect, disposal, heat, never_mix, order
from abaxial.label.sanitation.disposal import Circumstances
from abaxial.label.sanitation.order import Standing

STRENGTHS = st.floats(0.0003, 1.0)


@given(strength=STRENGTHS, share=st.floats(0.001, 1.0), total=st.floats(1.0, 20000.0))
def test_what_is_poured_and_the_strength_it_gives_agree(strength, share, total):
    product = dilution.product_needed_ml(strength, strength * share, total)

    assert dilution.diluted_frac(strength, product, total - product) == pytest.approx(strength * share)
    assert 0.0 < product <= total


@pytest.mark.parametrize(
    ("said", "strengths"),
    [("1:10", [0.1, 1 / 11]), ("1 to 9", [1 / 9, 0.1]), ("1/10", [0.1, 1 / 11]), ("1 part to 9 parts", [1 / 9, 0.1]),
     ("1+9", [0.1]), ("1 in 10", [0.1]), ("10 %", [0.1]), ("1,5 in 3", [0.5]), ("9:1", [0.9])],
)  # fmt: skip
def test_a_ratio_has_one_meaning_or_two_and_says_so(said, strengths):
    assert dilution.ratio_strengths_frac(said, 1.0) == pytest.approx(strengths)


@pytest.mark.parametrize("said", ["", "a little", "0:10", "0 %", "10 in 1", "-1:9", "1:", "200 %", "1:9:9"])
def test_what_is_no_ratio_is_refused(said):
    with pytest.raises(RequestError):
        dilution.ratio_readings(said)


def test_water_never_makes_a_bottle_stronger():
    with pytest.raises(RequestError, match="cannot be made"):
        disinfect.mix_for("alcohol", "tools", bought_frac=0.6, total_ml=500.0)


@pytest.mark.parametrize("strength", [0.0, -0.1, 1.2, math.nan])
def test_a_bottle_without_a_strength_is_refused(strength):
    with pytest.raises(RequestError):
        disinfect.mix_for("bleach", "tools", bought_frac=strength, total_ml=500.0)


@pytest.mark.parametrize("total", [0.0, -5.0, math.nan, math.inf, 10.0, 30000.0])
def test_an_amount_that_cannot_be_mixed_or_handled_is_refused(total):
    with pytest.raises(RequestError):
        disinfect.mix_for("bleach", "tools", bought_frac=0.05, total_ml=total)


def test_too_little_to_measure_says_how_much_would_do():
    with pytest.raises(RequestError) as refused:
        disinfect.mix_for("bleach", "tools", bought_frac=0.0525, total_ml=20.0)

    assert "50 ml" in refused.value.remedy
    assert disinfect.mix_for("bleach", "tools", bought_frac=0.0525, total_ml=50.0).product_ml == pytest.approx(5.0)


@pytest.mark.parametrize("purpose", ["cut_material", "division"])
def test_alcohol_is_for_blades_alone(purpose):
    with pytest.raises(RequestError, match="is not for"):
        disinfect.mix_for("alcohol", purpose, bought_frac=0.95, total_ml=500.0)


@given(
    key=st.sampled_from(disinfect.disinfectant_keys()),
    purpose=st.sampled_from(disinfect.PURPOSES),
    bought=st.sampled_from([0.03, 0.05, 0.0825, 0.7, 0.95, 1.0]),
    total=st.floats(1.0, 25000.0),
)
def test_no_mix_comes_without_its_cautions(key, purpose, bought, total):
    try:
        mix = disinfect.mix_for(key, purpose, bought_frac=bought, total_ml=total)
    except RequestError:
        reject()

    assert {"label_first", "fresh_air", "never_mix"} <= set(mix.cautions)
    assert mix.product_ml + mix.water_ml == pytest.approx(total)
    assert bought * mix.product_ml / total == pytest.approx(mix.strength_frac)
    assert mix.contact_min > 0.0
    assert mix.steps


def test_what_was_cut_is_wetted_and_binned_and_not_rinsed():
    mix = disinfect.mix_for("bleach", "cut_material", bought_frac=0.05, total_ml=5000.0)

    assert mix.steps[-2:] == ("bag", "bin")
    assert not mix.rinse


@pytest.mark.parametrize(
    ("other", "makes"),
    [("vinegar", "chlorine_gas"), ("Rust  remover", "chlorine_gas"), ("urine", "chloramine_gas"),
     ("methylated spirit", "chloroform"), ("hydrogen peroxide", "oxygen_and_spatter"), ("sulfur", "poisonous_gases"),
     ("grandmother's tonic", "unknown")],
)  # fmt: skip
def test_bleach_goes_with_cold_water_alone(other, makes):
    assert [each.makes for each in never_mix.clashes(["bleach", "water", other])] == [makes]
    assert never_mix.clashes([other, "Bleach"])[0].makes == makes


def test_water_and_bleach_may_meet():
    assert never_mix.clashes(["bleach", "cold water"]) == ()


def test_more_heat_takes_less_time_and_none_below_what_was_tried():
    at = heat.lethal_h([30.0, 37.9, 38.0, 42.0, 48.0, 52.0, 60.0])

    assert np.all(np.isinf(at[:2]))
    assert np.all(np.diff(at[2:6]) < 0.0)
    assert at[6] == at[5]


def test_a_bag_in_the_sun_needs_its_weeks_and_where_measured_its_heat():
    assert heat.bag_in_the_sun(14.0).short == ("time",)
    assert heat.bag_in_the_sun(28.0).ready
    assert heat.bag_in_the_sun(28.0, [30.0] * 600).short == ("heat",)
    assert heat.bag_in_the_sun(3.0, [60.0] * 5).short == ("time",)


def test_hours_nobody_measured_add_no_heat():
    assert heat.heat_doses([45.0, math.nan]) == heat.heat_doses([45.0])


def test_ground_under_film_takes_longer_than_a_bag():
    ground = heat.ground_under_film(30.0, [46.0] * 100)

    assert ground.short == ("time",)
    assert ground.hot_h == 100.0


def test_cut_leaves_go_into_the_bin_unless_somebody_says_there_is_none():
    unknown = disposal.disposal({"rust"}, Circumstances())

    assert unknown.way == "bag_and_bin"
    assert unknown.questions == ("refuse_collection",)
    assert unknown.cautions


def test_fire_is_never_taken_on_a_guess():
    closed = disposal.disposal({"rust"}, Circumstances(refuse_collection=False))

    assert closed.way == ""
    assert disposal.Refused("burn", "not_known_to_be_legal") in closed.refused
    assert closed.questions == ("burning_legal", "own_ground")
    assert closed.left_frac.value == disposal.left_in_garden("left_lying").value


@given(
    troubles=st.sets(st.sampled_from(disposal.TROUBLES)),
    at=st.builds(
        Circumstances,
        *(st.sampled_from([None, False, True]) for _ in range(3)),
        pile_passed=st.booleans(),
        disinfected=st.booleans(),
    ),
)
def test_no_way_of_disposal_ever_breaks_a_hard_rule(troubles, at):
    found = disposal.disposal(troubles, at)
    taken = {found.way, *found.others} - {""}

    assert not taken & {"green_waste", "cold_compost", "left_lying"}
    assert "burn" not in taken or (at.burning_legal is True and not at.disinfected)
    assert "hot_compost" not in taken or (at.pile_passed and not at.disinfected and not troubles & {"virus", "bud_rot"})
    assert taken | {each.way for each in found.refused} == set(disposal.ways())
    assert found.way == "" or found.cautions


def test_a_trouble_nobody_knows_is_refused():
    with pytest.raises(RequestError):
        disposal.disposal({"sadness"}, Circumstances())


def test_the_worse_a_way_is_the_more_stays_in_the_garden():
    left = [disposal.left_in_garden(way).value for way in disposal.ways()]

    assert left == sorted(left)


STANDINGS = st.lists(
    st.builds(
        Standing,
        planting=st.text("abcdefgh", min_size=1, max_size=3),
        rusted_frac=st.floats(0.0, 1.0),
        hidden_frac=st.floats(0.0, 1.0),
        guarded=st.booleans(),
        held=st.booleans(),
        lasting=st.booleans(),
        wet=st.booleans(),
    ),
    unique_by=lambda each: each.planting,
    max_size=8,
)


@given(STANDINGS)
def test_nobody_goes_from_a_dirty_planting_to_a_clean_one(standings):
    known = {each.planting: each for each in standings}
    turns = order.working_order(standings)
    gone = [known[turn.planting] for turn in turns]
    plain = [each.rusted_frac for each in gone if not each.held and not each.lasting]

    assert {each.planting for each in gone} == set(known)
    assert not any(one.lasting and not other.lasting for one, other in pairwise(gone))
    assert not any(heavy > 0.02 and light < 0.001 for heavy, light in pairwise(plain))
    for turn in turns:
        assert ("wait_until_dry" in turn.before) == known[turn.planting].wet
        assert {"clean_blades", "disinfect_blades"} & set(turn.before)


def test_clothes_are_changed_after_a_plant_that_still_stands_apart():
    turns = order.working_order(
        [Standing("new", 0.0, 0.0, held=True), Standing("rotten", 0.0, 0.0, lasting=True), Standing("mother", 0.0, 0.0, True)]
    )  # fmt: skip

    assert [turn.planting for turn in turns] == ["mother", "new", "rotten"]
    assert "change_clothes" in turns[2].before


def test_a_planting_named_twice_has_no_turn():
    with pytest.raises(RequestError, match="twice"):
        order.working_order([Standing("a", 0.0, 0.0), Standing("a", 0.1, 0.0)])


@pytest.mark.parametrize("share", [-0.1, 1.1, math.nan])
def test_a_share_that_is_none_has_no_turn(share):
    with pytest.raises(RequestError, match="no shares"):
        order.working_order([Standing("a", share, 0.0)])


def test_a_new_plant_waits_longer_in_the_cold():
    days = arrivals.hold_of_d("canna_rust", [26.0, 18.0, 14.0, 5.0])

    assert days[0] == 28.0
    assert np.all(np.diff(days) > 0.0)
    assert math.isinf(days[3])


def test_a_new_plant_joins_when_time_looks_and_latent_periods_are_enough():
    warm = np.array([3.2, 3.1, 3.5])

    assert arrivals.hold(warm, 28, looks=8, rust_seen=False, sure_frac=0.9).over
    assert arrivals.hold(warm, 20, looks=8, rust_seen=False, sure_frac=0.9).short == ("days",)
    assert arrivals.hold(warm, 28, looks=7, rust_seen=False, sure_frac=0.9).short == ("looks",)
    assert arrivals.hold(warm, 28, looks=8, rust_seen=True, sure_frac=0.9).short == ("rust_seen",)
    assert arrivals.hold([3.2, 2.9, 3.5], 60, looks=99, rust_seen=False, sure_frac=0.9).short == ("latent_periods",)


def test_hours_in_the_cold_bring_a_clock_no_further():
    passed = arrivals.periods_passed(read_pathogen("canna_rust"), np.array([[26.0] * 24 + [4.0] * 24]))

    assert passed[0, 23] == pytest.approx(1 / 9.0)
    assert passed[0, 47] == passed[0, 23]

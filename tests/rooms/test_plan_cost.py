"""What a course costs a person."""

import numpy as np
import pytest

from abaxial.epidemic.rollout import Outcome
from abaxial.errors import RequestError
from abaxial.plan import cost
from abaxial.plan.cost import Stake, read_values

VALUES = read_values()
VERSIONS = 4


def stake(**changes):
    return Stake(
        ground_m2=2.0, potential_area_d=np.full(VERSIONS, 100.0), flowers=10.0, clumps=5.0, worth_factor=1.0,
        replaceable=True, stem_frac=np.zeros(VERSIONS),
    )._replace(**changes)  # fmt: skip


def fate(healthy_area_d=100.0, given=0.0, worst_rusted_frac=0.0):
    seen = {"healthy_area_d": healthy_area_d, "given": given, "worst_rusted_frac": worst_rusted_frac}
    return Outcome(**{name: np.full((1, VERSIONS), seen.get(name, 0.0)) for name in Outcome._fields})


def lost(of=None, given_up=0.0, **changes):
    of = fate() if of is None else of
    return float(cost.losses_money(of, stake(**changes), VALUES, given_up_frac=np.array([given_up])).mean())


def test_a_healthy_planting_loses_nothing():
    assert lost() == 0.0


def test_a_clump_whose_attacked_stem_is_left_standing_may_be_lost_and_one_that_is_cut_down_is_not():
    attacked, none = stake(stem_frac=np.ones(VERSIONS)), np.zeros(1)
    standing, cut = (
        float(cost.losses_money(fate(), attacked, VALUES, given_up_frac=none, stem_left_frac=[each]).mean())
        for each in (1.0, 0.0)
    )

    assert standing == pytest.approx(VALUES.clump_money * 5.0 * VALUES.stem_lost_frac)
    assert cut == 0.0


def test_spores_that_come_over_a_treasure_cost_as_much_more_as_it_is_worth():
    plain, near = (lost(fate(given=10.0), others_worth_factor=each) for each in (1.0, 8.0))

    assert near == pytest.approx(8.0 * plain)


def test_half_the_leaf_lost_is_half_the_flowers_lost():
    leaf = VALUES.leaf_money_m2_d * 2.0 * 50.0

    assert lost(fate(healthy_area_d=50.0)) == pytest.approx(leaf + VALUES.flower_money * 5.0)


def test_what_is_destroyed_is_lost_for_certain():
    assert lost(given_up=1.0) == pytest.approx(VALUES.clump_money * 5.0)


def test_spores_given_to_others_are_paid_for():
    assert lost(fate(given=100.0)) == pytest.approx(VALUES.given_money * 200.0)


def test_a_dear_planting_loses_more_but_its_spores_are_like_any():
    assert lost(fate(healthy_area_d=50.0), worth_factor=3.0) == pytest.approx(3.0 * lost(fate(healthy_area_d=50.0)))
    assert lost(fate(given=100.0), worth_factor=3.0) == lost(fate(given=100.0))


def test_more_rust_never_makes_losing_a_clump_less_likely_and_an_attacked_stem_makes_it_likelier():
    worst = np.linspace(0.0, 1.0, 21)

    chance = cost.lost_chance_frac(worst, 0.0, VALUES)
    by_stem = cost.lost_chance_frac(worst, 1.0, VALUES)

    assert (np.diff(chance) >= 0.0).all()
    assert chance[0] == 0.0
    assert chance[-1] == pytest.approx(VALUES.lost_most_frac)
    assert cost.lost_chance_frac(VALUES.lost_half_frac, 0.0, VALUES) == pytest.approx(0.5 * VALUES.lost_most_frac)
    assert (by_stem >= chance).all()
    assert by_stem[-1] == pytest.approx(VALUES.lost_most_frac * VALUES.stem_factor)


def test_bad_luck_counts_only_for_what_cannot_be_replaced():
    losses = np.array([[10.0] * 10, [0.0] * 9 + [99.0]])

    usual = cost.averse_money(losses, VALUES, replaceable=True)
    rare = cost.averse_money(losses, VALUES, replaceable=False)

    assert usual.argmin() == 1
    assert rare.argmin() == 0
    assert rare[0] == pytest.approx(10.0)


def test_bad_luck_is_weighed_like_the_versions():
    alike = cost.tail_mean_money([1.0, 2.0, 3.0, 3.0], 0.5)

    assert cost.tail_mean_money([1.0, 2.0, 3.0], 0.5, weights=[1.0, 1.0, 2.0]) == pytest.approx(float(alike))
    assert cost.tail_mean_money([5.0, 1.0], 1.0) == pytest.approx(3.0)


def test_near_water_a_caution_about_fish_weighs_more():
    dry = cost.harm_money(("fish", "bees"), VALUES, near_water=False)

    assert cost.harm_money(("fish", "bees"), VALUES, near_water=True) > dry
    assert cost.harm_money(("bees",), VALUES, near_water=True) == cost.harm_money(("bees",), VALUES, near_water=False)
    assert cost.harm_money((), VALUES, near_water=True) == 0.0


def test_what_teaches_the_rust_costs_as_much_as_it_risks():
    assert cost.selection_money({"11": 0.02, "3": 0.01}, VALUES) == pytest.approx(0.03 * VALUES.code_money)


def test_a_person_may_set_their_own_values():
    mine = cost.own_values({"hour_money": 0, "clump_money": 45.5}, where="the garden file")

    assert (mine.hour_money, mine.clump_money, mine.flower_money) == (0.0, 45.5, VALUES.flower_money)


def test_everything_wrong_with_a_persons_values_is_told_at_once():
    wrong = {"hour_money": -1, "tail_frac": "much", "luck": 3, "clump_money": True}

    with pytest.raises(RequestError, match=r"hour_money is -1.*tail_frac is 'much'.*luck.*clump_money is True") as told:
        cost.own_values(wrong, where="the garden file")

    assert told.value.where == "the garden file"
    assert "hour_money" in told.value.remedy


def test_numbers_without_end_are_no_values():
    with pytest.raises(RequestError, match="hour_money"):
        cost.own_values({"hour_money": float("nan")}, where="the garden file")

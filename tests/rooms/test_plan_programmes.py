"""What one might do with a planting in the coming weeks, within what is permitted."""

from dataclasses import replace

import numpy as np
import pytest

from abaxial.plan.choose.problem import Hours, Shelf, set_out
from abaxial.plan.choose.solve import Effort, choose
from abaxial.plan.programmes.laid_out import Work, need, offers, rotation_of
from abaxial.plan.programmes.make import programmes
from abaxial.plan.programmes.permitted import Act, Permitted, keeps
from abaxial.plan.programmes.schedules import schedules
from abaxial.plan.programmes.step import WAIT, Programme, Step, in_order
from abaxial.plan.programmes.together import Dry, cut_down_together, dry_weeks, read_dry

ALL = tuple(range(6))
ONCE = ("look", "low_leaves_off", "thin", "water_at_the_foot", "cut_down", "clear_litter")
PLAIN = (
    *(Act(kind, "", ALL) for kind in ONCE),
    Act("rusted_leaves_off", "", ALL, most=3),
    Act("destroy", "", (0,)),
)
OIL = Act("oil", "green can", ALL, every_weeks=2, most=3, codes=("NC",))
ELEVEN = Act("fungicide", "old eleven", ALL, every_weeks=2, most=4, codes=("11",))
THREE = Act("fungicide", "small three", ALL, every_weeks=2, most=4, codes=("3",))
OTHER_THREE = Act("fungicide", "large three", ALL, every_weeks=1, most=4, codes=("3",))
MULTI = Act("fungicide", "dusty jar", ALL, every_weeks=1, most=6, codes=("M02",))


def permitted(*bottles: Act, light: bool = True) -> Permitted:
    return Permitted(6, (*PLAIN, *bottles), light)


def spray(act: Act, *weeks: int) -> list[Step]:
    return [Step(week, act.kind, act.bottle) for week in weeks]


def test_waiting_comes_first_and_everything_keeps_to_what_is_permitted():
    allowed = permitted(OIL, ELEVEN, THREE, OTHER_THREE, MULTI)

    made = programmes(allowed, most=40)

    assert made[0] == WAIT
    assert len(made) == len(set(made)) == 40
    assert all(keeps(each, allowed) for each in made)


def test_looking_cutting_down_and_destroying_are_among_the_fewest():
    made = programmes(permitted(OIL, ELEVEN), most=4)

    assert Programme((Step(0, "look"),)) in made
    assert Programme((Step(0, "cut_down"), Step(0, "clear_litter"))) in made
    assert Programme((Step(0, "destroy"),)) in made


def test_without_anything_permitted_one_can_only_wait():
    assert programmes(Permitted(6, (), light=True), most=40) == (WAIT,)


def test_the_practice_is_among_them():
    made = programmes(permitted(OIL, ELEVEN, THREE), most=40)

    low_and_dry = [Step(0, "low_leaves_off"), Step(0, "thin"), Step(0, "water_at_the_foot")]
    assert in_order(low_and_dry) in made
    assert in_order([Step(0, "rusted_leaves_off"), Step(2, "rusted_leaves_off"), Step(4, "rusted_leaves_off")]) in made
    assert in_order(spray(OIL, 0, 2, 4)) in made
    assert in_order([*spray(ELEVEN, 0, 4), *spray(THREE, 2)]) in made
    assert in_order([*low_and_dry, *spray(ELEVEN, 0, 2)]) in made


def test_a_code_runs_twice_alone_and_goes_on_after_another():
    made = programmes(permitted(ELEVEN, THREE), most=60)
    weeks = {tuple((step.week, step.bottle) for step in each.sprays) for each in made}

    assert ((0, "old eleven"), (2, "old eleven")) in weeks
    assert ((0, "old eleven"), (2, "old eleven"), (4, "small three")) in weeks
    assert ((0, "old eleven"), (2, "old eleven"), (4, "old eleven")) not in weeks


def test_two_bottles_of_one_code_do_not_make_a_rotation():
    both = [
        schedule
        for schedule in schedules(permitted(THREE, OTHER_THREE))
        if {step.bottle for step in schedule} == {"small three", "large three"}
    ]

    assert both == []


def test_an_oil_is_for_a_light_attack():
    made = programmes(permitted(OIL, ELEVEN, light=False), most=60)

    assert all(step.kind != "oil" for each in made for step in each.steps)
    assert any(each.sprays for each in made)


@pytest.mark.parametrize(
    ("steps", "kept"),
    [
        (spray(ELEVEN, 0, 2), True),
        (spray(ELEVEN, 0, 1), False),
        (spray(ELEVEN, 0, 2, 4), False),
        ([*spray(OTHER_THREE, 0, 1), *spray(THREE, 2)], False),
        ([*spray(ELEVEN, 0, 2), *spray(MULTI, 3), *spray(ELEVEN, 4)], True),
        ([*spray(ELEVEN, 0, 2), *spray(OIL, 3), *spray(ELEVEN, 4)], False),
        (spray(MULTI, 0, 1, 2, 3, 4, 5), True),
        ([*spray(OIL, 0), *spray(MULTI, 1)], False),
        ([*spray(OIL, 0), *spray(MULTI, 2)], True),
        ([Step(0, "destroy"), *spray(ELEVEN, 1)], False),
        ([Step(0, "cut_down"), *spray(ELEVEN, 0)], False),
        ([Step(0, "cut_down"), *spray(ELEVEN, 2)], True),
        ([Step(1, "destroy")], False),
        ([Step(0, "fungicide", "not on the shelf")], False),
    ],
)
def test_intervals_runs_and_oil_near_sulfur_are_kept_by_every_programme(steps, kept):
    allowed = replace(permitted(OIL, ELEVEN, THREE, OTHER_THREE, MULTI), apart_weeks={("dusty jar", "green can"): 2})

    assert keeps(in_order(steps), allowed) == kept


def test_weeks_without_a_fit_hour_move_the_first_spray():
    closed = replace(permitted(), acts=(ELEVEN._replace(weeks=(2, 3, 4, 5)),))

    assert {each[0].week for each in schedules(closed)} == {2, 3}


def test_now_is_what_the_coming_week_asks_for():
    both = in_order([*spray(THREE, 2), Step(0, "thin"), Step(0, "look")])

    assert both.now() == (Step(0, "look"), Step(0, "thin"))


def test_a_dry_spell_that_is_likely_is_found_and_unknown_weather_is_none():
    rain_mm = np.full((10, 14), 5.0)
    rain_mm[:7, 9:12] = 0.0
    dry = Dry(dry_mm_d=1.0, dry_spell_d=3.0, dry_chance_frac=0.6)

    assert dry_weeks(rain_mm, dry) == (1,)
    assert dry_weeks(rain_mm[:, :11], dry) == ()
    assert dry_weeks(rain_mm, dry._replace(dry_chance_frac=0.8)) == ()
    assert read_dry().dry_spell_d >= 2.0


def test_all_that_share_a_rust_may_be_cut_down_in_one_dry_week():
    may_be_cut = {0: ALL, 1: ALL, 2: (1,), 3: ALL}

    found = cut_down_together(
        ["canna", "canna", "canna", "mint"], [0, 1], may_be_cut, showing=[True, False, True, True]
    )

    assert [(each.week, each.plantings) for each in found] == [(0, (0, 1)), (1, (0, 1, 2)), (1, (0, 2))]
    assert {step.kind for step in found[0].programme.steps} == {"cut_down", "clear_litter"}


WORK = Work(
    minutes={"thin": 20.0, "cut_down": 12.0, "clear_litter": 8.0},
    spray_minutes={"old eleven": 3.0}, litres={"old eleven": 0.5}, product={"old eleven": 0.4},
)  # fmt: skip


def test_a_programme_uses_what_its_steps_use():
    used = need(in_order([Step(0, "thin"), *spray(ELEVEN, 0, 2)]), WORK, ["other", "old eleven"], 6)

    assert used.minutes.tolist() == [23.0, 0.0, 3.0, 0.0, 0.0, 0.0]
    assert used.litres[:, 1].tolist() == [0.5, 0.0, 0.5, 0.0, 0.0, 0.0]
    assert used.product.sum() == pytest.approx(0.8)
    assert used.spray_minutes[:, 0].sum() == 0.0


def test_programmes_and_a_joint_one_become_a_choice():
    own = [(WAIT, in_order(spray(ELEVEN, 0, 2))), (WAIT,)]
    joint = cut_down_together(["canna", "canna"], [1], {0: ALL, 1: ALL}, showing=[True, True])
    made = offers(own, joint, [WORK, WORK], ["old eleven"], weeks=6, losses=np.array([9.0, 4.0, 9.0, 10.0]))
    one, weekly = np.ones(1), np.full(6, 60.0)
    shelf = Shelf(one, one, one * 3, one, one, one, np.array([[True]]), np.zeros((1, 1), np.int64))
    rotation = rotation_of(["11"], {"11": 1}, most_running=2, weeks_left={})

    chosen = choose(set_out(made, shelf, Hours(weekly, weekly, weekly[:, None]), rotation), Effort(0.0, 10.0))

    assert made.minutes[3].tolist() == [0.0, 40.0, 0.0, 0.0, 0.0, 0.0]
    assert chosen.picked == (3, 3)
    assert chosen.binding[0:0] == ()


def test_codes_for_several_sites_end_a_run_and_are_not_limited_and_oils_do_neither():
    rotation = rotation_of(["11", "M02", "NC"], {"11": 2}, most_running=2, weeks_left={"11": 1.0})

    assert rotation.limited.tolist() == [True, False, False]
    assert rotation.breaking.tolist() == [True, True, False]
    assert rotation.running.tolist() == [2, 0, 0]
    assert rotation.weeks_left.tolist() == [1.0, np.inf, np.inf]

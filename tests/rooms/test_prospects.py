"""From programmes to courses, stakes and what gives way: the steps between the rules and the choice."""

from dataclasses import replace

import numpy as np
import pytest
from tests import label_cases, plan_cases
from tests.plan_cases import DAYS, FIRST, NAMES, PROVED, WEEKS

from abaxial.epidemic import leaf_area
from abaxial.label.allowed.case import refuse
from abaxial.plan.programmes import together
from abaxial.plan.programmes.permitted import Act, Permitted
from abaxial.plan.programmes.step import WAIT, Step, in_order
from abaxial.plan.proposal import giving_way
from abaxial.plan.proposal.propose import propose
from abaxial.plan.proposal.prospect import rolled
from abaxial.plan.prospects import courses, stakes
from abaxial.plan.prospects.labour import SprayNeed
from abaxial.plan.prospects.stock import Time

PLENTY = Time([600.0] * WEEKS, 600.0, {"blue": 600.0})


def garden() -> plan_cases.Case:
    base, plots = plan_cases.small_epidemic(2)
    need = {"blue": SprayNeed(1.0, 10.0)}
    law = plan_cases.shelf_of(label_cases.bottle("tebuconazole", name="blue", rate="10 ml/l"))
    standings = [plan_cases.plain_standing(name, need) for name in NAMES]
    return plan_cases.case_of(base, plots, law, standings, [need] * 3, time=PLENTY, worth=((40.0, True),) * 3)


CASE = garden()
SPRAY, CUT, OFF = Step(0, "fungicide", "blue"), Step(1, "cut_down"), Step(0, "low_leaves_off")


def made(*programmes):
    bed = CASE.ask.beds[0]
    return courses.courses_of(bed.plot, programmes, (FIRST, DAYS), bed.when, CASE.ask.shelf, CASE.ask.materials)


def test_a_course_says_the_same_whatever_else_is_thought_of():
    several = made(WAIT, in_order([SPRAY]), in_order([SPRAY, CUT]), in_order([OFF]), in_order([SPRAY, OFF]))

    for row, programme in enumerate((WAIT, in_order([SPRAY]), in_order([SPRAY, CUT]), in_order([OFF]))):
        alone = made(programme)
        for kind in ("leaves", "remedies"):
            for name in getattr(alone, kind)._fields:
                assert np.array_equal(
                    getattr(getattr(alone, kind), name)[0], getattr(getattr(several, kind), name)[row]
                )


def test_a_spray_shields_from_its_day_on_and_cutting_down_leaves_nothing_hanging():
    course = made(in_order([SPRAY, CUT]))
    shield = course.remedies.shield[0]

    plot = CASE.ask.beds[0].plot
    assert (shield[..., 0] > 0.0).any()
    assert leaf_area.hanging(plot.leaves((FIRST + 7,)))[0, :, FIRST + 7].sum() < 0.01 * plot.area[FIRST + 7]
    assert course.leaves.cut_frac[0, 0, 7] > 0.9


def test_leaves_are_grown_once_for_each_cutting_and_a_changed_plot_forgets_them():
    plot = CASE.ask.beds[0].plot

    assert plot.leaves((40,)) is plot.leaves((40,))
    assert replace(plot, spacing_m=1.0).leaves().unfolded.sum() != plot.leaves().unfolded.sum()


def test_spores_count_as_what_they_come_over_is_worth():
    arriving = np.array([[0.0, 0.2, 0.0], [0.1, 0.0, 0.0], [0.3, 0.0, 0.0]])
    plain = CASE.ask.beds[0].stake._replace(ground_m2=2.0, worth_factor=1.0)
    found = stakes.beside([plain, plain._replace(worth_factor=5.0), plain._replace(worth_factor=9.0)], arriving)

    assert [each.others_worth_factor for each in found] == pytest.approx([8.0, 1.0, 1.0])


def test_flowers_raise_what_waiting_costs_by_those_that_rust_takes():
    plain, waits, money = rolled(CASE.ask), [], CASE.ask.values.flower_money
    for flowers in (60.0, 120.0):
        stake = CASE.ask.beds[0].stake._replace(flowers=flowers)
        beds = (CASE.ask.beds[0]._replace(stake=stake), *CASE.ask.beds[1:])
        waits.append(rolled(replace(CASE.ask, beds=beds)).prospects[0].losses[0] - plain.prospects[0].losses[0])

    assert plain.prospects[0].programmes[0] == WAIT
    assert 0.0 < waits[0].mean() < 40.0 * money * 60.0
    assert waits[1] == pytest.approx(2.0 * waits[0])


def test_all_may_be_cut_down_only_in_weeks_in_which_the_litter_may_be_cleared_too():
    cut, clear = Act("cut_down", "", (0, 1, 2)), Act("clear_litter", "", (1, 2, 3))
    some = [Permitted(WEEKS, acts, light=True) for acts in ((cut, clear), (cut,), ())]

    assert together.weeks_to_cut(some) == {0: (1, 2)}


def test_what_a_planting_has_had_takes_only_its_own_programmes_that_begin_so():
    of = rolled(CASE.ask)
    row = next(row for row, each in enumerate(of.prospects[0].programmes) if each.sprays and each.sprays[0] == SPRAY)
    stay = giving_way.kept(of, (row, 0, 0), [(0, SPRAY, (refuse("empty", bottle="blue"),))])
    gone = {candidate for candidate in range(of.first[-1]) if not stay[candidate]}

    assert gone
    assert gone == {
        candidate for candidate, each in of.candidates(0) if [step for step in each.sprays if step.week == 0] == [SPRAY]
    }


def test_what_the_garden_has_had_takes_the_turn_from_every_planting():
    of = rolled(CASE.ask)
    reason = refuse("too_many_running", code="3", turns=3, most=2)
    stay = giving_way.kept(of, (0, 0, 0), [(0, SPRAY, (reason,))])

    for place in range(3):
        for candidate, each in of.candidates(place):
            assert stay[candidate] == (SPRAY not in each.steps)


def test_waiting_is_never_given_up():
    of = rolled(CASE.ask)

    assert giving_way.without_sprays(of)[[*of.first[:-1]]].all()


def test_an_attacked_stem_next_to_a_treasure_is_cut_down_and_a_sound_one_is_not():
    base, plots = plan_cases.small_epidemic(2)
    standings = [plan_cases.plain_standing(name, {}) for name in NAMES]
    steps = []
    for stem_frac in (0.0, 0.9):
        case = plan_cases.case_of(
            base, plots, plan_cases.shelf_of(), standings, [{}] * 3, time=PLENTY,
            worth=((1.0, True), (1.0, True), (1.0, True)), stem_frac=(stem_frac, 0.0, 0.0),
        )  # fmt: skip
        case = case._replace(ask=replace(case.ask, joint=(), values=replace(case.ask.values, stem_lost_frac=1.0)))
        steps.append({step.kind for step in plan_cases.programmes(propose(case.ask, PROVED))[0].steps})

    assert "cut_down" not in steps[0]
    assert "cut_down" in steps[1]

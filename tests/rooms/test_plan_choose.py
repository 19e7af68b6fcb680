"""One programme for every planting, under what couples them."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from tests.invented_choice import Bid, broken_rules, problem_of, small_garden

from abaxial.errors import FaultError
from abaxial.plan.choose import start, tally
from abaxial.plan.choose.solve import Choice, Effort, choose, cost_of_rule_money, gap_frac
from abaxial.plan.choose.tally import Rule

PROVED = Effort(gap_frac=0.0, seconds=20.0)


def kinds(choice: Choice) -> set[str]:
    return {each.rule.kind for each in choice.binding}


def waits(*losses: float) -> list[Bid]:
    return [Bid((planting,), loss) for planting, loss in enumerate(losses)]


def in_turn(problem) -> float:
    """What is lost where every planting in turn, the neediest first, takes the best that is left for it."""
    picked = problem.idle.copy()
    for planting in np.argsort(-problem.offers.loss[problem.idle], kind="stable"):
        own, used, losses = start.options(problem, picked, int(planting))
        allowed = (tally.room(problem, used) >= -tally.TOLERANCE).all(axis=1)
        picked[planting] = own[np.argmin(np.where(allowed, losses, np.inf))]
    return tally.objective_of(problem, picked)


def with_shelf(problem, **changes):
    return replace(problem, shelf=replace(problem.shelf, **changes))


def with_rotation(problem, **changes):
    return replace(problem, rotation=replace(problem.rotation, **changes))


def test_one_hour_goes_to_two_plantings_rather_than_to_the_one_that_needs_it_most():
    bids = [*waits(100, 90, 90), Bid((0,), 20, (), (60,)), Bid((1,), 30, (), (30,)), Bid((2,), 30, (), (30,))]
    problem = problem_of(bids)
    problem = replace(problem, hours=replace(problem.hours, minutes=np.array([60.0, 60.0])))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (0, 4, 5)
    assert chosen.objective == 160 < in_turn(problem) == 200
    assert chosen.binding[0].rule == Rule("minutes", 0)
    assert chosen.binding[0].money == pytest.approx(80)


def test_one_bottle_goes_to_two_plantings_rather_than_to_the_largest():
    bids = [*waits(100, 90, 90), Bid((0,), 20, ((0, 0, 6),)), Bid((1,), 30, ((0, 0, 3),)), Bid((2,), 30, ((0, 0, 3),))]
    problem = with_shelf(problem_of(bids), stock=np.array([60.0]))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (0, 4, 5)
    assert chosen.objective == 160 < in_turn(problem) == 200
    assert kinds(chosen) == {"stock"}


def test_one_tank_is_mixed_for_all_where_it_would_pay_for_none_alone():
    bids = [*waits(10, 10, 10), *(Bid((planting,), 4, ((0, 0, 1),)) for planting in range(3))]
    problem = with_shelf(problem_of(bids), tank_l=np.array([3.0]), mixing_money=np.array([8.0]))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (3, 4, 5)
    assert chosen.objective == 20 < in_turn(problem) == 30


def test_the_first_plan_shares_a_tank_too():
    bids = [*waits(10, 10, 10), *(Bid((planting,), 4, ((0, 0, 1),)) for planting in range(3))]
    problem = with_shelf(problem_of(bids), tank_l=np.array([3.0]), mixing_money=np.array([8.0]))

    assert tally.objective_of(problem, start.first_plan(problem, seconds=1.0)) == 20


def test_what_a_rule_costs_is_found_by_choosing_without_it():
    bids = [*waits(100, 90), Bid((0,), 20, (), (60,)), Bid((1,), 30, (), (30,))]
    problem = problem_of(bids)
    problem = replace(problem, hours=replace(problem.hours, minutes=np.array([60.0, 60.0])))
    chosen = choose(problem, PROVED)

    assert cost_of_rule_money(problem, chosen, "minutes", PROVED) == pytest.approx(60.0)
    assert cost_of_rule_money(problem, chosen, "stock", PROVED) == 0.0


def test_a_second_tank_for_a_cupful_is_not_mixed():
    bids = [*waits(10, 10), Bid((0,), 1, ((0, 0, 2.9),)), Bid((1,), 6, ((0, 0, 0.2),))]
    problem = with_shelf(problem_of(bids), tank_l=np.array([3.0]), mixing_money=np.array([5.0]))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (2, 1)


def test_minutes_of_mixing_count():
    problem = with_shelf(problem_of([*waits(10), Bid((0,), 1, ((0, 0, 1),), (10,))]), mixing_minutes=np.array([12.0]))
    tight = replace(problem, hours=replace(problem.hours, minutes=np.array([21.0, 0.0])))
    enough = replace(problem, hours=replace(problem.hours, minutes=np.array([22.0, 0.0])))

    assert choose(tight, PROVED).picked == (0,)
    assert choose(enough, PROVED).picked == (1,)


def test_nothing_is_sprayed_in_a_week_without_a_fit_hour_and_the_window_is_named():
    bids = [*waits(10), Bid((0,), 1, ((0, 0, 1),)), Bid((0,), 5, ((1, 0, 1),))]
    problem = problem_of(bids)
    problem = replace(problem, hours=replace(problem.hours, open_minutes=np.array([0.0, 30.0])))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (2,)
    assert chosen.binding[0].rule == Rule("window", 0)
    assert chosen.binding[0].money == pytest.approx(4)
    assert chosen.binding[0].alone


def test_a_bottle_that_is_never_fit_to_spray_leaves_the_others_alone():
    bids = [*waits(10), Bid((0,), 1, ((0, 0, 1),)), Bid((0,), 2, ((0, 1, 1),))]
    problem = problem_of(bids, bottles=2)
    problem = replace(problem, hours=replace(problem.hours, bottle_minutes=np.array([[0.0, 9.0], [0.0, 9.0]])))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (2,)
    assert kinds(chosen) == {"bottle_window"}


ELEVEN, THREE, M05, NC = range(4)


def fortnights(*bottles: int, running: int = 0, most: int = 2):
    """One planting that may only apply these, one a week, or wait."""
    problem = problem_of(
        [*waits(10), Bid((0,), 1, tuple((w, b, 1.0) for w, b in enumerate(bottles)))], weeks=4, bottles=4
    )
    problem = with_shelf(problem, codes=np.eye(4, dtype=bool))
    return with_rotation(
        problem, limited=np.array([True, True, False, False]), breaking=np.array([True, True, True, False]),
        running=np.array([running, 0, 0, 0]), most_running=most,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("bottles", "running", "allowed"),
    [
        ((ELEVEN, ELEVEN, THREE), 0, True),
        ((ELEVEN, ELEVEN, ELEVEN), 0, False),
        ((ELEVEN, ELEVEN, M05, ELEVEN), 0, True),
        ((ELEVEN, ELEVEN, NC, ELEVEN), 0, False),
        ((NC, NC, NC, NC), 0, True),
        ((M05, M05, M05, M05), 0, True),
        ((ELEVEN, ELEVEN), 1, False),
        ((THREE, ELEVEN, ELEVEN), 2, True),
        ((THREE, THREE), 2, True),
        ((ELEVEN,), 2, False),
        ((NC, ELEVEN), 2, False),
    ],
)
def test_a_code_is_changed_after_two_weeks_in_a_row_whatever_ran_before(bottles, running, allowed):
    chosen = choose(fortnights(*bottles, running=running), PROVED)

    assert (chosen.picked == (1,)) == allowed
    assert kinds(chosen) == (set() if allowed else {"run"})


def test_the_garden_is_one_population_so_neighbours_lengthen_the_run():
    bids = [
        *waits(10, 10),
        Bid((0,), 1, ((0, 0, 1), (1, 0, 1))),
        Bid((1,), 1, ((2, 0, 1),)),
        Bid((1,), 4, ((1, 0, 1),)),
    ]
    problem = with_rotation(problem_of(bids, weeks=3), limited=np.array([True]))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (2, 4)
    assert chosen.binding[0].rule == Rule("run", -1, 0)


def test_three_bottles_of_one_code_are_one():
    codes = np.zeros((4, 4), bool)
    codes[:3, THREE] = True
    problem = with_shelf(fortnights(0, 1, 2), codes=codes)

    assert choose(problem, PROVED).picked == (0,)


def test_oil_and_sulfur_are_kept_their_weeks_apart():
    bids = [*waits(10), *(Bid((0,), 1 + week, ((0, 0, 1), (week, 1, 1))) for week in range(3))]
    problem = with_shelf(problem_of(bids, weeks=3, bottles=2), apart_weeks=np.array([[0, 2], [2, 0]]))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (3,)
    assert chosen.binding[0].rule == Rule("apart", -1, 0, 1)


def test_a_season_that_is_used_up_is_named_and_not_the_full_bottle():
    problem = problem_of([*waits(10), Bid((0,), 1, ((0, 0, 1),))])
    over = with_shelf(problem, season_left=np.array([9.0]))
    once = with_shelf(problem, weeks_left=np.array([0.0]))

    assert kinds(choose(over, PROVED)) == {"season"}
    assert kinds(choose(once, PROVED)) == {"bottle_weeks"}


def test_cutting_all_down_together_is_chosen_where_it_is_worth_more_than_each_alone():
    bids = [*waits(50, 50, 5), *(Bid((planting,), 30, (), (20,)) for planting in range(2)), Bid((0, 1), 40, (), (45,))]
    problem = problem_of(bids)
    tight = replace(problem, hours=replace(problem.hours, minutes=np.array([44.0, 0.0])))

    assert choose(problem, PROVED).picked == (5, 5, 2)
    assert choose(problem, PROVED).objective == 45
    assert choose(tight, PROVED).picked == (3, 4, 2)


def test_an_empty_shelf_and_no_minutes_leave_everything_as_it_is():
    problem = with_shelf(problem_of([*waits(10), Bid((0,), 1, ((0, 0, 1),), (1,))]), stock=np.array([0.0]))
    problem = replace(problem, hours=replace(problem.hours, minutes=np.zeros(2)))

    chosen = choose(problem, PROVED)

    assert chosen.picked == (0,)
    assert kinds(chosen) == {"minutes", "stock"}
    assert not any(each.alone for each in chosen.binding)


def test_nothing_binds_where_everybody_has_the_best():
    chosen = choose(problem_of([*waits(10), Bid((0,), 1, ((0, 0, 1),))]), PROVED)

    assert chosen.binding == ()
    assert chosen.ended == "proved"
    assert chosen.gap_frac == 0.0


def test_every_better_plan_is_told_with_its_bound_and_the_first_at_once():
    heard = []

    chosen = choose(small_garden(3, plantings=5), PROVED, tell=heard.append)

    assert heard[0].seconds < 1.0
    assert all(later.objective <= earlier.objective for earlier, later in pairwise(heard))
    assert all(each.bound <= each.objective + 1e-6 for each in heard)
    assert heard[-1].objective == chosen.objective
    assert heard[-1].gap_frac == chosen.gap_frac


def test_a_search_that_is_stopped_or_has_no_time_still_keeps_every_rule():
    problem = small_garden(12, plantings=5)

    stopped = choose(problem, PROVED, stop=lambda: True)
    hurried = choose(problem, Effort(0.0, 0.0))

    assert stopped.ended == "asked"
    assert hurried.ended == "time"
    assert broken_rules(problem, stopped.picked) == broken_rules(problem, hurried.picked) == []
    assert hurried.bound <= choose(problem, PROVED).objective <= min(stopped.objective, hurried.objective)


def test_an_earlier_plan_is_where_the_search_begins_unless_a_rule_forbids_it_now():
    problem = problem_of([*waits(10), Bid((0,), 1, (), (5,))])
    nothing_left = replace(problem, hours=replace(problem.hours, minutes=np.zeros(2)))

    assert choose(problem, Effort(0.0, 0.0), before=np.array([1])).picked == (1,)
    assert choose(nothing_left, PROVED, before=np.array([1])).picked == (0,)
    assert choose(problem, PROVED, before=np.array([7])).picked == (1,)


def test_the_solver_is_silent(capfd):
    choose(small_garden(12, plantings=5), PROVED)

    assert capfd.readouterr() == ("", "")


def test_the_gap_is_of_the_loss_and_unknown_where_nothing_is_lost():
    assert gap_frac(100.0, 96.0) == pytest.approx(0.04)
    assert gap_frac(0.0, -1.0) == math.inf
    assert gap_frac(5.0, 5.0) == 0.0


def test_a_planting_that_could_not_be_left_alone_is_our_own_mistake():
    with pytest.raises(FaultError, match="does nothing"):
        problem_of([Bid((0,), 1, ((0, 0, 1),))])


def test_numbers_that_are_none_are_our_own_mistake():
    with pytest.raises(FaultError, match="below 0, or none"):
        problem_of([*waits(1.0), Bid((0,), 1.0, (), (math.nan,))])
    with pytest.raises(FaultError, match="without end"):
        problem_of(waits(math.inf))

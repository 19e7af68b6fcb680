"""What must be true of every choice of programmes, whatever the garden."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.invented_choice import broken_rules, every_choice, loss_of, small_garden

from abaxial.plan.choose.binding import without
from abaxial.plan.choose.solve import Effort, choose
from abaxial.plan.choose.tally import KINDS, room, total
from abaxial.plan.programmes.make import programmes
from abaxial.plan.programmes.permitted import Act, Permitted
from abaxial.plan.programmes.step import KINDS as KINDS_OF_STEP
from abaxial.plan.programmes.step import SPRAYS

PROVED = Effort(gap_frac=0.0, seconds=20.0)
seeds = st.integers(0, 10**6)


@pytest.mark.parametrize("hundred", range(20))
def test_no_choice_in_two_thousand_gardens_breaks_a_rule_or_loses_more_than_doing_nothing(hundred):
    for seed in range(100 * hundred, 100 * hundred + 100):
        problem = small_garden(seed, plantings=2 + seed % 4)
        chosen = choose(problem, PROVED)

        assert broken_rules(problem, chosen.picked) == []
        assert chosen.objective == pytest.approx(loss_of(problem, chosen.picked))
        assert chosen.bound <= chosen.objective <= chosen.idle


@settings(max_examples=150)
@given(seeds)
def test_the_choice_is_as_good_as_the_best_of_all_choices(seed):
    problem = small_garden(seed)
    least = min(loss_of(problem, each) for each in every_choice(problem) if not broken_rules(problem, each))

    chosen = choose(problem, PROVED)

    assert chosen.objective == pytest.approx(least, abs=1e-5)
    assert chosen.gap_frac == pytest.approx(0.0, abs=1e-6)


@settings(max_examples=100)
@given(seeds, st.integers(0, 20))
def test_both_readings_of_the_rules_agree_about_every_choice(seed, which):
    problem = small_garden(seed)
    choices = list(every_choice(problem))
    picked = choices[which % len(choices)]

    assert bool((room(problem, total(problem, np.array(picked))) >= -1e-5).all()) == (
        broken_rules(problem, picked) == []
    )


@settings(max_examples=100)
@given(seeds, st.sampled_from(KINDS))
def test_a_rule_never_makes_the_choice_better(seed, kind):
    problem = small_garden(seed)

    assert choose(without(problem, kind), PROVED).objective <= choose(problem, PROVED).objective + 1e-5


@settings(max_examples=50)
@given(seeds, st.floats(0.0, 1.0))
def test_tightening_a_limit_never_makes_the_choice_better(seed, left_frac):
    problem = small_garden(seed)
    hours, shelf = problem.hours, problem.shelf
    tighter = (
        replace(problem, hours=replace(hours, minutes=hours.minutes * left_frac)),
        replace(problem, hours=replace(hours, open_minutes=hours.open_minutes * left_frac)),
        replace(problem, shelf=replace(shelf, stock=shelf.stock * left_frac)),
        replace(problem, rotation=replace(problem.rotation, most_running=1)),
    )

    least = choose(problem, PROVED).objective

    assert min(choose(each, PROVED).objective for each in tighter) >= least - 1e-5


@settings(max_examples=100)
@given(seeds)
def test_bottles_of_one_code_are_rotated_as_one(seed):
    problem = small_garden(seed)
    codes = np.zeros_like(problem.shelf.codes)
    codes[:, 0] = True
    alike = replace(problem, shelf=replace(problem.shelf, codes=codes))

    picked = choose(alike, PROVED).picked

    weeks_sprayed = int((total(alike, np.array(picked)).litres > 0.0).any(axis=1).sum())
    before = int(alike.rotation.running[0])
    assert weeks_sprayed <= max(alike.rotation.most_running - before, 0)


@settings(max_examples=50)
@given(seeds)
def test_the_same_garden_gives_the_same_choice_again(seed):
    problem = small_garden(seed, plantings=4)

    assert choose(problem, PROVED).picked == choose(problem, PROVED).picked


@st.composite
def leave_given(draw):
    weeks = draw(st.integers(1, 6))
    acts = []
    for kind in draw(st.lists(st.sampled_from(KINDS_OF_STEP), unique=True, max_size=8)):
        if kind not in SPRAYS:
            acts.append(Act(kind, "", tuple(draw(st.sets(st.integers(0, weeks - 1)))), most=draw(st.integers(1, 3))))
    for bottle in range(draw(st.integers(0, 4))):
        codes = tuple(draw(st.sets(st.sampled_from(["11", "3", "M02", "NC"]), min_size=1, max_size=2)))
        kind = "oil" if codes == ("NC",) else "fungicide"
        allowed = tuple(sorted(draw(st.sets(st.integers(0, weeks - 1)))))
        acts.append(Act(kind, f"bottle {bottle}", allowed, draw(st.integers(1, 3)), draw(st.integers(0, 4)), codes))
    apart = {("bottle 0", "bottle 1"): draw(st.integers(0, 3))}
    return Permitted(weeks, tuple(acts), draw(st.booleans()), draw(st.integers(1, 3)), apart)


@settings(max_examples=300)
@given(leave_given(), st.integers(4, 40))
def test_no_programme_does_what_is_not_permitted(permitted, most):
    acts = {(act.kind, act.bottle): act for act in permitted.acts}

    made = programmes(permitted, most=most)

    assert made[0].steps == ()
    assert len(made) == len(set(made)) <= most
    for programme in made:
        done: dict[tuple[str, str], list[int]] = {}
        for step in programme.steps:
            done.setdefault((step.kind, step.bottle), []).append(step.week)
        for which, weeks in done.items():
            assert set(weeks) <= set(acts[which].weeks)
            assert len(weeks) <= acts[which].most
            assert all(later - week >= acts[which].every_weeks for week, later in pairwise(weeks))
        assert permitted.light or all(step.kind != "oil" for step in programme.steps)
        ones, others = done.get(("fungicide", "bottle 0"), []), done.get(("fungicide", "bottle 1"), [])
        assert all(
            abs(one - other) >= permitted.apart_weeks["bottle 0", "bottle 1"] for one in ones for other in others
        )
        for code in ("11", "3"):
            assert _longest_run(programme, acts, code) <= permitted.most_running


def _longest_run(programme, acts, code):
    longest = run = 0
    for week in range(6):
        codes = {c for step in programme.sprays if step.week == week for c in acts[step.kind, step.bottle].codes} - {
            "NC"
        }
        run = run + 1 if code in codes else 0 if codes else run
        longest = max(longest, run)
    return longest

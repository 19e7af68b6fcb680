"""The choice among programmes in invented gardens: when the first plan is there, and how far from the best it may be.

Run as `python -m benchmarks.choose`. The peer is every planting's own best in turn, which is what one does without a solver,
and on a garden of five plantings every choice that there is.
"""

import itertools
import time
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from abaxial import chance
from abaxial.plan.choose import problem as choice
from abaxial.plan.choose import solve, start, tally

#: bottles with code 11, 3, 7, M05, NC
CODES = np.eye(5, dtype=bool)
LIMITED = np.array([True, True, True, False, False])
BREAKING = np.array([True, True, True, True, False])
#: how much of a planting's rust an application of each takes, and leaf work
STRENGTH = np.array([0.45, 0.40, 0.42, 0.30, 0.22])
INTERVAL_WEEKS = (2, 2, 2, 1, 2)


def schedules(weeks: int) -> Iterator[list[tuple[int, int]]]:
    """Weeks and bottles of the applications of a programme."""
    yield []
    for first in (0, 1):
        for bottle, interval in enumerate(INTERVAL_WEEKS):
            yield [(week, bottle) for week in range(first, weeks, interval)]
        yield [(first, 0), (first + 2, 1)]
        yield [(first, 0), (first + 2, 2), (first + 4, 1)][: 2 + (first + 4 < weeks)]
        yield [(first, 3), (first + 2, 1)]
    for bottle in range(5):
        yield [(0, bottle)]


def invented(plantings: int, seed: int, *, weeks: int = 6, every: int = 1) -> choice.Problem:
    """A garden with a tight week, little on the shelf and a wet third week. every : take each so many-th candidate only."""
    draws = chance.uniforms(seed, "invented garden to choose for", 0, 4 * plantings).reshape(4, plantings)
    worth, rust, area_m2 = 20 + 180 * draws[0] ** 3, 0.1 + 0.8 * draws[1], 1.0 + 6.0 * draws[2]
    leaf_work = ((0.0, 1.0), (6.0, 0.85), (14.0, 0.75))
    covers, loss, minutes, litres = [], [], [], []
    all_schedules = list(schedules(weeks))
    offered = [(work, plan) for work in leaf_work for plan in all_schedules]
    offered = [offered[0], *offered[1::every]]
    for planting in range(plantings):
        for (work_minutes, left), plan in offered:
            used, share = np.zeros((weeks, 5)), rust[planting] * left
            for week, bottle in plan:
                used[week, bottle] = 0.12 * area_m2[planting]
                share *= 1.0 - STRENGTH[bottle] * 0.93**week
            spent = np.zeros(weeks)
            spent[0] = work_minutes * area_m2[planting] / 3.0
            spent += used.sum(axis=1) / 0.12 * 0.9
            covers.append(np.arange(plantings) == planting)
            minutes.append(spent)
            litres.append(used)
            selection = 0.4 * sum(bottle < 3 for _, bottle in plan)
            loss.append(worth[planting] * share + 0.25 * spent.sum() + selection)
    cut = plantings // 3
    if cut > 1:
        covers.append(np.arange(plantings) < cut)
        spent = np.zeros(weeks)
        spent[0] = 7.0 * cut
        minutes.append(spent)
        litres.append(np.zeros((weeks, 5)))
        loss.append(0.55 * float((worth[:cut] * rust[:cut]).sum()) + 0.25 * 7.0 * cut)
    used = np.array(litres)
    per_m2 = used / 0.12
    offers = choice.Offers(np.array(covers), np.array(loss), np.array(minutes), per_m2 * 0.9, used, used * 1.5)
    scarce = float(area_m2.sum())
    shelf = choice.Shelf(
        stock=scarce * 0.12 * 1.5 * np.array([1.2, 0.8, 0.9, 2.0, 2.0]),
        season_left=np.full(5, np.inf), weeks_left=np.array([3.0, 3.0, 3.0, 6.0, 3.0]), tank_l=np.full(5, 5.0),
        mixing_minutes=np.full(5, 12.0), mixing_money=np.full(5, 3.0), codes=CODES,
        apart_weeks=np.zeros((5, 5), np.int64),
    )  # fmt: skip
    there_are = np.full(weeks, 4.5 * plantings)
    open_minutes = np.array([2.0, 2.0, 0.0, 2.0, 1.0, 2.0][:weeks]) * plantings
    hours = choice.Hours(there_are, open_minutes, np.repeat(open_minutes[:, None], 5, axis=1))
    rotation = choice.Rotation(LIMITED, BREAKING, np.array([1, 0, 0, 0, 0]), 2, np.full(5, np.inf))
    return choice.set_out(offers, shelf, hours, rotation)


def scarce(of: choice.Problem) -> choice.Problem:
    """The same garden with half the time, a small tank, and mixing that takes long."""
    shelf = replace(
        of.shelf, tank_l=np.full(5, 1.5), mixing_money=np.full(5, 6.0), mixing_minutes=np.full(5, 10.0),
        stock=of.shelf.stock * 0.6,
    )  # fmt: skip
    hours = replace(of.hours, minutes=of.hours.minutes * 0.55, open_minutes=of.hours.open_minutes * 0.6)
    return replace(of, shelf=shelf, hours=hours)


def every_choice(problem: choice.Problem) -> float:
    """The least loss, by trying all choices of single programmes and the joint one."""
    covers = problem.offers.covers
    own = [np.flatnonzero(covers[:, p] & (covers.sum(axis=1) == 1)) for p in range(covers.shape[1])]
    joint = np.flatnonzero(covers.sum(axis=1) > 1)
    best = np.inf
    for chosen in (None, *joint):
        lists = [[chosen] if chosen is not None and covers[chosen, p] else own[p] for p in range(covers.shape[1])]
        for picked in itertools.product(*lists):
            at = np.array(picked)
            if (tally.room(problem, tally.total(problem, at)) >= -tally.TOLERANCE).all():
                best = min(best, tally.objective_of(problem, at))
    return float(best)


def line(name: str, problem: choice.Problem, effort: solve.Effort) -> str:
    """One garden: the first plan and its time, the chosen one and its gap."""
    heard: list[solve.Standing] = []
    found = solve.choose(problem, effort, tell=heard.append)
    turn = tally.objective_of(problem, start.first_plan(problem, seconds=5.0))
    saved = (found.objective - found.bound) / max(found.idle - found.bound, 1e-9)
    within = next((each.seconds for each in heard if each.gap_frac <= 0.05), np.nan)
    return (
        f"{name}  plantings {problem.sizes[1]:3d}  candidates {problem.sizes[0]:5d}  first_s {heard[0].seconds:.2f}  "
        f"first {heard[0].objective:9.1f}  chosen {found.objective:9.1f}  bound {found.bound:9.1f}  gap {found.gap_frac:.4f}  "
        f"gap_of_saving {saved:.4f}  idle {found.idle:9.1f}  in_turn {turn:9.1f}  within_5_s {within:5.1f}  "
        f"seconds {found.seconds:5.1f}  {found.ended}  binding {[(b.rule.kind, b.rule.week) for b in found.binding[:3]]}"
    )


if __name__ == "__main__":
    small = invented(4, 1, weeks=4, every=6)
    begin = time.perf_counter()
    print(f"every choice {every_choice(small):.6f} in {time.perf_counter() - begin:.2f} s", end="  ")
    begin = time.perf_counter()
    print(f"chosen {solve.choose(small, solve.Effort(0.0, 60.0)).objective:.6f} in {time.perf_counter() - begin:.2f} s")
    for seed in range(3):
        garden = invented(30, seed)
        print(line(f"ample {seed} ", garden, solve.Effort(0.01, 60.0)))
        print(line(f"scarce {seed}", scarce(garden), solve.Effort(0.01, 60.0)))
    garden = invented(300, 0)
    print(line("ample 0 ", garden, solve.Effort(0.01, 60.0)))
    print(line("scarce 0", scarce(garden), solve.Effort(0.01, 60.0)))

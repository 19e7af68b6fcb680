"""Small invented gardens to choose programmes for, and a second reading of the rules, written out in plain loops."""

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from abaxial import chance
from abaxial.plan.choose.problem import Hours, Offers, Problem, Rotation, Shelf, set_out

#: 11, 3, M05 and NC
LIMITED = np.array([True, True, False, False])
BREAKING = np.array([True, True, True, False])


class Bid(NamedTuple):
    """One candidate. plantings : whose. uses : (week, bottle, litres)."""

    plantings: tuple[int, ...]
    loss: float
    uses: tuple[tuple[int, int, float], ...] = ()
    minutes: tuple[float, ...] = ()


def problem_of(bids: Sequence[Bid], *, weeks: int = 2, bottles: int = 1) -> Problem:
    """A garden without any limit: a litre takes a minute to spray and ten millilitres of the bottle, each bottle has its
    own code that nothing limits."""
    plantings = 1 + max(planting for bid in bids for planting in bid.plantings)
    litres = np.zeros((len(bids), weeks, bottles))
    minutes = np.zeros((len(bids), weeks))
    covers = np.zeros((len(bids), plantings), bool)
    for place, bid in enumerate(bids):
        covers[place, list(bid.plantings)] = True
        minutes[place, : len(bid.minutes)] = bid.minutes
        for week, bottle, amount in bid.uses:
            litres[place, week, bottle] = amount
    endless = np.full(bottles, np.inf)
    shelf = Shelf(
        stock=endless, season_left=endless, weeks_left=endless, tank_l=np.full(bottles, 100.0),
        mixing_minutes=np.zeros(bottles), mixing_money=np.zeros(bottles), codes=np.eye(bottles, dtype=bool),
        apart_weeks=np.zeros((bottles, bottles), np.int64),
    )  # fmt: skip
    hours = Hours(np.full(weeks, np.inf), np.full(weeks, np.inf), np.full((weeks, bottles), np.inf))
    rotation = Rotation(np.zeros(bottles, bool), np.ones(bottles, bool), np.zeros(bottles, np.int64), 2, endless)
    offers = Offers(covers, np.array([bid.loss for bid in bids]), minutes, litres.copy(), litres, 10.0 * litres)
    return set_out(offers, shelf, hours, rotation)


def small_garden(seed: int, *, plantings: int = 3, options: int = 3, weeks: int = 4, bottles: int = 4) -> Problem:
    """A garden of chance with every kind of rule in it; one in three seeds has a joint programme too."""
    draws = iter(chance.uniforms(seed, "test small garden", 0, 4000))

    def draw(low: float, high: float) -> float:
        return low + (high - low) * float(next(draws))

    bids = []
    for planting in range(plantings):
        worth = draw(5.0, 60.0)
        bids.append(Bid((planting,), worth))
        for _ in range(options - 1):
            where = [(week, bottle) for week in range(weeks) for bottle in range(bottles) if draw(0.0, 1.0) < 0.12]
            uses = tuple((week, bottle, round(draw(0.2, 3.0), 2)) for week, bottle in where)
            work = tuple(round(draw(0.0, 20.0), 1) if draw(0.0, 1.0) < 0.4 else 0.0 for _ in range(weeks))
            bids.append(Bid((planting,), worth * (draw(0.3, 1.0) if uses or any(work) else 1.0), uses, work))
    if seed % 3 == 0 and plantings > 1:
        bids.append(Bid(tuple(range(2)), draw(2.0, 40.0), (), (draw(5.0, 40.0),)))
    free = problem_of(bids, weeks=weeks, bottles=bottles)
    codes = np.zeros((bottles, 4), bool)
    for bottle in range(bottles):
        codes[bottle, int(draw(0.0, 3.999))] = True
        if draw(0.0, 1.0) < 0.2:
            codes[bottle, int(draw(0.0, 3.999))] = True
    apart = np.zeros((bottles, bottles), np.int64)
    if bottles > 1 and draw(0.0, 1.0) < 0.5:
        apart[0, 1] = apart[1, 0] = int(draw(1.0, 3.999))
    shelf = replace(
        free.shelf,
        stock=np.array([round(draw(0.0, 250.0), 1) for _ in range(bottles)]),
        season_left=np.array([round(draw(0.0, 300.0), 1) for _ in range(bottles)]),
        weeks_left=np.array([float(int(draw(0.0, 7.0))) for _ in range(bottles)]),
        tank_l=np.array([round(draw(1.0, 5.0), 1) for _ in range(bottles)]),
        mixing_minutes=np.full(bottles, 6.0), mixing_money=np.full(bottles, draw(0.0, 2.0)), codes=codes, apart_weeks=apart,
    )  # fmt: skip
    closed = np.array([draw(0.0, 1.0) < 0.12 for _ in range(weeks)])
    open_minutes = np.where(closed, 0.0, [draw(2.0, 16.0) for _ in range(weeks)])
    hours = Hours(
        np.array([round(draw(5.0, 90.0), 1) for _ in range(weeks)]),
        open_minutes,
        open_minutes[:, None] * np.array([[draw(0.5, 1.5) for _ in range(bottles)] for _ in range(weeks)]),
    )
    rotation = Rotation(
        LIMITED, BREAKING, np.array([int(draw(0.0, 2.5)) for _ in range(4)]), 1 + int(draw(0.0, 1.999)),
        np.array([np.inf if draw(0.0, 1.0) < 0.6 else float(int(draw(0.0, 4.0))) for _ in range(4)]),
    )  # fmt: skip
    return set_out(free.offers, shelf, hours, rotation)


def every_choice(problem: Problem) -> Iterator[tuple[int, ...]]:
    """All ways to give every planting one candidate, each joint one to all of its plantings."""
    covers = problem.offers.covers
    plantings = covers.shape[1]
    for picked in itertools.product(*(np.flatnonzero(covers[:, planting]).tolist() for planting in range(plantings))):
        if all(picked[other] == picked[p] for p in range(plantings) for other in np.flatnonzero(covers[picked[p]])):
            yield picked


def loss_of(problem: Problem, picked: Sequence[int]) -> float:
    """What a choice loses, counted out."""
    chosen = sorted(set(picked))
    _, _, weeks, bottles = problem.sizes
    loss = sum(float(problem.offers.loss[each]) for each in chosen)
    for week in range(weeks):
        for bottle in range(bottles):
            loss += float(problem.shelf.mixing_money[bottle]) * _mixes(problem, chosen, week, bottle)
    return loss


def broken_rules(problem: Problem, picked: Sequence[int]) -> list[str]:
    """The kinds of rule that a choice breaks, counted out week by week and bottle by bottle."""
    offers, shelf, hours = problem.offers, problem.shelf, problem.hours
    chosen = sorted(set(picked))
    _, _, weeks, bottles = problem.sizes
    found = []
    applied = [[any(offers.litres[n, w, b] > 0 for n in chosen) for b in range(bottles)] for w in range(weeks)]
    for week in range(weeks):
        work = sum(float(offers.minutes[n, week]) for n in chosen)
        work += sum(_mixes(problem, chosen, week, b) * float(shelf.mixing_minutes[b]) for b in range(bottles))
        out = [sum(float(offers.spray_minutes[n, week, b]) for n in chosen) for b in range(bottles)]
        found += ["minutes"] if work > hours.minutes[week] + 1e-5 else []
        found += ["window"] if sum(out) > hours.open_minutes[week] + 1e-5 else []
        found += ["bottle_window" for b in range(bottles) if out[b] > hours.bottle_minutes[week, b] + 1e-5]
    for bottle in range(bottles):
        product = sum(float(offers.product[n, w, bottle]) for n in chosen for w in range(weeks))
        found += ["stock"] if product > shelf.stock[bottle] + 1e-5 else []
        found += ["season"] if product > shelf.season_left[bottle] + 1e-5 else []
        found += ["bottle_weeks"] if sum(row[bottle] for row in applied) > shelf.weeks_left[bottle] else []
    found += _broken_rotation(problem, applied)
    uses = [(week, bottle) for week in range(weeks) for bottle in range(bottles) if applied[week][bottle]]
    for (week, one), (later, two) in itertools.combinations(uses, 2):
        found += ["apart"] if abs(later - week) < shelf.apart_weeks[one, two] else []
    return found


def _broken_rotation(problem: Problem, applied: list[list[bool]]) -> list[str]:
    rotation, codes = problem.rotation, problem.shelf.codes
    found = []
    names = range(codes.shape[1])
    diary = [{c for b, on in enumerate(row) if on for c in names if codes[b, c]} for row in applied]
    for code in names:
        found += ["code_weeks"] if sum(code in week for week in diary) > rotation.weeks_left[code] else []
        if not rotation.limited[code]:
            continue
        run = int(rotation.running[code])
        for week in diary:
            if code in week:
                run += 1
                found += ["run"] if run > rotation.most_running else []
            elif any(rotation.breaking[other] for other in week):
                run = 0
    return found


def _mixes(problem: Problem, chosen: Sequence[int], week: int, bottle: int) -> int:
    litres = sum(float(problem.offers.litres[each, week, bottle]) for each in chosen)
    return math.ceil(litres / float(problem.shelf.tank_l[bottle]) - 1e-6)

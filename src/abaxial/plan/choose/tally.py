"""What a choice uses in all, and how much room each rule leaves it. The rules are counted out here, once, for everybody."""

from typing import NamedTuple

import numpy as np

from abaxial.plan.choose.problem import LEAST_L, Floats, Problem, Truths, Whole

#: how far over a limit rounding may carry
TOLERANCE = 1e-6

#: kinds of rule, in the order in which their room is listed
KINDS = ("minutes", "window", "bottle_window", "stock", "season", "bottle_weeks", "run", "code_weeks", "apart")


class Rule(NamedTuple):
    """One rule. kind : one of KINDS. week : of the horizon, or -1 where it holds for all of it. which : the bottle or code by
    its place, or -1. other : the second bottle of two that are kept apart, or -1."""

    kind: str
    week: int = -1
    which: int = -1
    other: int = -1


class Total(NamedTuple):
    """What is used, each (…, weeks) or (…, weeks, bottles), with the units of `problem.Offers`."""

    minutes: Floats
    spray_minutes: Floats
    litres: Floats
    product: Floats

    def plus(self, other: "Total", sign: float = 1.0) -> "Total":
        """The two together, or the first less the second where sign is -1."""
        return Total(*(mine + sign * theirs for mine, theirs in zip(self, other, strict=True)))


def of_each(problem: Problem, candidates: Whole) -> Total:
    """What each of some candidates uses, (candidates, …)."""
    offers = problem.offers
    return Total(*(a[candidates] for a in (offers.minutes, offers.spray_minutes, offers.litres, offers.product)))


def of_one(problem: Problem, candidate: int) -> Total:
    """What one candidate uses."""
    offers = problem.offers
    return Total(*(a[candidate] for a in (offers.minutes, offers.spray_minutes, offers.litres, offers.product)))


def total(problem: Problem, picked: Whole) -> Total:
    """What a choice uses in all. picked : (plantings,) candidate of each; a joint one counts once."""
    return Total(*(each.sum(axis=0) for each in of_each(problem, np.unique(picked))))


def batches(problem: Problem, used: Total) -> Floats:
    """Mixes to be made, whole numbers, (…, weeks, bottles)."""
    return np.asarray(np.ceil(used.litres / problem.shelf.tank_l - TOLERANCE))


def objective_of(problem: Problem, picked: Whole) -> float:
    """Loss of a choice with its mixing [money]. picked : (plantings,)."""
    chosen = np.unique(picked)
    mixing = batches(problem, total(problem, picked)) * problem.shelf.mixing_money
    return float(problem.offers.loss[chosen].sum() + mixing.sum())


def rules(problem: Problem) -> tuple[Rule, ...]:
    """Every rule, in the order of `room`."""
    _, _, weeks, bottles = problem.sizes
    codes = problem.shelf.codes.shape[1]
    return (
        *(Rule("minutes", week) for week in range(weeks)),
        *(Rule("window", week) for week in range(weeks)),
        *(Rule("bottle_window", week, bottle) for week in range(weeks) for bottle in range(bottles)),
        *(Rule(kind, -1, bottle) for kind in ("stock", "season", "bottle_weeks") for bottle in range(bottles)),
        *(Rule("run", -1, code) for code in range(codes)),
        *(Rule("code_weeks", -1, code) for code in range(codes)),
        *(Rule("apart", -1, one, two) for one, two in _kept_apart(problem)),
    )


def room(problem: Problem, used: Total) -> Floats:
    """What each rule leaves, below 0 where it is broken, (…, rules): minutes, product, weeks."""
    shelf, hours = problem.shelf, problem.hours
    applied = used.litres > 0.5 * LEAST_L
    product = used.product.sum(axis=-2)
    mixing = (batches(problem, used) * shelf.mixing_minutes).sum(axis=-1)
    by_bottle = hours.bottle_minutes - used.spray_minutes
    coded = np.asarray((applied[..., :, :, None] & shelf.codes).any(axis=-2))
    return np.concatenate(
        [
            hours.minutes - used.minutes - mixing,
            hours.open_minutes - used.spray_minutes.sum(axis=-1),
            by_bottle.reshape(*by_bottle.shape[:-2], -1),
            shelf.stock - product,
            shelf.season_left - product,
            shelf.weeks_left - applied.sum(axis=-2),
            problem.rotation.most_running - longest_run(problem, coded),
            problem.rotation.weeks_left - coded.sum(axis=-2),
            _apart(problem, applied),
        ],
        axis=-1,
    )


def longest_run(problem: Problem, coded: Truths) -> Floats:
    """The longest run of each code that its weeks lengthen [weeks], (…, codes). coded : (…, weeks, codes) whether it is
    applied in a week. Codes that do not count have 0, and so has one that is not applied, whatever ran before."""
    rotation = problem.rotation
    run = np.broadcast_to(rotation.running, coded[..., 0, :].shape).astype(np.float64)
    most = np.zeros_like(run)
    ending = coded & rotation.breaking
    anything_ending = np.asarray(ending.any(axis=-1, keepdims=True))
    for week in range(coded.shape[-2]):
        here = coded[..., week, :]
        run = np.where(here, run + 1.0, np.where(anything_ending[..., week, :], 0.0, run))
        most = np.where(here & rotation.limited, np.maximum(most, run), most)
    return np.asarray(most)


def _kept_apart(problem: Problem) -> list[tuple[int, int]]:
    apart = problem.shelf.apart_weeks
    return [(one, two) for one in range(apart.shape[0]) for two in range(one, apart.shape[0]) if apart[one, two] > 0]


def _apart(problem: Problem, applied: Truths) -> Floats:
    """0 where two bottles are kept apart, -1 where they are too near, (…, pairs)."""
    pairs = _kept_apart(problem)
    found = np.zeros((*applied.shape[:-2], len(pairs)))
    weeks = applied.shape[-2]
    for place, (one, two) in enumerate(pairs):
        for shift in range(0 if one != two else 1, min(int(problem.shelf.apart_weeks[one, two]), weeks)):
            early, late = applied[..., : weeks - shift, :], applied[..., shift:, :]
            near = (early[..., one] & late[..., two]) | (early[..., two] & late[..., one])
            found[..., place] -= near.any(axis=-1)
    return np.asarray(np.maximum(found, -1.0))

"""Problems that textbooks print with their answers, put to the choice as though each thing were a planting."""

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from abaxial.plan import cost
from abaxial.plan.choose.problem import Floats, Hours, Offers, Problem, Rotation, Shelf, set_out
from abaxial.plan.choose.solve import Effort, choose

_PROVED = Effort(gap_frac=0.0, seconds=20.0)


def most_carried(values: ArrayLike, weights: ArrayLike, capacity: float) -> float:
    """The most value that can be carried, whole things only, in the unit of values.

    values, weights : (things,) 0 or more. capacity : 0 or more. Each thing is a planting that may be sprayed or not, with one
    bottle between them.
    """
    value = np.asarray(values, np.float64)
    free = _one_week(np.concatenate([np.zeros(value.size), -value]), np.asarray(weights, np.float64), mix_money=0.0)
    garden = replace(free, shelf=replace(free.shelf, stock=np.array([capacity])))
    return -choose(garden, _PROVED).objective


def mixes_for(litres: ArrayLike, tank_l: float) -> float:
    """Mixes of one tank for several plantings together [1]. litres : (plantings,) of each, above 0. tank_l : above 0."""
    each = np.asarray(litres, np.float64)
    # left alone costs more than all mixes there could be
    alone = np.full(each.size, 2.0 * (each.sum() / tank_l + each.size))
    free = _one_week(np.concatenate([alone, np.zeros(each.size)]), each, mix_money=1.0)
    garden = replace(free, shelf=replace(free.shelf, tank_l=np.array([tank_l])))
    return choose(garden, _PROVED).objective


def rounds_money(minutes: float, hour_money: float, weeks: float, interval_d: float) -> float:
    """Price of the work of rounds at an interval over some weeks [money]. minutes : of one round. A round begun is a whole one."""
    rounds = np.ceil(weeks * 7.0 / interval_d - 1e-9)
    return float(cost.work_money(rounds * minutes, hour_money))


def _one_week(losses: Floats, litres: Floats, *, mix_money: float) -> Problem:
    """Each planting is left alone or sprayed with its litres, in one week with one bottle and a tank that holds it all."""
    plantings = litres.size
    used = np.zeros((2 * plantings, 1, 1))
    used[plantings:, 0, 0] = litres
    one, endless = np.ones(1), np.full(1, np.inf)
    return set_out(
        Offers(
            np.tile(np.eye(plantings, dtype=np.bool_), (2, 1)), losses, np.zeros((2 * plantings, 1)), used, used, used
        ),
        Shelf(
            endless,
            endless,
            endless,
            one * max(litres.sum(), 1.0),
            one,
            one * mix_money,
            np.ones((1, 1), np.bool_),
            np.zeros((1, 1), np.int64),
        ),
        Hours(endless, endless, endless[:, None]),
        Rotation(np.zeros(1, np.bool_), np.ones(1, np.bool_), np.zeros(1, np.int64), 2, endless),
    )

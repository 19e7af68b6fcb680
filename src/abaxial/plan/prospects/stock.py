"""What couples the plantings of a garden: bottles, minutes, open hours, and the turns that codes have had."""

import math
from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

import numpy as np

from abaxial.label import rotation
from abaxial.label.bottle import Bottle
from abaxial.label.limits import ROUND_D
from abaxial.plan.choose.problem import Hours, Rotation, Shelf
from abaxial.plan.programmes import laid_out
from abaxial.plan.prospects.permit import Law
from abaxial.plan.prospects.plot import work


class Time(NamedTuple):
    """Minutes there are. minutes : by week. open_minutes : in the coming week in which some spraying is fit; bottle_minutes :
    bottle to the minutes of the coming week in which it is."""

    minutes: Sequence[float]
    open_minutes: float
    bottle_minutes: Mapping[str, float]


def shelf_of(law: Law, codes: Sequence[str], tank_l: float, hour_money: float) -> Shelf:
    """The bottles as the choice asks for them. codes : all there are, in order. tank_l : what the sprayer takes."""
    count = len(law.bottles)
    mixing = work()["mixing_min"].value
    return Shelf(
        stock=np.array([math.inf if each.left is None else each.left for each in law.bottles], np.float64),
        # what a label allows on ground is kept planting by planting
        season_left=np.full(count, math.inf),
        weeks_left=np.full(count, math.inf),
        tank_l=np.full(count, tank_l),
        mixing_minutes=np.full(count, mixing),
        mixing_money=np.full(count, mixing * hour_money / 60.0),
        codes=np.array(
            [[code in law.contents(each).codes for code in codes] for each in law.bottles], np.bool_
        ).reshape(count, len(codes)),
        apart_weeks=np.zeros((count, count), np.int64),
    )


def codes_of(law: Law) -> tuple[str, ...]:
    """Every code on the shelf."""
    return tuple(sorted({code for each in law.bottles for code in law.contents(each).codes}))


def hours_of(time: Time, bottles: Sequence[Bottle]) -> Hours:
    """The minutes of each week; beyond the coming one nobody knows which hours will be open, and the person's minutes count."""
    weeks = np.asarray(time.minutes, np.float64)
    opened = weeks.copy()
    opened[0] = min(opened[0], time.open_minutes)
    by_bottle = np.repeat(weeks[:, None], len(bottles), axis=1)
    for place, each in enumerate(bottles):
        by_bottle[0, place] = min(by_bottle[0, place], time.bottle_minutes.get(each.key, 0.0))
    return Hours(weeks, opened, by_bottle)


def rotation_of(law: Law, codes: Sequence[str], today: date) -> Rotation:
    """The turns that codes have had up to a day, in the whole garden."""
    used = [rotation.Used(each.on, each.planting, frozenset(each.codes)) for each in law.history]
    turns = rotation.turns_of(used, ROUND_D)
    running = {code: _running(turns, today, code, law.rules.run_memory_d) for code in codes}
    return laid_out.rotation_of(codes, running, most_running=law.rules.most_running, weeks_left={})


def _running(turns: Sequence[rotation.Turn], today: date, code: str, memory_d: int) -> int:
    last = turns[-1].last if turns else date.min
    return rotation.run_around(turns, last, code, memory_d) if turns and (today - last).days <= memory_d else 0

"""What the walks did to an estimate: which moved it most, which are hard to believe, and whether they are too many."""

import math
from collections.abc import Sequence
from datetime import date
from itertools import groupby
from typing import NamedTuple

import numpy as np

from abaxial.assimilation import counts, diagnose
from abaxial.assimilation.estimate import BAND, Posterior, Weighed
from abaxial.assimilation.looks import read_looks
from abaxial.assimilation.outcome.shares import ANY_FRAC, Three, three
from abaxial.assimilation.special import binomial_log

#: a look further out than this is hard to believe; and how far out looks are that are counted against all of them
STRANGE_FRAC, OUTER_FRAC = 0.02, 0.05
# a walk that moved what is rusted by less than a fifth is not worth naming
_WORTH_NAMING_LOG = math.log(1.2)
_GRID = 401


class Swayed(NamedTuple):
    """What one day's looks at one planting did. turned, rusted : leaves counted that day; None where none were. amount :
    of its last look. before_frac, after_frac : rusted share of leaf area, hidden or showing, 10, 50 and 90 %. by_log :
    how far the middle moved."""

    on: date
    turned: int | None
    rusted: int | None
    amount: str
    before_frac: Three
    after_frac: Three
    by_log: float


class Contradiction(NamedTuple):
    """Looks that lie far out. looks : how many of all do. of : all. tail_frac : how often chance alone gives as many."""

    looks: int
    of: int
    tail_frac: float


def swayed(posterior: Posterior, planting: int) -> tuple[Swayed, ...]:
    """The walks that moved what is held of a planting, farthest first."""
    told = [each for each in posterior.weighed if each.look.planting == planting]
    walks = [_swayed(list(day)) for _, day in groupby(told, key=lambda each: each.look.day)]
    worth = [each for each in walks if abs(each.by_log) >= _WORTH_NAMING_LOG]
    return tuple(sorted(worth, key=lambda each: -abs(each.by_log)))


def strange(posterior: Posterior, planting: int) -> tuple[Weighed, ...]:
    """The looks at a planting that are hard to believe, the strangest first."""
    told = [each for each in posterior.weighed if each.look.planting == planting and each.tail_frac < STRANGE_FRAC]
    return tuple(sorted(told, key=lambda each: each.tail_frac))


def contradiction(posterior: Posterior) -> Contradiction:
    """How many looks lie far out, against what chance gives."""
    total = len(posterior.weighed)
    outer = sum(each.tail_frac < OUTER_FRAC for each in posterior.weighed)
    fewer = math.fsum(
        math.exp(binomial_log(total, k) + k * math.log(OUTER_FRAC) + (total - k) * math.log1p(-OUTER_FRAC))
        for k in range(outer)
    )
    return Contradiction(outer, total, min(max(1.0 - fewer, 0.0), 1.0))


class Past(NamedTuple):
    """How forecasts made before each look have fared. looks : leaves counted. crps_frac : mean error of the forecast count, as
    a share of the leaves turned. brier : of whether any rust would be found. compared : looks with an earlier one at the
    same part; compared_crps_frac, last_look_frac : mean error of the forecast on them, and of taking the look before."""

    looks: int
    crps_frac: float
    brier: float
    compared: int
    compared_crps_frac: float
    last_look_frac: float


def past(posterior: Posterior) -> Past | None:
    """How forecasts of counts have fared so far; None where no leaves were counted."""
    counted = [each for each in posterior.weighed if each.crps_frac == each.crps_frac]
    if not counted:
        return None
    before: dict[tuple[int, str], float] = {}
    ours, theirs = [], []
    for each in counted:
        seen = each.look.sighting
        share = (seen.rusted or 0) / (seen.turned or 1)
        place = (each.look.planting, seen.part)
        if place in before:
            ours.append(each.crps_frac)
            theirs.append(abs(share - before[place]))
        before[place] = share
    found = [float(bool(each.look.sighting.rusted)) for each in counted]
    return Past(
        looks=len(counted),
        crps_frac=float(np.mean([each.crps_frac for each in counted])),
        brier=diagnose.brier_score([each.chance_frac for each in counted], found),
        compared=len(ours),
        compared_crps_frac=float(np.mean(ours)) if ours else 0.0,
        last_look_frac=float(np.mean(theirs)) if ours else 0.0,
    )


def alone(turned: int, rusted: int) -> Three:
    """Share of leaves with rust as one count alone gives it, 10, 50 and 90 %; every share was as likely before."""
    grid = (np.arange(_GRID) + 0.5) / _GRID
    told = counts.count_log(turned, rusted, grid, read_looks().correlation_frac)
    return three(diagnose.weighted_quantiles(grid, np.exp(told - told.max()), BAND))


def _swayed(day: Sequence[Weighed]) -> Swayed:
    counted = [each.look.sighting for each in day if each.look.sighting.rusted is not None]
    before, after = three(day[0].before), three(day[0].after)
    return Swayed(
        on=day[-1].look.sighting.on,
        turned=sum(each.turned or 0 for each in counted) if counted else None,
        rusted=sum(each.rusted or 0 for each in counted) if counted else None,
        amount=day[-1].look.sighting.amount,
        before_frac=before,
        after_frac=after,
        by_log=math.log(max(after[1], ANY_FRAC) / max(before[1], ANY_FRAC)),
    )

"""Programmes for all plantings that share a rust: above all, everything cut down and cleared away in one dry week."""

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.plan.programmes.permitted import Permitted
from abaxial.plan.programmes.step import Programme, Step, in_order
from abaxial.provenance import read_parameters, read_table

Floats = NDArray[np.float64]

_PATH = Path(__file__).with_name("together.toml")
_LIMITS = {"dry_mm_d": (0.0, 10.0), "dry_spell_d": (1.0, 14.0), "dry_chance_frac": (0.0, 1.0)}
_WEEK_D = 7


class Dry(NamedTuple):
    """What a dry spell is. dry_mm_d : rain of a day below which it is dry. dry_spell_d : days on end. dry_chance_frac : how
    likely it has to be."""

    dry_mm_d: float
    dry_spell_d: float
    dry_chance_frac: float


class Joint(NamedTuple):
    """One programme for several plantings at once. plantings : which, by their places. programme : of each of them. week :
    in which it has to be done. rust : that they share."""

    plantings: tuple[int, ...]
    programme: Programme
    week: int
    rust: str


@cache
def read_dry() -> Dry:
    """The central values of together.toml. Raises ParameterError if the file breaks its rules."""
    read = read_parameters(read_table(_PATH).get("parameters"), limits=_LIMITS, rising=[], path=_PATH)
    return Dry(**{name: parameter.value for name, parameter in read.items()})


def dry_weeks(rain_mm: Floats, dry: Dry) -> tuple[int, ...]:
    """The weeks in which a dry spell begins that is likely enough.

    rain_mm : (members, days) ahead, 0 or more. A spell that outlasts what is known of the weather counts as not known, and
    so as none.
    """
    length = round(dry.dry_spell_d)
    is_dry = rain_mm < dry.dry_mm_d
    starts = range(rain_mm.shape[1] - length + 1)
    likely = [first for first in starts if is_dry[:, first : first + length].all(axis=1).mean() >= dry.dry_chance_frac]
    return tuple(sorted({first // _WEEK_D for first in likely}))


def weeks_to_cut(permitted: Sequence[Permitted]) -> Mapping[int, tuple[int, ...]]:
    """Plantings, by their places, to the weeks in which they may be cut down and their litter cleared away."""
    weeks = [{act.kind: {*act.weeks} for act in each.acts if not act.bottle} for each in permitted]
    both = [each.get("cut_down", set()) & each.get("clear_litter", set()) for each in weeks]
    return {place: tuple(sorted(each)) for place, each in enumerate(both) if each}


def cut_down_together(
    rusts: Sequence[str], weeks: Sequence[int], may_be_cut: Mapping[int, Sequence[int]], *, showing: Sequence[bool]
) -> tuple[Joint, ...]:
    """Everything that shares a rust cut down and its litter cleared away within one dry week.

    rusts : of each planting. weeks : dry ones. may_be_cut : weeks in which each planting may be cut, by its place; one that is
    not named may not. showing : whether rust shows on each. Offered for all that share a rust, and for those that show it;
    not for one planting alone, which has its own programmes.
    """
    found = []
    for rust in dict.fromkeys(rusts):
        for week in weeks:
            able = tuple(p for p, own in enumerate(rusts) if own == rust and week in may_be_cut.get(p, ()))
            for plantings in dict.fromkeys((able, tuple(p for p in able if showing[p]))):
                if len(plantings) > 1:
                    steps = [Step(week, "cut_down"), Step(week, "clear_litter")]
                    found.append(Joint(plantings, in_order(steps), week, rust))
    return tuple(found)

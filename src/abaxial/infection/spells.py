"""Wet spells: where they begin, how long the leaf is wet, how warm it is then, and what interrupts them."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Spell:
    """One wet spell.

    start, end : offsets of its first wet hour and of the hour after its last. wet_h : hours wet in it [h].
    mean_temperature_c : over the wet hours. breaks_h : length of each dry break inside it [h].
    """

    start: int
    end: int
    wet_h: int
    mean_temperature_c: float
    breaks_h: tuple[int, ...]


def wet_spells(
    is_wet: NDArray[np.bool_], temperature_c: NDArray[np.float64], *, longest_break_h: int = 0
) -> tuple[Spell, ...]:
    """The wet spells of an hourly series, in order.

    is_wet, temperature_c : (hours,). longest_break_h : dry breaks up to this long do not end a spell [h], 0 or more;
    this is the rule of magarey2005 (D50) for spells that count as one.
    """
    edges = np.flatnonzero(np.diff(np.concatenate([[False], np.asarray(is_wet, bool), [False]]).astype(np.int8)))
    runs = [(int(first), int(end)) for first, end in edges.reshape(-1, 2)]
    groups: list[list[tuple[int, int]]] = []
    for run in runs:
        if groups and run[0] - groups[-1][-1][1] <= longest_break_h:
            groups[-1].append(run)
        else:
            groups.append([run])
    return tuple(_spell(group, temperature_c) for group in groups)


def _spell(runs: list[tuple[int, int]], temperature_c: NDArray[np.float64]) -> Spell:
    wet = np.concatenate([np.arange(first, end) for first, end in runs])
    breaks = tuple(later[0] - earlier[1] for earlier, later in pairwise(runs))
    return Spell(runs[0][0], runs[-1][1], int(wet.size), float(np.mean(temperature_c[wet])), breaks)

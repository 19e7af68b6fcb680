"""One planting as it stands today, with all that a course of action may touch."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from abaxial.epidemic import leaf_area
from abaxial.epidemic.leaf_area import LeafDays
from abaxial.host import growth
from abaxial.host.species import Species
from abaxial.infection.kernel import Nights
from abaxial.provenance import Parameter, read_parameters, read_table
from abaxial.remedy.application import Application

Floats = NDArray[np.float64]
Cuts = tuple[tuple[int, ...], tuple[int, ...]]
_PATH = Path(__file__).with_name("work.toml")


@dataclass(frozen=True)
class Plot:
    """A planting and the season it stands in; rows are garden days of the season.

    temperature_c : (days,) daily means. rain_mm : (members, days). since_day, clumps, spacing_m : as in host.growth. cut_down,
    low_leaves_off, rusted_leaves_off : rows on which that was done. left_frac : row to the share of what was taken off then
    that stayed lying. sprayed : what was put on it. latent_d : latent period just now [d].
    habits : kind of step to the nights it would bring over the days ahead, (levels, members, days, draws).
    """

    species: Species
    temperature_c: Floats
    rain_mm: Floats
    since_day: int
    clumps: int
    spacing_m: float
    latent_d: float
    cut_down: tuple[int, ...] = ()
    low_leaves_off: tuple[int, ...] = ()
    rusted_leaves_off: tuple[int, ...] = ()
    left_frac: Mapping[int, float] = field(default_factory=dict)
    sprayed: tuple[Application, ...] = ()
    habits: Mapping[str, Nights] | None = None
    _grown: dict[Cuts, LeafDays] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def ground_m2(self) -> float:
        """Ground under its leaves [m²]."""
        return self.clumps * self.spacing_m**2

    @cached_property
    def area(self) -> Floats:
        """Its leaf area index at the end of each day of the season, (days,), with nothing more cut."""
        return np.asarray(leaf_area.hanging(self.leaves())[0].sum(axis=0))

    def leaves(self, cut_down: tuple[int, ...] = (), low_leaves_off: tuple[int, ...] = ()) -> LeafDays:
        """Its leaves through the season, with more cutting besides, as one row; grown once for each cutting."""
        cuts = tuple(sorted({*self.cut_down, *cut_down})), tuple(sorted({*self.low_leaves_off, *low_leaves_off}))
        if cuts not in self._grown:
            grown = growth.grow(
                self.species,
                self.temperature_c,
                since_day=self.since_day,
                clumps=self.clumps,
                spacing_m=self.spacing_m,
                cuts=cuts,
            )
            taken = [[*cuts[0], *cuts[1]]]
            self._grown[cuts] = leaf_area.leaf_days([grown], [self.species["light_extinction"]], taken)
        return self._grown[cuts]

    def leaves_again_d(self, cut_row: int) -> int | None:
        """Days from cutting down until half of the leaf area hangs again [d]; None where the season ends before."""
        before = self.area
        after = leaf_area.hanging(self.leaves(cut_down=(cut_row,)))[0].sum(axis=0)
        back = np.flatnonzero(after[cut_row + 1 :] >= 0.5 * before[max(cut_row - 1, 0)])
        return int(back[0]) + 1 if back.size else None


@cache
def work() -> dict[str, Parameter]:
    """What acts do and how long they take, by name. Raises ParameterError if work.toml breaks its rules."""
    table = read_table(_PATH)["parameters"]
    return read_parameters(table, limits=dict.fromkeys(table, (0.0, 60.0)), rising=[], path=_PATH)

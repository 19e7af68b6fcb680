"""The infection kernel's rules in vectorised NumPy, double precision: the peer of the benchmark and the oracle of a test.

One hour at a time, all levels, members and draws at once.
"""

import numpy as np
from numpy.typing import NDArray

from abaxial.infection import kernel
from abaxial.infection.curves import COLDEST_C, ROWS_PER_C, Curves
from abaxial.infection.kernel import LeafHours, Nights
from abaxial.infection.survival import dose_mj_m2_h

Floats = NDArray[np.float64]
Marks = NDArray[np.bool_]


class Leaves:
    """What lies on the leaves and how far it has come, each (levels, members, draws)."""

    def __init__(self, shape: tuple[int, int, int]) -> None:
        """Clean leaves."""
        self.waiting, self.cohort, self.outside, self.progress, self.ripe = (np.zeros(shape) for _ in range(5))
        self.in_spell = np.zeros((*shape[:2], 1), bool)
        self.open_day()

    def open_day(self) -> None:
        """Begin to count what enters."""
        self.on_leaf = self.waiting + self.cohort * self.outside
        self.caught, self.ripe_caught, self.reach = (np.zeros_like(self.waiting) for _ in range(3))

    def begin_spells(self, here: Marks) -> None:
        """All that lies on the leaf goes into the wet spell together."""
        self.cohort = np.where(here, self.waiting, self.cohort)
        self.waiting = np.where(here, 0.0, self.waiting)
        self.outside = np.where(here, 1.0, self.outside)
        self.progress = np.where(here, 0.0, self.progress)
        self.in_spell |= here

    def end_spells(self, here: Marks, curves: Curves) -> None:
        """Some of the germinated die, the rest wait for another."""
        germinated = np.minimum(self.progress / curves.germination_h, 1.0)
        back = self.cohort * self.outside * (1.0 - germinated * curves.break_kill_frac)
        self.waiting += np.where(here, back, 0.0)
        self.cohort = np.where(here, 0.0, self.cohort)
        self.in_spell &= ~here

    def enter(self, wet: Marks, speed: Floats, curves: Curves, landing: float) -> None:
        """What gets in where it is wet; elsewhere spores only land."""
        self.progress = np.where(wet, self.progress + speed, self.progress)
        scaled = np.maximum(self.progress - curves.first_wet_h, 0.0) / curves.spread_h
        outside = np.exp(-scaled * scaled)
        entered = np.where(wet, self.cohort * (self.outside - outside) + landing * (1.0 - outside), 0.0)
        self.waiting += landing * np.where(wet, outside, 1.0)
        self.outside = np.where(wet, outside, self.outside)
        self.reach = np.where(wet, np.maximum(self.reach, self.progress), self.reach)
        self.caught += entered
        self.ripe_caught += entered * self.ripe


def infect(hours: LeafHours, curves: Curves, day_start: NDArray[np.int64]) -> Nights:
    """As kernel.infect."""
    _, levels, members = hours.wet_frac.shape
    draws = curves.first_wet_h.shape[1]
    nights = kernel.empty_nights((levels, members), len(day_start) - 1, draws)
    leaves, row = Leaves((levels, members, draws)), np.arange(members)
    for day in range(len(day_start) - 1):
        leaves.open_day()
        begun = leaves.ripe.copy()
        landing = 1.0 / (day_start[day + 1] - day_start[day])
        for hour in range(day_start[day], day_start[day + 1]):
            _hour(leaves, LeafHours(*(each[hour][..., np.newaxis] for each in hours)), curves, (row, landing))
        _write_day(nights, leaves, begun, day)
    nights.progress[:, :, -1] = leaves.ripe
    return nights


def _hour(leaves: Leaves, now: LeafHours, curves: Curves, more: tuple[NDArray[np.int64], float]) -> None:
    row, landing = more
    wet = np.asarray(now.wet_frac, np.float32) >= curves.wet_hour_frac
    place = (np.asarray(now.leaf_temperature_c[..., 0], np.float32).astype(float) - COLDEST_C) * ROWS_PER_C
    place = np.clip(place, 0.0, curves.infection_frac.shape[1] - 1.001)
    low = place.astype(int)
    part = (place - low)[..., np.newaxis]

    def between(table: NDArray[np.float32]) -> Floats:
        return np.asarray(table[row, low] + part * (table[row, low + 1].astype(float) - table[row, low]))

    leaves.ripe += between(curves.ripening_per_h)
    dose = dose_mj_m2_h(np.maximum(now.sun_on_leaf_w_m2, 0.0))
    leaves.begin_spells(wet & ~leaves.in_spell)
    broken = leaves.in_spell & ~wet & (now.relative_humidity_frac < curves.humid_pause_frac)
    if broken.any():
        leaves.end_spells(broken, curves)
    living = curves.dark_alive_frac * np.exp(-curves.sun_loss_per_mj * dose) if dose.any() else curves.dark_alive_frac
    leaves.waiting *= living
    leaves.cohort *= living
    if wet.any():
        leaves.enter(wet, between(curves.infection_frac), curves, landing)
    else:
        leaves.waiting += landing


def _write_day(nights: Nights, leaves: Leaves, begun: Floats, day: int) -> None:
    there = leaves.on_leaf + 1.0
    left = there - leaves.caught
    alive = (leaves.waiting + leaves.cohort * leaves.outside) / np.maximum(left, kernel.FEWEST_LEFT)
    dated = leaves.ripe_caught / np.maximum(leaves.caught, kernel.FEWEST_IN)
    nights.infected_frac[:, :, day] = leaves.caught / there
    nights.progress[:, :, day] = begun
    nights.progress_at_infection[:, :, day] = np.where(leaves.caught > kernel.FEWEST_IN, dated, begun)
    nights.wet_reach_h[:, :, day] = leaves.reach
    nights.alive_frac[:, :, day] = np.where(left > kernel.FEWEST_LEFT, alive, 1.0)

"""What the epidemic is driven by: the nights of 30 plantings, compiled against NumPy and against a floor, in one run.

30 plantings in 2 levels, 16 weather members, 200 days, 64 draws each: 1,024 versions of the biology. The hours on the
leaves are those of the demo garden's plantings, again and again. The floor does only what the rules cannot avoid: it
reads the hours and the tables' rows, takes one exponential where the leaf is sunlit and one where it is wet, and writes
as many results. NumPy takes so long that one planting of it is measured and multiplied.
"""

import tempfile
from datetime import datetime
from itertools import cycle, islice
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from abaxial import hours
from abaxial.compiled import exp_single, kernel, prange, small_kernel
from abaxial.garden import description
from abaxial.infection import curves, draws, leaves, library
from abaxial.infection.curves import Curves
from abaxial.infection.kernel import LANES, LeafHours, Nights, empty_nights
from abaxial.infection.pathogen import read_pathogen
from abaxial.microclimate import nights, wetness
from abaxial.season import demo, record, stand
from benchmarks import nights_twin
from benchmarks.leaf_wetness import best_of

PLANTINGS, DAYS, DRAWS, MEMBERS, AHEAD_DAYS, SEED = 30, 200, 1000, 16, 42, 1
NONE = np.float32(0.0)


def demo_leaves(plantings: int = PLANTINGS) -> tuple[list[LeafHours], list[Curves], NDArray[np.int64]]:
    """Hours on the leaves of the demo garden's plantings, their rusts' curves, and where the garden days begin."""
    with tempfile.TemporaryDirectory() as folder:
        garden = description.read_garden(demo.lay_out(Path(folder)))
        at = datetime.fromisoformat(demo.TODAY).replace(tzinfo=hours.zone_named(garden.place.zone))
        now = hours.hour_of(at)
        known = record.weather_of(garden, now)
        sky = stand.sky_over(garden, record.ensemble_of(known, garden, now, AHEAD_DAYS, MEMBERS, SEED))
        stands = [each for each in stand.stands_in(garden, sky) if each.rust is not None]
    levels = [level for each in stands for level in each.levels]
    members = wetness.wetness_members(SEED, MEMBERS)
    wet = wetness.leaf_wetness(sky.air, levels, sky.when, garden.place, members)
    found, rusts = [], []
    for i, each in enumerate(stands):
        rust = each.rust or read_pathogen("canna_rust")
        found.append(leaves.leaf_hours(wet, slice(2 * i, 2 * i + 2), rust.face, sky.air, each.levels, sky.when))
        rusts.append(curves.curves_of(draws.make_draws(rust, seed=SEED, members=MEMBERS, at_least=DRAWS)))
    start = nights.day_starts(sky.when)
    return list(islice(cycle(found), plantings)), list(islice(cycle(rusts), plantings)), start[-DAYS - 1 :]


@kernel
def _floor(result: Nights, hours: LeafHours, known: Curves, day_start: Any) -> None:
    levels, members, _, _ = result.infected_frac.shape
    for row in prange(levels * members):
        _floor_row(result, hours, known, day_start, (row // members, row % members))


@small_kernel
def _floor_row(result: Nights, hours: LeafHours, known: Curves, day_start: Any, where: Any) -> None:
    level, m = where
    w = np.zeros(2 * LANES, np.float32)
    for day in range(day_start.size - 1):
        for hour in range(day_start[day], day_start[day + 1]):
            low = int((hours.leaf_temperature_c[hour, level, m] - curves.COLDEST_C) * curves.ROWS_PER_C)
            _read(w, known.ripening_per_h[m, low], known.ripening_per_h[m, low + 1])
            dose = hours.sun_on_leaf_w_m2[hour, level, m] * np.float32(0.0036)
            if dose > NONE:
                _exponential(w, dose)
            if hours.wet_frac[hour, level, m] >= known.wet_hour_frac:
                _read(w, known.infection_frac[m, low], known.infection_frac[m, low + 1])
                _exponential(w, dose)
        for j in range(LANES):
            result.infected_frac[level, m, day, j] = w[j]
            result.progress[level, m, day, j] = w[j]
            result.progress_at_infection[level, m, day, j] = w[j]
            result.wet_reach_h[level, m, day, j] = w[LANES + j]
            result.alive_frac[level, m, day, j] = w[LANES + j]


@small_kernel
def _read(w: Any, below: Any, above: Any) -> None:
    for j in range(LANES):
        w[j] += above[j] - below[j]


@small_kernel
def _exponential(w: Any, dose: Any) -> None:
    for j in range(LANES):
        w[LANES + j] = exp_single(-w[j] - dose)


def floor(on_leaves: list[LeafHours], known: list[Curves], day_start: NDArray[np.int64]) -> Nights:
    """As library.make_library, without its rules."""
    _, levels, members = on_leaves[0].wet_frac.shape
    result = empty_nights((len(on_leaves), levels, members), len(day_start) - 1, known[0].first_wet_h.shape[1])
    for place, (hours_there, each) in enumerate(zip(on_leaves, known, strict=True)):
        ready = LeafHours(*(np.ascontiguousarray(part, np.float32) for part in hours_there))
        _floor(Nights(*(part[place] for part in result)), ready, each, day_start)
    return result


def measure(plantings: int = PLANTINGS) -> dict[str, float]:
    """Seconds of the three, and their ratios."""
    on_leaves, known, day_start = demo_leaves(plantings)
    wet = np.mean([np.mean(each.wet_frac >= 0.5) for each in on_leaves])
    library.make_library(on_leaves[:1], known[:1], day_start)
    floor(on_leaves[:1], known[:1], day_start)
    ours = best_of(7, lambda: library.make_library(on_leaves, known, day_start))
    least = best_of(7, lambda: floor(on_leaves, known, day_start))
    peer = plantings * best_of(1, lambda: nights_twin.infect(on_leaves[0], known[0], day_start))
    return {
        "plantings": plantings,
        "wet_frac": float(wet),
        "compiled_s": ours,
        "numpy_s": peer,
        "floor_s": least,
        "times_numpy": peer / ours,
        "times_floor": ours / least,
    }


if __name__ == "__main__":
    print("  ".join(f"{name} {value:.4g}" for name, value in measure().items()))

"""The epidemic of a season: compiled, against NumPy and against a floor, in one run, and how it grows with the garden.

30 plantings of two levels, 200 days, 1,024 versions of 16 weathers and 64 biologies, 16 latent and 4 showing stages; the
nights are those of the demo garden's plantings. The floor does only what the rules cannot avoid: it reads the nights,
sweeps the leaves once when they turn over, takes its three exponentials, multiplies and adds eight terms for every stage, and
writes the stages back. NumPy takes so long that it is measured on a tenth of the days and multiplied.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import unknowns
from abaxial.compiled import exp_single, in_pieces, small_kernel
from abaxial.epidemic import dispersal, leaf_area, simulate, stages
from abaxial.epidemic.day import rows
from abaxial.epidemic.kernel import LANES, Span, Versions
from abaxial.epidemic.simulate import Season
from abaxial.host import growth
from abaxial.host.species import read_species
from abaxial.infection import library
from abaxial.infection.curves import Curves
from abaxial.infection.kernel import LeafHours
from abaxial.infection.pathogen import read_pathogen
from benchmarks import drivers as nights_bench
from benchmarks import epidemic_twin
from benchmarks.leaf_wetness import best_of

PLANTINGS, DAYS, VERSIONS, SHARE_OF_DAYS = 30, 200, 1024, 10


class Garden(NamedTuple):
    """Hours on the leaves of as many plantings, their rusts' curves, and where the garden days begin."""

    leaves: list[LeafHours]
    curves: list[Curves]
    day_start: NDArray[np.int64]


def demo_garden() -> Garden:
    """Thirty plantings of the demo garden's kinds over 200 days."""
    return Garden(*nights_bench.demo_leaves(PLANTINGS))


def make_season(garden: Garden) -> Season:
    """The season of a garden: every planting a canna, six metres between one and the next, all with one rust."""
    nights = library.make_library(garden.leaves, garden.curves, garden.day_start)
    count, days = len(garden.leaves), len(garden.day_start) - 1
    grown = growth.grow(read_species("canna"), np.full(days, 21.0), since_day=-60, clumps=6, spacing_m=0.6)
    ground = dispersal.ground_of([(6.0 * (place % 6), 6.0 * (place // 6), 2.0, 0) for place in range(count)])
    epidemic = read_pathogen("canna_rust").epidemic
    exponent, offset_m = (np.full(count, epidemic[f"gradient_{each}"].value) for each in ("exponent", "offset_m"))
    spread = dispersal.spread_of(ground, exponent, offset_m)
    days_of_leaves = leaf_area.leaf_days([grown] * count, [0.6] * count)
    return simulate.season_of(nights, garden.curves[:1], days_of_leaves, spread, [stages.MOST_LATENT])


def some_versions(season: Season, count: int) -> Versions:
    """Versions of the garden as they are before anybody looked."""
    held = unknowns.unknowns_of(
        [read_pathogen("canna_rust")], [(f"p{n}", 0) for n in range(season.plantings)], season.days
    )
    weathers, biologies = season.drivers.infected_frac.shape[2], season.drivers.infected_frac.shape[4]
    cloud = unknowns.before_looking(held, count, unknowns.parts_of(held, weathers, biologies), 1)
    versions = unknowns.versions_of(held, cloud, season.by_strength)
    order = np.argsort(versions.member * biologies + versions.draw[0], kind="stable")
    return Versions._make(np.ascontiguousarray(each[..., order]) for each in versions)


def ours(season: Season, versions: Versions, last_day: int) -> NDArray[np.float32]:
    """One pass; only its last day is recorded."""
    state = simulate.clean(season, versions.member.size)
    simulate.run(season, versions, state, first_day=0, end_day=last_day, record_days=[last_day - 1])
    return state


def numpy_pass(season: Season, versions: Versions, last_day: int) -> NDArray[np.float32]:
    """The same in NumPy."""
    state = simulate.clean(season, versions.member.size)
    out_row = np.where(np.arange(season.days) == last_day - 1, 0, -1)
    record = np.zeros((1, season.plantings, rows.PARTS, rows.OUTS, versions.member.size), np.float32)
    epidemic_twin.run_days(state, record, season.drivers, versions, Span(0, last_day, out_row))
    return state


def floor(season: Season, versions: Versions) -> None:
    """The unavoidable reading, multiplying and writing of a pass."""
    nights = season.drivers
    tables = (nights.infected_frac, nights.wet_reach_h, nights.alive_frac, nights.progress)
    state = simulate.clean(season, versions.member.size)

    def some(begin: int, end: int) -> None:
        for block in range(begin, end):
            _floor_block(state, tables, versions.member, versions.draw[0], block * LANES)

    in_pieces(some, versions.member.size // LANES)


@small_kernel
def _floor_block(state: Any, tables: Any, member: Any, draw: Any, first: int) -> None:
    infected, reach, alive, progress = tables
    plantings, count, _ = state.shape
    size = (count - rows.AFTER) // 2 * LANES
    work, room = np.zeros((plantings, count * LANES), np.float32), np.zeros(rows.room_of(size), np.float32)
    for day in range(infected.shape[3]):
        for p in range(plantings):
            _floor_sweep(work[p, :size], work[p, size : 2 * size])
            for level in range(2):
                own = work[p, level * size : (level + 1) * size]
                _floor_read(room, infected[p, level], member, draw, (first, day))
                _floor_read(room, reach[p, level], member, draw, (first, day))
                _floor_read(room, alive[p, level], member, draw, (first, day))
                _floor_read(room, progress[p, level], member, draw, (first, day))
                _floor_read(room, progress[p, level], member, draw, (first, day + 1))
                _floor_exponentials(room)
                for row in range(rows.FIRST_STAGE * LANES, size, LANES):
                    _floor_stage(room, own[row : row + LANES])
    state[0, 0, first] = work[0, 0]


@small_kernel
def _floor_sweep(low: Any, high: Any) -> None:
    for j in range(low.size):
        low[j] = np.float32(0.99) * (low[j] + np.float32(0.01) * high[j])
        high[j] *= np.float32(0.99)


@small_kernel
def _floor_read(room: Any, table: Any, member: Any, draw: Any, when: Any) -> None:
    first, day = when
    for j in range(LANES):
        room[j] += table[member[first + j], day, draw[first + j]]


@small_kernel
def _floor_stage(room: Any, stage: Any) -> None:
    for j in range(LANES):
        moved = room[j] * stage[j] + room[LANES + j] * room[8 * LANES + j]
        moved += room[2 * LANES + j] * room[9 * LANES + j] + room[3 * LANES + j] * room[10 * LANES + j]
        moved += room[4 * LANES + j] * room[11 * LANES + j] + room[5 * LANES + j] * room[12 * LANES + j]
        stage[j] = moved + room[6 * LANES + j] * room[13 * LANES + j] + room[7 * LANES + j] * room[14 * LANES + j]


@small_kernel
def _floor_exponentials(room: Any) -> None:
    for j in range(LANES):
        room[j] = exp_single(room[LANES + j]) + exp_single(room[2 * LANES + j]) + exp_single(room[3 * LANES + j])


def measure() -> dict[str, float]:
    """Seconds of the pass, of nights and pass together, of NumPy and of the floor, and their ratios."""
    garden = demo_garden()
    season = make_season(garden)
    versions = some_versions(season, VERSIONS)
    ours(season, versions, 7)
    floor(season, versions)
    taken = best_of(7, lambda: ours(season, versions, DAYS))
    whole = best_of(5, lambda: _with_nights(garden, season, versions))
    least = best_of(7, lambda: floor(season, versions))
    peer = SHARE_OF_DAYS * best_of(1, lambda: numpy_pass(season, versions, DAYS // SHARE_OF_DAYS))
    return {
        "pass_s": taken,
        "with_nights_s": whole,
        "numpy_s": peer,
        "floor_s": least,
        "times_numpy": peer / taken,
        "times_floor": taken / least,
    }


def _with_nights(garden: Garden, season: Season, versions: Versions) -> None:
    library.make_library(garden.leaves, garden.curves, garden.day_start)
    ours(season, versions, DAYS)


def growing() -> list[dict[str, float]]:
    """Seconds of a pass as the garden, the season and the number of versions grow."""
    garden, found = demo_garden(), []
    for plantings, days, count in ((30, 200, 1024), (15, 200, 1024), (30, 100, 1024), (30, 200, 512), (30, 200, 2048)):
        some = Garden(garden.leaves[:plantings], garden.curves[:plantings], garden.day_start)
        season = make_season(some)
        versions = some_versions(season, count)
        taken = best_of(5, lambda season=season, versions=versions, days=days: ours(season, versions, days))
        each_ns = 1e9 * taken / (plantings * days * count)
        found.append({"plantings": plantings, "days": days, "versions": count, "pass_s": taken, "each_ns": each_ns})
    return found


if __name__ == "__main__":
    print("  ".join(f"{name} {value:.4g}" for name, value in measure().items()))
    for line in growing():
        print("  ".join(f"{name} {value:.4g}" for name, value in line.items()))

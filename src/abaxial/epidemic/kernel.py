"""One garden day after another, for every version of the garden and every planting: the written order of an epidemic.

Each day: leaves unfold, sink and fall; what is in them grows older; pustules open, give spores and die away; spores of
the evening before land from the same planting, from its neighbours, from the garden's cloud and from outside; what the
night lets in becomes latent; remedies act; the rest waits on the leaf or dies.

Areas are leaf area per ground area. Spores are counted in the same unit: one is what a unit of showing leaf area gives
off in a day. LANES versions run side by side.
"""

from typing import Any, NamedTuple

import numpy as np

from abaxial.compiled import in_pieces, small_kernel
from abaxial.epidemic import landing, tissue
from abaxial.epidemic.landing import NOTHING, ONE
from abaxial.epidemic.rows import (
    ARRIVAL,
    DEAD_FALL,
    FACTOR,
    GIVING,
    GOT_IN,
    LANES,
    LATENT_OUT,
    LIVING,
    LOWER,
    ORIGINS,
    OUTS,
    PARTS,
    RATE,
    REACH,
    ROOM,
    STEPS,
    STRETCH,
    SUM,
    UPPER,
    VISIBLE_OUT,
    WAITING,
    WHOLE,
    Rows,
    Whole,
    rows_of,
)


class Drivers(NamedTuple):
    """What the days bring. p plantings, d days, m weather members, b versions of the biology, n nearest neighbours.

    infected_frac, wet_reach_h, alive_frac : (p, 2, m, d, b), progress : (p, 2, m, d + 1, b), as in infection.kernel.
    first_wet_h, spread_h : (rusts, m, b). unfolded, sinking_frac, fallen_frac : (p, d); caught_frac : (p, 2, d).
    first_leaf_day : (p,) the day on which there are leaves for the first time. own_frac, far_frac : (p,). neighbour,
    neighbour_frac : (p, n). rust, latent_stages : (p,). showing_stages : of a pustule's life. held_frac : (p, 2, d) share of infections that a remedy
    prevents. cured_frac : (p, d) share of latent tissue a remedy heals. stay_frac : share of a level's spores that fall
    on the same level. start_latent_frac : of what is rusted at the start, the latent share. memory_frac : of recent
    origins kept from one day to the next.
    """

    infected_frac: Rows
    wet_reach_h: Rows
    alive_frac: Rows
    progress: Rows
    first_wet_h: Rows
    spread_h: Rows
    unfolded: Rows
    sinking_frac: Rows
    fallen_frac: Rows
    caught_frac: Rows
    first_leaf_day: Whole
    own_frac: Rows
    far_frac: Rows
    neighbour: Whole
    neighbour_frac: Rows
    rust: Whole
    latent_stages: Whole
    showing_stages: int
    held_frac: Rows
    cured_frac: Rows
    stay_frac: float
    start_latent_frac: float
    memory_frac: float


class Versions(NamedTuple):
    """What differs between versions of the garden; v versions, a multiple of LANES; g rusts; w weeks.

    member : (v,) which weather. draw : (g, v) which biology of each rust. local_infection_per_d, arrival_per_d, latent_factor,
    giving_per_d (stages of a pustule's life a day), dead_fall_frac, burst : (g, v). burst_day : (g, v) day of the one
    great arrival. wet_stretch : (v,) how much longer wet spells are than computed. start_frac, vigour : (p, v).
    luck : (p, w, v) factor on infection by week.
    """

    member: Whole
    draw: Whole
    local_infection_per_d: Rows
    arrival_per_d: Rows
    latent_factor: Rows
    giving_per_d: Rows
    dead_fall_frac: Rows
    burst: Rows
    burst_day: Whole
    wet_stretch: Rows
    start_frac: Rows
    vigour: Rows
    luck: Rows


class Span(NamedTuple):
    """Which days are run: from first_day up to end_day. out_row : (days,) row of the record each day fills, or -1."""

    first_day: int
    end_day: int
    out_row: Whole


def run_days(state: Rows, record: Rows, drivers: Drivers, versions: Versions, span: Span) -> None:
    """Run a span of days. state : (plantings, rows, versions), changed in place. record : (rows, plantings, PARTS, OUTS,
    versions), filled where span.out_row says."""

    def some(begin: int, end: int) -> None:
        for block in range(begin, end):
            _block(state, record, drivers, versions, (span, block * LANES))

    in_pieces(some, state.shape[2] // LANES)


@small_kernel
def _block(state: Rows, record: Rows, drivers: Drivers, versions: Versions, where: Any) -> None:
    span, first = where
    end = first + LANES
    plantings, rows, _ = state.shape
    size = (rows - ORIGINS) // 2 * LANES
    showing = drivers.showing_stages
    work = np.empty((plantings, rows * LANES), np.float32)
    for p in range(plantings):
        for row in range(rows):
            work[p, row * LANES : (row + 1) * LANES] = state[p, row, first:end]
    air = np.zeros((plantings, 2 * LANES), np.float32)
    cloud = np.zeros((versions.arrival_per_d.shape[0], LANES), np.float32)
    room = np.zeros(ROOM, np.float32)
    member = versions.member[first:end]
    stay, memory = np.float32(drivers.stay_frac), np.float32(drivers.memory_frac)
    for day in range(span.first_day, span.end_day):
        cloud[:] = NOTHING
        for p in range(plantings):
            tissue.give_spores(work[p], air[p], cloud[drivers.rust[p]], (size, drivers.latent_stages[p], showing))
        for p in range(plantings):
            leaves, g, latent = work[p], drivers.rust[p], drivers.latent_stages[p]
            draw = versions.draw[g, first:end]
            unfolded, sinking = drivers.unfolded[p, day], drivers.sinking_frac[p, day]
            tissue.turn_leaves(leaves, size, unfolded, sinking, drivers.fallen_frac[p, day])
            if day == drivers.first_leaf_day[p]:
                begin = versions.start_frac[p, first:end]
                tissue.start(leaves, begin, (size, latent, showing), np.float32(drivers.start_latent_frac))
            landing.put(room[RATE : RATE + LANES], versions.local_infection_per_d[g, first:end])
            landing.times(room[RATE : RATE + LANES], versions.vigour[p, first:end])
            landing.times(room[RATE : RATE + LANES], versions.luck[p, day // 7, first:end])
            landing.put(room[ARRIVAL : ARRIVAL + LANES], versions.arrival_per_d[g, first:end])
            arrival, burst_day = room[ARRIVAL : ARRIVAL + LANES], versions.burst_day[g, first:end]
            landing.burst(arrival, versions.burst[g, first:end], burst_day, day)
            landing.put(room[FACTOR : FACTOR + LANES], versions.latent_factor[g, first:end])
            landing.put(room[GIVING : GIVING + LANES], versions.giving_per_d[g, first:end])
            landing.put(room[DEAD_FALL : DEAD_FALL + LANES], versions.dead_fall_frac[g, first:end])
            landing.put(room[STRETCH : STRETCH + LANES], versions.wet_stretch[first:end])
            landing.cloud_over(room, cloud[g], air[p], drivers.far_frac[p])
            for k in range(drivers.neighbour.shape[1]):
                q = drivers.neighbour[p, k]
                if q >= 0:
                    landing.neighbour(room, air[q], drivers.neighbour_frac[p, k] - drivers.far_frac[p])
            above = drivers.caught_frac[p, UPPER, day]
            for level in range(2):
                own, held = leaves[level * size : (level + 1) * size], drivers.caught_frac[p, level, day]
                given = air[p, level * LANES : (level + 1) * LANES]
                stray = air[p, (1 - level) * LANES : (2 - level) * LANES]
                home, open_frac = drivers.own_frac[p] * held, ONE if level == UPPER else ONE - above
                landing.land(room, own, given, stray, (home * stay, home * (ONE - stay), held * open_frac))
                landing.read_biology(room, member, draw, drivers.first_wet_h[g], drivers.spread_h[g])
                landing.read_night(room[GOT_IN : GOT_IN + LANES], member, draw, drivers.infected_frac[p, level], day)
                landing.read_night(room[REACH : REACH + LANES], member, draw, drivers.wet_reach_h[p, level], day)
                landing.read_night(room[LIVING : LIVING + LANES], member, draw, drivers.alive_frac[p, level], day)
                landing.read_night(room[STEPS : STEPS + LANES], member, draw, drivers.progress[p, level], day + 1)
                landing.read_night(room[SUM : SUM + LANES], member, draw, drivers.progress[p, level], day)
                landing.ripen(room, np.float32(latent))
                landing.stretch(room)
                tissue.age(room, own, latent, showing, drivers.cured_frac[p, day])
                tissue.infect(room, own, ONE - drivers.held_frac[p, level, day])
                tissue.origins(room, leaves[2 * size :], ONE if level else memory)
            if span.out_row[day] >= 0:
                tissue.note(record[span.out_row[day], p, :, :, first:end], leaves, (size, latent, showing))
    for p in range(plantings):
        for row in range(rows):
            state[p, row, first:end] = work[p, row * LANES : (row + 1) * LANES]


__all__ = [
    "LANES", "LATENT_OUT", "LOWER", "ORIGINS", "OUTS", "PARTS", "UPPER", "VISIBLE_OUT", "WAITING", "WHOLE",
    "Drivers", "Rows", "Span", "Versions", "Whole", "rows_of", "run_days",
]  # fmt: skip

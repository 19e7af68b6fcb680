"""One garden day after another, for every version of the garden and every planting: the written order of an epidemic.

Each day: leaves unfold, sink and fall, and some are picked or cut; what is in them grows older; pustules open, give
spores and die away; spores of the evening before land from the same planting, from its neighbours, from the garden's
cloud and from outside; what the night lets in past a remedy becomes latent; the rest waits on the leaf or dies.

Areas are leaf area per ground area. Spores are counted in the same unit: one is what a unit of showing leaf area gives
off in a day. LANES versions run side by side.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import in_pieces, small_kernel
from abaxial.epidemic.day import acts as hands
from abaxial.epidemic.day import landing, tissue
from abaxial.epidemic.day.landing import NOTHING, ONE
from abaxial.epidemic.day.rows import (
    AFTER,
    ARRIVAL,
    DEAD_FALL,
    FACTOR,
    GIVING,
    GOT_IN,
    LANES,
    LATENT_OUT,
    LITTER,
    LIVING,
    LOWER,
    NEAR,
    ORIGINS,
    OUTS,
    PARTS,
    PICKED,
    RATE,
    REACH,
    STEPS,
    STRETCH,
    SUM,
    TAKES,
    TOTALS,
    UPPER,
    VISIBLE_OUT,
    WAITING,
    WHOLE,
    Rows,
    Whole,
    level_rows,
    room_of,
    rows_of,
)


class Acts(NamedTuple):
    """How leaves come and go and what people do about rust. r rows, one for each planting or for each course of one
    planting; d days, m weather members, b versions of the biology, s other nights.

    unfolded, sinking_frac, fallen_frac : (r, d); cut_frac, caught_frac : (r, 2, d), all as in leaf_area.LeafDays. shield :
    (r, 2, m, d), cure, reach_frac : (r, d), picked_frac : (r, 2, d), left_frac : (r, d), as in simulate.Remedies.
    is_shielded : (r, d) whether there is any shield. infected_frac, wet_reach_h, alive_frac : (s, 2, m, d, b), progress :
    (s, 2, m, d + 1, b), nights in place of a planting's own. nights_of : (r,) which of them, -1 for the planting's own.
    from_day : day of the season that is the first here.
    """

    unfolded: Rows
    sinking_frac: Rows
    fallen_frac: Rows
    cut_frac: Rows
    caught_frac: Rows
    shield: Rows
    cure: Rows
    reach_frac: Rows
    picked_frac: Rows
    left_frac: Rows
    is_shielded: NDArray[np.bool_]
    infected_frac: Rows
    wet_reach_h: Rows
    alive_frac: Rows
    progress: Rows
    nights_of: Whole
    from_day: int


class Drivers(NamedTuple):
    """What the days bring. p plantings, d days, m weather members, b versions of the biology, n nearest neighbours.

    infected_frac, wet_reach_h, alive_frac : (p, 2, m, d, b), progress : (p, 2, m, d + 1, b), as in infection.kernel.
    first_wet_h, spread_h : (rusts, m, b). acts : a row for each planting. first_leaf_day : (p,) the day on which there
    are leaves for the first time. own_frac, far_frac : (p,). neighbour, neighbour_frac : (p, n). rust, latent_stages :
    (p,). showing_stages : of a pustule's life. stay_frac : share of a level's spores that fall on the same level.
    start_latent_frac : of what is rusted at the start, the latent share. memory_frac : of recent origins kept from one
    day to the next. litter_frac : the same, of what lies there giving spores.
    """

    infected_frac: Rows
    wet_reach_h: Rows
    alive_frac: Rows
    progress: Rows
    first_wet_h: Rows
    spread_h: Rows
    acts: Acts
    first_leaf_day: Whole
    own_frac: Rows
    far_frac: Rows
    neighbour: Whole
    neighbour_frac: Rows
    rust: Whole
    latent_stages: Whole
    showing_stages: int
    stay_frac: float
    start_latent_frac: float
    memory_frac: float
    litter_frac: float


class Versions(NamedTuple):
    """What differs between versions of the garden; v versions, a multiple of LANES; g rusts; w weeks.

    member : (v,) which weather. draw : (g, v) which biology of each rust. local_infection_per_d, arrival_per_d, latent_factor,
    giving_per_d (stages of a pustule's life a day), dead_fall_frac, burst : (g, v). burst_day : (g, v) day of the one
    great arrival. wet_stretch : (v,) how much longer wet spells are than computed. start_frac, vigour : (p, v).
    luck : (p, w, v) factor on infection by week. lesion_frac, clumping : (g, v) share of a leaf that one patch takes, and
    k of the negative binomial of patches per leaf. remedy_factor : (v,) how well remedies work.
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
    lesion_frac: Rows
    clumping: Rows
    remedy_factor: Rows


class Span(NamedTuple):
    """Which days are run: from first_day up to end_day. out_row : (days,) row of the record each day fills, or -1.
    planting : the one whose courses are run while all others stay as they were, or -1, where all plantings are run."""

    first_day: int
    end_day: int
    out_row: Whole
    planting: int = -1


class Outs(NamedTuple):
    """What is learned on the way. record : (rows, plantings, PARTS, OUTS, versions), filled where span.out_row says.
    near : (plantings, days, versions) spores over each planting from others with its rust; read, not filled, for courses
    of one planting. totals : (rows, TOTALS, versions) of each row of acts. Each may be empty along its first axis."""

    record: Rows
    near: Rows
    totals: Rows


def outs(record_rows: int, plantings: int, versions: int, *, near_days: int = 0, totals: int = 0) -> Outs:
    """Room for what is learned. near_days, totals : 0 where near spores, or sums over the days, are not wanted."""
    return Outs(
        np.zeros((record_rows, plantings, PARTS, OUTS, versions), np.float32),
        np.zeros((plantings if near_days else 0, near_days, versions), np.float32),
        np.zeros((totals, TOTALS, versions), np.float32),
    )


def run_days(state: Rows, outs: Outs, drivers: Drivers, versions: Versions, span: Span) -> None:
    """Run a span of days. state : (plantings, rows, versions), changed in place; for courses of one planting its own
    rows alone, as its versions' and the near spores', which stay as they are."""
    rows, blocks = drivers.acts.nights_of.size, state.shape[2] // LANES
    courses = 1 if span.planting < 0 else rows

    def some(begin: int, end: int) -> None:
        _pieces(state, outs, drivers, versions, (span, courses, begin, end))

    in_pieces(some, blocks * courses)


@small_kernel
def _pieces(state: Rows, outs: Outs, drivers: Drivers, versions: Versions, where: Any) -> None:
    span, courses, begin, end_piece = where
    alone, acts, showing = span.planting >= 0, drivers.acts, drivers.showing_stages
    many, rows, size = acts.nights_of.size // courses, state.shape[1], level_rows(state.shape[1]) * LANES
    work, air = np.empty((many, rows * LANES), np.float32), np.zeros((many, 2 * LANES), np.float32)
    cloud = np.zeros((versions.arrival_per_d.shape[0], LANES), np.float32)
    room = np.zeros(room_of(size), np.float32)
    stay, memory, fade = np.float32(drivers.stay_frac), np.float32(drivers.memory_frac), np.float32(drivers.litter_frac)
    for piece in range(begin, end_piece):
        # courses of the same versions one after the other: they read the same nights
        row, first = piece % courses * many, piece // courses * LANES
        end, end_row = first + LANES, row + many
        for r in range(row, end_row):
            for each in range(rows):
                work[r - row, each * LANES : (each + 1) * LANES] = state[0 if alone else r, each, first:end]
        member, factor = versions.member[first:end], versions.remedy_factor[first:end]
        for day in range(span.first_day, span.end_day):
            today = day - acts.from_day
            cloud[:] = NOTHING
            for r in range(row, end_row):
                p = span.planting if alone else r
                sizes = (size, drivers.latent_stages[p], showing)
                tissue.give_spores(work[r - row], air[r - row], cloud[drivers.rust[p]], sizes, fade)
            for r in range(row, end_row):
                p, mine = (span.planting, 0) if alone else (r, r)
                leaves, g, latent = work[r - row], drivers.rust[p], drivers.latent_stages[p]
                draw, litter = versions.draw[g, first:end], leaves[2 * size + LITTER * LANES :]
                unfolded, sinking = acts.unfolded[r, today], acts.sinking_frac[r, today]
                tissue.turn_leaves(leaves, size, unfolded, sinking, acts.fallen_frac[r, today])
                if day == drivers.first_leaf_day[p]:
                    begin = versions.start_frac[mine, first:end]
                    tissue.start(leaves, begin, (size, latent, showing), np.float32(drivers.start_latent_frac))
                landing.put(room[RATE : RATE + LANES], versions.local_infection_per_d[g, first:end])
                landing.times(room[RATE : RATE + LANES], versions.vigour[mine, first:end])
                landing.times(room[RATE : RATE + LANES], versions.luck[mine, day // 7, first:end])
                landing.put(room[ARRIVAL : ARRIVAL + LANES], versions.arrival_per_d[g, first:end])
                arrival, burst_day = room[ARRIVAL : ARRIVAL + LANES], versions.burst_day[g, first:end]
                landing.burst(arrival, versions.burst[g, first:end], burst_day, day)
                landing.put(room[FACTOR : FACTOR + LANES], versions.latent_factor[g, first:end])
                landing.put(room[GIVING : GIVING + LANES], versions.giving_per_d[g, first:end])
                landing.put(room[DEAD_FALL : DEAD_FALL + LANES], versions.dead_fall_frac[g, first:end])
                landing.put(room[STRETCH : STRETCH + LANES], versions.wet_stretch[first:end])
                if alone:
                    landing.put(room[NEAR : NEAR + LANES], outs.near[0, day - span.first_day, first:end])
                else:
                    landing.cloud_over(room, cloud[g], air[p], drivers.far_frac[p])
                    for k in range(drivers.neighbour.shape[1]):
                        q = drivers.neighbour[p, k]
                        if q >= 0:
                            landing.neighbour(room, air[q], drivers.neighbour_frac[p, k] - drivers.far_frac[p])
                    if outs.near.shape[0] > 0:
                        landing.put(outs.near[p, day - span.first_day, first:end], room[NEAR : NEAR + LANES])
                infected, reach = drivers.infected_frac[p], drivers.wet_reach_h[p]
                alive, progress, night = drivers.alive_frac[p], drivers.progress[p], day
                if acts.nights_of[r] >= 0:
                    other = acts.nights_of[r]
                    infected, reach = acts.infected_frac[other], acts.wet_reach_h[other]
                    alive, progress, night = acts.alive_frac[other], acts.progress[other], today
                above, cure, left = acts.caught_frac[r, UPPER, today], acts.cure[r, today], acts.left_frac[r, today]
                for level in range(2):
                    own, held = leaves[level * size : (level + 1) * size], acts.caught_frac[r, level, today]
                    picked, cut = acts.picked_frac[r, level, today], acts.cut_frac[r, level, today]
                    if picked > NOTHING:
                        leaf = versions.lesion_frac[g, first:end], versions.clumping[g, first:end]
                        hands.pick(room, own, litter, (picked, left, latent, showing), leaf)
                    if cut > NOTHING:
                        hands.cut(own, litter, (cut, left, latent, showing))
                    given = air[r - row, level * LANES : (level + 1) * LANES]
                    stray = air[r - row, (1 - level) * LANES : (2 - level) * LANES]
                    home, open_frac = drivers.own_frac[p] * held, ONE if level == UPPER else ONE - above
                    landing.land(room, own, given, stray, (home * stay, home * (ONE - stay), held * open_frac))
                    landing.read_biology(room, member, draw, drivers.first_wet_h[g], drivers.spread_h[g])
                    landing.read_night(room[GOT_IN : GOT_IN + LANES], member, draw, infected[level], night)
                    landing.read_night(room[REACH : REACH + LANES], member, draw, reach[level], night)
                    landing.read_night(room[LIVING : LIVING + LANES], member, draw, alive[level], night)
                    landing.read_night(room[STEPS : STEPS + LANES], member, draw, progress[level], night + 1)
                    landing.read_night(room[SUM : SUM + LANES], member, draw, progress[level], night)
                    landing.ripen(room, np.float32(latent))
                    landing.stretch(room)
                    if cure > NOTHING:
                        hands.heal(room, own, (cure, acts.reach_frac[r, today], latent), factor)
                    tissue.age(room, own, latent, showing)
                    landing.put(room[TAKES : TAKES + LANES], room[RATE : RATE + LANES])
                    if acts.is_shielded[r, today]:
                        landing.shield(room, member, factor, acts.shield[r, level], today)
                    tissue.infect(room, own)
                    tissue.origins(room, leaves[2 * size :], ONE if level else memory)
                if outs.totals.shape[0] > 0:
                    hands.tally(outs.totals[r, :, first:end], room, leaves, air[r - row], (size, latent, showing))
                if not alone and span.out_row[day] >= 0:
                    tissue.note(outs.record[span.out_row[day], p, :, :, first:end], leaves, (size, latent, showing))
        if not alone:
            for r in range(row, end_row):
                for each in range(rows):
                    state[r, each, first:end] = work[r - row, each * LANES : (each + 1) * LANES]


__all__ = [
    "AFTER", "LANES", "LATENT_OUT", "LITTER", "LOWER", "ORIGINS", "OUTS", "PARTS", "PICKED", "TOTALS", "UPPER",
    "VISIBLE_OUT", "WAITING", "WHOLE",
    "Acts", "Drivers", "Outs", "Rows", "Span", "Versions", "Whole", "level_rows", "outs", "rows_of", "run_days",
]  # fmt: skip

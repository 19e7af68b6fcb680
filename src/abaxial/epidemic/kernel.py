"""One garden day after another, for every version of the garden and every planting: the written order of an epidemic.

Each day: leaves unfold, sink and fall; what is in them grows older; pustules open, give spores and die away; spores of
the evening before land from the same planting, from its neighbours, from the garden's cloud and from outside; what the
night lets in becomes latent; remedies act; the rest waits on the leaf or dies.

Areas are leaf area per ground area. Spores are counted in the same unit: one is what a unit of showing leaf area gives
off in a day. LANES versions run side by side.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import exp_single, in_pieces, small_kernel

Rows = NDArray[np.float32]
Whole = NDArray[np.int64]
LANES = 64
#: rows of one level: healthy area, spores waiting on it, dead tissue, then the latent and the showing stages
HEALTHY, WAITING, DEAD, FIRST_STAGE = range(4)
LOWER, UPPER = 0, 1
#: rows after both levels: where recent infections came from (the same planting, others, outside the garden)
ORIGINS = 3
#: what is recorded of a level: share of its leaf area that is latent, and that shows or has shown
LATENT_OUT, VISIBLE_OUT, OUTS = range(3)

# the scratch room: LANES versions side by side, one row a quantity; fixed places let the compiler run several at once
(
    RATE,  # of each version: its own numbers, for the planting at hand
    ARRIVAL,
    FACTOR,
    GIVING,
    DEAD_FALL,
    STRETCH,
    NEAR,  # spores over the planting from others with its rust, per ground area
    STEPS,  # stages the latent grow older today
    LIVING,  # share of waiting spores that outlives the day
    GOT_IN,  # share that the night lets in
    REACH,
    FIRST_WET,
    SPREAD,
    FROM_OWN,  # spores landed today, by where they come from
    FROM_NEAR,
    FROM_OUTSIDE,
    AREA,  # leaf area of the level
    OPENED,  # what left the latent stages today
    SUM,
    JUMP,  # chance of 0, 1 … 7 steps
    _1, _2, _3, _4, _5, _6, _7,
    BEFORE,  # empty rows, then a copy of the chain
) = range(0, 28 * LANES, LANES)  # fmt: skip
TERMS = 8
#: a day is taken in parts in which the latent grow at most so many stages older
MOST_STEPS = 2.2
LONGEST = 400
CHAIN = BEFORE + (TERMS - 1) * LANES
ROOM = CHAIN + LONGEST * LANES
TINY, NEARLY_DRY, NOTHING = np.float32(1e-25), np.float32(1e-4), np.float32(0.0)
ONE = np.float32(1.0)


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


def rows_of(latent: int, showing: int) -> int:
    """Rows of one planting's state, for as many latent and showing stages."""
    return 2 * (FIRST_STAGE + latent + showing) + ORIGINS


def run_days(state: Rows, record: Rows, drivers: Drivers, versions: Versions, span: Span) -> None:
    """Run a span of days. state : (plantings, rows, versions), changed in place. record : (rows, plantings, 2, OUTS,
    versions), filled where span.out_row says."""

    def some(begin: int, end: int) -> None:
        _blocks(state, record, drivers, versions, (span, begin, end))

    in_pieces(some, state.shape[2] // LANES)


@small_kernel
def _blocks(state: Rows, record: Rows, drivers: Drivers, versions: Versions, where: Any) -> None:
    span, begin, end = where
    for block in range(begin, end):
        _block(state, record, drivers, versions, (span, block * LANES))


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
            _give_spores(work[p], air[p], cloud[drivers.rust[p]], (size, drivers.latent_stages[p], showing))
        for p in range(plantings):
            leaves, g, latent = work[p], drivers.rust[p], drivers.latent_stages[p]
            draw = versions.draw[g, first:end]
            _turn_leaves(
                leaves, size, drivers.unfolded[p, day], drivers.sinking_frac[p, day], drivers.fallen_frac[p, day]
            )
            if day == drivers.first_leaf_day[p]:
                start = versions.start_frac[p, first:end]
                _start(leaves, start, (size, latent, showing), np.float32(drivers.start_latent_frac))
            _put(room[RATE : RATE + LANES], versions.local_infection_per_d[g, first:end])
            _times(room[RATE : RATE + LANES], versions.vigour[p, first:end])
            _times(room[RATE : RATE + LANES], versions.luck[p, day // 7, first:end])
            _put(room[ARRIVAL : ARRIVAL + LANES], versions.arrival_per_d[g, first:end])
            _burst(room[ARRIVAL : ARRIVAL + LANES], versions.burst[g, first:end], versions.burst_day[g, first:end], day)
            _put(room[FACTOR : FACTOR + LANES], versions.latent_factor[g, first:end])
            _put(room[GIVING : GIVING + LANES], versions.giving_per_d[g, first:end])
            _put(room[DEAD_FALL : DEAD_FALL + LANES], versions.dead_fall_frac[g, first:end])
            _put(room[STRETCH : STRETCH + LANES], versions.wet_stretch[first:end])
            _cloud_over(room, cloud[g], air[p], drivers.far_frac[p])
            for k in range(drivers.neighbour.shape[1]):
                q = drivers.neighbour[p, k]
                if q >= 0:
                    _neighbour(room, air[q], drivers.neighbour_frac[p, k] - drivers.far_frac[p])
            above = drivers.caught_frac[p, UPPER, day]
            for level in range(2):
                own, held = leaves[level * size : (level + 1) * size], drivers.caught_frac[p, level, day]
                given, stray = (
                    air[p, level * LANES : (level + 1) * LANES],
                    air[p, (1 - level) * LANES : (2 - level) * LANES],
                )
                home = drivers.own_frac[p] * held
                _land(
                    room, own, given, stray, (home * stay, home * (ONE - stay), held * (ONE if level else ONE - above))
                )
                _read_biology(room, member, draw, drivers.first_wet_h[g], drivers.spread_h[g])
                _read_night(room[GOT_IN : GOT_IN + LANES], member, draw, drivers.infected_frac[p, level], day)
                _read_night(room[REACH : REACH + LANES], member, draw, drivers.wet_reach_h[p, level], day)
                _read_night(room[LIVING : LIVING + LANES], member, draw, drivers.alive_frac[p, level], day)
                _read_night(room[STEPS : STEPS + LANES], member, draw, drivers.progress[p, level], day + 1)
                _read_night(room[SUM : SUM + LANES], member, draw, drivers.progress[p, level], day)
                _ripen(room, np.float32(latent))
                _stretch(room)
                _age(room, own, latent, showing, drivers.cured_frac[p, day])
                _infect(room, own, ONE - drivers.held_frac[p, level, day])
                _origins(room, leaves[2 * size :], ONE if level else memory)
                if span.out_row[day] >= 0:
                    _note(record[span.out_row[day], p, level, :, first:end], own, latent, showing)
    for p in range(plantings):
        for row in range(rows):
            state[p, row, first:end] = work[p, row * LANES : (row + 1) * LANES]


@small_kernel
def _put(into: Rows, values: Rows) -> None:
    for j in range(LANES):
        into[j] = values[j]


@small_kernel
def _times(into: Rows, values: Rows) -> None:
    for j in range(LANES):
        into[j] *= values[j]


@small_kernel
def _burst(arrival: Rows, burst: Rows, burst_day: Whole, day: int) -> None:
    for j in range(LANES):
        arrival[j] += burst[j] if burst_day[j] == day else NOTHING


@small_kernel
def _give_spores(leaves: Rows, air: Rows, sky: Rows, sizes: Any) -> None:
    """What a planting's open pustules gave off since yesterday, by level, and added to the whole garden's."""
    size, latent, showing = sizes
    for level in range(2):
        opened = level * size + (FIRST_STAGE + latent) * LANES
        given = air[level * LANES : (level + 1) * LANES]
        for j in range(LANES):
            given[j] = NOTHING
        for stage in range(opened, opened + showing * LANES, LANES):
            pustules = leaves[stage : stage + LANES]
            for j in range(LANES):
                given[j] += pustules[j]
        for j in range(LANES):
            sky[j] += given[j]


@small_kernel
def _turn_leaves(leaves: Rows, size: int, new: float, sink: float, fall: float) -> None:
    """New leaves on top, old ones down and off, with all that is in them."""
    low, high = leaves[:size], leaves[size : 2 * size]
    if new > 0.0:
        for j in range(LANES):
            high[j] += new
    if sink == 0.0 and fall == 0.0:
        return
    stay, keep = ONE - sink, ONE - fall
    for j in range(size):
        low[j] = keep * (low[j] + sink * high[j])
        high[j] *= stay


@small_kernel
def _start(leaves: Rows, start: Rows, sizes: Any, latent_frac: float) -> None:
    """What was rusted before the record begins, spread evenly over the stages."""
    size, latent, showing = sizes
    for base in range(0, 2 * size, size):
        healthy = leaves[base : base + LANES]
        for stage in range(latent + showing):
            share = latent_frac / np.float32(latent) if stage < latent else (ONE - latent_frac) / np.float32(showing)
            row = base + (FIRST_STAGE + stage) * LANES
            tissue = leaves[row : row + LANES]
            for j in range(LANES):
                tissue[j] += share * start[j] * healthy[j]
        for j in range(LANES):
            healthy[j] *= ONE - start[j]


@small_kernel
def _cloud_over(room: Rows, sky: Rows, air: Rows, far: float) -> None:
    """Spores over a planting from all others with its rust, as if all were far."""
    for j in range(LANES):
        room[NEAR + j] = far * (sky[j] - air[j] - air[LANES + j])


@small_kernel
def _neighbour(room: Rows, air: Rows, more: float) -> None:
    """One that is near sends more than it was counted for."""
    for j in range(LANES):
        room[NEAR + j] += more * (air[j] + air[LANES + j])


@small_kernel
def _land(room: Rows, own: Rows, given: Rows, stray: Rows, shares: Any) -> None:
    """Spores that come down on a level today, by where they come from, and the level's leaf area."""
    same, other, from_sky = shares
    for j in range(LANES):
        room[AREA + j] = own[j]
    for row in range(DEAD * LANES, own.size, LANES):
        tissue = own[row : row + LANES]
        for j in range(LANES):
            room[AREA + j] += tissue[j]
    for j in range(LANES):
        room[FROM_OWN + j] = same * given[j] + other * stray[j]
    for j in range(LANES):
        room[FROM_NEAR + j] = from_sky * max(room[NEAR + j], NOTHING)
        room[FROM_OUTSIDE + j] = room[AREA + j] * room[ARRIVAL + j]


@small_kernel
def _read_biology(room: Rows, member: Whole, draw: Whole, first_wet_h: Rows, spread_h: Rows) -> None:
    for j in range(LANES):
        room[FIRST_WET + j] = first_wet_h[member[j], draw[j]]
        room[SPREAD + j] = spread_h[member[j], draw[j]]


@small_kernel
def _read_night(into: Rows, member: Whole, draw: Whole, table: Rows, day: int) -> None:
    """One number of the night for each version, from its own weather and biology."""
    for j in range(LANES):
        into[j] = table[member[j], day, draw[j]]


@small_kernel
def _ripen(room: Rows, stages: float) -> None:
    """How many stages the latent grow older: STEPS holds the progress at the day's end, SUM that at its start."""
    for j in range(LANES):
        room[STEPS + j] = stages * (room[STEPS + j] - room[SUM + j]) / room[FACTOR + j]


@small_kernel
def _stretch(room: Rows) -> None:
    """Wet spells a little longer or shorter than computed, and what they then let in."""
    wettest = NOTHING
    for j in range(LANES):
        wettest = max(wettest, room[REACH + j])
    if wettest == 0.0:
        return
    for j in range(LANES):
        start, per_spread = room[FIRST_WET + j], ONE / room[SPREAD + j]
        was = max(room[REACH + j] - start, NOTHING) * per_spread
        longer = max(room[REACH + j] * room[STRETCH + j] - start, NOTHING) * per_spread
        before, after = ONE - exp_single(-was * was), ONE - exp_single(-longer * longer)
        got = room[GOT_IN + j] * after / max(before, NEARLY_DRY) if before > NEARLY_DRY else after
        room[GOT_IN + j] = min(got, ONE)


@small_kernel
def _age(room: Rows, own: Rows, latent: int, showing: int, cured: float) -> None:
    """Latent tissue grows older and opens; pustules give, then die; dead tissue falls; remedies heal."""
    begin = FIRST_STAGE * LANES
    opened = begin + latent * LANES
    dead, chain, giving = own[DEAD * LANES : begin], own[begin:opened], own[opened : opened + showing * LANES]
    for j in range(LANES):
        dead[j] *= ONE - room[DEAD_FALL + j]
    if cured > 0.0:
        for k in range(chain.size):
            own[k % LANES] += cured * chain[k]
            chain[k] *= ONE - cured
    most = NOTHING
    for j in range(LANES):
        room[OPENED + j] = NOTHING
        most = max(most, room[STEPS + j])
    parts = int(most / MOST_STEPS) + 1
    for _ in range(parts if most > 0.0 else 0):
        _advance(room, chain, np.float32(1.0 / parts))
        for j in range(LANES):
            room[OPENED + j] += room[SUM + j]
    for j in range(LANES):
        room[STEPS + j] = room[GIVING + j]
    _advance(room, giving, ONE)
    for j in range(LANES):
        dead[j] += room[SUM + j]
        giving[j] += room[OPENED + j]


@small_kernel
def _advance(room: Rows, chain: Rows, part: float) -> None:
    """Move a chain of stages on by a Poisson number of steps with mean `part` of STEPS; what leaves it is put into SUM.

    Exact for a chain whose rate is even over the time, but that more than seven steps count as seven.
    """
    for j in range(LANES):
        room[SUM + j] = NOTHING
        steps = room[STEPS + j] * part
        none = exp_single(-steps)
        one = none * steps
        two = one * steps * np.float32(1.0 / 2.0)
        three = two * steps * np.float32(1.0 / 3.0)
        four = three * steps * np.float32(1.0 / 4.0)
        five = four * steps * np.float32(1.0 / 5.0)
        six = five * steps * np.float32(1.0 / 6.0)
        room[JUMP + j] = none
        room[_1 + j] = one
        room[_2 + j] = two
        room[_3 + j] = three
        room[_4 + j] = four
        room[_5 + j] = five
        room[_6 + j] = six
        room[_7 + j] = max(ONE - (none + one + two + three + four + five + six), NOTHING)
    room[CHAIN : CHAIN + chain.size] = chain
    for row in range(0, chain.size, LANES):
        into, before = chain[row : row + LANES], room[BEFORE + row : BEFORE + row + TERMS * LANES]
        for j in range(LANES):
            moved = (
                room[JUMP + j] * before[7 * LANES + j]
                + room[_1 + j] * before[6 * LANES + j]
                + room[_2 + j] * before[5 * LANES + j]
                + room[_3 + j] * before[4 * LANES + j]
                + room[_4 + j] * before[3 * LANES + j]
                + room[_5 + j] * before[2 * LANES + j]
                + room[_6 + j] * before[LANES + j]
                + room[_7 + j] * before[j]
            )
            # next to nothing is nothing: numbers near the smallest a computer can hold are slow
            into[j] = moved if moved > TINY else NOTHING
    for row in range(0, chain.size, LANES):
        now, was = chain[row : row + LANES], room[CHAIN + row : CHAIN + row + LANES]
        for j in range(LANES):
            room[SUM + j] += was[j] - now[j]
    for j in range(LANES):
        room[SUM + j] = max(room[SUM + j], NOTHING)


@small_kernel
def _infect(room: Rows, own: Rows, free: float) -> None:
    """The night lets in some of the spores on the leaf; the others wait or die. SUM becomes what is newly infected."""
    healthy, wait = own[:LANES], own[WAITING * LANES : (WAITING + 1) * LANES]
    born = own[FIRST_STAGE * LANES : (FIRST_STAGE + 1) * LANES]
    for j in range(LANES):
        lying = wait[j] + room[FROM_OWN + j] + room[FROM_NEAR + j] + room[FROM_OUTSIDE + j]
        inside = lying * room[GOT_IN + j]
        wait[j] = (lying - inside) * room[LIVING + j]
        room[SUM + j] = inside * free * room[RATE + j] / max(room[AREA + j], TINY)
    for j in range(LANES):
        # several spores that enter one place make one patch
        room[SUM + j] = healthy[j] * _hit_frac(room[SUM + j])
    for j in range(LANES):
        healthy[j] -= room[SUM + j]
        born[j] += room[SUM + j]


@small_kernel
def _hit_frac(hits: float) -> float:
    """Share of places hit at least once, 1 - exp(-hits), also where hits are few."""
    few = hits * (ONE - hits * (np.float32(0.5) - hits * np.float32(1.0 / 6.0)))
    return few if hits < np.float32(0.02) else ONE - exp_single(-hits)


@small_kernel
def _origins(room: Rows, origins: Rows, memory: float) -> None:
    """Where recent infections came from; what is older fades."""
    for j in range(LANES):
        share = room[SUM + j] / max(room[FROM_OWN + j] + room[FROM_NEAR + j] + room[FROM_OUTSIDE + j], TINY)
        origins[j] = memory * origins[j] + share * room[FROM_OWN + j]
        origins[LANES + j] = memory * origins[LANES + j] + share * room[FROM_NEAR + j]
        origins[2 * LANES + j] = memory * origins[2 * LANES + j] + share * room[FROM_OUTSIDE + j]


@small_kernel
def _note(record: Rows, own: Rows, latent: int, showing: int) -> None:
    """Shares of a level's leaf area that are latent, and that show or have shown."""
    opened = (FIRST_STAGE + latent) * LANES
    for j in range(LANES):
        hidden, shows = NOTHING, own[DEAD * LANES + j]
        for stage in range(FIRST_STAGE * LANES, opened, LANES):
            hidden += own[stage + j]
        for stage in range(opened, opened + showing * LANES, LANES):
            shows += own[stage + j]
        area = max(own[j] + hidden + shows, TINY)
        record[LATENT_OUT, j] = hidden / area
        record[VISIBLE_OUT, j] = shows / area

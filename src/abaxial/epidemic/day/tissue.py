"""What happens in the leaves of one planting in a day: they turn over, tissue ages, opens, gives and dies; row by row."""

from typing import Any

import numpy as np

from abaxial.compiled import exp_single, small_kernel
from abaxial.epidemic.day import landing
from abaxial.epidemic.day.landing import NOTHING, ONE, TINY
from abaxial.epidemic.day.rows import (
    AREA,
    BEFORE,
    CHAIN,
    DEAD,
    DEAD_FALL,
    FIRST_STAGE,
    FROM_NEAR,
    FROM_OUTSIDE,
    FROM_OWN,
    GIVING,
    GOT_IN,
    JUMP,
    LANES,
    LATENT_OUT,
    LITTER,
    LIVING,
    LOWER,
    MOST_STEPS,
    OPENED,
    STEPS,
    SUM,
    TAKES,
    VISIBLE_OUT,
    WAITING,
    WHOLE,
    Rows,
    _1,
    _2,
    _3,
    _4,
    _5,
    _6,
    _7,
)


@small_kernel
def give_spores(leaves: Rows, air: Rows, sky: Rows, sizes: Any, fade: Any) -> None:
    """What a planting's open pustules gave off since yesterday, by level, and added to the whole garden's.

    What lies below it gives among the low leaves, and fades.
    """
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
        if level == LOWER:
            _from_below(given, leaves[2 * size + LITTER * LANES :], fade)
        for j in range(LANES):
            sky[j] += given[j]


@small_kernel
def _from_below(given: Rows, litter: Rows, fade: Any) -> None:
    if not landing.any_above_nothing(litter):
        return
    for j in range(LANES):
        given[j] += litter[j]
        left = litter[j] * fade
        litter[j] = left if left > TINY else NOTHING


@small_kernel
def turn_leaves(leaves: Rows, size: int, new: float, sink: float, fall: float) -> None:
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
def start(leaves: Rows, rusted: Rows, sizes: Any, latent_frac: Any) -> None:
    """What was rusted before the record begins, spread evenly over the stages."""
    size, latent, showing = sizes
    for base in range(0, 2 * size, size):
        healthy = leaves[base : base + LANES]
        for stage in range(latent + showing):
            share = latent_frac / np.float32(latent) if stage < latent else (ONE - latent_frac) / np.float32(showing)
            row = base + (FIRST_STAGE + stage) * LANES
            tissue = leaves[row : row + LANES]
            for j in range(LANES):
                tissue[j] += share * rusted[j] * healthy[j]
        for j in range(LANES):
            healthy[j] *= ONE - rusted[j]


@small_kernel
def age(room: Rows, own: Rows, latent: int, showing: int) -> None:
    """Latent tissue grows older and opens; pustules give, then die; dead tissue falls."""
    begin = FIRST_STAGE * LANES
    opened = begin + latent * LANES
    dead, chain, giving = own[DEAD * LANES : begin], own[begin:opened], own[opened : opened + showing * LANES]
    for j in range(LANES):
        dead[j] *= ONE - room[DEAD_FALL + j]
    _advance(room, chain)
    for j in range(LANES):
        room[OPENED + j] = room[SUM + j]
        room[STEPS + j] = room[GIVING + j]
    _advance(room, giving)
    for j in range(LANES):
        dead[j] += room[SUM + j]
        giving[j] += room[OPENED + j]


@small_kernel
def _advance(room: Rows, chain: Rows) -> None:
    """Move a chain of stages on by a Poisson number of steps with mean STEPS; what leaves it is put into SUM.

    Exact for a chain whose rate is even over the time, but that more than seven steps of one part count as seven.
    """
    for j in range(LANES):
        room[SUM + j] = NOTHING
    if not landing.any_above_nothing(room[STEPS : STEPS + LANES]):
        return
    copy = room[CHAIN : CHAIN + chain.size]
    for k in range(chain.size):
        copy[k] = chain[k]
    while landing.any_above_nothing(room[STEPS : STEPS + LANES]):
        _jump(room)
        # upwards from below every stage would be overwritten before it is read
        for row in range((chain.size - LANES) // (2 * LANES) * (2 * LANES), -1, -2 * LANES):
            _two_stages(room, room[BEFORE + row : BEFORE + row + 9 * LANES])
    for row in range(0, chain.size, LANES):
        now, was = room[CHAIN + row : CHAIN + row + LANES], chain[row : row + LANES]
        for j in range(LANES):
            # next to nothing is nothing
            kept = now[j] if now[j] > TINY else NOTHING
            room[SUM + j] += was[j] - kept
            was[j] = kept
    for j in range(LANES):
        room[SUM + j] = max(room[SUM + j], NOTHING)


@small_kernel
def _jump(room: Rows) -> None:
    """Chances of 0, 1 … 7 steps in the next part of the day; what is left of it stays in STEPS."""
    for j in range(LANES):
        steps = min(room[STEPS + j], MOST_STEPS)
        room[STEPS + j] -= steps
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


@small_kernel
def _two_stages(room: Rows, old: Rows) -> None:
    """Two stages that follow each other, from the seven before them: two at once need half as much reading."""
    for j in range(LANES):
        above = room[JUMP + j] * old[8 * LANES + j] + room[_1 + j] * old[7 * LANES + j]
        below = room[JUMP + j] * old[7 * LANES + j] + room[_1 + j] * old[6 * LANES + j]
        above += room[_2 + j] * old[6 * LANES + j] + room[_3 + j] * old[5 * LANES + j]
        below += room[_2 + j] * old[5 * LANES + j] + room[_3 + j] * old[4 * LANES + j]
        above += room[_4 + j] * old[4 * LANES + j] + room[_5 + j] * old[3 * LANES + j]
        below += room[_4 + j] * old[3 * LANES + j] + room[_5 + j] * old[2 * LANES + j]
        above += room[_6 + j] * old[2 * LANES + j] + room[_7 + j] * old[LANES + j]
        below += room[_6 + j] * old[LANES + j] + room[_7 + j] * old[j]
        old[8 * LANES + j], old[7 * LANES + j] = above, below


@small_kernel
def infect(room: Rows, own: Rows) -> None:
    """The night lets in some of the spores on the leaf; the others wait or die. SUM becomes what is newly infected."""
    healthy, wait = own[:LANES], own[WAITING * LANES : (WAITING + 1) * LANES]
    born = own[FIRST_STAGE * LANES : (FIRST_STAGE + 1) * LANES]
    for j in range(LANES):
        lying = wait[j] + room[FROM_OWN + j] + room[FROM_NEAR + j] + room[FROM_OUTSIDE + j]
        inside = lying * room[GOT_IN + j]
        wait[j] = (lying - inside) * room[LIVING + j]
        room[SUM + j] = inside * room[TAKES + j] / max(room[AREA + j], TINY)
    for j in range(LANES):
        # several spores that enter one place make one patch
        room[SUM + j] = healthy[j] * _hit_frac(room[SUM + j])
    for j in range(LANES):
        healthy[j] -= room[SUM + j]
        born[j] += room[SUM + j]


@small_kernel
def _hit_frac(hits: Any) -> Any:
    """Share of places hit at least once, 1 - exp(-hits), also where hits are few."""
    few = hits * (ONE - hits * (np.float32(0.5) - hits * np.float32(1.0 / 6.0)))
    return few if hits < np.float32(0.02) else ONE - exp_single(-hits)


@small_kernel
def origins(room: Rows, origins: Rows, memory: Any) -> None:
    """Where recent infections came from; what is older fades."""
    for j in range(LANES):
        share = room[SUM + j] / max(room[FROM_OWN + j] + room[FROM_NEAR + j] + room[FROM_OUTSIDE + j], TINY)
        origins[j] = memory * origins[j] + share * room[FROM_OWN + j]
        origins[LANES + j] = memory * origins[LANES + j] + share * room[FROM_NEAR + j]
        origins[2 * LANES + j] = memory * origins[2 * LANES + j] + share * room[FROM_OUTSIDE + j]


@small_kernel
def note(record: Rows, leaves: Rows, sizes: Any) -> None:
    """Shares of leaf area that are latent, and that show or have shown: of both levels, and of all leaves together."""
    size, latent, showing = sizes
    opened = (FIRST_STAGE + latent) * LANES
    for j in range(LANES):
        all_hidden, all_shows, all_area = NOTHING, NOTHING, NOTHING
        for level in range(2):
            base = level * size + j
            hidden, shows = NOTHING, leaves[base + DEAD * LANES]
            for stage in range(FIRST_STAGE * LANES, opened, LANES):
                hidden += leaves[base + stage]
            for stage in range(opened, opened + showing * LANES, LANES):
                shows += leaves[base + stage]
            area = leaves[base] + hidden + shows
            record[level, LATENT_OUT, j] = hidden / max(area, TINY)
            record[level, VISIBLE_OUT, j] = shows / max(area, TINY)
            all_hidden, all_shows, all_area = all_hidden + hidden, all_shows + shows, all_area + area
        record[WHOLE, LATENT_OUT, j] = all_hidden / max(all_area, TINY)
        record[WHOLE, VISIBLE_OUT, j] = all_shows / max(all_area, TINY)

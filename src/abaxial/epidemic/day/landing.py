"""What one night brings a level of a planting: spores from near and far, its wetness, its warmth; row by row."""

from typing import Any

import numpy as np

from abaxial.compiled import exp_single, small_kernel
from abaxial.epidemic.day.rows import (
    AREA,
    ARRIVAL,
    DEAD,
    FACTOR,
    FIRST_WET,
    FROM_NEAR,
    FROM_OUTSIDE,
    FROM_OWN,
    GOT_IN,
    LANES,
    NEAR,
    PICKED,
    RATE,
    REACH,
    SPREAD,
    STEPS,
    STRETCH,
    SUM,
    TAKES,
    Rows,
    Whole,
)

NOTHING, ONE, NEARLY_DRY = np.float32(0.0), np.float32(1.0), np.float32(1e-4)
#: next to nothing: numbers near the smallest a computer can hold are slow
TINY = np.float32(1e-25)


@small_kernel
def put(into: Rows, values: Rows) -> None:
    """Each version's own number."""
    for j in range(LANES):
        into[j] = values[j]


@small_kernel
def times(into: Rows, values: Rows) -> None:
    """The same, multiplied."""
    for j in range(LANES):
        into[j] *= values[j]


@small_kernel
def any_above_nothing(values: Rows) -> bool:
    """Whether any version has some of it."""
    found = 0
    for j in range(LANES):
        found |= values[j] > NOTHING
    return found > 0


@small_kernel
def burst(arrival: Rows, burst: Rows, burst_day: Whole, day: int) -> None:
    """The one great arrival, on its day."""
    for j in range(LANES):
        arrival[j] += burst[j] if burst_day[j] == day else NOTHING


@small_kernel
def cloud_over(room: Rows, sky: Rows, air: Rows, far: float) -> None:
    """Spores over a planting from all others with its rust, as if all were far."""
    for j in range(LANES):
        room[NEAR + j] = far * (sky[j] - air[j] - air[LANES + j])


@small_kernel
def neighbour(room: Rows, air: Rows, more: float) -> None:
    """One that is near sends more than it was counted for."""
    for j in range(LANES):
        room[NEAR + j] += more * (air[j] + air[LANES + j])


@small_kernel
def land(room: Rows, own: Rows, given: Rows, stray: Rows, shares: Any) -> None:
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
    gone = own[PICKED * LANES : (PICKED + 1) * LANES]
    if any_above_nothing(gone):
        for j in range(LANES):
            # where leaves were picked there are fewer to hold what comes
            hangs = room[AREA + j] / max(room[AREA + j] + gone[j], TINY) if gone[j] > NOTHING else ONE
            room[FROM_OWN + j] *= hangs
            room[FROM_NEAR + j] *= hangs


@small_kernel
def shield(room: Rows, member: Whole, factor: Rows, table: Rows, day: int) -> None:
    """Of what gets into the leaf, what the residue on it lets live. table : (members, days)."""
    for j in range(LANES):
        room[TAKES + j] = room[RATE + j] * exp_single(-factor[j] * table[member[j], day])


@small_kernel
def read_biology(room: Rows, member: Whole, draw: Whole, first_wet_h: Rows, spread_h: Rows) -> None:
    """What each version's rust needs of water."""
    for j in range(LANES):
        room[FIRST_WET + j] = first_wet_h[member[j], draw[j]]
        room[SPREAD + j] = spread_h[member[j], draw[j]]


@small_kernel
def read_night(into: Rows, member: Whole, draw: Whole, table: Rows, day: int) -> None:
    """One number of the night for each version, from its own weather and biology."""
    for j in range(LANES):
        into[j] = table[member[j], day, draw[j]]


@small_kernel
def ripen(room: Rows, stages: Any) -> None:
    """How many stages the latent grow older: STEPS holds the progress at the day's end, SUM that at its start."""
    for j in range(LANES):
        room[STEPS + j] = stages * (room[STEPS + j] - room[SUM + j]) / room[FACTOR + j]


@small_kernel
def stretch(room: Rows) -> None:
    """Wet spells a little longer or shorter than computed, and what they then let in."""
    if not any_above_nothing(room[REACH : REACH + LANES]):
        for j in range(LANES):
            room[GOT_IN + j] = NOTHING
        return
    for j in range(LANES):
        start, per_spread = room[FIRST_WET + j], ONE / room[SPREAD + j]
        was = max(room[REACH + j] - start, NOTHING) * per_spread
        longer = max(room[REACH + j] * room[STRETCH + j] - start, NOTHING) * per_spread
        before, after = ONE - exp_single(-was * was), ONE - exp_single(-longer * longer)
        got = room[GOT_IN + j] * after / max(before, NEARLY_DRY) if before > NEARLY_DRY else after
        room[GOT_IN + j] = min(got, ONE)

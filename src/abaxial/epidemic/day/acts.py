"""What people do to the leaves of a planting in a day: rusted leaves picked, leaves cut, latent patches healed."""

from typing import Any

import numpy as np

from abaxial.compiled import exp, exp_single, log, small_kernel
from abaxial.epidemic.day.landing import NOTHING, ONE, TINY
from abaxial.epidemic.day.rows import (
    AREA,
    DEAD,
    FIRST_STAGE,
    GIVEN_SUM,
    HEALTHY_SUM,
    LANES,
    LATENT_END,
    PICKED,
    RUSTED_END,
    RUSTED_SUM,
    RUSTED_WORST,
    SHOWS,
    SUM,
    WAITING,
    Rows,
)

# patches clumped less than this lie as good as at random
_AT_RANDOM = 1e6


@small_kernel
def pick(room: Rows, own: Rows, litter: Rows, how: Any, leaf: Any) -> None:
    """Of the leaves of a level that show rust, those that are found go, with all that is in them.

    how : share found, share left lying, latent and showing stages. leaf : share of a leaf that one patch takes, and
    clumping of patches, each (LANES,). Leaves are of one size and hold latent tissue alike.
    """
    found, left, latent, showing = how
    opened = (FIRST_STAGE + latent) * LANES
    _look(room, own, opened, showing)
    lesion, clumping = leaf
    _share_of_leaves(room, lesion, clumping)
    for j in range(LANES):
        shows, bears = room[SHOWS + j] / max(room[AREA + j], TINY), room[SUM + j]
        # what does not show on the leaves that do
        other = found * (bears - shows) / max(ONE - shows, TINY)
        own[j + WAITING * LANES] *= ONE - found * bears
        own[j + PICKED * LANES] += found * room[SHOWS + j] + other * (room[AREA + j] - room[SHOWS + j])
        room[SUM + j] = ONE - other
    for j in range(LANES):
        own[j] *= room[SUM + j]
        own[j + DEAD * LANES] *= ONE - found
    for stage in range(FIRST_STAGE * LANES, opened, LANES):
        for j in range(LANES):
            own[stage + j] *= room[SUM + j]
    for stage in range(opened, opened + showing * LANES, LANES):
        for j in range(LANES):
            litter[j] += left * found * own[stage + j]
            own[stage + j] *= ONE - found


@small_kernel
def cut(own: Rows, litter: Rows, how: Any) -> None:
    """A share of a level's leaves goes, whatever is in them. how : share cut, share left lying, latent and showing
    stages."""
    off, left, latent, showing = how
    opened = (FIRST_STAGE + latent) * LANES
    for stage in range(opened, opened + showing * LANES, LANES):
        for j in range(LANES):
            litter[j] += left * off * own[stage + j]
    for k in range(own.size):
        own[k] *= ONE - off


@small_kernel
def heal(room: Rows, own: Rows, how: Any, factor: Rows) -> None:
    """Latent tissue that has not come far becomes healthy. how : cure, how far along its way it reaches [0 to 1], latent
    stages."""
    cure, reach, latent = how
    for j in range(LANES):
        room[SUM + j] = ONE - exp_single(-factor[j] * cure)
    for stage in range(latent):
        within = min(reach * np.float32(latent) - np.float32(stage), ONE)
        if within <= NOTHING:
            return
        tissue = own[(FIRST_STAGE + stage) * LANES : (FIRST_STAGE + stage + 1) * LANES]
        for j in range(LANES):
            healed = within * room[SUM + j] * tissue[j]
            own[j] += healed
            tissue[j] -= healed


@small_kernel
def tally(totals: Rows, room: Rows, leaves: Rows, air: Rows, sizes: Any) -> None:
    """Leaf area healthy and rusted, and spores given, added to those of the days before. totals : (TOTALS, LANES)."""
    size, latent, showing = sizes
    opened = (FIRST_STAGE + latent) * LANES
    low, high = leaves[:size], leaves[size : 2 * size]
    _look(room, low, opened, showing)
    for j in range(LANES):
        totals[RUSTED_END, j], totals[LATENT_END, j] = room[SHOWS + j], room[SUM + j]
    _look(room, high, opened, showing)
    for j in range(LANES):
        healthy = low[j] + high[j]
        shows, latent_area = totals[RUSTED_END, j] + room[SHOWS + j], totals[LATENT_END, j] + room[SUM + j]
        area = max(healthy + shows + latent_area, TINY)
        totals[HEALTHY_SUM, j] += healthy
        totals[RUSTED_SUM, j] += shows
        totals[GIVEN_SUM, j] += air[j] + air[LANES + j]
        totals[RUSTED_END, j] = shows / area
        totals[LATENT_END, j] = latent_area / area
        totals[RUSTED_WORST, j] = max(totals[RUSTED_WORST, j], shows / area)


@small_kernel
def _look(room: Rows, own: Rows, opened: int, showing: int) -> None:
    """Leaf area of a level, how much of it shows or has shown, and, in SUM, how much is latent."""
    for j in range(LANES):
        room[SHOWS + j] = own[DEAD * LANES + j]
        room[SUM + j] = NOTHING
    for stage in range(opened, opened + showing * LANES, LANES):
        for j in range(LANES):
            room[SHOWS + j] += own[stage + j]
    for stage in range(FIRST_STAGE * LANES, opened, LANES):
        for j in range(LANES):
            room[SUM + j] += own[stage + j]
    for j in range(LANES):
        room[AREA + j] = own[j] + room[SUM + j] + room[SHOWS + j]


@small_kernel
def _share_of_leaves(room: Rows, lesion: Rows, clumping: Rows) -> None:
    """SUM becomes the share of leaves that show rust, at least the share of their area that does.

    Source: madden2007, patches per leaf m as a negative binomial: 1 − (1 + m/k)^−k.
    """
    for j in range(LANES):
        shows = room[SHOWS + j] / max(room[AREA + j], TINY)
        k = min(np.float64(clumping[j]), _AT_RANDOM)
        patches = np.float64(shows) / max(np.float64(lesion[j]), 1e-12)
        bears = 1.0 - exp(-k * log(1.0 + patches / k))
        room[SUM + j] = max(np.float32(bears), shows)

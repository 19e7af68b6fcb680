"""Where each quantity of an epidemic lies: rows of a planting's state, and rows of the room in which a day is worked out.

LANES versions run side by side, one row a quantity; fixed places let the compiler run several at once.
"""

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import formula

Rows = NDArray[np.float32]
Whole = NDArray[np.int64]
LANES = 64
#: rows of one level: healthy area, spores waiting on it, area that would hang there had nobody picked it, dead tissue,
#: then the latent and the showing stages
HEALTHY, WAITING, PICKED, DEAD, FIRST_STAGE = range(5)
LOWER, UPPER = 0, 1
#: rows after both levels: where recent infections came from (the same planting, others, outside the garden), and the
#: showing tissue that was taken off and left lying
ORIGINS = LITTER = 3
AFTER = ORIGINS + 1
#: what is recorded of: the two levels, and all leaves together
WHOLE, PARTS = 2, 3
#: what is recorded of each: share of its leaf area that is latent, and that shows or has shown
LATENT_OUT, VISIBLE_OUT, OUTS = range(3)
#: what is added up over a span of days for each planting or course
HEALTHY_SUM, RUSTED_SUM, GIVEN_SUM, RUSTED_END, LATENT_END, RUSTED_WORST, TOTALS = range(7)

# the room: one planting, one level, one day
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
    TAKES,  # patches that one spore inside makes today
    SUM,
    SHOWS,
    JUMP,  # chance of 0, 1 … 7 steps
    _1, _2, _3, _4, _5, _6, _7,
    BEFORE,  # empty rows, then a copy of the chain with a row to spare
) = range(0, 30 * LANES, LANES)  # fmt: skip
#: a day is taken in parts in which the latent grow at most so many stages older
MOST_STEPS = np.float32(2.2)
CHAIN = BEFORE + 7 * LANES


def rows_of(latent: int, showing: int) -> int:
    """Rows of one planting's state, for as many latent and showing stages."""
    return 2 * (FIRST_STAGE + latent + showing) + AFTER


@formula
def room_of(size: int) -> int:
    """How much room a day's working takes. size : of one level."""
    return CHAIN + size


@formula
def level_rows(rows: int) -> int:
    """Rows of one level, of all rows of a planting's state."""
    return (rows - AFTER) // 2

"""Counts as they come from a walk: how many were rusted in each clump, of how many, and how often that was found."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Tally(NamedTuple):
    """found : rusted in each kind of unit. turned : looked at there; empty for counts without a limit. times : how many
    units were like that. Each (kinds,)."""

    found: Ints
    turned: Ints
    times: Floats


def counted(found: ArrayLike, times: ArrayLike | None) -> Tally:
    """Counts without a limit: pustules on a leaf, plants in a square. Raises ScoutingError where they are none."""
    each = _whole(found, "count")
    often = np.ones(each.size, dtype=np.int64) if times is None else _whole(times, "number of units")
    if each.shape != often.shape or int(often.sum()) < 2:
        raise ScoutingError(
            f"There are {each.size} counts for {int(often.sum())} units; two units or more are needed, each with a count.",
            remedy="Give one count for each unit, or say how often each count was found.",
        )
    return Tally(each, np.empty(0, dtype=np.int64), often.astype(float))


def counted_of(found: ArrayLike, turned: ArrayLike, times: ArrayLike | None) -> Tally:
    """Counts out of a number that was looked at. Raises ScoutingError where they cannot be such."""
    each, _, often = counted(found, times)
    of = np.broadcast_to(_whole(turned, "number looked at"), each.shape)
    if (of < 1).any() or (each > of).any():
        worst = int(np.argmax(each - of))
        raise ScoutingError(
            f"{each[worst]} were found rusted of {of[worst]} looked at.", remedy="Perhaps the two are exchanged."
        )
    return Tally(each, of, often)


def rusted_frac(tally: Tally) -> float:
    """Share rusted over all units, between 0 and 1 and neither. Raises ScoutingError where none or all were rusted."""
    share = float(tally.times @ tally.found) / float(tally.times @ tally.turned)
    if not 0.0 < share < 1.0 or int(tally.turned.max()) < 2:
        what = "none was rusted" if share == 0.0 else "all were rusted" if share == 1.0 else "one was looked at in each"
        raise ScoutingError(
            f"Clumping cannot be told where {what}.", remedy="Look at several in each unit, some of them rusted."
        )
    return share


def normal_tail_frac(score: float) -> float:
    """Chance that a standard normal number is greater [0 to 1]."""
    return 0.5 * math.erfc(score / math.sqrt(2.0))


def _whole(numbers: ArrayLike, what: str) -> Ints:
    raw = np.atleast_1d(np.asarray(numbers, float))
    if raw.ndim != 1 or not np.isfinite(raw).all() or (raw < 0.0).any() or (raw != np.round(raw)).any():
        raise ScoutingError(f"A {what} is not a whole number, 0 or more.", remedy="Leave out what was not counted.")
    return raw.astype(np.int64)

"""Which nights let in what is hidden today, read off the record of an estimate."""

from typing import NamedTuple

import numpy as np

from abaxial.assimilation.estimate import Posterior, shares_of
from abaxial.assimilation.outcome.shares import NEXT_TO_NOTHING_FRAC

# a night that let in less than a fifth of what is hidden is not worth naming
_WORTH_NAMING_FRAC = 0.2


class CameIn(NamedTuple):
    """What came in on a night. day : garden day. share_frac : of what is hidden now."""

    day: int
    share_frac: float


def came_in(posterior: Posterior, planting: int, now: int) -> tuple[CameIn, ...]:
    """The nights that let in much of what is hidden in a planting at the end of a day, the greatest first.

    What a night let in is by how much the rusted share of leaf area, hidden and showing, grew over its day. What came in
    first shows first: so what is hidden is what came in last, back to as much as is hidden. New leaves make both shares
    a little smaller from day to day, and what came in then counts for a little less.
    """
    latent, showing = shares_of(posterior, planting)
    last = now - posterior.first_day
    if last < 1:
        return ()
    grown = np.maximum(np.diff((latent + showing)[: last + 1], axis=0), 0.0)
    later = grown[::-1].cumsum(axis=0)[::-1] - grown
    hidden_still = np.minimum(np.maximum(latent[last] - later, 0.0), grown).sum(axis=1)
    hidden = latent[last].sum()
    if hidden < NEXT_TO_NOTHING_FRAC * latent.shape[1]:
        return ()
    shares = hidden_still / hidden
    order = np.argsort(-shares, kind="stable")
    return tuple(
        CameIn(posterior.first_day + 1 + int(place), float(shares[place]))
        for place in order
        if shares[place] >= _WORTH_NAMING_FRAC
    )

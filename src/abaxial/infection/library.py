"""The nights of every planting in one piece, as the epidemic reads them."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import FaultError
from abaxial.infection.curves import Curves
from abaxial.infection.kernel import LeafHours, Nights, empty_nights, infect_into


def make_library(leaves: Sequence[LeafHours], curves: Sequence[Curves], day_start: NDArray[np.int64]) -> Nights:
    """The nights of many plantings in one piece, (plantings, levels, members, days, draws).

    leaves, curves : one each per planting, all with the same hours, levels, members and draws. day_start : as in
    infect. Raises FaultError where the plantings are not alike, or there is none.
    """
    sizes = {(*hours.wet_frac.shape, each.first_wet_h.shape[1]) for hours, each in zip(leaves, curves, strict=True)}
    if len(sizes) != 1:
        raise FaultError(f"A library is made of plantings alike in hours, levels, members and draws, not of {sizes}.")
    _, levels, members, draws = sizes.pop()
    library = empty_nights((len(leaves), levels, members), len(day_start) - 1, draws)
    for place, (hours, each) in enumerate(zip(leaves, curves, strict=True)):
        infect_into(Nights(*(part[place] for part in library)), hours, each, day_start)
    return library

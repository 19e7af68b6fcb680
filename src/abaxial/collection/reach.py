"""How likely a division stays clean where it is planted: its mother may be rusted, and spores come by air."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.epidemic.dispersal import deposit_per_m2
from abaxial.errors import RequestError

Floats = NDArray[np.float64]


class Sources(NamedTuple):
    """Plantings that give spores off until the season's end.

    east_m, north_m : (sources,) of their middles [m]. radius_m : (sources,) of their ground, taken as a circle [m].
    given : (versions, sources) spores given off in all, in the epidemic's unit.
    """

    east_m: Floats
    north_m: Floats
    radius_m: Floats
    given: Floats


class Spot(NamedTuple):
    """Where divisions may stand. east_m, north_m : (places,) [m]. catch_m2 : (versions,) infections that come of one
    spore on a square metre, over all leaves of a division until the season's end [m²]."""

    east_m: Floats
    north_m: Floats
    catch_m2: Floats


def landing_per_m2(sources: Sources, spot: Spot, exponent: float, offset_m: float) -> Floats:
    """Spores that come down on a square metre of each place, (versions, places) [1/m²].

    exponent, offset_m : of the rust's gradient, as in epidemic.dispersal. A source is never nearer than half its radius.
    """
    apart = np.hypot(spot.east_m[:, None] - sources.east_m, spot.north_m[:, None] - sources.north_m)
    share = deposit_per_m2(np.maximum(apart, 0.5 * sources.radius_m), exponent, offset_m)
    return np.asarray(sources.given @ np.asarray(share).T)


def stays_clean_frac(
    mother_clean_frac: Floats, sources: Sources, spot: Spot, *, exponent: float, offset_m: float
) -> Floats:
    """Chance in each version that a division at each place is clean at the season's end, (versions, places).

    mother_clean_frac : (versions,) chance that what was divided was clean, 0 to 1. The further from rusted plantings, the
    likelier. Infections are few and independent, so none comes with a chance of exp(−their number).
    """
    if np.any(spot.catch_m2 < 0.0) or np.any(sources.given < 0.0):
        raise RequestError("Fewer spores than none cannot be caught.", remedy="Give 0 or more.")
    expected = landing_per_m2(sources, spot, exponent, offset_m) * spot.catch_m2[:, None]
    return np.asarray(mother_clean_frac[:, None] * np.exp(-expected))

"""How likely a division is clean where it stands: its mother may be rusted, and spores come by air."""

from collections.abc import Sequence
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


class Taker(NamedTuple):
    """A planting that spores come over. east_m, north_m : of its middle [m]. patches : (versions,) on it of late that came from
    all the other plantings. mother_clean_frac : (versions,), or one number, chance that what it was taken from was clean."""

    east_m: float
    north_m: float
    patches: Floats
    mother_clean_frac: Floats | float


class Caught(NamedTuple):
    """What a planting has from one other. share_frac : (versions,) of the spores that came over it from all others, those
    from this one. clean_frac : (versions,) chance that none of it took, and that none came along from its mother."""

    share_frac: Floats
    clean_frac: Floats


def sources_of(places: Sequence[tuple[float, float, float]], given: Sequence[Floats]) -> Sources:
    """Plantings as sources. places : east [m], north [m] and ground [m²] of each. given : by each for a square metre of its ground,
    (versions,)."""
    east_m, north_m, area_m2 = (np.array(each, float) for each in zip(*places, strict=True))
    whole = np.stack([area * np.asarray(each, float) for area, each in zip(area_m2, given, strict=True)], axis=1)
    return Sources(east_m, north_m, np.sqrt(area_m2 / np.pi), whole)


def caught(traced: int, sources: Sources, taker: Taker, *, exponent: float, offset_m: float) -> Caught:
    """What a planting has caught from one of the others.

    traced : which of the sources, from 0. sources : all the others with the same rust, over the days in question. The patches
    that came from elsewhere are shared out by the spores that each of the others sent. exponent, offset_m : as in
    landing_per_m2.
    """
    one = slice(traced, traced + 1)
    alone = Sources(sources.east_m[one], sources.north_m[one], sources.radius_m[one], sources.given[:, one])
    spot = Spot(np.array([taker.east_m]), np.array([taker.north_m]), np.zeros(len(taker.patches)))
    came, came_alone = (landing_per_m2(each, spot, exponent, offset_m)[:, 0] for each in (sources, alone))
    some = came > 0.0
    over = np.where(some, came, 1.0)
    takes = spot._replace(catch_m2=np.where(some, taker.patches / over, 0.0))
    mother = np.broadcast_to(taker.mother_clean_frac, taker.patches.shape)
    clean = stays_clean_frac(mother, alone, takes, exponent=exponent, offset_m=offset_m)
    return Caught(np.where(some, came_alone / over, 0.0), clean[:, 0])


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

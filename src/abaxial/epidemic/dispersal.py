"""Where a planting's spores come down: most close by, some far, a few beyond the garden.

The deposit falls off with distance as a power of it, so that there is always a tail. Integrated over the plane it is
one: what does not come down in the garden leaves it.
"""

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.compiled import formula

Floats = NDArray[np.float64]


class Ground(NamedTuple):
    """Where plantings stand. east_m, north_m : of the middle [m]. area_m2 : ground under each [m²], 0 or more. rust :
    number of the rust each can have, from 0. Each (plantings,)."""

    east_m: Floats
    north_m: Floats
    area_m2: Floats
    rust: NDArray[np.int64]


class Spread(NamedTuple):
    """Shares by which spores come down on each planting, per spore released per ground area.

    own_frac : (plantings,) on its own planting. neighbour : (plantings, nearest) numbers of the nearest plantings with
    the same rust, -1 where there are fewer. neighbour_frac : the share of each. far_frac : (plantings,) of each of the
    others. rust : (plantings,) number of its rust.
    """

    own_frac: Floats
    neighbour: NDArray[np.int64]
    neighbour_frac: Floats
    far_frac: Floats
    rust: NDArray[np.int64]


def ground_of(plantings: Sequence[tuple[float, float, float, int]]) -> Ground:
    """The ground of plantings given one by one: east [m], north [m], area [m²] and number of the rust."""
    east_m, north_m, area_m2, rust = (np.array(each) for each in zip(*plantings, strict=True))
    return Ground(east_m.astype(float), north_m.astype(float), area_m2.astype(float), rust.astype(np.int64))


@formula
def deposit_per_m2(distance_m: Any, exponent: Any, offset_m: Any) -> Any:
    """Share of a point's spores that comes down on a square metre at a distance [1/m²].

    distance_m : any shape [m], 0 or more. exponent : above 2. offset_m : above 0 [m]. The modified power law of
    sackett2005, made to integrate to one over the plane (derived).
    """
    scale = (exponent - 1.0) * (exponent - 2.0) / (2.0 * np.pi * offset_m**2)
    return scale * (1.0 + distance_m / offset_m) ** -exponent


@formula
def within_frac(radius_m: Any, exponent: Any, offset_m: Any) -> Any:
    """Share of a point's spores that comes down within a distance of it [0 to 1]; arguments as in deposit_per_m2."""
    u = 1.0 + radius_m / offset_m
    return 1.0 - (exponent - 1.0) * u ** (2.0 - exponent) + (exponent - 2.0) * u ** (1.0 - exponent)


def spread_of(
    ground: Ground,
    exponent: ArrayLike,
    offset_m: ArrayLike,
    *,
    wind: tuple[float, float] = (0.0, 0.0),
    nearest: int = 6,
) -> Spread:
    """The shares of a garden's plantings.

    exponent, offset_m : (plantings,) of each one's rust. wind : direction it comes from [degrees from north], and how
    steady it is, 0 to 1. nearest : how many neighbours are kept one by one; the rest share one cloud.
    """
    count = ground.east_m.size
    exponent, offset_m = np.asarray(exponent, np.float64), np.asarray(offset_m, np.float64)
    weight = _pair_weights(ground, exponent, offset_m, wind)
    kin = (ground.rust[:, None] == ground.rust[None, :]) & ~np.eye(count, dtype=bool)
    weight = np.where(kin, weight, 0.0)
    kept = min(nearest, max(count - 1, 0))
    order = np.argsort(-weight, axis=1, kind="stable")[:, :kept]
    shares = np.take_along_axis(weight, order, axis=1)
    others = np.maximum(kin.sum(axis=1) - kept, 0)
    rest = np.maximum(weight.sum(axis=1) - shares.sum(axis=1), 0.0)
    radius = np.sqrt(ground.area_m2 / np.pi)
    return Spread(
        own_frac=np.asarray(within_frac(radius, exponent, offset_m)),
        neighbour=np.where(shares > 0.0, order, -1).astype(np.int64),
        neighbour_frac=shares,
        far_frac=np.where(others > 0, rest / np.maximum(others, 1), 0.0),
        rust=ground.rust,
    )


def _pair_weights(ground: Ground, exponent: Floats, offset_m: Floats, wind: tuple[float, float]) -> Floats:
    """(to, from): spores on a square metre of one planting for each spore per square metre released by another."""
    east = ground.east_m[:, None] - ground.east_m[None, :]
    north = ground.north_m[:, None] - ground.north_m[None, :]
    radius = np.sqrt(ground.area_m2 / np.pi)
    # two plantings are never nearer than the middles of their halves
    apart = np.maximum(np.hypot(east, north), 0.5 * (radius[:, None] + radius[None, :]))
    from_deg, steady = wind
    heading = np.radians(from_deg + 180.0)
    along = (east * np.sin(heading) + north * np.cos(heading)) / np.maximum(np.hypot(east, north), 1e-9)
    return np.asarray(
        ground.area_m2[None, :] * deposit_per_m2(apart, exponent[:, None], offset_m[:, None]) * (1.0 + steady * along)
    )

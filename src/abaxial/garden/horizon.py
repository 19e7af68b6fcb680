"""What a bed's own obstacles hide: the horizon all round, the share of sky left, and whether the sun comes through.

An obstacle over at most half the compass is a straight edge seen square on, such as a wall: it stands at `distance_m`
in the middle of its sector and looks lower towards the ends. One over more than half is a ring around the bed at that
distance, such as a clearing. A crown overhead is a ring at a small distance that lets part of the light through.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.garden.parts import Bed, Obstacle

Floats = NDArray[np.float64]
#: widest straight edge [degrees]; anything wider closes around the bed
_STRAIGHT_DEG = 180.0
#: heights over which shelter fades, and the share of wind a close fence takes away
_SHELTER_HEIGHTS, _SHELTER_MOST = 10.0, 0.7
#: steps of the compass at which the horizon is tabled; step k holds from k to k + 1 degrees
_STEPS: Floats = np.arange(0.5, 360.0, 1.0, dtype=np.float64)


def horizon_deg(bed: Bed, leaf_height_m: float = 0.0) -> Floats:
    """Elevation of the highest outline in each direction [degrees], shape (360,), 0 to 90.

    Value k holds for azimuths from k to k + 1 degrees clockwise from north. leaf_height_m : above the bed's ground [m].
    Outlines count whole, also where light comes through.
    """
    return np.asarray(_outlines_deg(bed, _STEPS, leaf_height_m).max(axis=0, initial=0.0))


def sky_view_frac(bed: Bed, leaf_height_m: float = 0.0) -> float:
    """Share of the sky's light that reaches a level leaf, 0 to 1: the mean of cos² of the horizon over the compass.

    What comes through a partly open obstacle is added. leaf_height_m : above the bed's ground [m].
    Source: the cos² law for level ground under an even sky; checked against an endless wall, a round clearing and the
    middle of a street.
    """
    outlines = _outlines_deg(bed, _STEPS, leaf_height_m)
    order = np.argsort(-outlines, axis=0)
    share_below = np.sin(np.radians(np.take_along_axis(outlines, order, axis=0))) ** 2
    # light between two outlines passes all the obstacles that reach higher than it
    passed = np.cumprod(_transmissions(bed)[order], axis=0)
    next_below = np.vstack([share_below[1:], np.zeros((1, _STEPS.size))])
    tallest = share_below[:1].sum(axis=0)
    return float(np.mean(1.0 - tallest + (passed * (share_below - next_below)).sum(axis=0)))


def beam_transmission_frac(
    bed: Bed, elevation_deg: ArrayLike, azimuth_deg: ArrayLike, leaf_height_m: float = 0.0
) -> Floats:
    """Share of the direct sun that passes the obstacles, 0 to 1, shape of the arguments; 0 with the sun down.

    elevation_deg : of the sun [degrees], -90 to 90. azimuth_deg : clockwise from north [degrees].
    """
    elevation, azimuth = np.broadcast_arrays(np.asarray(elevation_deg, float), np.asarray(azimuth_deg, float))
    passed = np.where(elevation > 0.0, 1.0, 0.0)
    for obstacle in bed.obstacles:
        hidden = _outline_deg(obstacle, azimuth, leaf_height_m) > elevation
        passed = np.where(hidden, passed * obstacle.transmission_frac, passed)
    return np.asarray(passed)


def open_wind_frac(obstacles: Sequence[Obstacle]) -> float:
    """Share of the open wind that reaches a bed behind its obstacles, 0.1 to 1, where nobody has said it.

    A close fence takes away up to seven tenths of the wind that comes over it, and its shelter fades to nothing at ten
    times its height; what lets light through lets wind through alike. The wind is taken to come from everywhere in turn.
    Common practice of shelter belts, no source.
    """
    passed = np.ones(_STEPS.size)
    for each in obstacles:
        width = (each.to_deg - each.from_deg) % 360.0 or 360.0
        behind = (_STEPS - each.from_deg) % 360.0 < width
        fading = max(1.0 - each.distance_m / (_SHELTER_HEIGHTS * each.height_m), 0.0)
        passed = np.where(behind, passed * (1.0 - _SHELTER_MOST * (1.0 - each.transmission_frac) * fading), passed)
    return float(max(passed.mean(), 0.1))


def _outlines_deg(bed: Bed, azimuth_deg: Floats, leaf_height_m: float) -> Floats:
    """Shape (obstacles, azimuths)."""
    outlines = [_outline_deg(obstacle, azimuth_deg, leaf_height_m) for obstacle in bed.obstacles]
    return np.array(outlines).reshape(len(outlines), azimuth_deg.size)


def _outline_deg(obstacle: Obstacle, azimuth_deg: Floats, leaf_height_m: float) -> Floats:
    """Elevation of one obstacle's upper edge, 0 outside its sector and below the leaf."""
    width = (obstacle.to_deg - obstacle.from_deg) % 360.0 or 360.0
    along = (azimuth_deg - obstacle.from_deg) % 360.0
    rise = max(obstacle.height_m - leaf_height_m, 0.0) / obstacle.distance_m
    off_middle = np.radians(along - width / 2.0)
    slant = np.cos(off_middle) if width <= _STRAIGHT_DEG else np.ones_like(off_middle)
    outline = np.degrees(np.arctan(rise * np.maximum(slant, 0.0)))
    return np.asarray(np.where(along < width, outline, 0.0))


def _transmissions(bed: Bed) -> Floats:
    return np.array([obstacle.transmission_frac for obstacle in bed.obstacles], dtype=float)

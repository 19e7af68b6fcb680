"""Sampling and scales asked for many numbers at once, as printed tables need it."""

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.scouting import scales
from abaxial.scouting.sampling import detection, limits

Counts = NDArray[np.int64]


def units_to_find(incidence_frac: ArrayLike, confidence_frac: ArrayLike, efficacy_frac: ArrayLike) -> Counts:
    """`detection.units_to_find` over shapes that go together."""
    return np.array(
        [
            detection.units_to_find(p, confidence_frac=c, efficacy_frac=e)
            for p, c, e in _rows(incidence_frac, confidence_frac, efficacy_frac)
        ]
    )


def units_to_find_poisson(incidence_frac: ArrayLike, confidence_frac: float) -> Counts:
    """`detection.units_to_find_poisson` where every look notices."""
    return np.array(
        [
            detection.units_to_find_poisson(p, confidence_frac=confidence_frac, efficacy_frac=1.0)
            for (p,) in _rows(incidence_frac)
        ]
    )


def units_to_find_in_bed(bed_units: ArrayLike, rusted_units: ArrayLike, confidence_frac: float) -> Counts:
    """`detection.units_to_find_in_bed` where every look notices."""
    return np.array(
        [
            detection.units_to_find_in_bed(
                bed_units=int(n), rusted_units=int(d), confidence_frac=confidence_frac, efficacy_frac=1.0
            )
            for n, d in _rows(bed_units, rusted_units)
        ]
    )


def units_to_find_share(bed_units: ArrayLike, incidence_frac: float, confidence_frac: float) -> Counts:
    """The same for an incidence, whose rusted units are rounded down."""
    rusted = [detection.rusted_units(int(n), incidence_frac) for (n,) in _rows(bed_units)]
    return units_to_find_in_bed(bed_units, rusted, confidence_frac)


def none_found_limit_frac(looked: ArrayLike, confidence_frac: float) -> NDArray[np.float64]:
    """`limits.none_found_limit_frac` where every look notices."""
    return np.array(
        [
            limits.none_found_limit_frac(int(n), confidence_frac=confidence_frac, efficacy_frac=1.0)
            for (n,) in _rows(looked)
        ]
    )


def none_found_credible_frac(looked: ArrayLike, confidence_frac: float) -> NDArray[np.float64]:
    """`limits.none_found_credible_frac` for several numbers."""
    return np.array(
        [limits.none_found_credible_frac(int(n), confidence_frac=confidence_frac) for (n,) in _rows(looked)]
    )


def midpoints_frac(scale: str, scores: ArrayLike) -> NDArray[np.float64]:
    """`scales.midpoint_frac` for several scores. scale : key of one of our scales."""
    return np.array([scales.midpoint_frac(scale, each) for (each,) in _rows(scores)])


def class_limits_frac(scale: str) -> NDArray[np.float64]:
    """Upper limits of all classes of one of our scales, in order [0 to 1]."""
    return np.array([each.high_frac for each in scales.read_scale(scale).classes])


def _rows(*columns: ArrayLike) -> Iterable[tuple[Any, ...]]:
    return zip(*(np.ravel(each).tolist() for each in np.broadcast_arrays(*columns)), strict=True)

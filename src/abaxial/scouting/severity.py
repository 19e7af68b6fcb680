"""From the share of leaves with rust to the share of leaf with rust, and back."""

import math
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError
from abaxial.provenance import read_table

Floats = NDArray[np.float64]


def incidence_frac(lesions_per_leaf: ArrayLike, *, clumping: float) -> Floats:
    """Share of leaves with a lesion or more [0 to 1].

    lesions_per_leaf : mean over all leaves, 0 or more, any shape. clumping : k of the negative binomial, above 0; small
    where few leaves bear most lesions, infinite where lesions fall at random. Source: madden2007.
    """
    mean = np.asarray(lesions_per_leaf, float)
    if math.isinf(_clumping(clumping)):
        return np.asarray(-np.expm1(-mean))
    return np.asarray(-np.expm1(-clumping * np.log1p(mean / clumping)))


def lesions_per_leaf(incidence_frac: ArrayLike, *, clumping: float) -> Floats:
    """Mean lesions per leaf where a share of leaves has some; infinite where all have.

    incidence_frac : 0 to 1, any shape. clumping : as in `incidence_frac`; with lesions at random this is the
    transformation for multiple infection. Source: gregory1948.
    """
    with np.errstate(divide="ignore"):
        random = -np.log1p(-np.asarray(incidence_frac, float))
    if math.isinf(_clumping(clumping)):
        return np.asarray(random)
    return np.asarray(clumping * np.expm1(random / clumping))


def mean_severity_frac(incidence_frac: ArrayLike, rusted_severity_frac: ArrayLike) -> Floats:
    """Severity over all leaves [0 to 1] from the incidence and the mean severity of rusted leaves, 0 to 1, any shapes
    that go together. Source: madden2007."""
    return np.asarray(np.asarray(incidence_frac, float) * np.asarray(rusted_severity_frac, float))


def rusted_severity_frac(incidence_frac: ArrayLike, mean_severity_frac: ArrayLike) -> Floats:
    """Mean severity of rusted leaves alone [0 to 1], 0 where none is rusted. Source: madden2007."""
    share, mean = np.broadcast_arrays(np.asarray(incidence_frac, float), np.asarray(mean_severity_frac, float))
    return np.where(share > 0.0, mean / np.where(share > 0.0, share, 1.0), 0.0)


def by_relation(relation: str, incidence_percent: ArrayLike) -> Floats:
    """What a published curve gives for a share of leaves with rust, in the curve's own unit.

    relation : a table of relations.toml, which names crop, source and unit. incidence_percent : 0 to 100, as printed.
    Other crops and years have other curves; it serves to compare.
    """
    relations = _relations()
    if relation not in relations:
        raise ScoutingError(f"There is no relation {relation!r}.", remedy=f"Known are {', '.join(relations)}.")
    values = np.polynomial.polynomial.polyval(np.asarray(incidence_percent, float), relations[relation]["coefficients"])
    return np.asarray(values**2 if relations[relation].get("root") else values)


@cache
def _relations() -> dict[str, Any]:
    return read_table(Path(__file__).with_name("relations.toml"))


def _clumping(clumping: float) -> float:
    if not clumping > 0.0:
        raise ScoutingError(f"The clumping is {clumping:g}; it must be above 0.", remedy="Use inf for none.")
    return clumping

"""Plain closed forms that are told of sprays: even wash-off, bare leaves, doses that decay, codes in turn."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.remedy import resistance
from abaxial.remedy.effect import kept_out_frac

Floats = NDArray[np.float64]


def half_gone_mm(loss_per_mm: ArrayLike) -> Floats:
    """Rain that takes half of a deposit where every millimetre takes the same share, ln 2/k [mm]."""
    return math.log(2.0) / np.asarray(loss_per_mm, float)


def bare_leaves(interval_d: ArrayLike, leaf_interval_d: float) -> Floats:
    """Leaves on a shoot that have come since the last spray, when the next is due [leaves]."""
    return np.asarray(interval_d, float) / leaf_interval_d


def selection_of_one_dose(
    dose: ArrayLike, growth_per_d: float, most_frac: float, per_dose: float, decay_per_d: float, passed_d: float
) -> Floats:
    """`resistance.selection_of_doses` of single doses at day 0, one after the other. dose : shape (cases,)."""
    curve = _curve(growth_per_d, most_frac, per_dose, decay_per_d)
    return np.array([resistance.selection_of_doses([0.0], [each], passed_d, curve) for each in np.ravel(dose)])


def selection_of_even_doses(
    count: int, dose: float, growth_per_d: float, most_frac: float, per_dose: float, decay_per_d: float
) -> float:
    """Selection over 28 days by so many equal doses, evenly spread from day 0. count : 1 or more."""
    curve = _curve(growth_per_d, most_frac, per_dose, decay_per_d)
    days = [28.0 * each / count for each in range(count)]
    return resistance.selection_of_doses(days, [dose] * count, 28.0, curve)


def mean_kept_out_frac(dose: float, most_frac: float, per_dose: float, decay_per_d: float, passed_d: float) -> float:
    """What a decaying dose keeps out on average over the days from 0 to passed_d [0 to 1]."""
    return (
        resistance.selection_of_doses([0.0], [dose], passed_d, _curve(1.0, most_frac, per_dose, decay_per_d)) / passed_d
    )


def mixture_selection_per_d(
    growth_per_d: float, own_dose: float, most_frac: float, per_dose: float, partner_frac: float
) -> float:
    """Selection of a fungicide at a dose beside a partner [1/d]."""
    own = kept_out_frac(own_dose, most_frac, per_dose)
    return float(resistance.selection_per_d(growth_per_d, own, partner_frac))


def selection_over(days_d: ArrayLike, growth_per_d: ArrayLike, own_frac: ArrayLike, partner_frac: ArrayLike) -> Floats:
    """Selection of even exposure over so many days, s·T. All of shapes that go together."""
    return np.asarray(days_d, float) * resistance.selection_per_d(growth_per_d, own_frac, partner_frac)


def _curve(growth_per_d: float, most_frac: float, per_dose: float, decay_per_d: float) -> dict[str, float]:
    return {"growth_per_d": growth_per_d, "most_frac": most_frac, "per_dose": per_dose, "decay_per_d": decay_per_d}

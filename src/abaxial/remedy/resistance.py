"""How rust learns to live with a fungicide: every day under it shifts the odds towards what withstands it."""

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import FaultError
from abaxial.remedy.application import Application
from abaxial.remedy.effect import Stand, cures, kept_out_by, kept_out_frac
from abaxial.remedy.material import Material
from abaxial.remedy.residue import constants

Floats = NDArray[np.float64]
#: nine in ten lie within so many standard deviations either way
_NINE_IN_TEN = 1.6448536269514722
_RISING = {"low": 0, "medium": 1, "high": 2}


def resistant_after_frac(start_frac: ArrayLike, selection: ArrayLike) -> Floats:
    """Share that withstands a fungicide after selection, logit f = logit f₀ + ∫ s dt [0 to 1].

    start_frac : before, above 0 and below 1. selection : ∫ s dt. Both of shapes that go together. Source: milgroom1988.
    """
    odds = _logit(start_frac) + np.asarray(selection, float)
    return np.asarray(1.0 / (1.0 + np.exp(-odds)))


def half_resistant_d(start_frac: ArrayLike, selection_per_d: ArrayLike) -> Floats:
    """Days of even selection until half withstands it, −logit f₀ / s [d]. Source: milgroom1988."""
    return np.asarray(-_logit(start_frac) / np.asarray(selection_per_d, float))


def selection_per_d(growth_per_d: ArrayLike, own_frac: ArrayLike, partner_frac: ArrayLike) -> Floats:
    """How fast the odds shift, growth · (1 − partner) · own [1/d].

    growth_per_d : of unsprayed rust. own_frac : what the fungicide keeps out. partner_frac : what the others on the leaf
    keep out of both kinds of rust; 0 where it is alone. Source: vandenbosch2014, milgroom1988.
    """
    let_by = 1.0 - np.asarray(partner_frac, float)
    return np.asarray(np.asarray(growth_per_d, float) * let_by * np.asarray(own_frac, float))


def selection_of_doses(
    dose_days_d: Sequence[float], doses: Sequence[float], end_d: float, curve: Mapping[str, float]
) -> float:
    """Selection by doses that decay and add up, ∫ growth·e(C) dt from 0 to end_d, as a shift of the logit.

    dose_days_d : rising, from 0 [d]. doses : against the label's rate. curve : growth_per_d, most_frac, per_dose and
    decay_per_d. Source: vandenbosch2014, from memory.
    """
    days, amounts = np.asarray(dose_days_d, float), np.asarray(doses, float)
    at, weights = np.polynomial.legendre.leggauss(20)
    total = 0.0
    for begin, end in zip(days, [*days[1:], end_d], strict=True):
        when = begin + (at + 1.0) / 2.0 * (end - begin)
        passed = when[:, None] - days
        lying = np.where(passed >= 0.0, amounts * np.exp(-curve["decay_per_d"] * np.maximum(passed, 0.0)), 0.0)
        kept = kept_out_frac(lying.sum(axis=1), curve["most_frac"], curve["per_dose"])
        total += float(weights @ kept) * (end - begin) / 2.0
    return curve["growth_per_d"] * total


def selections(
    courses: Sequence[Sequence[Application]],
    materials: Mapping[str, Material],
    of: Stand,
    *,
    latent_d: float,
    growth_per_d: float,
) -> tuple[dict[str, float], ...]:
    """Selection of every FRAC code by each course, as a shift of the logit; codes that do not act are left out.

    of : from `effect.stand`. growth_per_d : of unsprayed rust [1/d]. Shields count day by day as the mean over members
    and levels; a cure counts once, for the stretch of the latent path it reaches (assumed).
    """
    return tuple(_selection(course, materials, of, latent_d, growth_per_d) for course in courses)


def failing_chance_frac(risk: str, selection: float) -> float:
    """Chance that a code of this risk fails after selection [0 to 1].

    risk : "low", "medium", "high", or "none", which never fails. selection : shift of the logit from all that was and
    is to be sprayed, 0 or more. What withstood it before and selection itself are uncertain and taken as normal, the
    first by its logit (assumed). Source: constants.toml.
    """
    if risk == "none":
        return 0.0
    known = constants("resistance")
    start = known[f"{risk}_start_log10"]
    to_logit = math.log(10.0)
    start_spread = (start.high - start.low) * to_logit / (2.0 * _NINE_IN_TEN)
    spread = math.hypot(start_spread, known["selection_spread_frac"].value * selection)
    beyond = start.value * to_logit + selection - float(_logit(known["failing_frac"].value))
    return 0.5 * math.erfc(-beyond / (spread * math.sqrt(2.0)))


def price_frac(risk: str, before: float, added: float) -> float:
    """By how much a course raises the chance that a code fails by its end [0 to 1].

    before, added : selection of what has been and of what would be sprayed, shifts of the logit, 0 or more.
    """
    return failing_chance_frac(risk, before + added) - failing_chance_frac(risk, before)


def risk_of(code: str, materials: Mapping[str, Material]) -> str:
    """The highest risk among materials of a code. Raises FaultError where none has it."""
    risks = [each.risk for each in materials.values() if code in each.codes]
    if not risks:
        raise FaultError(f"No material has the code {code}.")
    return max(risks, key=lambda risk: _RISING.get(risk, -1))


def _selection(
    course: Sequence[Application], materials: Mapping[str, Material], of: Stand, latent_d: float, growth_per_d: float
) -> dict[str, float]:
    kept = kept_out_by(course, materials, of)
    codes = sorted({code for each in course for key in each.materials for code in materials[key].codes})
    shift = {}
    for code in codes:
        own = [each for key, each in kept.items() if code in materials[key].codes]
        others = [each for key, each in kept.items() if code not in materials[key].codes]
        daily = selection_per_d(growth_per_d, _together(own), _together(others))
        of_code = [each._replace(materials=_of_code(each, code, materials)) for each in course]
        cure, reach_frac = cures(of_code, materials, of, latent_d=latent_d)
        shift[code] = float(daily.mean()) * of.rain_mm.shape[1] + float(cure @ reach_frac)
    return {code: each for code, each in shift.items() if each > 0.0}


def _of_code(use: Application, code: str, materials: Mapping[str, Material]) -> tuple[str, ...]:
    return tuple(key for key in use.materials if code in materials[key].codes)


def _together(kept: Sequence[Floats]) -> Floats:
    let_in = np.ones(1)
    for each in kept:
        let_in = let_in * (1.0 - each)
    return 1.0 - let_in


def _logit(share: ArrayLike) -> Floats:
    each = np.asarray(share, float)
    return np.asarray(np.log(each) - np.log1p(-each))

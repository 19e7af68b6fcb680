"""The beta-binomial: rust that differs from clump to clump, fitted to counts and set against the binomial.

Its likelihood is a product of rising steps, so that neither gamma functions nor their derivatives are needed:

    ln L = Σ ln(p + iθ) over i < rusted  +  Σ ln(1 − p + iθ) over i < healthy  −  Σ ln(1 + iθ) over i < all  + ln C

with p the mean share and θ = 1/(α + β); θ = 0 is the binomial.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError
from abaxial.scouting.aggregation.tally import Tally, counted_of, normal_tail_frac, rusted_frac

Floats = NDArray[np.float64]

_MOST_STEPS = 100
_NEAR = 1e-14


@dataclass(frozen=True)
class BetaBinomial:
    """A beta-binomial of greatest likelihood.

    mean_frac : share rusted. overdispersion : θ, 0 where rust stands as by chance. correlation : likeness of two in one
    unit, θ/(1 + θ). alpha_shape, beta_shape : of the beta distribution, ∞ where θ is 0. mean_se_frac,
    overdispersion_se : standard errors; the second NaN at θ = 0. likelihood_log, binomial_likelihood_log : of both.
    likelihood_ratio : twice their difference. chance_frac : chance of so large a one if rust stood by chance; θ lies at
    the edge of what is possible then, so half of the usual. converged : whether the search arrived.
    """

    mean_frac: float
    overdispersion: float
    correlation: float
    alpha_shape: float
    beta_shape: float
    mean_se_frac: float
    overdispersion_se: float
    likelihood_log: float
    binomial_likelihood_log: float
    likelihood_ratio: float
    chance_frac: float
    converged: bool


class _Slope(NamedTuple):
    """Likelihood with its first and second derivatives by (p, θ)."""

    log: float
    first: Floats
    second: Floats


def fit_beta_binomial(found: ArrayLike, turned: ArrayLike, *, times: ArrayLike | None = None) -> BetaBinomial:
    """The beta-binomial of greatest likelihood, by Newton's steps.

    found, turned, times : as in dispersion. Model: hughes1993. Raises ScoutingError where none or all were rusted.
    """
    tally = counted_of(found, turned, times)
    share = rusted_frac(tally)
    chance = _likelihood(tally, share, 0.0)
    if chance.first[1] <= 0.0:  # clumping would make the counts less likely: there is none to be seen
        error = math.sqrt(share * (1.0 - share) / float(tally.times @ tally.turned))
        return _answer(tally, np.array([share, 0.0]), np.array([error, np.nan]), converged=True)
    place, at, converged = _climb(tally, np.array([share, _first_overdispersion(tally, share)]))
    with np.errstate(invalid="ignore"):
        errors = np.sqrt(np.diag(np.linalg.inv(-at.second)))
    return _answer(tally, place, errors, converged=converged)


def shapes_of(mean_frac: ArrayLike, *, correlation: ArrayLike) -> Floats:
    """Shapes α and β of the beta distribution behind a mean share and a likeness (2, any shape).

    mean_frac : 0 to 1. correlation : likeness of two in one unit, above 0 and below 1. Source: hughes1993.
    """
    share, likeness = np.asarray(mean_frac, float), np.asarray(correlation, float)
    if not ((likeness > 0.0) & (likeness < 1.0)).all():
        raise ScoutingError(
            f"A likeness of {correlation!r} has no beta distribution.", remedy="Give one above 0 and below 1."
        )
    total = 1.0 / likeness - 1.0
    return np.stack(np.broadcast_arrays(share * total, (1.0 - share) * total))


def _climb(tally: Tally, start: Floats) -> tuple[Floats, _Slope, bool]:
    """Newton's steps, halved where they would go down or out of bounds, leaned on the gradient where the hill bends up."""
    place, at = start, _likelihood(tally, *start)
    for _ in range(_MOST_STEPS):
        values, vectors = np.linalg.eigh(at.second)
        step = -(vectors / np.minimum(values, -1e-8)) @ (vectors.T @ at.first)
        if abs(float(at.first @ step)) < _NEAR * (1.0 + abs(at.log)):
            return place, at, bool((values < 0.0).all())
        share = 1.0
        while share > 1e-12:
            there = place + share * step
            if 0.0 < there[0] < 1.0 and there[1] > 0.0:
                after = _likelihood(tally, *there)
                if after.log >= at.log:
                    break
            share /= 2.0
        else:
            return place, at, False
        place, at = there, after
    return place, at, False


def _first_overdispersion(tally: Tally, share: float) -> float:
    """θ by moments, kept where the search can begin."""
    of, often = tally.turned.astype(float), tally.times
    apart = (tally.found - of * share) ** 2 / (share * (1.0 - share)) - of
    likeness = float(often @ apart) / float(often @ (of * (of - 1.0)))
    likeness = min(max(likeness, 0.01), 0.9)
    return likeness / (1.0 - likeness)


def _likelihood(tally: Tally, share: float, spread: float) -> _Slope:
    steps = np.arange(int(tally.turned.max()), dtype=float)
    sick, well, all_ = share + steps * spread, 1.0 - share + steps * spread, 1.0 + steps * spread
    healthy = tally.turned - tally.found

    def total(of_sick: Floats, of_well: Floats, of_all: Floats) -> float:
        each = _up_to(of_sick)[tally.found] + _up_to(of_well)[healthy] - _up_to(of_all)[tally.turned]
        return float(tally.times @ each)

    none = np.zeros_like(steps)
    cross = total(-steps / sick**2, steps / well**2, none)
    return _Slope(
        log=float(tally.times @ _each_log(tally, share, spread)),
        first=np.array([total(1.0 / sick, -1.0 / well, none), total(steps / sick, steps / well, steps / all_)]),
        second=np.array(
            [
                [total(-1.0 / sick**2, -1.0 / well**2, none), cross],
                [cross, total(-((steps / sick) ** 2), -((steps / well) ** 2), -((steps / all_) ** 2))],
            ]
        ),
    )


def _each_log(tally: Tally, share: float, spread: float) -> Floats:
    steps = np.arange(int(tally.turned.max()), dtype=float)
    factorial = _up_to(np.log(steps + 1.0))
    healthy = tally.turned - tally.found
    ways = factorial[tally.turned] - factorial[tally.found] - factorial[healthy]
    rusted = _up_to(np.log(share + steps * spread))[tally.found]
    clean = _up_to(np.log(1.0 - share + steps * spread))[healthy]
    return np.asarray(ways + rusted + clean - _up_to(np.log1p(steps * spread))[tally.turned])


def _up_to(terms: Floats) -> Floats:
    """Sums of the first 0, 1, 2 … terms."""
    return np.concatenate([[0.0], np.cumsum(terms)])


def _answer(tally: Tally, place: Floats, errors: Floats, *, converged: bool) -> BetaBinomial:
    share, spread = float(place[0]), float(place[1])
    reached = float(tally.times @ _each_log(tally, share, spread))
    chance = float(tally.times @ _each_log(tally, rusted_frac(tally), 0.0))
    ratio = max(2.0 * (reached - chance), 0.0)
    return BetaBinomial(
        share, spread, spread / (1.0 + spread),
        share / spread if spread > 0.0 else math.inf, (1.0 - share) / spread if spread > 0.0 else math.inf,
        float(errors[0]), float(errors[1]), reached, chance, ratio,
        normal_tail_frac(math.sqrt(ratio)) if ratio > 0.0 else 1.0, converged,
    )  # fmt: skip

"""Four forms an epidemic's curve may take, each a straight line on a scale of its own.

On its own scale every form is z = z₀ + r·t, with r the rate per day:

| form          | z of the share y | grows by         |
|---------------|------------------|------------------|
| exponential   | ln y             | r y              |
| monomolecular | ln 1/(1 − y)     | r (1 − y)        |
| logistic      | ln y/(1 − y)     | r y (1 − y)      |
| gompertz      | −ln(−ln y)       | r y (−ln y)      |

Source: delponte2023, sparks2008 (whose printed logistic lacks its exponential sign; used here with it).
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ScoutingError

Floats = NDArray[np.float64]

#: beyond this the exponential of a number is none
_FAR = 700.0


class _Form(NamedTuple):
    straight: Callable[[Floats], Floats]
    back: Callable[[Floats], Floats]
    speed: Callable[[Floats], Floats]
    fastest: float | None


_FORMS = {
    "exponential": _Form(np.log, np.exp, lambda y: y, None),
    "monomolecular": _Form(lambda y: -np.log1p(-y), lambda z: -np.expm1(-z), lambda y: 1.0 - y, None),
    "logistic": _Form(
        lambda y: np.log(y) - np.log1p(-y), lambda z: 1.0 / (1.0 + np.exp(-z)), lambda y: y * (1.0 - y), 0.5
    ),
    "gompertz": _Form(
        lambda y: -np.log(-np.log(y)),
        lambda z: np.exp(-np.exp(-z)),
        lambda y: -y * np.log(np.maximum(y, np.finfo(float).tiny)),
        float(np.exp(-1.0)),
    ),
}
FORMS = tuple(_FORMS)


def straightened(seen_frac: ArrayLike, form: str) -> Floats:
    """Shares on the scale on which the form is a straight line; −∞ or ∞ where a share of 0 or 1 has no place on it.

    seen_frac : any shape, 0 to 1. form : of FORMS.
    """
    share = np.asarray(seen_frac, float)
    with np.errstate(divide="ignore"):
        return np.asarray(_form(form).straight(share))


def seen_back_frac(scaled: ArrayLike, form: str) -> Floats:
    """The shares that stand at places on the form's straight scale; exponential ones may pass 1.

    scaled : any shape. form : of FORMS.
    """
    return np.asarray(_form(form).back(np.clip(np.asarray(scaled, float), -_FAR, _FAR)))


def curve_frac(day: ArrayLike, start_frac: float, *, rate_per_d: float, form: str) -> Floats:
    """Share diseased on days of a curve [0 to 1; an exponential one passes 1].

    day : counted from the start, any shape. start_frac : on day 0, between 0 and 1. form : of FORMS.
    """
    return seen_back_frac(straightened(start_frac, form) + rate_per_d * np.asarray(day, float), form)


def speed_per_d(seen_frac: ArrayLike, rate_per_d: float, *, form: str) -> Floats:
    """How fast the share grows where it stands [1/d]. seen_frac : any shape, 0 to 1. form : of FORMS."""
    return rate_per_d * np.asarray(_form(form).speed(np.asarray(seen_frac, float)))


def fastest_at_frac(form: str) -> float | None:
    """The share at which a curve grows fastest; None where it has no such point. form : of FORMS."""
    return _form(form).fastest


def _form(form: str) -> _Form:
    if form not in _FORMS:
        raise ScoutingError(f"There is no form of curve called {form!r}.", remedy=f"Known are {', '.join(FORMS)}.")
    return _FORMS[form]

"""From infection to open pustules: how fast an infection ripens, and how one night's pustules spread over days."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import formula
from abaxial.infection.response import beta_response_frac

#: ln 99: one pustule in a hundred is open at the start of the span, ninety-nine at its end
_LN_99 = 4.59511985013459


@formula
def ripening_per_h(temperature_c: Any, minimum_c: Any, optimum_c: Any, maximum_c: Any, shortest_latent_d: Any) -> Any:
    """Share of the latent period that passes in one hour [1/h], never negative.

    temperature_c : any shape [°C]. shortest_latent_d : latent period at the optimum [d].
    Sum it over hours, not over daily means: source wadia1994. Cold and heat stall it; nothing turns it back.
    """
    return beta_response_frac(temperature_c, minimum_c, optimum_c, maximum_c) / (24.0 * shortest_latent_d)


def latent_period_d(
    temperature_c: NDArray[np.float64] | float,
    minimum_c: float,
    optimum_c: float,
    maximum_c: float,
    shortest_latent_d: float,
) -> NDArray[np.float64]:
    """Latent period at a constant temperature [d]; infinite where nothing ripens. Arguments as in ripening_per_h."""
    rate = ripening_per_h(np.asarray(temperature_c, float), minimum_c, optimum_c, maximum_c, shortest_latent_d)
    with np.errstate(divide="ignore"):
        return np.asarray(1.0 / (24.0 * rate))


def showing_shape(span_d: NDArray[np.float64], latent_d: NDArray[np.float64]) -> NDArray[np.float64]:
    """Shape of the log-logistic curve that opens a cohort's pustules, first to last in a hundred, over `span_d`.

    span_d, latent_d : any shape [d], above 0; latent_d is the median. Derived: the curve x^c/(1+x^c) opens 1 % at
    99^(-1/c) and 99 % at 99^(1/c) latent periods.
    """
    return np.asarray(_LN_99 / np.arcsinh(span_d / (2.0 * latent_d)))


def shown_frac(progress: NDArray[np.float64], shape: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """Share of one night's pustules that are open [0 to 1].

    progress : latent progress since that night, any shape, 0 or more; 1 is the median. shape : from showing_shape.
    """
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(1.0 / (1.0 + np.power(np.maximum(progress, 0.0), -shape)))


def progress_when_shown(share: float, shape: NDArray[np.float64]) -> NDArray[np.float64]:
    """Latent progress at which a share of the pustules is open. share : above 0, below 1."""
    return np.asarray((share / (1.0 - share)) ** (1.0 / shape))

"""How one day's weather hangs on the day before: correlations as matrices, and rain from the share of wet days."""

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.provenance import read_parameter, read_table

Floats = NDArray[np.float64]

_PATH = Path(__file__).with_name("generator.toml")
_LIMITS = {"assumed": (0.0, 60.0), "rain": (-10.0, 10.0), "fit": (1.0, 10000.0)}


@cache
def constant(table: str, name: str) -> float:
    """The central value of one entry of generator.toml. Raises ParameterError if the file breaks its rules."""
    whole = read_table(_PATH)
    return read_parameter(f"{table}.{name}", whole[table].get(name), limits=_LIMITS[table], path=_PATH).value


def published_correlations() -> tuple[Floats, Floats]:
    """Correlations of highest, lowest and sunlight on one day, and with the day before, each (3, 3). richardson1982."""
    table = read_table(_PATH)["correlations"]
    return np.array(table["same_day"]), np.array(table["next_day"])


def wgen_matrices(m0: ArrayLike, m1: ArrayLike) -> tuple[Floats, Floats]:
    """The matrices A and B of x' = A x + B e that reproduce given correlations, each (3, 3).

    m0 : correlations on one day. m1 : of a day with the day before, row the later. A = M1 M0⁻¹, B Bᵀ = M0 − M1 M0⁻¹
    M1ᵀ, with B lower triangular. Raises numpy.linalg.LinAlgError if no such process exists.
    Source: richardson1981, after Matalas.
    """
    same, lagged = np.asarray(m0, float), np.asarray(m1, float)
    a = lagged @ np.linalg.inv(same)
    return a, np.linalg.cholesky(same - a @ lagged.T)


def stationary_correlations(a: ArrayLike, b: ArrayLike) -> tuple[Floats, Floats]:
    """The correlations M0 and M1 that a process x' = A x + B e settles into, each (3, 3): the way back from
    `wgen_matrices`.

    Solves M0 = A M0 Aᵀ + B Bᵀ; M1 = A M0. Source: richardson1981.
    """
    step, noise = np.asarray(a, float), np.asarray(b, float)
    size = step.shape[0]
    flat = np.linalg.solve(np.eye(size * size) - np.kron(step, step), (noise @ noise.T).ravel())
    same = flat.reshape(size, size)
    return same, step @ same


def next_residual(residual: ArrayLike, draws: ArrayLike, a: Floats, b: Floats) -> Floats:
    """One day on: A x + B e, shape (…, 3). residual : yesterday's. draws : standard normal."""
    return np.asarray(np.asarray(residual) @ a.T + np.asarray(draws) @ b.T)


def rain_chances_frac(wet_day_frac: ArrayLike) -> tuple[Floats, Floats]:
    """Chance of rain after a dry and after a wet day, from the share of wet days, 0 to 1. Source: geng1986."""
    after_dry = constant("rain", "after_dry") * np.asarray(wet_day_frac, float)
    return after_dry, after_dry + constant("rain", "persistence")


def rain_gamma(mean_mm: float) -> tuple[float, float]:
    """Shape and scale [mm] of the gamma distribution of a wet day's rain, from its mean [mm], above 0. Source:
    geng1986.

    Below a mean of about 2.6 mm the published line gives a scale near zero; an exponential stands in.
    """
    if mean_mm <= constant("rain", "least_mean_mm"):
        return 1.0, mean_mm
    scale_mm = constant("rain", "scale_offset_mm") + constant("rain", "scale_slope") * mean_mm
    return mean_mm / scale_mm, scale_mm


def gamma_shape(amounts: ArrayLike) -> float:
    """Shape of a gamma distribution from a sample, by L-moments: the ratio of its first two decides. 0.2 to 20.

    amounts : (n,), all above 0, n at least 2. Source: hosking1990.
    """
    ordered = np.sort(np.asarray(amounts, float))
    n = ordered.size
    first = ordered.mean()
    second = 2.0 * (ordered * np.arange(n)).sum() / (n * (n - 1)) - first
    ratio = second / first
    if ratio < 0.5:
        z = np.pi * ratio * ratio
        shape = (1.0 - 0.3080 * z) / (z - 0.05812 * z**2 + 0.01765 * z**3) if z > 0 else 20.0
    else:
        z = 1.0 - ratio
        shape = (0.7213 * z - 0.5947 * z**2) / (1.0 - 2.1817 * z + 1.2113 * z**2)
    return float(np.clip(shape, 0.2, 20.0))


def gamma_quantile(share: ArrayLike, shape: float) -> Floats:
    """Values of a gamma distribution of mean 1 below which given shares lie; share : any shape, above 0, below 1.

    By adding up the density on a fine grid; error below 1 % between shares 0.001 and 0.999.
    """
    log_x = np.linspace(-40.0 / max(shape, 1.0), np.log(40.0), 4000)
    density = np.exp(shape * log_x - shape * np.exp(log_x))
    reached = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2)])
    return np.asarray(np.exp(np.interp(np.asarray(share, float), reached / reached[-1], log_x)))

"""Special functions that weighing needs and NumPy lacks: log gamma, log beta, the normal and the chi-square distribution."""

import math
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_HALF_LOG_TWO_PI = 0.9189385332046727
_SHIFT = 7
# Stirling's series in 1/x², from the Bernoulli numbers; above 7 the first term left out is below 1e-14
_STIRLING = (1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156)

# (1 + 2x)·exp(x²)·erfc(x) as a polynomial in s = (x − 3.75)/(x + 3.75), which runs from −1 to 1 while x runs from 0 up;
# interpolated at the 21 Chebyshev points, within 1e-14 of the function
_BEND = 3.75
_ERFC = (
    1.2375126308378264, -0.14024059858550575, 0.0035854154857627857, 0.08227673848704045,
    -0.10880393015433062, 0.09230432122771155, -0.05869339838397541, 0.02836227674782648,
    -0.009746581262494456, 0.0017556295487634313, 0.0002937218341919264, -0.00029016639136143893,
    5.162479200942778e-05, 2.241015775977701e-05, -1.1397625287921655e-05, -1.0084713725546233e-06,
    1.6939254478276176e-06, -2.7685663849700945e-08, -2.1321360409864602e-07, 8.512559451761331e-09,
    1.7312209083118933e-08,
)  # fmt: skip


def gamma_log(x: ArrayLike) -> Floats:
    """Natural logarithm of the gamma function, any shape. x : above 0. Absolute error below 1e-13 for x < 100."""
    x = np.asarray(x, np.float64)
    small = x < _SHIFT
    # below 7, Γ(x) = Γ(x + 7) / (x (x + 1) … (x + 6)), written in pairs: x(x + 6), (x + 1)(x + 5), …
    pair = x * (x + 6.0)
    product = pair * (pair + 5.0) * (pair + 8.0) * (x + 3.0)
    shifted = np.where(small, x + _SHIFT, x)
    inverse = 1.0 / shifted
    square = inverse * inverse
    series = np.full_like(shifted, _STIRLING[-1])
    for term in _STIRLING[-2::-1]:
        series *= square
        series += term
    large = (shifted - 0.5) * np.log(shifted) - shifted + (_HALF_LOG_TWO_PI + series * inverse)
    return np.asarray(large - np.log(np.where(small, product, 1.0)))


def beta_log(a: ArrayLike, b: ArrayLike) -> Floats:
    """Natural logarithm of the beta function, any shape. a, b : above 0, broadcast."""
    a, b = np.asarray(a, np.float64), np.asarray(b, np.float64)
    return np.asarray(gamma_log(a) + gamma_log(b) - gamma_log(a + b))


@lru_cache(maxsize=4096)
def binomial_log(total: int, taken: int) -> float:
    """Natural logarithm of the number of ways to take some out of all. total, taken : 0 <= taken <= total."""
    return math.lgamma(total + 1) - math.lgamma(taken + 1) - math.lgamma(total - taken + 1)


def normal_cdf_frac(z: ArrayLike) -> Floats:
    """Share of a standard normal distribution below z [0 to 1], any shape; relative error below 1e-12 in both tails."""
    z = np.asarray(z, np.float64)
    above = _above_frac(np.abs(z))
    return np.asarray(np.where(z < 0.0, above, 1.0 - above))


def normal_between_frac(low: ArrayLike, high: ArrayLike) -> Floats:
    """Share of a standard normal distribution between two limits [0 to 1], any shape.

    low, high : broadcast, low <= high; infinite where a side is open. Counted from the nearer tail, so that nothing is
    lost where both limits lie far out on one side.
    """
    low, high = np.broadcast_arrays(np.asarray(low, np.float64), np.asarray(high, np.float64))
    mirrored = low > 0.0
    first, last = np.where(mirrored, -high, low), np.where(mirrored, -low, high)
    below_first, below_last = normal_cdf_frac(np.stack([first, last]))
    return np.asarray(np.maximum(below_last - below_first, 0.0))


def chi_square_above_frac(chi_square: float, degrees: int) -> float:
    """Share of a chi-square distribution above a value [0 to 1].

    chi_square : 0 or more. degrees : degrees of freedom, 1 or more. A finite sum: for even degrees that of a Poisson
    distribution, for odd ones the same in half steps after the tail of the normal distribution.
    """
    half = 0.5 * chi_square
    if half <= 0.0:
        return 1.0
    start = 0.0 if degrees % 2 == 0 else 0.5
    terms = (
        math.exp(-half + (start + step) * math.log(half) - math.lgamma(start + step + 1.0))
        for step in range(degrees // 2)
    )
    return min((math.erfc(math.sqrt(half)) if start else 0.0) + math.fsum(terms), 1.0)


def _above_frac(z: Floats) -> Floats:
    """Share of a standard normal distribution above z >= 0."""
    x = np.minimum(z * math.sqrt(0.5), 27.0)  # beyond, the share is below the smallest number there is
    s = (x - _BEND) / (x + _BEND)
    polynomial = np.full_like(x, _ERFC[-1])
    for coefficient in _ERFC[-2::-1]:
        polynomial *= s
        polynomial += coefficient
    return np.asarray(0.5 * polynomial * np.exp(-x * x) / (1.0 + 2.0 * x))

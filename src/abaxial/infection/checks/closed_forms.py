"""Published formulas in closed form: not used for any bed, but our own are checked against them."""

import numpy as np
from numpy.typing import NDArray

from abaxial.infection.response import beta_response_frac

Numbers = NDArray[np.float64] | float


def duthie_temperature_frac(temperature_c: Numbers, at_c: float, slope_per_c: float, skew: float) -> Numbers:
    """Temperature part of Duthie's response; its peak, at at_c − ln(skew)/slope_per_c, is exactly 1.

    skew : above 0; 1 is symmetric. Source: duthie1997.
    """
    steep = (temperature_c - at_c) * slope_per_c
    peak = (1.0 + skew) * skew ** (-skew / (1.0 + skew))
    return np.asarray(peak * np.exp(steep / (skew + 1.0)) / (1.0 + np.exp(steep)))


def duthie_wetness_frac(wet_h: Numbers, rate_per_h: float, first_wet_h: float, exponent: float) -> Numbers:
    """Wetness part of Duthie's response [0 to 1]. wet_h : hours wet. Source: duthie1997."""
    return np.asarray(1.0 - np.exp(-((rate_per_h * np.maximum(wet_h - first_wet_h, 0.0)) ** exponent)))


def coffee_rust_wetness_frac(wet_h: Numbers) -> Numbers:
    """Share of coffee rust's full infection after hours of free water; nothing before 6.35 h. Source: kushalappa1983."""
    return np.asarray(np.maximum(1.0 - 1.996 * np.exp(-0.1089 * np.asarray(wet_h)), 0.0))


def coffee_rust_temperature_frac(warmth_frac: Numbers) -> Numbers:
    """Coffee rust's answer to temperature; as printed it peaks at 0.83. Source: kushalappa1983.

    warmth_frac : (T − Tmin)/(Tmax − Tmin), 0 to 1.
    """
    x = np.asarray(warmth_frac)
    return np.asarray(np.sin(np.radians(188.1 * x - 41.6 * x**2 - 151.3 * x**3)) ** 2)


def stem_rust_infected_frac(wet_degree_hours: Numbers) -> Numbers:
    """Share infected by stem rust of ryegrass from its product of wet degree-hours. Source: pfender2003."""
    return np.asarray(1.0 - np.exp(-0.0031 * np.asarray(wet_degree_hours)))


def germinated_frac(wet_h: Numbers, temperature_c: float) -> Numbers:
    """Share of coffee rust spores germinated after wet hours at one temperature. Source: bebber2016."""
    speed = beta_response_frac(temperature_c, 12.909, 21.410, 30.943)
    return _weibull(np.asarray(wet_h) * speed / 13.363, 1.287)


def holdfast_frac(hours: Numbers, temperature_c: float) -> Numbers:
    """Share of germinated coffee rust spores that formed a holdfast (appressorium). Source: bebber2016.

    hours : since germination, at one temperature. Scale and shape are those printed for this step; the authors' script
    uses those of germination here, which looks like a slip.
    """
    speed = beta_response_frac(temperature_c, 11.000, 11.500, 32.109)
    return _weibull(np.asarray(hours) * speed / 19.121, 2.141)


def moraes_incubation_d(maximum_c: Numbers, minimum_c: Numbers) -> Numbers:
    """Incubation of coffee rust from mean daily maximum and minimum [d]. Source: moraes1976, from memory.

    Six such regressions exist and part widely in warm places: a check of the formula, not of nature.
    """
    return np.asarray(103.01 - 0.98 * np.asarray(maximum_c) - 2.10 * np.asarray(minimum_c))


def _weibull(scaled: NDArray[np.float64], shape: float) -> NDArray[np.float64]:
    return np.asarray(1.0 - np.exp(-(scaled**shape)))


def two_step_infected_frac(wet_h: int, temperature_c: float) -> float:
    """Share of coffee rust spores that germinated and then formed a holdfast, hourly cohorts added up [0 to 1].

    wet_h : whole hours of one wet spell. Each hour's germination counts from its middle. Source: bebber2016.
    """
    ends = np.arange(1.0, wet_h + 1.0)
    germinating = np.asarray(germinated_frac(ends, temperature_c)) - np.asarray(
        germinated_frac(ends - 1, temperature_c)
    )
    return float(np.sum(germinating * np.asarray(holdfast_frac(np.asarray(wet_h - ends + 0.5), temperature_c))))


def log_linear_latent_period_d(temperature_c: Numbers, at_c: float, at_d: float, slope_per_c: float) -> Numbers:
    """Latent period that shrinks by a constant share per degree [d], through at_d days at at_c.

    Source: webb1997 (alfalfa rust). Wrong above the optimum, as every straight line is.
    """
    return np.asarray(at_d * np.exp(-slope_per_c * (np.asarray(temperature_c) - at_c)))


def thermal_time_latent_period_d(temperature_c: Numbers, base_c: float, degree_days: float) -> Numbers:
    """Latent period by degree-days above a base [d]; good only below the optimum. Source: guelph."""
    return np.asarray(degree_days / (np.asarray(temperature_c) - base_c))

"""A stochastic weather generator: learnt from a place's own history, or drawn from a sketch of a climate."""

from abaxial.weather.generator.climate import Climate, ClimateSketch, assumed_sketch
from abaxial.weather.generator.days import State, first_midnight
from abaxial.weather.generator.fit import fit
from abaxial.weather.generator.invent import invent
from abaxial.weather.generator.matrices import (
    gamma_quantile,
    gamma_shape,
    next_residual,
    rain_chances_frac,
    rain_gamma,
    stationary_correlations,
    wgen_matrices,
)
from abaxial.weather.generator.simulate import Simulated, simulate, state_after
from abaxial.weather.generator.sky import completed_sky

__all__ = [
    "Climate",
    "ClimateSketch",
    "Simulated",
    "State",
    "assumed_sketch",
    "completed_sky",
    "first_midnight",
    "fit",
    "gamma_quantile",
    "gamma_shape",
    "invent",
    "next_residual",
    "rain_chances_frac",
    "rain_gamma",
    "simulate",
    "state_after",
    "stationary_correlations",
    "wgen_matrices",
]

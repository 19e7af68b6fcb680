"""A stochastic weather generator: learnt from a place's own history, or drawn from a sketch of a climate."""

from abaxial.weather.generator.climate import Climate, ClimateSketch, assumed_sketch
from abaxial.weather.generator.days import State, first_midnight
from abaxial.weather.generator.fit import completed_sky, fit
from abaxial.weather.generator.invent import invent
from abaxial.weather.generator.matrices import gamma_shape, next_residual, rain_chances_frac, rain_gamma, wgen_matrices
from abaxial.weather.generator.simulate import Simulated, simulate, state_after

__all__ = [
    "Climate",
    "ClimateSketch",
    "Simulated",
    "State",
    "assumed_sketch",
    "completed_sky",
    "first_midnight",
    "fit",
    "gamma_shape",
    "invent",
    "next_residual",
    "rain_chances_frac",
    "rain_gamma",
    "simulate",
    "state_after",
    "wgen_matrices",
]

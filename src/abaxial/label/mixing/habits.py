"""What sprayers, jugs and foliage ask of a mix; read from habits.toml."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from abaxial.provenance import Parameter, read_parameters, read_table

#: how often a container and a sprayer are rinsed
RINSES = 3

_PATH = Path(__file__).with_name("habits.toml")
_LIMITS = {
    "leaf_ml_per_m2": (5.0, 200.0),
    "left_over_frac": (0.0, 0.2),
    "misread_frac": (0.001, 0.2),
    "graduation_ml": (0.001, 10.0),
    "graduation_g": (0.001, 10.0),
    "worn_frac": (0.01, 0.5),
    "first_water_frac": (0.1, 0.9),
    "jar_test_min": (1.0, 120.0),
    "drain_s": (5.0, 300.0),
    "small_container_l": (1.0, 50.0),
    "small_rinse_frac": (0.05, 0.5),
    "large_rinse_frac": (0.05, 0.5),
    "sprayer_rinse_frac": (0.01, 0.5),
}


class Habits(NamedTuple):
    """How one mixes.

    leaf_ml_per_m2 : spray for a square metre of leaf, one side counted. left_over_frac : largest share of a mix that may
    be left. misread_frac : share of an amount that one graduation of the measure may be. graduation_ml, graduation_g : between two graduations.
    worn_frac : see calibration.wear_frac. first_water_frac : share of the water that goes in first. jar_test_min : how
    long a trial stands. drain_s : dripping and shaking. small_container_l, small_rinse_frac, large_rinse_frac : how full a
    container is for a rinse. sprayer_rinse_frac : share of the tank for a rinse.
    """

    leaf_ml_per_m2: float
    left_over_frac: float
    misread_frac: float
    graduation_ml: float
    graduation_g: float
    worn_frac: float
    first_water_frac: float
    jar_test_min: float
    drain_s: float
    small_container_l: float
    small_rinse_frac: float
    large_rinse_frac: float
    sprayer_rinse_frac: float


@cache
def parameters() -> dict[str, Parameter]:
    """All numbers of habits.toml with range and source. Raises ParameterError if the file breaks its rules."""
    table = read_table(_PATH).get("parameters")
    return read_parameters(table, limits=_LIMITS, rising=[], path=_PATH)


@cache
def read_habits() -> Habits:
    """The central values of habits.toml. Raises ParameterError if the file breaks its rules."""
    return Habits(**{name: parameter.value for name, parameter in parameters().items()})

"""What a look is worth, read from looks.toml: the numbers by which sightings are weighed."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from abaxial.provenance import read_parameters, read_table

_PATH = Path(__file__).with_name("looks.toml")
_LIMITS = {
    "correlation_frac": (0.001, 0.9),
    "casual_leaves": (2.0, 50.0),
    "severity_log_sd": (0.05, 3.0),
    "smallest_seen_frac": (1e-6, 0.1),
    "pustules_per_patch": (1.0, 100.0),
    "pustules_log_sd": (0.05, 3.0),
    "stem_with_frac": (0.0, 1.0),
    "stem_alone_frac": (0.0, 1.0),
    "blunder_frac": (1e-6, 0.5),
}


class Looks(NamedTuple):
    """What a look is worth.

    correlation_frac : correlation between leaves turned together, 0 to 1. casual_leaves : leaves turned by one who does not
    count. severity_log_sd, pustules_log_sd : spread of the logarithm of what was judged or counted about what is.
    smallest_seen_frac : share of leaf area below which people write none. pustules_per_patch : blisters of one
    infection. stem_with_frac, stem_alone_frac : chance that a stem shows rust where the lower leaves do, and do not.
    blunder_frac : share of looks that say nothing about the planting they are written to.
    """

    correlation_frac: float
    casual_leaves: int
    severity_log_sd: float
    smallest_seen_frac: float
    pustules_per_patch: float
    pustules_log_sd: float
    stem_with_frac: float
    stem_alone_frac: float
    blunder_frac: float


@cache
def read_looks() -> Looks:
    """The central values of looks.toml. Raises ParameterError if the file breaks its rules."""
    read = read_parameters(
        read_table(_PATH).get("parameters"), limits=_LIMITS, rising=[("stem_alone_frac", "stem_with_frac")], path=_PATH
    )
    values = {name: parameter.value for name, parameter in read.items()}
    return Looks(**values | {"casual_leaves": round(values["casual_leaves"])})  # type: ignore[arg-type]

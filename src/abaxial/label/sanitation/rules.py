"""The numbers of cleanliness, with where they come from."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from abaxial.provenance import Parameter, digest, read_parameters, read_table

LIMITS: Mapping[str, tuple[float, float]] = {
    "least_measure_ml": (0.1, 50.0),
    "hold_periods": (1.0, 10.0),
    "hold_least_d": (7.0, 365.0),
    "hold_looks_per_week": (0.5, 7.0),
    "clean_rusted_frac": (1e-6, 0.1),
    "heavy_rusted_frac": (1e-5, 1.0),
    "bag_least_d": (7.0, 120.0),
    "bag_heat_doses": (1.0, 100.0),
    "ground_least_d": (7.0, 120.0),
    "ground_hot_c": (35.0, 60.0),
}
_FILE = Path(__file__).parent / "rules.toml"


@dataclass(frozen=True)
class CleanRules:
    """The numbers by name. digest : hash of their file."""

    numbers: Mapping[str, Parameter]
    digest: str

    def __getitem__(self, name: str) -> float:
        """The central value of a number."""
        return self.numbers[name].value


@cache
def read_rules() -> CleanRules:
    """Our numbers of cleanliness. Raises ParameterError where their file breaks a rule."""
    numbers = read_parameters(
        read_table(_FILE).get("parameters"),
        limits=LIMITS,
        rising=(("clean_rusted_frac", "heavy_rusted_frac"),),
        path=_FILE,
    )
    return CleanRules(numbers, digest(_FILE.read_bytes()))

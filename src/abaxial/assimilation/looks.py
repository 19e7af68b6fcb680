"""What a look is worth, read from looks.toml: the numbers by which sightings are weighed."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from abaxial.provenance import read_parameters, read_table
from abaxial.scouting.sightings import Sighting

_PATH = Path(__file__).with_name("looks.toml")
_LIMITS = {
    "correlation_frac": (0.001, 0.9),
    "walk_correlation_frac": (0.001, 0.9),
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

    correlation_frac : correlation between leaves of one plant, 0 to 1. walk_correlation_frac : between all leaves of one
    planting on one walk. among_frac : between those of the look at hand, see `for_plants`. casual_leaves : leaves turned by one who does not
    count. severity_log_sd, pustules_log_sd : spread of the logarithm of what was judged or counted about what is.
    smallest_seen_frac : share of leaf area below which people write none. pustules_per_patch : blisters of one
    infection. stem_with_frac, stem_alone_frac : chance that a stem shows rust where the lower leaves do, and do not.
    blunder_frac : share of looks that say nothing about the planting they are written to.
    """

    correlation_frac: float
    walk_correlation_frac: float
    casual_leaves: int
    severity_log_sd: float
    smallest_seen_frac: float
    pustules_per_patch: float
    pustules_log_sd: float
    stem_with_frac: float
    stem_alone_frac: float
    blunder_frac: float
    among_frac: float

    def for_plants(self, sighting: Sighting, plants: int | None) -> "Looks":
        """The same for leaves spread over as many plants as there are: leaves of different plants are less alike.

        plants : in the planting; None where not known, and then all leaves count as of one plant. Source: madden2007, design
        effect of clusters, 1 + rho (n/m - 1) for n leaves on m plants.
        """
        if not sighting.turned or not plants:
            return self
        if sighting.unit == "plant" or sighting.turned == 1:
            return self._replace(among_frac=self.walk_correlation_frac)
        each = sighting.turned / min(plants, sighting.turned)
        alike = self.correlation_frac * (each - 1.0) / (sighting.turned - 1.0)
        return self._replace(among_frac=max(alike, self.walk_correlation_frac))


@cache
def read_looks() -> Looks:
    """The central values of looks.toml. Raises ParameterError if the file breaks its rules."""
    read = read_parameters(
        read_table(_PATH).get("parameters"), limits=_LIMITS, rising=[("stem_alone_frac", "stem_with_frac")], path=_PATH
    )
    values = {name: parameter.value for name, parameter in read.items()}
    whole = {"casual_leaves": round(values["casual_leaves"]), "among_frac": values["correlation_frac"]}
    return Looks(**values | whole)  # type: ignore[arg-type]

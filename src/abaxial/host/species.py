"""A host plant as its file describes it: how fast leaves come, how large and old they grow, how tall the plant is."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from abaxial.errors import ParameterError
from abaxial.garden.parts import Planting
from abaxial.provenance import Files, Parameter, digest, read_parameters, read_table, read_text, refuse_unknown

#: what is physically possible for each parameter; a file names exactly these
LIMITS: Mapping[str, tuple[float, float]] = {
    "growth_base_c": (-10.0, 25.0),
    "growth_optimum_c": (5.0, 45.0),
    "growth_maximum_c": (10.0, 55.0),
    "phyllochron_k_d": (1.0, 2000.0),
    "leaf_area_m2": (1e-5, 5.0),
    "leaf_width_m": (0.001, 2.0),
    "shoots_per_clump": (1.0, 500.0),
    "leaf_lifespan_k_d": (10.0, 20000.0),
    "leaves_to_full_height": (1.0, 200.0),
    "plant_height_m": (0.02, 10.0),
    "light_extinction": (0.1, 1.5),
    "largest_leaf_area_index": (0.1, 20.0),
    "regrowth_delay_k_d": (0.0, 3000.0),
    "water_storage_mm": (0.0, 2.0),
}
_FILES = Files("host plant", Path(__file__).parent / "species", "hosts")


@dataclass(frozen=True)
class Species:
    """One kind of host.

    name : as a gardener says it. latin : genus or species. rust : key of the rust file that names it as a host.
    digest : hash of its file. eaten : whether people eat of it as a rule.
    """

    key: str
    name: str
    latin: str
    rust: str
    parameters: Mapping[str, Parameter]
    digest: str
    eaten: bool = False

    def __getitem__(self, name: str) -> float:
        """The central value of a parameter."""
        return self.parameters[name].value


def is_eaten(planting: Planting, kind: Species) -> bool:
    """Whether a planting counts as eaten: as its gardener says; where nobody said, as its kind is."""
    return kind.eaten if planting.eaten is None else planting.eaten


def species_keys(folder: Path | None = None) -> tuple[str, ...]:
    """The keys of all hosts that can be read: ours and those in `folder`/hosts."""
    return _FILES.keys(folder)


def read_species(key: str, folder: Path | None = None) -> Species:
    """The host of that key, from `folder`/hosts if it is there, else from ours.

    Raises ParameterError, naming file, parameter, rule and value, where the file breaks a rule.
    """
    return _read(_FILES.path(key, folder))


def _read(path: Path) -> Species:
    table = read_table(path)
    rising = (("growth_base_c", "growth_optimum_c"), ("growth_optimum_c", "growth_maximum_c"))
    parameters = read_parameters(table.get("parameters"), limits=LIMITS, rising=rising, path=path)
    refuse_unknown(table, ("name", "latin", "rust", "eaten", "parameters"), path)
    eaten = table.get("eaten", False)
    if not isinstance(eaten, bool):
        raise ParameterError(f"{path}: eaten is {eaten!r}.", remedy="Write eaten = true or eaten = false.")
    return Species(
        key=path.stem,
        name=read_text(table, "name", path),
        latin=read_text(table, "latin", path),
        rust=read_text(table, "rust", path),
        parameters=parameters,
        digest=digest(path.read_bytes()),
        eaten=eaten,
    )

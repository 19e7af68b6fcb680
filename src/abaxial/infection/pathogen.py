"""A rust as its file describes it: parameters with ranges and sources, and the relatives it borrows from."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from abaxial.errors import ParameterError
from abaxial.provenance import (
    HOW,
    Files,
    Parameter,
    digest,
    read_parameters,
    read_table,
    read_text,
    refuse_unknown,
    sources,
)

#: what is physically possible for each parameter; a file names exactly these
LIMITS: Mapping[str, tuple[float, float]] = {
    "infection_minimum_c": (-10.0, 25.0),
    "infection_optimum_c": (0.0, 35.0),
    "infection_maximum_c": (10.0, 45.0),
    "first_wet_h": (0.5, 48.0),
    "full_wet_h": (1.0, 96.0),
    "germination_h": (0.25, 24.0),
    "break_kill_frac": (0.0, 1.0),
    "humid_pause_frac": (0.5, 1.0),
    "wet_hour_frac": (0.01, 1.0),
    "sun_loss_per_mj": (0.0, 2.0),
    "dark_loss_per_d": (0.0, 2.0),
    "latent_minimum_c": (-10.0, 25.0),
    "latent_optimum_c": (0.0, 40.0),
    "latent_maximum_c": (10.0, 50.0),
    "shortest_latent_d": (1.0, 120.0),
    "showing_span_d": (0.5, 60.0),
    "enough_frac": (0.001, 1.0),
}
#: the same for how a rust spreads; a file may name any of these, and the rest are as in unmeasured.toml
EPIDEMIC_LIMITS: Mapping[str, tuple[float, float]] = {
    "local_infection_per_d": (0.01, 500.0),
    "infectious_period_d": (1.0, 200.0),
    "lesion_frac": (1e-5, 0.5),
    "clumping": (0.05, 50.0),
    "arrival_per_d": (0.0, 1.0),
    "start_frac": (1e-7, 0.9),
    "dead_fall_per_d": (0.0, 1.0),
    "gradient_exponent": (2.05, 6.0),
    "gradient_offset_m": (0.01, 20.0),
}
#: pairs of which the first must be the smaller
_RISING = (
    ("infection_minimum_c", "infection_optimum_c"),
    ("infection_optimum_c", "infection_maximum_c"),
    ("latent_minimum_c", "latent_optimum_c"),
    ("latent_optimum_c", "latent_maximum_c"),
    ("first_wet_h", "full_wet_h"),
)
FACES = ("lower", "upper", "both")
_FILES = Files("rust", Path(__file__).parent / "pathogens", "rusts")
_UNMEASURED = Path(__file__).parent / "unmeasured.toml"
_TEXTS = ("name", "latin", "face", "note")
_KNOWN = {*_TEXTS, "hosts", "borrowed", "parameters", "epidemic", "analogue"}


@dataclass(frozen=True)
class Analogue:
    """A related rust that stands in for one nobody has measured.

    weight_frac : its share of the draws, 0 to 1. values : what is known of it, by parameter name. why : the facts.
    """

    name: str
    weight_frac: float
    values: Mapping[str, float]
    why: str
    source: str
    how: str


@dataclass(frozen=True)
class Pathogen:
    """One rust.

    hosts : keys of species files it lives on. face : the side of the leaf it enters by. borrowed : nothing was measured
    on this fungus itself. epidemic : how it spreads. digest : hash of its file.
    """

    key: str
    name: str
    latin: str
    hosts: tuple[str, ...]
    face: str
    borrowed: bool
    note: str
    parameters: Mapping[str, Parameter]
    epidemic: Mapping[str, Parameter]
    analogues: tuple[Analogue, ...]
    digest: str

    def __getitem__(self, name: str) -> float:
        """The central value of a parameter."""
        return self.parameters[name].value


def pathogen_keys(folder: Path | None = None) -> tuple[str, ...]:
    """The keys of all rusts that can be read: ours and those in `folder`/rusts."""
    return _FILES.keys(folder)


def pathogen_for(host: str, folder: Path | None = None) -> Pathogen | None:
    """The rust that lives on a host, or None. One in `folder`/rusts goes before ours."""
    for place in _FILES.places(folder):
        for path in sorted(place.glob("*.toml")):
            pathogen = _read(path)
            if host in pathogen.hosts:
                return pathogen
    return None


def read_pathogen(key: str, folder: Path | None = None) -> Pathogen:
    """The rust of that key, from `folder`/rusts if it is there, else from ours.

    Raises ParameterError, naming file, parameter, rule and value, where the file breaks a rule.
    """
    return _read(_FILES.path(key, folder))


def _read(path: Path) -> Pathogen:
    table = read_table(path)
    refuse_unknown(table, sorted(_KNOWN), path)
    texts = {name: read_text(table, name, path) for name in _TEXTS}
    if texts["face"] not in FACES:
        raise ParameterError(f"{path}: face is {texts['face']!r}.", remedy=f"Write one of {', '.join(FACES)}.")
    parameters = read_parameters(table.get("parameters"), limits=LIMITS, rising=_RISING, path=path)
    return Pathogen(
        key=path.stem,
        **texts,
        hosts=_hosts(table.get("hosts"), path),
        borrowed=table.get("borrowed") is True,
        parameters=parameters,
        epidemic=_epidemic(table, path),
        analogues=_analogues(table.get("analogue", []), parameters, path),
        digest=digest(path.read_bytes()),
    )


def _epidemic(table: Mapping[str, Any], path: Path) -> Mapping[str, Parameter]:
    own = table.get("epidemic", {})
    if not isinstance(own, dict):
        raise ParameterError(f"{path}: epidemic is not a table.", remedy="Write [epidemic] above its parameters.")
    refuse_unknown(own, sorted(EPIDEMIC_LIMITS), path)
    entries = {**read_table(_UNMEASURED)["epidemic"], **own}
    return read_parameters(entries, limits=EPIDEMIC_LIMITS, rising=(), path=path)


def _analogues(tables: object, parameters: Mapping[str, Parameter], path: Path) -> tuple[Analogue, ...]:
    if not isinstance(tables, list):
        raise ParameterError(f"{path}: analogue is not a list of tables.", remedy="Write [[analogue]] above each.")
    analogues = tuple(_analogue(table, parameters, path) for table in tables)
    total = sum(each.weight_frac for each in analogues)
    if analogues and abs(total - 1.0) > 1e-6:
        raise ParameterError(f"{path}: the weights of the analogues add up to {total:g}, not 1.", remedy="Mend them.")
    return analogues


def _analogue(table: Any, parameters: Mapping[str, Parameter], path: Path) -> Analogue:
    name, source, how = read_text(table, "name", path), read_text(table, "source", path), read_text(table, "how", path)
    weight, values = table.get("weight_frac"), table.get("values", {})
    if not isinstance(weight, int | float) or not 0 < weight <= 1:
        raise ParameterError(f"{path}: {name} has weight_frac {weight!r}.", remedy="Give a share above 0, up to 1.")
    if source not in sources() or how not in HOW:
        raise ParameterError(
            f"{path}: {name} has source {source!r} and how {how!r}.",
            remedy=f"Use a key of the bibliography, and one of {', '.join(HOW)}.",
        )
    refuse_unknown(values, sorted(LIMITS), path)
    for each, value in values.items():
        parameter = parameters[each]
        if not isinstance(value, int | float) or not parameter.low <= value <= parameter.high:
            raise ParameterError(
                f"{path}: {name} has {each} = {value!r}; the range of {each} is {parameter.low:g} to {parameter.high:g}.",
                remedy="Widen the range, or pull the borrowed value into it and say so under why.",
            )
    return Analogue(name, float(weight), dict(values), read_text(table, "why", path), source, how)


def _hosts(value: object, path: Path) -> tuple[str, ...]:
    if not isinstance(value, list) or not value or not all(isinstance(each, str) for each in value):
        raise ParameterError(f"{path}: hosts is {value!r}.", remedy='Give a list such as hosts = ["canna"].')
    return tuple(value)

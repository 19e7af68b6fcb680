"""Where numbers come from: the bibliography, parameters with their ranges, and the passport of a result."""

import hashlib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from abaxial import __version__
from abaxial.errors import ParameterError

HOW = ("read", "digitised", "fitted", "analogue", "practice", "assumed", "memory")


@dataclass(frozen=True)
class Parameter:
    """One number from a parameter file.

    value : central value. low, high : the range that holds it nine times in ten. source : key in sources.toml, or
    "practice". where : table, page or reason. how : one of HOW.
    """

    name: str
    value: float
    low: float
    high: float
    source: str
    where: str
    how: str


@dataclass(frozen=True)
class Passport:
    """What a result was made from, so that it can be made again."""

    version: str
    made_at: str
    seed: int
    weather: tuple[tuple[str, str], ...]
    parameters: tuple[tuple[str, str], ...]
    settings: tuple[tuple[str, str], ...]


@cache
def sources() -> Mapping[str, Mapping[str, str]]:
    """The bibliography: key to authors, year, title, where."""
    path = Path(__file__).parent / "sources.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def digest(content: bytes | str) -> str:
    """The first 16 hexadecimal digits of the SHA-256 of a content."""
    raw = content.encode() if isinstance(content, str) else content
    return hashlib.sha256(raw).hexdigest()[:16]


def passport(
    made_at: str,
    seed: int,
    weather: Mapping[str, str],
    parameters: Mapping[str, str],
    settings: Mapping[str, str],
) -> Passport:
    """The passport of a result. made_at : UTC time in ISO 8601, given by the caller."""
    return Passport(
        __version__, made_at, seed, tuple(weather.items()), tuple(parameters.items()), tuple(settings.items())
    )


def read_table(path: Path) -> dict[str, Any]:
    """A TOML file. Raises ParameterError, with the line, if it is missing or is not TOML."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except FileNotFoundError:
        raise ParameterError(f"There is no file {path}.", remedy="Check the name and the folder.") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as error:
        raise ParameterError(f"{path} cannot be read as TOML: {error}.", remedy="Mend that line.") from None


@dataclass(frozen=True)
class Files:
    """TOML files of one kind by key: ours, and the gardener's own beside the garden, which go before.

    what : they describe. ours : where ours lie. own : the folder's name beside the garden.
    """

    what: str
    ours: Path
    own: str

    def places(self, folder: Path | None) -> tuple[Path, ...]:
        """Where to look, in order. folder : the garden's; None for ours alone."""
        return (self.ours,) if folder is None else (folder / self.own, self.ours)

    def keys(self, folder: Path | None) -> tuple[str, ...]:
        """Every key there is."""
        return tuple(sorted({path.stem for place in self.places(folder) for path in place.glob("*.toml")}))

    def path(self, key: str, folder: Path | None) -> Path:
        """The file of a key. Raises ParameterError, naming the keys there are, where there is none."""
        for place in self.places(folder):
            path = place / f"{key}.toml"
            if path.is_file():
                return path
        raise ParameterError(
            f"No {self.what} is called {key!r}.",
            remedy=f"Known are {', '.join(self.keys(folder))}; or write {self.own}/{key}.toml beside the garden.",
        )


def read_parameter(name: str, table: object, *, limits: tuple[float, float], path: Path) -> Parameter:
    """One parameter from its TOML table {value, range, source, where, how}.

    limits : what is physically possible. Raises ParameterError naming file, parameter, rule and value.
    """
    if not isinstance(table, dict):
        raise ParameterError(
            f"{path}: {name} is missing.",
            remedy=f'Write {name} = {{ value = …, range = [low, high], source = "…", where = "…", how = "…" }}.',
        )
    value = _number(table.get("value"), name, path)
    span = table.get("range")
    if not (isinstance(span, list) and len(span) == 2):
        raise ParameterError(f"{path}: {name} has no range of two numbers.", remedy="Give range = [low, high].")
    low, high = (_number(each, name, path) for each in span)
    if not low <= value <= high:
        raise ParameterError(
            f"{path}: {name} is {value:g}; it must lie in its own range {low:g} to {high:g}.",
            remedy="Correct the value or the range.",
        )
    if low < limits[0] or high > limits[1]:
        raise ParameterError(
            f"{path}: {name} ranges over {low:g} to {high:g}; only {limits[0]:g} to {limits[1]:g} is possible.",
            remedy="Check the number and its unit.",
        )
    how, source = str(table.get("how", "")), str(table.get("source", ""))
    if how not in HOW:
        raise ParameterError(f"{path}: {name} has how = {how!r}.", remedy=f"Use one of {', '.join(HOW)}.")
    if source != "practice" and source not in sources():
        raise ParameterError(
            f"{path}: {name} names the source {source!r}, which is not in sources.toml.",
            remedy='Add it there, or write source = "practice".',
        )
    return Parameter(name, value, low, high, source, str(table.get("where", "")), how)


def read_parameters(
    table: object, *, limits: Mapping[str, tuple[float, float]], rising: Iterable[tuple[str, str]], path: Path
) -> dict[str, Parameter]:
    """A file's [parameters]: exactly the names in `limits`, each within its own.

    rising : pairs of which the first must be the smaller. Raises ParameterError as `read_parameter` does.
    """
    if not isinstance(table, dict):
        raise ParameterError(f"{path}: there is no [parameters] table.", remedy="Copy one of our files and change it.")
    refuse_unknown(table, limits, path)
    read = {name: read_parameter(name, table.get(name), limits=span, path=path) for name, span in limits.items()}
    for smaller, larger in rising:
        if read[smaller].value >= read[larger].value:
            raise ParameterError(
                f"{path}: {smaller} is {read[smaller].value:g} and {larger} is {read[larger].value:g}; "
                "the first must be the smaller.",
                remedy="Correct one of them.",
            )
    return read


def read_text(table: Mapping[str, Any], name: str, path: Path) -> str:
    """A text from a parameter file. Raises ParameterError if it is missing or something else."""
    value = table.get(name)
    if not isinstance(value, str):
        raise ParameterError(f"{path}: {name} is {value!r}, which is not a text.", remedy=f'Write {name} = "…".')
    return value


def refuse_unknown(names: Iterable[str], known: Iterable[str], path: Path) -> None:
    """Raise ParameterError for names a file may not have."""
    strange = set(names) - set(known)
    if strange:
        raise ParameterError(
            f"{path}: nobody here knows {', '.join(sorted(strange))}.", remedy=f"Known names are {', '.join(known)}."
        )


def _number(value: object, name: str, path: Path) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or value != value:
        raise ParameterError(f"{path}: {name} holds {value!r}, which is not a number.", remedy="Write a number.")
    return float(value)

"""The standards a compost heap is judged by, as their file gives them."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Any

from abaxial.errors import ParameterError
from abaxial.provenance import read_table, refuse_unknown, sources

_FILE = Path(__file__).parent / "compost.toml"


@dataclass(frozen=True)
class Standard:
    """What a heap must have done.

    hot_c, hot_d : how warm on how many days. in_a_row : whether without a break. least_turnings : with turnings_apart_d
    between two that count [d]. while_hot : whether only turnings among the hot days count. least_total_d : from the last
    addition to the last reading [d]. again_c, again_d : how warm on how many days after the last turning; 0 days where
    nothing is asked. least_moisture_frac : on every hot day, None where nothing is asked. frees_rust : whether passing it
    is enough where rusted leaves went in.
    """

    key: str
    name: str
    source: str
    where: str
    status: str
    hot_c: float
    hot_d: int
    in_a_row: bool = False
    least_turnings: int = 0
    turnings_apart_d: int = 0
    while_hot: bool = False
    least_total_d: int = 0
    again_c: float = 0.0
    again_d: int = 0
    least_moisture_frac: float | None = None
    frees_rust: bool = False


def standard_keys() -> tuple[str, ...]:
    """The standards there are."""
    return tuple(_standards())


def read_standard(key: str) -> Standard:
    """The standard of that key. Raises ParameterError where there is none."""
    if key not in _standards():
        raise ParameterError(f"No standard is called {key!r}.", remedy=f"Known are {', '.join(standard_keys())}.")
    return _standards()[key]


@cache
def _standards() -> Mapping[str, Standard]:
    return {key: _standard(key, table) for key, table in read_table(_FILE).items()}


def _standard(key: str, table: Mapping[str, Any]) -> Standard:
    refuse_unknown(table, [each.name for each in fields(Standard)][1:], _FILE)
    if table["source"] not in sources() or not 30.0 <= table["hot_c"] <= 80.0 or table["hot_d"] < 1:
        raise ParameterError(
            f"{_FILE}: {key} has an unknown source, or asks for {table['hot_c']:g} °C on {table['hot_d']} days.",
            remedy="A heap works between 30 and 80 °C, on 1 day or more.",
        )
    return Standard(key=key, **table)

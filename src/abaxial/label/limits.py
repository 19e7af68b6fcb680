"""The rules that stand beside the label: hard, and only ever made tighter by whoever gardens by them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from abaxial.errors import LabelError, ParameterError
from abaxial.garden.section import shown
from abaxial.provenance import Parameter, read_parameter, read_table

#: FRAC codes whose share of the year's sprays is capped: strobilurins, SDHIs, benzimidazoles
CAPPED_CODES = ("11", "7", "1")
#: days that make one round of the garden: one planting on Monday and another on Friday are one turn, not two
ROUND_D = 7
#: the year that shares are taken of
YEAR_D = 365
WAYS = ("lower", "higher")
_PATH = Path(__file__).with_name("rules.toml")
_POSSIBLE = (0.0, 1000.0)


@dataclass(frozen=True)
class Rules:
    """The hard rules beside the label.

    most_running : turns of one FRAC code in a row. run_memory_d : turns further apart are not in a row. solo_share_frac,
    mixed_share_frac : most of a year's turns with a capped code, alone and in any way, once there are share_from_sprays.
    least_interval_d : between two of a kind, whatever the label. silent_interval_d : where neither label nor material names
    one. oil_sulfur_d, oil_captan_d : apart; oil_sulfur_better_d : should be apart. oil_stop_c, sulfur_stop_c, soap_stop_c :
    never sprayed in more heat; oil_warn_c : better not.
    """

    most_running: int
    run_memory_d: int
    solo_share_frac: float
    mixed_share_frac: float
    share_from_sprays: int
    least_interval_d: int
    silent_interval_d: int
    oil_sulfur_d: int
    oil_sulfur_better_d: int
    oil_captan_d: int
    oil_stop_c: float
    oil_warn_c: float
    sulfur_stop_c: float
    soap_stop_c: float


@cache
def printed() -> Mapping[str, tuple[Parameter, str]]:
    """Every rule with its range and source, and which way is stricter. Raises ParameterError if the file breaks its own."""
    tables = read_table(_PATH)["rule"]
    if set(tables) != set(Rules.__dataclass_fields__):
        raise ParameterError(f"{_PATH} does not hold the rules that there are.", remedy="Name exactly those of Rules.")
    read = {}
    for name, table in tables.items():
        way = table.get("stricter")
        if way not in WAYS:
            raise ParameterError(f"{_PATH}: {name} has stricter = {way!r}.", remedy=f"Use one of {', '.join(WAYS)}.")
        read[name] = (read_parameter(name, table, limits=_POSSIBLE, path=_PATH), way)
    return read


@cache
def usual_rules() -> Rules:
    """The rules as they are where nobody has tightened them."""
    return Rules(**{name: _typed(name, parameter.value) for name, (parameter, _) in printed().items()})


def rules_from(values: Mapping[str, object], *, where: str) -> Rules:
    """The usual rules with a gardener's own numbers in place of some.

    values : name of a rule to number. Raises LabelError, for all of them together, where a name is not one of a rule, where
    a number is none, and where a rule would become looser than its limit.
    """
    wrong: list[str] = []
    own: dict[str, Any] = {}
    for name, value in values.items():
        if name not in printed():
            wrong.append(f"there is no rule called {shown(name)}")
            continue
        parameter, way = printed()[name]
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            wrong.append(f"{name} is {shown(value)}, which is not a number")
        elif _is_whole(name) and value != int(value):
            wrong.append(f"{name} is {value:g}; it must be a whole number")
        elif not parameter.low <= value <= parameter.high:
            hard = parameter.high if way == "lower" else parameter.low
            beyond = (value > hard) if way == "lower" else (value < hard)
            says = f"no looser than {hard:g}" if beyond else f"from {parameter.low:g} to {parameter.high:g}"
            wrong.append(f"{name} is {value:g}; it may be {says}")
        else:
            own[name] = _typed(name, float(value))
    if wrong:
        raise LabelError(
            f"{where}: {'; '.join(wrong)}.",
            remedy="A rule can be made tighter, not looser: the label and the limits stand above everybody's wishes.",
            where=where,
        )
    return replace(usual_rules(), **own)


def _is_whole(name: str) -> bool:
    return Rules.__dataclass_fields__[name].type in (int, "int")


def _typed(name: str, value: float) -> Any:
    return int(value) if _is_whole(name) else value

"""A mix to disinfect with: how much product and water, how long, how soon to use it up, and what to beware of."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from abaxial.errors import ParameterError, RequestError
from abaxial.label.sanitation.dilution import parts_per_million, product_needed_ml
from abaxial.label.sanitation.rules import read_rules
from abaxial.provenance import Parameter, read_parameters, read_table, read_text

PURPOSES = ("tools", "division", "cut_material")
_FILE = Path(__file__).parent / "disinfectants.toml"
_ALWAYS = ("label_first", "fresh_air", "never_mix")


@dataclass(frozen=True)
class Disinfectant:
    """What one may be used for, how strong and how long.

    purposes : some of PURPOSES. rinse : whether it is rinsed off afterwards. steps : by purpose, in order. cautions :
    kinds of caution that every card about it shows. numbers : by name, such as tools_frac and tools_min.
    """

    key: str
    name: str
    active: str
    purposes: tuple[str, ...]
    rinse: bool
    steps: Mapping[str, tuple[str, ...]]
    cautions: tuple[str, ...]
    numbers: Mapping[str, Parameter]

    def __getitem__(self, name: str) -> float:
        """The central value of a number."""
        return self.numbers[name].value


class Mix(NamedTuple):
    """What to pour and what to do with it.

    product_ml, water_ml : to pour [ml]. strength_frac, strength_ppm : of the active substance in the mix. contact_min :
    how long it must act [min]. use_within_h : then it is made anew [h]. cautions : is never empty.
    """

    disinfectant: str
    purpose: str
    product_ml: float
    water_ml: float
    strength_frac: float
    strength_ppm: float
    contact_min: float
    use_within_h: float
    rinse: bool
    steps: tuple[str, ...]
    cautions: tuple[str, ...]


def disinfectant_keys() -> tuple[str, ...]:
    """The disinfectants there are."""
    return tuple(sorted(_disinfectants()))


def read_disinfectant(key: str) -> Disinfectant:
    """The disinfectant of that key. Raises RequestError where there is none."""
    if key not in _disinfectants():
        raise RequestError(
            f"Nothing here is called {key!r}.", remedy=f"We reckon with {' and '.join(disinfectant_keys())}."
        )
    return _disinfectants()[key]


def mix_for(key: str, purpose: str, *, bought_frac: float, total_ml: float) -> Mix:
    """The mix for a purpose, from a bottle of a given strength.

    key : of a disinfectant. purpose : one of PURPOSES. bought_frac : strength on the bottle, above 0, to 1. total_ml :
    mix wanted [ml]. Raises RequestError where it may not be used for that, is bought too weak, or where the amount
    cannot be measured or is too much to handle safely.
    """
    chosen, rules = read_disinfectant(key), read_rules()
    if purpose not in chosen.purposes:
        raise RequestError(
            f"{chosen.name} is not for {purpose.replace('_', ' ')}.",
            remedy=f"Use it for {', '.join(chosen.purposes).replace('_', ' ')}; for the rest take bleach.",
        )
    if total_ml > chosen["most_total_ml"]:
        raise RequestError(
            f"{total_ml:g} ml of it at once is too much to handle safely.",
            remedy=f"Make at most {chosen['most_total_ml']:g} ml at a time.",
        )
    wanted = chosen[f"{purpose}_frac"]
    product = product_needed_ml(bought_frac, wanted, total_ml)
    if product < rules["least_measure_ml"]:
        raise RequestError(
            f"{product:.2g} ml cannot be measured.",
            remedy=f"Make at least {total_ml * rules['least_measure_ml'] / product:.0f} ml.",
        )
    return Mix(
        disinfectant=key, purpose=purpose, product_ml=product, water_ml=total_ml - product, strength_frac=wanted,
        strength_ppm=parts_per_million(wanted), contact_min=chosen[f"{purpose}_min"], use_within_h=chosen["use_within_h"],
        rinse=chosen.rinse and purpose != "cut_material", steps=chosen.steps[purpose], cautions=chosen.cautions,
    )  # fmt: skip


@cache
def _disinfectants() -> Mapping[str, Disinfectant]:
    return {key: _disinfectant(key, table) for key, table in read_table(_FILE).items()}


def _disinfectant(key: str, table: Mapping[str, Any]) -> Disinfectant:
    purposes, cautions = tuple(table["purposes"]), tuple(table["cautions"])
    steps = {purpose: tuple(each) for purpose, each in table["steps"].items()}
    if set(purposes) != set(steps) or not set(purposes) <= set(PURPOSES) or not set(_ALWAYS) <= set(cautions):
        raise ParameterError(
            f"{_FILE}: {key} lacks steps for a purpose, or one of the cautions {', '.join(_ALWAYS)}.",
            remedy="Give every purpose its steps, and every disinfectant these cautions.",
        )
    shares = {f"{purpose}_frac": (1e-5, 1.0) for purpose in purposes}
    minutes = {f"{purpose}_min": (0.0, 120.0) for purpose in purposes}
    limits = {**shares, **minutes, "use_within_h": (0.1, 48.0), "most_total_ml": (100.0, 100000.0)}
    return Disinfectant(
        key=key,
        name=read_text(table, "name", _FILE),
        active=read_text(table, "active", _FILE),
        purposes=purposes,
        rinse=table["rinse"] is True,
        steps=steps,
        cautions=cautions,
        numbers=read_parameters(table["parameters"], limits=limits, rising=(), path=_FILE),
    )

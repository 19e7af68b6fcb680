"""Within which weather one may spray; read from limits.toml, made stricter by label, material and person, never laxer."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from abaxial.errors import RequestError
from abaxial.provenance import Parameter, read_parameters, read_table

_PATH = Path(__file__).with_name("limits.toml")
_POSSIBLE = {
    "wind_least_m_s": (0.0, 3.0),
    "wind_most_m_s": (1.0, 8.0),
    "delta_t_least_k": (0.0, 5.0),
    "delta_t_most_k": (3.0, 15.0),
    "temperature_least_c": (-5.0, 20.0),
    "temperature_most_c": (15.0, 40.0),
    "heat_reach_h": (0.0, 48.0),
    "wet_most_frac": (0.0, 1.0),
    "rain_most_mm": (0.0, 5.0),
    "rain_fast_h": (0.0, 72.0),
    "layered_sun_deg": (0.0, 40.0),
    "layered_wind_m_s": (0.5, 5.0),
    "layered_cloud_frac": (0.0, 1.0),
    "bees_least_c": (0.0, 20.0),
    "bees_sun_deg": (-12.0, 10.0),
    "light_sun_deg": (-12.0, 10.0),
    "sun_on_oil_w_m2": (100.0, 1200.0),
    "fit_least_frac": (0.5, 1.0),
    "water_m": (0.0, 100.0),
    "hive_m": (0.0, 1000.0),
    "tell_keeper_m": (0.0, 1.0e4),
    "cover_pond_m": (0.0, 100.0),
}
#: limits that a larger number makes laxer; of all others a larger one is stricter
_LAXER_WHEN_LARGER = {
    "wind_most_m_s",
    "delta_t_most_k",
    "temperature_most_c",
    "wet_most_frac",
    "rain_most_mm",
    "bees_least_c",
    "bees_sun_deg",
    "sun_on_oil_w_m2",
}


class Limits(NamedTuple):
    """Within which weather one may spray.

    wind_least_m_s, wind_most_m_s : at the height of the bed. delta_t_least_k, delta_t_most_k : of air over wet bulb.
    temperature_least_c, temperature_most_c : in the hour. heat_reach_h : hours after it that must stay below what a
    material bears. wet_most_frac : of a face of the leaf. rain_most_mm : within rain_fast_h. layered_sun_deg,
    layered_wind_m_s, layered_cloud_frac : below all three the air may lie in layers. bees_least_c, bees_sun_deg : below
    either bees are home. light_sun_deg : below it is too dark. sun_on_oil_w_m2 : for oils. fit_least_frac : share of
    members. water_m, hive_m, tell_keeper_m, cover_pond_m : see limits.toml.
    """

    wind_least_m_s: float
    wind_most_m_s: float
    delta_t_least_k: float
    delta_t_most_k: float
    temperature_least_c: float
    temperature_most_c: float
    heat_reach_h: float
    wet_most_frac: float
    rain_most_mm: float
    rain_fast_h: float
    layered_sun_deg: float
    layered_wind_m_s: float
    layered_cloud_frac: float
    bees_least_c: float
    bees_sun_deg: float
    light_sun_deg: float
    sun_on_oil_w_m2: float
    fit_least_frac: float
    water_m: float
    hive_m: float
    tell_keeper_m: float
    cover_pond_m: float


@cache
def parameters() -> dict[str, Parameter]:
    """All limits with range and source. Raises ParameterError if the file breaks its rules."""
    rising = [
        ("wind_least_m_s", "wind_most_m_s"),
        ("delta_t_least_k", "delta_t_most_k"),
        ("temperature_least_c", "temperature_most_c"),
    ]
    return read_parameters(read_table(_PATH).get("parameters"), limits=_POSSIBLE, rising=rising, path=_PATH)


@cache
def read_limits() -> Limits:
    """The central values of limits.toml. Raises ParameterError if the file breaks its rules."""
    return Limits(**{name: parameter.value for name, parameter in parameters().items()})


def with_label(limits: Limits, said: Mapping[str, float | None]) -> Limits:
    """Limits with what a label or a material says wherever that is stricter; None says nothing.

    said : names of Limits. A laxer label leaves ours standing, except rain_fast_h, which the label knows best.
    """
    given = {name: float(value) for name, value in said.items() if value is not None}
    kept = {
        name: value if name == "rain_fast_h" else _stricter(name, value, getattr(limits, name))
        for name, value in given.items()
    }
    return limits._replace(**kept)


def tightened(limits: Limits, wanted: Mapping[str, float]) -> Limits:
    """Limits as a person wants them. Raises RequestError for what is no limit, is no number, or is laxer than it was."""
    for name, value in wanted.items():
        if name not in Limits._fields:
            raise RequestError(f"{name!r} is not a limit of spraying.", remedy=f"They are {', '.join(Limits._fields)}.")
        was = getattr(limits, name)
        if _stricter(name, value, was) != value:
            raise RequestError(
                f"{name} cannot become {value!r}; it is {was:g} and may only be made stricter.",
                remedy="Leave it out, or give a stricter one.",
            )
    return limits._replace(**{name: float(value) for name, value in wanted.items()})


def _stricter(name: str, first: float, second: float) -> float:
    return min(first, second) if name in _LAXER_WHEN_LARGER else max(first, second)

"""Heat that leaves no rust: how long it takes, and how much of it a bag or a bed in the sun has had."""

import math
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.label.sanitation.rules import read_rules
from abaxial.provenance import Parameter, read_parameters, read_table

_FILE = Path(__file__).parent / "heat.toml"


class Solarised(NamedTuple):
    """How far a closed bag, or ground under film, has come.

    days, needed_d : in full sun [d]. doses, needed_doses : of lethal heat, NaN where nobody measured. hot_h : hours at or
    above the mark, NaN the same. ready : whether time, and heat where measured, are enough. short : what is lacking.
    """

    days: float
    needed_d: float
    doses: float
    needed_doses: float
    hot_h: float
    ready: bool
    short: tuple[str, ...]


def lethal_h(temperature_c: ArrayLike) -> NDArray[np.float64]:
    """Time at a temperature, moist, after which no rust came up [h].

    temperature_c : any shape [°C]. Infinite below the lower anchor, and no shorter above the upper one. Source:
    phillips1973 and practice; the line between the anchors is ours.
    """
    at = _numbers()
    slow, fast = at["slow_c"].value, at["fast_c"].value
    steps = (math.log(at["slow_h"].value), math.log(at["fast_h"].value))
    temperature = np.asarray(temperature_c, float)
    hours = np.exp(np.interp(temperature, (slow, fast), steps))
    return np.where(temperature < slow, np.inf, hours)


def heat_doses(hourly_c: ArrayLike) -> float:
    """Lethal times passed in some hours, added up [doses]; 1 is as much as left no rust. hourly_c : (hours,) [°C], NaN
    where nobody measured counts nothing."""
    hourly = np.asarray(hourly_c, float)
    return float(np.sum(1.0 / lethal_h(hourly[np.isfinite(hourly)])))


def hours_above(hourly_c: ArrayLike, mark_c: float) -> float:
    """Hours at or above a mark [h]. hourly_c : (hours,) [°C]."""
    return float(np.count_nonzero(np.asarray(hourly_c, float) >= mark_c))


def bag_in_the_sun(days: float, hourly_c: ArrayLike | None = None) -> Solarised:
    """How far a closed double bag of rusted leaves in full sun has come. days : so far [d]. hourly_c : (hours,) in the
    middle of the bag [°C], None where nobody measured."""
    rules = read_rules()
    return _solarised(days, rules["bag_least_d"], hourly_c, rules["bag_heat_doses"])


def ground_under_film(days: float, hourly_c: ArrayLike | None = None) -> Solarised:
    """The same of moist ground under clear film, measured 10 to 15 cm deep. It clears ground of rotten remains, and does
    nothing against spores that come by air."""
    rules = read_rules()
    return _solarised(days, rules["ground_least_d"], hourly_c, rules["bag_heat_doses"])


def _solarised(days: float, needed_d: float, hourly_c: ArrayLike | None, needed_doses: float) -> Solarised:
    short = ["time"] if days < needed_d else []
    if hourly_c is None:
        return Solarised(days, needed_d, math.nan, needed_doses, math.nan, not short, tuple(short))
    doses = heat_doses(hourly_c)
    if doses < needed_doses:
        short.append("heat")
    hot = hours_above(hourly_c, read_rules()["ground_hot_c"])
    return Solarised(days, needed_d, doses, needed_doses, hot, not short, tuple(short))


@cache
def _numbers() -> dict[str, Parameter]:
    limits = {"slow_c": (30.0, 50.0), "slow_h": (1.0, 200.0), "fast_c": (40.0, 80.0), "fast_h": (0.001, 24.0)}
    rising = (("slow_c", "fast_c"), ("fast_h", "slow_h"))
    return read_parameters(read_table(_FILE).get("parameters"), limits=limits, rising=rising, path=_FILE)

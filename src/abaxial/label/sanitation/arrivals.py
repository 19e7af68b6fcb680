"""New plants stand apart: for how long, by temperature, and when they may join the others."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.infection.latency import latent_period_d, ripening_per_h
from abaxial.infection.pathogen import Pathogen, read_pathogen
from abaxial.label.sanitation.rules import read_rules

_LATENT = ("latent_minimum_c", "latent_optimum_c", "latent_maximum_c", "shortest_latent_d")


class Hold(NamedTuple):
    """How a new plant stands.

    periods : (members,) latent periods passed since it came. days : since it came [d]. looks : made. over : whether it may
    join the others. short : what is lacking: "latent_periods", "days", "looks" or "rust_seen".
    """

    periods: NDArray[np.float64]
    days: int
    looks: int
    over: bool
    short: tuple[str, ...]


def hold_d(rust: Pathogen, temperature_c: ArrayLike) -> NDArray[np.float64]:
    """Days that a new plant stands apart at a constant temperature [d]; infinite where rust does not ripen.

    temperature_c : any shape [°C]. Never fewer than the least: an infection that came on the last day before needs them.
    """
    rules = read_rules()
    periods = latent_period_d(np.asarray(temperature_c, float), *(rust[name] for name in _LATENT))
    return np.maximum(rules["hold_periods"] * periods, rules["hold_least_d"])


def hold_of_d(rust: str, temperature_c: ArrayLike) -> NDArray[np.float64]:
    """The same by the key of a rust's file; for checks and explanations."""
    return hold_d(read_pathogen(rust), temperature_c)


def periods_passed(rust: Pathogen, hourly_c: ArrayLike) -> NDArray[np.float64]:
    """Latent periods passed after each hour since a plant came, (…, hours). hourly_c : the same shape [°C]."""
    return np.cumsum(ripening_per_h(np.asarray(hourly_c, float), *(rust[name] for name in _LATENT)), axis=-1)


def hold(periods: ArrayLike, days: int, *, looks: int, rust_seen: bool, sure_frac: float) -> Hold:
    """How a new plant stands.

    periods : (members,) latent periods passed since it came, or since rust was last seen on it. days : since then [d].
    looks : made since then. rust_seen : on the last look. sure_frac : share of the members that must have passed, above
    0, to 1. In cold or heat nothing ripens, and the plant waits however long that takes.
    """
    rules, passed = read_rules(), np.atleast_1d(np.asarray(periods, float))
    ripe = float(np.mean(passed >= rules["hold_periods"])) >= sure_frac
    lacking = {
        "rust_seen": rust_seen,
        "latent_periods": not ripe,
        "days": days < rules["hold_least_d"],
        "looks": looks < int(rules["hold_looks_per_week"] * days / 7.0) or looks < 1,
    }
    short = tuple(kind for kind, is_lacking in lacking.items() if is_lacking)
    return Hold(passed, days, looks, not short, short)

"""A thousand equally likely versions of one rust, each with numbers of its own inside the published ranges."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.infection.pathogen import LIMITS, Pathogen

Floats = NDArray[np.float64]

#: a triangle that holds nine in ten within its range reaches this many times as far
_REACH = 1.0 / (1.0 - 0.1**0.5)
#: draws per member come in whole groups of this many, so that the kernel's inner loop fills the processor's registers
_LANES = 16
#: how much of the range is left around the curve of a related fungus, once that fungus has been chosen
_AROUND_ANALOGUE_FRAC = 0.5


class Draws(NamedTuple):
    """Parameters by (members, draws); names and units as in the pathogen files.

    analogue : number of the related fungus whose curve a draw started from; -1 where the rust has numbers of its own.
    wet_hour_frac, humid_pause_frac : one number for all draws.
    """

    infection_minimum_c: Floats
    infection_optimum_c: Floats
    infection_maximum_c: Floats
    first_wet_h: Floats
    full_wet_h: Floats
    germination_h: Floats
    break_kill_frac: Floats
    sun_loss_per_mj: Floats
    dark_loss_per_d: Floats
    latent_minimum_c: Floats
    latent_optimum_c: Floats
    latent_maximum_c: Floats
    shortest_latent_d: Floats
    showing_span_d: Floats
    analogue: NDArray[np.int64]
    wet_hour_frac: float
    humid_pause_frac: float

    @property
    def total(self) -> int:
        """How many draws there are."""
        return int(self.analogue.size)


_DRAWN = Draws._fields[: Draws._fields.index("analogue")]


def make_draws(pathogen: Pathogen, *, seed: int, members: int = 16, at_least: int = 1000) -> Draws:
    """Draws of a rust's parameters, the same number for every weather member.

    at_least : rounded up so that members share equally and fill whole groups of 16; 1000 becomes 1024.
    Each parameter is spread over its range by a Latin hypercube under a triangle that leans as the range leans. A rust
    known only through its relatives first takes one of them, by weight, then varies half as widely around that one.
    """
    each = -(-at_least // (members * _LANES)) * _LANES
    analogue = _choose(pathogen, seed, each * members)
    drawn = {name: _spread(pathogen, name, analogue, seed) for name in _DRAWN}
    ordered = _in_order(drawn)
    return Draws(
        **{name: _by_member(values, members) for name, values in ordered.items()},
        analogue=_by_member(analogue, members),
        wet_hour_frac=pathogen["wet_hour_frac"],
        humid_pause_frac=pathogen["humid_pause_frac"],
    )


def central(pathogen: Pathogen) -> Draws:
    """One draw of one member that holds every parameter's central value: for tables, tests and explanations."""
    return Draws(
        **{name: np.full((1, 1), pathogen[name]) for name in _DRAWN},
        analogue=np.full((1, 1), -1),
        wet_hour_frac=pathogen["wet_hour_frac"],
        humid_pause_frac=pathogen["humid_pause_frac"],
    )


def _by_member(values: NDArray, members: int) -> NDArray:  # type: ignore[type-arg]
    # draw i belongs to member i mod members; a member's draws then lie side by side
    return np.ascontiguousarray(values.reshape(-1, members).T)


def _choose(pathogen: Pathogen, seed: int, size: int) -> NDArray[np.int64]:
    if not pathogen.analogues:
        return np.full(size, -1)
    ends = np.cumsum([each.weight_frac for each in pathogen.analogues])
    picked = np.searchsorted(ends, chance.stratified(seed, f"{pathogen.key}/analogue", size) * ends[-1])
    return np.asarray(np.minimum(picked, ends.size - 1))


def _spread(pathogen: Pathogen, name: str, analogue: NDArray[np.int64], seed: int) -> Floats:
    parameter = pathogen.parameters[name]
    uniform = chance.stratified(seed, f"{pathogen.key}/{name}", analogue.size)
    side = np.where(uniform > 0.5, parameter.high - parameter.value, parameter.low - parameter.value)
    step = side * _REACH * (1.0 - np.sqrt(2.0 * np.minimum(uniform, 1.0 - uniform)))
    drawn = parameter.value + step
    if pathogen.analogues:
        own = np.array([each.values.get(name, np.nan) for each in pathogen.analogues])[analogue]
        drawn = np.where(np.isnan(own), drawn, own + _AROUND_ANALOGUE_FRAC * step)
    return np.asarray(np.clip(drawn, *LIMITS[name]))


def _in_order(drawn: dict[str, Floats]) -> dict[str, Floats]:
    """The same draws with minimum < optimum < maximum and first < full, at least a degree or an hour apart."""
    ordered = dict(drawn)
    for stage in ("infection", "latent"):
        low, best, high = (f"{stage}_{mark}_c" for mark in ("minimum", "optimum", "maximum"))
        ordered[low] = np.minimum(drawn[low], drawn[best] - 1.0)
        ordered[high] = np.maximum(drawn[high], drawn[best] + 1.0)
    ordered["full_wet_h"] = np.maximum(drawn["full_wet_h"], drawn["first_wet_h"] + 1.0)
    return ordered

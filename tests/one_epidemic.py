"""Plantings under nights of our choosing, all alike unless said otherwise, so that an epidemic can be held against theory."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.epidemic import simulate
from abaxial.epidemic.day.rows import DEAD, FIRST_STAGE, HEALTHY, level_rows
from abaxial.epidemic.kernel import LANES, OUTS, Acts, Drivers, Rows, Versions
from abaxial.epidemic.simulate import Season

Floats = NDArray[np.float64]
WET_H = 24.0


class Rust(NamedTuple):
    """How rust goes in steps of a day or of a part of it. infection : new patches from one in a day where all is healthy."""

    infection_per_d: float = 0.5
    latent_d: float = 8.0
    infectious_d: float = 14.0
    latent_stages: int = 1
    showing_stages: int = 1
    step_d: float = 1.0


def season_of(
    steps: int, rust: Rust, /, *, plantings: int = 1, ripening: ArrayLike | None = None, **changes: ArrayLike
) -> Season:
    """Every night lets all spores in; levels keep theirs to themselves; nothing grows, falls or arrives.

    ripening : (steps,) latent periods passed in each step, where it is not even. changes : any field of Drivers or Acts,
    but for the other nights.
    """
    even = np.full(steps, rust.step_d / rust.latent_d) if ripening is None else np.asarray(ripening, float)
    progress = np.concatenate([[0.0], np.cumsum(even)])
    nights, levels = (plantings, 2, 1, steps, 1), (plantings, 2, steps)
    fields = {
        "infected_frac": np.ones(nights),
        "wet_reach_h": np.full(nights, WET_H),
        "alive_frac": np.zeros(nights),
        "progress": np.broadcast_to(progress[:, np.newaxis], (plantings, 2, 1, steps + 1, 1)),
        "first_wet_h": np.full((plantings, 1, 1), 6.0),
        "spread_h": np.full((plantings, 1, 1), 4.0),
        "unfolded": np.zeros((plantings, steps)),
        "sinking_frac": np.zeros((plantings, steps)),
        "fallen_frac": np.zeros((plantings, steps)),
        "caught_frac": np.ones(levels),
        "cut_frac": np.zeros(levels),
        "shield": np.zeros((plantings, 2, 1, steps)),
        "cure": np.zeros((plantings, steps)),
        "reach_frac": np.ones((plantings, steps)),
        "picked_frac": np.zeros(levels),
        "left_frac": np.zeros((plantings, steps)),
        "first_leaf_day": np.full(plantings, -1),
        "own_frac": np.ones(plantings),
        "far_frac": np.zeros(plantings),
        "neighbour": np.full((plantings, 1), -1),
        "neighbour_frac": np.zeros((plantings, 1)),
        "rust": np.zeros(plantings, int),
        "latent_stages": np.full(plantings, rust.latent_stages),
        "showing_stages": rust.showing_stages,
        "stay_frac": 1.0,
        "start_latent_frac": 0.67,
        "memory_frac": 1.0,
        "litter_frac": 0.5,
    }
    fitted = {name: _fit(value) for name, value in {**fields, **changes}.items()}
    acts = {name: fitted.pop(name) for name in list(fitted) if name not in Drivers._fields}
    drivers = Drivers(**fitted, acts=_acts_of(acts, fitted))
    rusts = int(drivers.rust.max()) + 1
    return Season(drivers, steps, simulate.by_strength(drivers.infected_frac, drivers.rust, rusts))


def _acts_of(rows: dict, nights: dict) -> Acts:
    """Whatever weather there is has the shield of the first, where but one was given; there are no other nights."""
    members, shield = nights["infected_frac"].shape[2], rows["shield"]
    rows["shield"] = np.broadcast_to(shield, (*shield.shape[:2], members, shield.shape[3])).copy()
    others = {name: nights[name][:0] for name in ("infected_frac", "wet_reach_h", "alive_frac", "progress")}
    is_shielded = np.ascontiguousarray((shield > 0.0).any(axis=(1, 2)))
    return Acts(**rows, **others, is_shielded=is_shielded, nights_of=np.full(len(shield), -1), from_day=0)


def versions_of(season: Season, rust: Rust, *, count: int = LANES, **changes: ArrayLike) -> Versions:
    """So many versions alike, but for what is changed: any field of Versions, of a shape that stretches to its own."""
    rusts, weeks = int(season.drivers.rust.max()) + 1, -(-season.days // 7)
    one, of_rust, of_planting = (count,), (rusts, count), (season.plantings, count)
    alike = {
        "member": (0, one),
        "draw": (0, of_rust),
        "local_infection_per_d": (rust.infection_per_d * rust.step_d, of_rust),
        "arrival_per_d": (0.0, of_rust),
        "latent_factor": (1.0, of_rust),
        "giving_per_d": (rust.showing_stages * rust.step_d / rust.infectious_d, of_rust),
        "dead_fall_frac": (0.0, of_rust),
        "burst": (0.0, of_rust),
        "burst_day": (-1, of_rust),
        "wet_stretch": (1.0, one),
        "start_frac": (0.0, of_planting),
        "vigour": (1.0, of_planting),
        "luck": (1.0, (season.plantings, weeks, count)),
        "lesion_frac": (0.02, of_rust),
        "clumping": (1.0, of_rust),
        "remedy_factor": (1.0, one),
    }
    return Versions(
        **{name: _fit(np.broadcast_to(changes.get(name, value), shape)) for name, (value, shape) in alike.items()}
    )


def planted(season: Season, *, latent_frac: ArrayLike = 0.0, showing_frac: ArrayLike = 0.0, count: int = LANES) -> Rows:
    """Leaf area 1 on each level of every planting, some of it (plantings,) newly infected or newly open."""
    state = simulate.clean(season, count)
    size = level_rows(state.shape[1])
    latent, showing = (
        np.broadcast_to(each, season.plantings).astype(float)[:, np.newaxis] for each in (latent_frac, showing_frac)
    )
    for base in (0, size):
        state[:, base + HEALTHY] = 1.0 - latent - showing
        state[:, base + FIRST_STAGE] = latent
        for planting, stages in enumerate(season.drivers.latent_stages):
            state[planting, base + FIRST_STAGE + stages] += showing[planting]
    return state


def go(season: Season, versions: Versions, state: Rows, days: tuple[int, int], record_days: Sequence[int] = ()) -> Rows:
    """Run from the first of two days up to the other, changing the state; the record of some days."""
    if not record_days:
        record_days = [days[1] - 1]
    return simulate.run(season, versions, state, first_day=days[0], end_day=days[1], record_days=record_days)


def tissue(season: Season, state: Rows, planting: int = 0, level: int = 0) -> Floats:
    """Healthy, latent, showing and dead leaf area of a level, (4, versions)."""
    size, latent = level_rows(state.shape[1]), int(season.drivers.latent_stages[planting])
    rows = state[planting, level * size : (level + 1) * size].astype(np.float64)
    opened = FIRST_STAGE + latent
    showing = rows[opened : opened + season.drivers.showing_stages].sum(axis=0)
    return np.stack([rows[HEALTHY], rows[FIRST_STAGE:opened].sum(axis=0), showing, rows[DEAD]])


def course(rust: Rust, days: Sequence[float], *, latent_frac: float) -> Floats:
    """Healthy, latent, showing and dead shares of one leaf layer on some days after a share became latent, (days, 4)."""
    steps = [round(day / rust.step_d) for day in days]
    season = season_of(steps[-1], rust)
    versions, state, found, at = versions_of(season, rust), planted(season, latent_frac=latent_frac), [], 0
    for until in steps:
        go(season, versions, state, (at, until))
        found.append(tissue(season, state)[:, 0])
        at = until
    return np.array(found)


def limit_course(rust: Rust, days: Sequence[float], *, latent_frac: float) -> Floats:
    """The same as steps grow small: the step's error is taken off, as it is told by steps of half the length."""
    fine = course(rust._replace(step_d=rust.step_d / 2.0), days, latent_frac=latent_frac)
    return 2.0 * fine - course(rust, days, latent_frac=latent_frac)


def _fit(value: ArrayLike) -> object:
    """As the kernel wants it: arrays of single numbers or of whole ones, in one piece; single numbers as they are."""
    array = np.asarray(value)
    if array.ndim == 0:
        return array.item()
    # a copy, because the compiler takes what must not be written to for another kind
    return np.array(array, np.int64 if array.dtype.kind in "iu" else np.float32, order="C")


__all__ = ["OUTS", "Rust", "course", "go", "limit_course", "planted", "season_of", "tissue", "versions_of"]

"""A garden's epidemic set up and run: what the days bring, what differs between versions, and what comes of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.epidemic import kernel, stages
from abaxial.epidemic.dispersal import Spread
from abaxial.epidemic.kernel import LANES, Drivers, Rows, Span, Versions
from abaxial.epidemic.leaf_area import LeafDays
from abaxial.infection.curves import Curves
from abaxial.infection.kernel import Nights
from abaxial.provenance import Parameter, read_parameter, read_table

Whole = NDArray[np.int64]
_FILE = Path(__file__).parent / "constants.toml"


class Remedies(NamedTuple):
    """Where remedies act. held_frac : (plantings, 2, days) share of infections prevented, lower level then upper.
    cured_frac : (plantings, days) share of latent tissue healed. Leaves taken off and plants cut are leaf area's business.
    """

    held_frac: NDArray[np.float64]
    cured_frac: NDArray[np.float64]


@dataclass(frozen=True)
class Season:
    """Everything about a garden's season that does not differ between versions.

    days : how many garden days. by_strength : (rusts, members, draws) draws of every rust on every weather, from the one
    that lets in least in this season to the one that lets in most: neighbours are alike.
    """

    drivers: Drivers
    days: int
    by_strength: Whole

    @property
    def plantings(self) -> int:
        """How many plantings there are."""
        return int(self.drivers.own_frac.size)


@cache
def constants() -> dict[str, Parameter]:
    """The numbers of every epidemic, by name. Source: constants.toml, which gives one for each."""
    table = read_table(_FILE)["epidemic"]
    return {name: read_parameter(name, entry, limits=(0.0, 400.0), path=_FILE) for name, entry in table.items()}


def season_of(
    nights: Nights,
    curves: Sequence[Curves],
    leaves: LeafDays,
    spread: Spread,
    latent_stages: Sequence[int],
    remedies: Remedies | None = None,
) -> Season:
    """A season ready to run.

    nights : of every planting, (plantings, levels, members, days, draws). curves : of every rust. latent_stages : of
    every rust, from stages.latent_stages.
    """
    plantings, _, _, days, _ = nights.infected_frac.shape
    known = constants()
    held = np.zeros((plantings, 2, days)) if remedies is None else remedies.held_frac
    cured = np.zeros((plantings, days)) if remedies is None else remedies.cured_frac
    unfolded = leaves.unfolded > 0.0
    drivers = Drivers(
        infected_frac=nights.infected_frac,
        wet_reach_h=nights.wet_reach_h,
        alive_frac=nights.alive_frac,
        progress=nights.progress,
        first_wet_h=_single(np.stack([each.first_wet_h for each in curves])),
        spread_h=_single(np.stack([each.spread_h for each in curves])),
        unfolded=_single(leaves.unfolded),
        sinking_frac=_single(leaves.sinking_frac),
        fallen_frac=_single(leaves.fallen_frac),
        caught_frac=_single(leaves.caught_frac),
        first_leaf_day=np.where(unfolded.any(axis=1), unfolded.argmax(axis=1), -1),
        own_frac=_single(spread.own_frac),
        far_frac=_single(spread.far_frac),
        neighbour=spread.neighbour,
        neighbour_frac=_single(spread.neighbour_frac),
        rust=spread.rust,
        latent_stages=np.asarray(latent_stages, np.int64)[spread.rust],
        showing_stages=stages.SHOWING,
        held_frac=_single(held),
        cured_frac=_single(cured),
        stay_frac=known["stay_frac"].value,
        start_latent_frac=known["start_latent_frac"].value,
        memory_frac=float(np.exp(-1.0 / known["origin_memory_d"].value)),
    )
    return Season(drivers, days, by_strength(nights.infected_frac, spread.rust, len(curves)))


def by_strength(infected_frac: Rows, rust: Whole, rusts: int) -> Whole:
    """Draws in order of how much they let in, (rusts, members, draws). infected_frac : (plantings, levels, members, days,
    draws). rust : (plantings,)."""
    let_in = infected_frac.mean(axis=(1, 3))
    of_rusts = [let_in[rust == each].sum(axis=0) for each in range(rusts)]
    return np.stack([np.argsort(each, axis=1, kind="stable") for each in of_rusts])


def clean(season: Season, versions: int) -> Rows:
    """The state before the first day: nothing has grown. versions : a multiple of LANES."""
    rows = kernel.rows_of(int(season.drivers.latent_stages.max(initial=1)), season.drivers.showing_stages)
    return np.zeros((season.plantings, rows, versions), np.float32)


def run(
    season: Season, versions: Versions, state: Rows, *, first_day: int, end_day: int, record_days: Sequence[int]
) -> Rows:
    """Run a span of days and return what was asked for.

    state : changed in place, from the start of first_day to the end of the day before end_day. record_days : rising;
    days whose end is recorded. Returns (record days, plantings, parts, 2, versions): shares of the leaf area
    of the lower and the upper level, and of all leaves, that are latent and that show.
    """
    order = np.argsort(versions.member, kind="stable")
    record = np.zeros((len(record_days), season.plantings, kernel.PARTS, kernel.OUTS, order.size), np.float32)
    out_row = np.full(season.days, -1)
    out_row[list(record_days)] = np.arange(len(record_days))
    span = Span(first_day, end_day, out_row)
    # versions of one weather side by side read the same part of memory
    if np.array_equal(order, np.arange(order.size)):
        kernel.run_days(state, record, season.drivers, versions, span)
        return record
    sorted_state = np.ascontiguousarray(state[..., order])
    sorted_versions = Versions._make(np.ascontiguousarray(each[..., order]) for each in versions)
    kernel.run_days(sorted_state, record, season.drivers, sorted_versions, span)
    back = np.argsort(order)
    state[:] = sorted_state[..., back]
    return np.ascontiguousarray(record[..., back])


def whole_lanes(count: int) -> int:
    """The next number of versions that fills whole lanes."""
    return -(-count // LANES) * LANES


def origins(season: Season, state: Rows) -> Rows:
    """Where recent infections came from, (plantings, 3, versions): the same planting, its neighbours, outside; shares
    of all, and 0 where there were none."""
    came = state[:, -kernel.ORIGINS :]
    total = came.sum(axis=1, keepdims=True)
    return np.where(total > 0.0, came / np.maximum(total, 1e-30), 0.0)


def leaf_area(season: Season, state: Rows) -> Rows:
    """Leaf area per ground area by level, (plantings, 2, versions)."""
    rows = (state.shape[1] - kernel.ORIGINS) // 2
    levels = state[:, : 2 * rows].reshape(state.shape[0], 2, rows, state.shape[2])
    return np.asarray(levels.sum(axis=2) - levels[:, :, kernel.WAITING])


def _single(values: NDArray[np.float64]) -> Rows:
    return np.ascontiguousarray(values, np.float32)

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
from abaxial.epidemic.kernel import LANES, Acts, Drivers, Outs, Rows, Span, Versions
from abaxial.epidemic.leaf_area import LeafDays
from abaxial.errors import FaultError
from abaxial.infection.curves import Curves
from abaxial.infection.kernel import Nights
from abaxial.provenance import Parameter, read_parameter, read_table

Whole = NDArray[np.int64]
_NIGHTS = ("infected_frac", "wet_reach_h", "alive_frac", "progress")
_FILE = Path(__file__).parent / "constants.toml"


class Remedies(NamedTuple):
    """What people do about rust in plantings, or in several courses of one; days of the leaves they go with.

    shield : (plantings, 2, members, days) −ln of the share of infections that still get in, lower level then upper, 0 or
    more. cure : (plantings, days) −ln of the share left of the latent tissue within reach, 0 or more. reach_frac :
    (plantings, days) how far along its latent way tissue may be to be within reach. picked_frac : (plantings, 2, days)
    share of the leaves that show rust which are found and taken off. left_frac : (plantings, days) share of what is
    picked or cut that stays lying among the plants. What is cut whatever it carries is leaf area's business.
    """

    shield: NDArray[np.float64]
    cure: NDArray[np.float64]
    reach_frac: NDArray[np.float64]
    picked_frac: NDArray[np.float64]
    left_frac: NDArray[np.float64]


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
    plantings, _, members, days, _ = nights.infected_frac.shape
    known = constants()
    if remedies is None:
        remedies = nothing_done(plantings, members, days)
    unfolded = leaves.unfolded > 0.0
    drivers = Drivers(
        infected_frac=nights.infected_frac,
        wet_reach_h=nights.wet_reach_h,
        alive_frac=nights.alive_frac,
        progress=nights.progress,
        first_wet_h=_single(np.stack([each.first_wet_h for each in curves])),
        spread_h=_single(np.stack([each.spread_h for each in curves])),
        acts=acts_of(leaves, remedies, nights),
        first_leaf_day=np.where(unfolded.any(axis=1), unfolded.argmax(axis=1), -1),
        own_frac=_single(spread.own_frac),
        far_frac=_single(spread.far_frac),
        neighbour=spread.neighbour,
        neighbour_frac=_single(spread.neighbour_frac),
        rust=spread.rust,
        latent_stages=np.asarray(latent_stages, np.int64)[spread.rust],
        showing_stages=stages.SHOWING,
        stay_frac=known["stay_frac"].value,
        start_latent_frac=known["start_latent_frac"].value,
        memory_frac=float(np.exp(-1.0 / known["origin_memory_d"].value)),
        litter_frac=float(0.5 ** (1.0 / known["litter_half_life_d"].value)),
    )
    return Season(drivers, days, by_strength(nights.infected_frac, spread.rust, len(curves)))


def nothing_done(plantings: int, members: int, days: int) -> Remedies:
    """No remedies: to begin with, or to be filled."""
    by_day, by_level = (plantings, days), (plantings, 2, days)
    shapes = ((plantings, 2, members, days), by_day, by_day, by_level, by_day)
    return Remedies(*(np.zeros(shape) for shape in shapes))


def acts_of(
    leaves: LeafDays,
    remedies: Remedies,
    nights: Nights | Drivers,
    nights_of: Whole | None = None,
    *,
    from_day: int = 0,
) -> Acts:
    """Leaves and remedies as the kernel reads them.

    nights : of the season, where nights_of is None; else a stack of other nights, (stack, levels, members, days, draws).
    nights_of : (rows,) which of the stack, or -1 for a planting's own. from_day : the season's day that is the first of
    all these. Raises FaultError where shapes do not go together.
    """
    rows, days = leaves.unfolded.shape
    members = nights.infected_frac.shape[2]
    for each, like in zip(remedies, nothing_done(rows, members, days), strict=True):
        if each.shape != like.shape:
            raise FaultError(f"Remedies of shape {each.shape} do not go with leaves and nights that want {like.shape}.")
    some = slice(0, 0) if nights_of is None else slice(None)
    return Acts(
        # copies, because the compiler takes what must not be written to for another kind of array
        **{name: np.array(getattr(leaves, name), np.float32, order="C") for name in LeafDays._fields},
        **{name: np.array(getattr(remedies, name), np.float32, order="C") for name in Remedies._fields},
        is_shielded=np.ascontiguousarray((remedies.shield > 0.0).any(axis=(1, 2))),
        **{name: np.ascontiguousarray(getattr(nights, name)[some]) for name in _NIGHTS},
        nights_of=np.full(rows, -1) if nights_of is None else np.ascontiguousarray(nights_of, np.int64),
        from_day=from_day,
    )


def by_strength(infected_frac: Rows, rust: Whole, rusts: int) -> Whole:
    """Draws in order of how much they let in, (rusts, members, draws). infected_frac : (plantings, levels, members, days,
    draws). rust : (plantings,)."""
    let_in = infected_frac.mean(axis=(1, 3))
    of_rusts = [let_in[rust == each].sum(axis=0) for each in range(rusts)]
    return np.stack([np.argsort(each, axis=1, kind="stable") for each in of_rusts])


def clean(season: Season, versions: int) -> Rows:
    """The state before the first day: nothing has grown. versions : a multiple of LANES."""
    return np.zeros((season.plantings, *clean_rows(season.drivers, versions)), np.float32)


def clean_rows(drivers: Drivers, versions: int) -> tuple[int, int]:
    """The shape of one planting's state: rows and versions."""
    return kernel.rows_of(int(drivers.latent_stages.max(initial=1)), drivers.showing_stages), versions


def run(
    season: Season, versions: Versions, state: Rows, *, first_day: int, end_day: int, record_days: Sequence[int]
) -> Rows:
    """Run a span of days and return what was asked for.

    state : changed in place, from the start of first_day to the end of the day before end_day. record_days : rising;
    days whose end is recorded. Returns (record days, plantings, parts, 2, versions): shares of the leaf area
    of the lower and the upper level, and of all leaves, that are latent and that show.
    """
    count = versions.member.size
    outs = kernel.outs(len(record_days), season.plantings, count)
    out_row = np.full(season.days, -1)
    out_row[list(record_days)] = np.arange(len(record_days))
    run_sorted(season.drivers, versions, state, outs, Span(first_day, end_day, out_row))
    return outs.record


def run_sorted(drivers: Drivers, versions: Versions, state: Rows, outs: Outs, span: Span) -> None:
    """As kernel.run_days, with versions of one weather side by side, because they read the same part of memory. Raises
    FaultError where the state is not of such plantings and versions."""
    if state.shape[1:] != clean_rows(drivers, versions.member.size):
        raise FaultError(f"A state of shape {state.shape} is not of these plantings and versions.")
    order = np.argsort(versions.member, kind="stable")
    if np.array_equal(order, np.arange(order.size)):
        kernel.run_days(state, outs, drivers, versions, span)
        return
    ordered = np.ascontiguousarray(state[..., order])
    inside = Outs(*(np.ascontiguousarray(each[..., order]) for each in outs))
    kernel.run_days(ordered, inside, drivers, reordered(versions, order), span)
    back = np.argsort(order)
    state[:] = ordered[..., back]
    for each, found in zip(outs, inside, strict=True):
        each[:] = found[..., back]


def reordered(versions: Versions, order: Whole) -> Versions:
    """Versions in another order, or some of them."""
    return Versions._make(np.ascontiguousarray(each[..., order]) for each in versions)


def whole_lanes(count: int) -> int:
    """The next number of versions that fills whole lanes."""
    return -(-count // LANES) * LANES


def origins(season: Season, state: Rows) -> Rows:
    """Where recent infections came from, (plantings, 3, versions): the same planting, its neighbours, outside; shares
    of all, and 0 where there were none."""
    came = state[:, -kernel.AFTER : -kernel.AFTER + kernel.ORIGINS]
    total = came.sum(axis=1, keepdims=True)
    return np.where(total > 0.0, came / np.maximum(total, 1e-30), 0.0)


def leaf_area(season: Season, state: Rows) -> Rows:
    """Leaf area per ground area by level, (plantings, 2, versions)."""
    levels = _levels(state)
    return np.asarray(levels.sum(axis=2) - levels[:, :, kernel.WAITING] - levels[:, :, kernel.PICKED])


def picked_area(season: Season, state: Rows) -> Rows:
    """Leaf area per ground area by level that would hang had nobody picked rusted leaves, (plantings, 2, versions)."""
    return _levels(state)[:, :, kernel.PICKED]


def litter(season: Season, state: Rows) -> Rows:
    """Showing tissue that was taken off and left lying and still gives spores, in leaf area, (plantings, versions)."""
    return state[:, -kernel.AFTER + kernel.LITTER]


def _levels(state: Rows) -> Rows:
    rows = kernel.level_rows(state.shape[1])
    return state[:, : 2 * rows].reshape(state.shape[0], 2, rows, state.shape[2])


def _single(values: NDArray[np.float64]) -> Rows:
    return np.ascontiguousarray(values, np.float32)

"""The epidemic's rules in vectorised NumPy, all plantings and versions at once: a peer to measure, an oracle to test."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.epidemic.day.rows import (
    AFTER,
    DEAD,
    FIRST_STAGE,
    HEALTHY,
    LOWER,
    MOST_STEPS,
    ORIGINS,
    PICKED,
    UPPER,
    WAITING,
    WHOLE,
)
from abaxial.epidemic.kernel import Drivers, Rows, Span, Versions

TERMS = 8
TINY = 1e-25


class Night(NamedTuple):
    """What a day brings, (plantings, levels, versions) each: share that the night lets in, that outlives the day, and stages
    passed; spores landed by where they come from."""

    got_in: Rows
    living: Rows
    steps: Rows
    landed: tuple[Rows, Rows, Rows]


class Sums(NamedTuple):
    """What is added up over the days, as in rollout.Outcome, (plantings, versions) each."""

    healthy_area_d: Rows
    rusted_area_d: Rows
    given: Rows


def run_days(
    state: Rows, record: Rows, drivers: Drivers, versions: Versions, span: Span, near: Rows | None = None
) -> Sums:
    """As kernel.run_days. near : (days, versions) spores over every planting, where they are not each other's."""
    plantings, rows, count = state.shape
    size = (rows - AFTER) // 2
    levels, origins, litter = (
        state[:, : 2 * size].reshape(plantings, 2, size, count),
        state[:, 2 * size :],
        state[:, -1],
    )
    weight = _weights(drivers) if near is None else None
    sums = Sums(*(np.zeros((plantings, count), np.float32) for _ in Sums._fields))
    for day in range(span.first_day, span.end_day):
        today = day - drivers.acts.from_day
        given = _given(levels, drivers)
        given[:, LOWER] += litter
        litter *= drivers.litter_frac
        _turn_leaves(levels, drivers, today)
        _start(levels, drivers, versions, day)
        _take_off(levels, litter, drivers, versions, today)
        area = levels.sum(axis=2) - levels[:, :, WAITING] - levels[:, :, PICKED]
        over = weight @ given.sum(axis=1) if near is None else near[day - span.first_day]
        night = _night(drivers, versions, day, _landed(given, (levels, area), over, (drivers, versions, day)))
        _age(levels, night.steps, drivers, versions, today)
        came = _infect(levels, night, area, (drivers, versions, day))
        origins[:, :ORIGINS] = drivers.memory_frac * origins[:, :ORIGINS] + came
        _add_up(sums, levels, given, drivers)
        if span.out_row[day] >= 0:
            _note(record[span.out_row[day]], levels, drivers)
    return sums


def _take_off(levels: Rows, litter: Rows, drivers: Drivers, versions: Versions, today: int) -> None:
    """Rusted leaves that are found go, and a share of all."""
    acts, left = drivers.acts, drivers.acts.left_frac[:, today, None]
    picked, cut = acts.picked_frac[:, :, today, None], acts.cut_frac[:, :, today, None]
    if not picked.any() and not cut.any():
        return
    for latent, which in _alike(drivers):
        some, opened = levels[which], FIRST_STAGE + latent
        showing = some[:, :, opened : opened + drivers.showing_stages]
        shows = some[:, :, DEAD] + showing.sum(axis=2)
        area = some[:, :, HEALTHY] + some[:, :, FIRST_STAGE:opened].sum(axis=2) + shows
        share = shows / np.maximum(area, TINY)
        clumping = np.minimum(versions.clumping, 1e6).astype(np.float64)[drivers.rust[which]][:, None]
        patches = share / versions.lesion_frac[drivers.rust[which]][:, None]
        bears = np.maximum(-np.expm1(-clumping * np.log1p(patches / clumping)), share)
        found, off = picked[which], cut[which]
        other = found * (bears - share) / np.maximum(1.0 - share, TINY)
        gone = (found + (1.0 - found) * off) * showing.sum(axis=2)
        litter[which] += left[which] * gone.sum(axis=1)
        some[:, :, PICKED] += found * shows + other * (area - shows)
        some[:, :, WAITING] *= 1.0 - found * bears
        some[:, :, DEAD] *= 1.0 - found
        showing *= 1.0 - found[:, :, None]
        some[:, :, HEALTHY] *= 1.0 - other
        some[:, :, FIRST_STAGE:opened] *= 1.0 - other[:, :, None]
        levels[which] = some * (1.0 - off[:, :, None])


def _add_up(sums: Sums, levels: Rows, given: Rows, drivers: Drivers) -> None:
    sums.healthy_area_d[:] += levels[:, :, HEALTHY].sum(axis=1)
    sums.rusted_area_d[:] += (_given(levels, drivers) + levels[:, :, DEAD]).sum(axis=1)
    sums.given[:] += given.sum(axis=1)


def _weights(drivers: Drivers) -> Rows:
    """(to, from): spores over one planting for each that another gives."""
    kin = (drivers.rust[:, None] == drivers.rust) & ~np.eye(drivers.rust.size, dtype=bool)
    weight = np.where(kin, drivers.far_frac[:, None], np.float32(0.0))
    for to, froms in enumerate(drivers.neighbour):
        there = froms >= 0
        weight[to, froms[there]] += drivers.neighbour_frac[to, there] - drivers.far_frac[to]
    return weight


def _alike(drivers: Drivers) -> list[tuple[int, NDArray[np.int64] | slice]]:
    """Plantings with as many latent stages."""
    kinds = np.unique(drivers.latent_stages)
    if kinds.size == 1:
        return [(int(kinds[0]), slice(None))]
    return [(int(each), np.flatnonzero(drivers.latent_stages == each)) for each in kinds]


def _given(levels: Rows, drivers: Drivers) -> Rows:
    given = np.zeros_like(levels[:, :, 0])
    for latent, which in _alike(drivers):
        opened = FIRST_STAGE + latent
        given[which] = levels[which, :, opened : opened + drivers.showing_stages].sum(axis=2)
    return given


def _turn_leaves(levels: Rows, drivers: Drivers, day: int) -> None:
    low, high = levels[:, LOWER], levels[:, UPPER]
    acts = drivers.acts
    high[:, HEALTHY] += acts.unfolded[:, day, None]
    sink, fall = acts.sinking_frac[:, day, None, None], acts.fallen_frac[:, day, None, None]
    low += sink * high
    low *= 1.0 - fall
    high *= 1.0 - sink


def _start(levels: Rows, drivers: Drivers, versions: Versions, day: int) -> None:
    for planting in np.flatnonzero(drivers.first_leaf_day == day):
        latent, showing = int(drivers.latent_stages[planting]), drivers.showing_stages
        rusted = versions.start_frac[planting] * levels[planting, :, HEALTHY]
        stages = levels[planting, :, FIRST_STAGE:]
        stages[:, :latent] += drivers.start_latent_frac / latent * rusted[:, None]
        stages[:, latent : latent + showing] += (1.0 - drivers.start_latent_frac) / showing * rusted[:, None]
        levels[planting, :, HEALTHY] -= rusted


def _landed(
    given: Rows, leaves: tuple[Rows, Rows], over: Rows, when: tuple[Drivers, Versions, int]
) -> tuple[Rows, Rows, Rows]:
    drivers, versions, day = when
    levels, area = leaves
    caught = drivers.acts.caught_frac[:, :, day - drivers.acts.from_day, None]
    gone = levels[:, :, PICKED]
    hangs = np.where(gone > 0.0, area / np.maximum(area + gone, TINY), np.float32(1.0))
    home = drivers.own_frac[:, None, None] * caught
    own = home * (drivers.stay_frac * given + (1.0 - drivers.stay_frac) * given[:, ::-1])
    near = np.broadcast_to(np.maximum(over, 0.0), (caught.shape[0], area.shape[2]))[:, None]
    through = np.stack([1.0 - caught[:, UPPER], np.ones_like(caught[:, UPPER])], axis=1)
    burst = np.where(versions.burst_day == day, versions.burst, np.float32(0.0))
    return hangs * own, hangs * caught * through * near, area * (versions.arrival_per_d + burst)[drivers.rust][:, None]


def _night(drivers: Drivers, versions: Versions, day: int, landed: tuple[Rows, Rows, Rows]) -> Night:
    draw = versions.draw[drivers.rust]
    place = (np.arange(draw.shape[0])[:, None, None], np.arange(2)[None, :, None], versions.member)
    by_draw = draw[:, None]
    infected, reach, living = (
        each[(*place, day, by_draw)] for each in (drivers.infected_frac, drivers.wet_reach_h, drivers.alive_frac)
    )
    passed = drivers.progress[(*place, day + 1, by_draw)] - drivers.progress[(*place, day, by_draw)]
    steps = (
        drivers.latent_stages[:, None, None].astype(np.float32) * passed / versions.latent_factor[drivers.rust][:, None]
    )
    first, spread = (
        each[drivers.rust[:, None], versions.member, draw][:, None] for each in (drivers.first_wet_h, drivers.spread_h)
    )
    before, after = (
        -np.expm1(-((np.maximum(reach * longer - first, 0.0) / spread) ** 2)) for longer in (1.0, versions.wet_stretch)
    )
    more = np.where(before > 1e-4, infected * after / np.maximum(before, 1e-4), after)
    return Night(np.minimum(more, 1.0), living, steps, landed)


def _age(levels: Rows, steps: Rows, drivers: Drivers, versions: Versions, day: int) -> None:
    levels[:, :, DEAD] *= 1.0 - versions.dead_fall_frac[drivers.rust][:, None]
    giving = np.broadcast_to(versions.giving_per_d[drivers.rust][:, None], steps.shape)
    cure, reach = drivers.acts.cure[:, day], drivers.acts.reach_frac[:, day]
    for latent, which in _alike(drivers):
        some = levels[which]
        opened = FIRST_STAGE + latent
        chain, showing = some[:, :, FIRST_STAGE:opened], some[:, :, opened : opened + drivers.showing_stages]
        if cure[which].any():
            within = np.clip(reach[which][:, None] * latent - np.arange(latent), 0.0, 1.0)
            works = -np.expm1(-versions.remedy_factor * cure[which][:, None])
            healed = (within[:, None, :, None] * works[:, None, None] * chain).astype(np.float32)
            some[:, :, HEALTHY] += healed.sum(axis=2)
            chain -= healed
        new = _advance(chain, steps[which])
        some[:, :, DEAD] += _advance(showing, giving[which])
        showing[:, :, 0] += new
        levels[which] = some


def _advance(chain: Rows, steps: Rows) -> Rows:
    """What leaves a chain that moves on by a Poisson number of steps."""
    before = chain.sum(axis=2)
    left = steps
    while (left > 0.0).any():
        part = np.minimum(left, MOST_STEPS)
        left = left - part
        chances = [np.exp(-part)]
        for term in range(1, TERMS - 1):
            chances.append(chances[-1] * part / np.float32(term))
        chances.append(np.maximum(1.0 - sum(chances), 0.0))
        old = chain.copy()
        chain *= chances[0][:, :, None]
        for term in range(1, min(TERMS, chain.shape[2])):
            chain[:, :, term:] += chances[term][:, :, None] * old[:, :, :-term]
        chain[chain < TINY] = 0.0
    return np.asarray(np.maximum(before - chain.sum(axis=2), 0.0))


def _infect(levels: Rows, night: Night, area: Rows, when: tuple[Drivers, Versions, int]) -> Rows:
    """New infections; answers where they came from, (plantings, origins, versions)."""
    drivers, versions, day = when
    rate = versions.local_infection_per_d[drivers.rust] * versions.vigour * versions.luck[:, day // 7]
    landed = sum(night.landed)
    lying = levels[:, :, WAITING] + landed
    inside = lying * night.got_in
    levels[:, :, WAITING] = (lying - inside) * night.living
    today = day - drivers.acts.from_day
    if drivers.acts.is_shielded[:, today].any():
        rate = rate[:, None] * np.exp(-versions.remedy_factor * drivers.acts.shield[..., today][:, :, versions.member])
    else:
        rate = rate[:, None]
    hits = inside * rate / np.maximum(area, TINY)
    new = levels[:, :, HEALTHY] * -np.expm1(-hits)
    levels[:, :, HEALTHY] -= new
    levels[:, :, FIRST_STAGE] += new
    share = new / np.maximum(landed, TINY)
    return np.stack([(share * each).sum(axis=1) for each in night.landed], axis=1)


def _note(record: Rows, levels: Rows, drivers: Drivers) -> None:
    for latent, which in _alike(drivers):
        opened = FIRST_STAGE + latent
        some = levels[which]
        hidden = some[:, :, FIRST_STAGE:opened].sum(axis=2)
        shows = some[:, :, DEAD] + some[:, :, opened : opened + drivers.showing_stages].sum(axis=2)
        area = np.maximum(some[:, :, HEALTHY] + hidden + shows, TINY)
        record[which, :WHOLE] = np.stack([hidden / area, shows / area], axis=2)
        whole = np.maximum(area.sum(axis=1), TINY)
        record[which, WHOLE] = np.stack([hidden.sum(axis=1) / whole, shows.sum(axis=1) / whole], axis=1)

"""Versions weighed by what was seen, look after look, and moved to new places without leaving what was seen before.

A version is a point whose coordinates are standard normal before anybody looked; everything that happens follows from it.
Each batch of looks weighs the versions. Where too few of them keep a weight, the batch is let in by degrees: as much
of it as brings the effective number to its least, then the versions are drawn anew by weight and each is moved by
Metropolis steps that run its season again from the first day, under all looks up to there and as much of this one.
Where rusts share nothing but the garden's own unknowns, each is taken or left by itself.

Source: chopin2002 (iterated batches), delmoral2006 (degrees); the moves are in proposals.py.
"""

from typing import Generic, NamedTuple, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.assimilation import proposals
from abaxial.assimilation.proposals import Cloud, Move, Parts

Floats = NDArray[np.float64]
Taken = NDArray[np.bool_]
Whole = NDArray[np.int64]
State = TypeVar("State")

#: the effective share of versions below which they are drawn anew
LEAST_EFFECTIVE_FRAC = 0.4
#: how far versions are moved after each drawing, in variances of every unit, and the steps that may take
MOVED_ENOUGH, LEAST_STEPS, MOST_STEPS = 1.0, 4, 14
#: every so many steps the garden's own unknowns move instead of the parts'
_GARDEN_EVERY = 3
_AIM_ACCEPTED_FRAC = 0.3


class Story(Protocol[State]):
    """A model that the sampler can tell again. Batches of looks are numbered from 0 in order of time. Log likelihoods are
    (parts, versions)."""

    @property
    def parts(self) -> Parts:
        """What hangs together."""
        ...

    def begin(self, cloud: Cloud) -> State:
        """Every version before the first day."""
        ...

    def tell(self, cloud: Cloud, state: State, batch: int) -> tuple[State, Floats]:
        """Go on from the batch before to this one; the state there and the log likelihood of its looks."""
        ...

    def retell(self, cloud: Cloud, batch: int) -> tuple[State, Floats, Floats]:
        """From the first day to a batch: the state there, the log likelihood of all before it, and of its own looks."""
        ...

    def touched(self, batch: int) -> int:
        """How many coordinates of luck have made a difference up to a batch."""
        ...

    def choose(self, taken: Taken, new: State, old: State) -> State:
        """The new state where taken, (parts, versions), else the old one."""
        ...

    def pick(self, state: State, order: Whole) -> State:
        """The states of some versions, in an order."""
        ...


class Told(NamedTuple, Generic[State]):
    """Where the versions are after some batches. log_weight : (versions,), normalised. log_likelihood : (parts, versions)
    of all batches so far. log_evidence : of each batch, given those before. effective : (batches,) number before drawing
    anew. accepted_frac : of the last moves. steps : (parts + 1,) how far moves reach, 0 to 1; the last is the garden's.
    """

    cloud: Cloud
    state: State
    log_weight: Floats
    log_likelihood: Floats
    log_evidence: tuple[float, ...]
    effective: tuple[float, ...]
    accepted_frac: float
    steps: Floats


def begin(story: Story[State], cloud: Cloud) -> Told[State]:
    """All versions, equally likely, before the first look."""
    count, parts = cloud.weather.size, story.parts.how_many
    even, steps = np.full(count, -np.log(count)), np.full(parts + 1, 0.5)
    return Told(cloud, story.begin(cloud), even, np.zeros((parts, count)), (), (), 0.0, steps)


def look(
    story: Story[State], told: Told[State], batch: int, seed: int, reached: tuple[State, Floats] | None = None
) -> Told[State]:
    """Take in one batch of looks. reached : what `story.tell` says of it, where the caller has asked already."""
    state, new = story.tell(told.cloud, told.state, batch) if reached is None else reached
    now, let_in, evidence = told._replace(state=state), 0.0, 0.0
    effective = _effective(now.log_weight + new.sum(axis=0))
    for degree in range(200):
        all_new = new.sum(axis=0)
        part = _degree(now.log_weight, all_new, 1.0 - let_in)
        weight = now.log_weight + part * all_new
        total = _log_sum(weight)
        evidence += total
        let_in = 1.0 if part >= 1.0 - let_in else let_in + part
        now = now._replace(log_weight=weight - total)
        if let_in >= 1.0 and _effective(weight) > 1.02 * LEAST_EFFECTIVE_FRAC * weight.size:
            break
        now, new = _drawn_anew(story, now, new, (seed, batch, degree))
        now, new = _moved(story, now, new, let_in, (seed, batch, degree))
        if let_in >= 1.0:
            break
    return now._replace(
        log_likelihood=now.log_likelihood + new,
        log_evidence=(*told.log_evidence, evidence),
        effective=(*told.effective, effective),
    )


def equal(story: Story[State], told: Told[State], seed: int) -> Told[State]:
    """The same as equally likely versions."""
    return _drawn_anew(story, told, np.zeros_like(told.log_likelihood), (seed, len(told.log_evidence), 1_000))[0]


def _degree(log_weight: Floats, new: Floats, most: float) -> float:
    """How much of a batch may be let in before the effective number falls to its least."""
    least = LEAST_EFFECTIVE_FRAC * log_weight.size
    if _effective(log_weight + most * new) >= least:
        return most
    low, high = 0.0, most
    for _ in range(30):
        mid = 0.5 * (low + high)
        low, high = (mid, high) if _effective(log_weight + mid * new) >= least else (low, mid)
    return max(low, 1e-6 * most)


def _drawn_anew(
    story: Story[State], told: Told[State], new: Floats, luck: tuple[int, int, int]
) -> tuple[Told[State], Floats]:
    """Versions drawn by weight, evenly: each as often as its weight says, give or take one."""
    seed, batch, degree = luck
    count = told.log_weight.size
    start = chance.uniforms(seed, "drawing", batch, 1, second=degree)[0]
    reached = np.cumsum(np.exp(told.log_weight - _log_sum(told.log_weight)))
    order = np.minimum(np.searchsorted(reached, (np.arange(count) + start) / count), count - 1)
    # versions under one weather side by side: they read the same part of memory
    order = order[np.argsort(told.cloud.weather[order], kind="stable")]
    drawn = told._replace(
        cloud=Cloud._make(each[order] for each in told.cloud),
        state=story.pick(told.state, order),
        log_weight=np.full(count, -np.log(count)),
        log_likelihood=told.log_likelihood[:, order],
    )
    return drawn, new[:, order]


def _moved(
    story: Story[State], told: Told[State], new: Floats, let_in: float, luck: tuple[int, int, int]
) -> tuple[Told[State], Floats]:
    """Versions moved within what was seen so far and as much of this batch as is let in."""
    seed, batch, degree = luck
    fitted = proposals.fit(told.cloud, story.touched(batch))
    distance = 0.0
    for number in range(MOST_STEPS):
        draw = (seed, batch * 100_000 + degree * 100 + number)
        if number % _GARDEN_EVERY == _GARDEN_EVERY - 1:
            move = proposals.garden_move(told.cloud, fitted, story.parts, told.steps[-1], draw)
        else:
            move = proposals.parts_move(told.cloud, fitted, story.parts, told.steps[:-1], draw)
        told, new, gone = _tried(story, told, new, (move, let_in, batch, draw))
        distance += gone
        if number + 1 >= LEAST_STEPS and distance >= MOVED_ENOUGH:
            break
    return told, new


def _tried(
    story: Story[State], told: Told[State], new: Floats, proposal: tuple[Move, float, int, tuple[int, int]]
) -> tuple[Told[State], Floats, float]:
    """A move taken where the looks allow it, and how far it went."""
    move, let_in, batch, (seed, number) = proposal
    state, old, then = story.retell(move.cloud, batch)
    gain = (old - told.log_likelihood) + let_in * (then - new)
    parts, count = gain.shape
    if move.by_part:
        dice = np.stack([chance.uniforms(seed, "taking", number, count, second=part) for part in range(parts)])
        taken = np.log(dice) < gain + move.odds
    else:
        dice = chance.uniforms(seed, "taking", number, count)
        taken = np.broadcast_to(np.log(dice) < gain.sum(axis=0) + move.odds[0], gain.shape)
    accepted = taken.mean(axis=1)
    which = slice(0, parts) if move.by_part else slice(parts, None)
    steps = told.steps.copy()
    distance = float((accepted * steps[:-1] ** 2).mean()) * move.share_frac
    change = 1.5 * ((accepted if move.by_part else accepted[:1]) - _AIM_ACCEPTED_FRAC)
    steps[which] = np.clip(steps[which] * np.exp(change), 0.05, 0.98)
    told = told._replace(
        cloud=_chosen(story.parts, taken, move.cloud, told.cloud),
        state=story.choose(taken, state, told.state),
        log_likelihood=np.where(taken, old, told.log_likelihood),
        accepted_frac=float(accepted.mean()),
        steps=steps,
    )
    return told, np.where(taken, then, new), distance


def _chosen(parts: Parts, taken: Taken, new: Cloud, old: Cloud) -> Cloud:
    """Every coordinate from the new cloud where its part was taken. The garden's own move only when all parts do."""
    part = np.append(parts.unit_part, 0)
    return Cloud(
        np.where(taken[part[parts.known_unit]].T, new.known, old.known),
        np.where(taken[part[parts.luck_unit]].T, new.luck, old.luck),
        np.where(taken[0], new.weather, old.weather),
        np.where(taken.T, new.biology, old.biology),
    )


def _effective(log_weight: Floats) -> float:
    weight = np.exp(log_weight - log_weight.max())
    return float(weight.sum() ** 2 / (weight**2).sum())


def _log_sum(values: Floats) -> float:
    top = values.max()
    return float(top + np.log(np.exp(values - top).sum()))

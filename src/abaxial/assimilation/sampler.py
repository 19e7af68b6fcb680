"""Versions weighed by what was seen, look after look, and moved to new places without leaving what was seen before.

A version is a point whose coordinates are standard normal before anybody looked; everything that happens follows from it.
Each batch of looks weighs the versions. Where too few of them keep a weight, the batch is let in by degrees: as much
of it as halves the effective number, then the versions are drawn anew by weight and each is moved by Metropolis steps
that run its season again from the first day, under all looks up to there and as much of this one.

Source: chopin2002 (iterated batches), delmoral2006 (degrees), with proposals that keep a normal fitted to the versions
(cotter2013, pinski2015): their acceptance does not fall with the number of unknowns.
"""

from collections.abc import Callable
from typing import Generic, NamedTuple, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.assimilation.unknowns import Cloud

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
State = TypeVar("State")

#: the effective share of versions below which they are drawn anew
LEAST_EFFECTIVE_FRAC = 0.5
#: how far versions are moved after each drawing, in squared standard deviations, and the most steps that may take
MOVED_ENOUGH, MOST_STEPS, LEAST_STEPS = 1.2, 8, 2
#: share of versions that try another biology and weather in a step
_OTHER_COLUMN_FRAC = 0.3
_AIM_ACCEPTED_FRAC = 0.3


class Story(Protocol[State]):
    """A model that the sampler can tell again. Batches of looks are numbered from 0 in order of time."""

    columns: int

    def begin(self, cloud: Cloud) -> State:
        """Every version before the first day."""
        ...

    def tell(self, cloud: Cloud, state: State, batch: int) -> tuple[State, Floats]:
        """Go on from the batch before to this one; the state there and the log likelihood of its looks, (versions,)."""
        ...

    def retell(self, cloud: Cloud, batch: int) -> tuple[State, Floats, Floats]:
        """From the first day to a batch: the state there, the log likelihood of all before it, and of its own looks."""
        ...

    def touched(self, batch: int) -> int:
        """How many coordinates of luck have made a difference up to a batch."""
        ...

    def choose(self, taken: NDArray[np.bool_], new: State, old: State) -> State:
        """The new state of the versions taken, the old one of the others."""
        ...

    def pick(self, state: State, order: Whole) -> State:
        """The states of some versions, in an order."""
        ...


class Told(NamedTuple, Generic[State]):
    """Where the versions are after some batches. log_weight : (versions,), normalised. log_likelihood : (versions,) of
    all batches so far. log_evidence : of each batch, given those before. effective : (batches,) number before drawing
    anew. accepted_frac : of all moves. step : how far a move reaches, 0 to 1."""

    cloud: Cloud
    state: State
    log_weight: Floats
    log_likelihood: Floats
    log_evidence: tuple[float, ...]
    effective: tuple[float, ...]
    accepted_frac: float
    step: float


def begin(story: Story[State], cloud: Cloud) -> Told[State]:
    """All versions, equally likely, before the first look."""
    count = cloud.column.size
    even = np.full(count, -np.log(count))
    return Told(cloud, story.begin(cloud), even, np.zeros(count), (), (), 0.0, 0.5)


def look(
    story: Story[State], told: Told[State], batch: int, seed: int, reached: tuple[State, Floats] | None = None
) -> Told[State]:
    """Take in one batch of looks. reached : what `story.tell` says of it, where the caller has asked already."""
    state, new = story.tell(told.cloud, told.state, batch) if reached is None else reached
    now, let_in, evidence = told._replace(state=state), 0.0, 0.0
    effective = _effective(now.log_weight + new)
    for degree in range(200):
        part = _degree(now.log_weight, new, 1.0 - let_in)
        weight = now.log_weight + part * new
        total = _log_sum(weight)
        evidence += total
        let_in += part
        now = now._replace(log_weight=weight - total)
        if let_in >= 1.0 and _effective(weight) >= LEAST_EFFECTIVE_FRAC * weight.size:
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
    batch = len(told.log_evidence)
    return _drawn_anew(story, told, np.zeros_like(told.log_weight), (seed, batch, 1_000))[0]


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
    count = new.size
    start = chance.uniforms(seed, "drawing", batch, 1, second=degree)[0]
    reached = np.cumsum(np.exp(told.log_weight - _log_sum(told.log_weight)))
    order = np.minimum(np.searchsorted(reached, (np.arange(count) + start) / count), count - 1)
    return (
        told._replace(
            cloud=Cloud(*(each[order] for each in told.cloud)),
            state=story.pick(told.state, order),
            log_weight=np.full(count, -np.log(count)),
            log_likelihood=told.log_likelihood[order],
        ),
        new[order],
    )


def _moved(
    story: Story[State], told: Told[State], new: Floats, let_in: float, luck: tuple[int, int, int]
) -> tuple[Told[State], Floats]:
    """Versions moved within what was seen so far and as much of this batch as is let in."""
    seed, batch, degree = luck
    fitted = _fit(told.cloud, story.touched(batch))
    step, distance, all_accepted, steps = told.step, 0.0, 0.0, 0
    while steps < LEAST_STEPS or (distance < MOVED_ENOUGH and steps < MOST_STEPS):
        number = batch * 1_000_000 + degree * 1_000 + steps
        proposed, odds = _proposal(told.cloud, fitted, step, (seed, number), story.columns)
        state, old, proposed_new = story.retell(proposed, batch)
        gain = (old - told.log_likelihood) + let_in * (proposed_new - new) + odds
        taken = np.log(chance.uniforms(seed, "acceptance", number, gain.size)) < gain
        told = told._replace(
            cloud=Cloud(*(_where(taken, a, b) for a, b in zip(proposed, told.cloud, strict=True))),
            state=story.choose(taken, state, told.state),
            log_likelihood=np.where(taken, old, told.log_likelihood),
        )
        new = np.where(taken, proposed_new, new)
        accepted = float(taken.mean())
        distance += accepted * step**2
        all_accepted += accepted
        step = float(np.clip(step * np.exp(1.5 * (accepted - _AIM_ACCEPTED_FRAC)), 0.05, 0.98))
        steps += 1
    return told._replace(step=step, accepted_frac=all_accepted / steps), new


class _Fitted(NamedTuple):
    """A normal curve fitted to the versions; of luck each coordinate by itself."""

    middle: Floats
    root: Floats
    inverse_root: Floats
    luck_middle: Floats
    luck_sd: Floats


def _fit(cloud: Cloud, touched: int) -> _Fitted:
    count, size = cloud.known.shape
    middle = cloud.known.mean(axis=0)
    away = cloud.known - middle
    # a little towards independence, the more so the more unknowns there are for each version
    towards = min(0.05 + size / count, 0.5)
    covariance = (1.0 - towards) * (away.T @ away) / count
    covariance[np.diag_indices(size)] = 1.05 * np.maximum((away**2).mean(axis=0), 1e-4)
    root = np.linalg.cholesky(covariance) if size else np.zeros((0, 0))
    return _Fitted(
        middle,
        root,
        np.linalg.inv(root),
        cloud.luck[:, :touched].mean(axis=0),
        np.maximum(cloud.luck[:, :touched].std(axis=0), 0.1),
    )


def _proposal(cloud: Cloud, fitted: _Fitted, step: float, luck: tuple[int, int], columns: int) -> tuple[Cloud, Floats]:
    """New places, and the logarithm of how much more likely they are before looking, corrected for how they are proposed."""
    seed, number = luck
    count, size = cloud.known.shape
    keep = np.sqrt(1.0 - step**2)
    new_known = fitted.middle + keep * (cloud.known - fitted.middle)
    new_known += step * chance.block_normals(seed, "move", number, (count, size)) @ fitted.root.T
    touched = fitted.luck_middle.size
    shaken = chance.block_normals(seed, "luck move", number, (count, touched))
    old_luck = cloud.luck[:, :touched]
    new_luck = fitted.luck_middle + keep * (old_luck - fitted.luck_middle) + step * fitted.luck_sd * shaken
    other = chance.uniforms(seed, "other column", number, count)
    column = np.where(other < _OTHER_COLUMN_FRAC, (other / _OTHER_COLUMN_FRAC * columns).astype(np.int64), cloud.column)
    odds = _log_odds(new_known, new_luck, fitted) - _log_odds(cloud.known, old_luck, fitted)
    # luck that has not been yet is as likely as before
    luck_then = np.concatenate([new_luck, cloud.luck[:, touched:]], axis=1)
    return Cloud(new_known, luck_then, np.minimum(column, columns - 1)), odds


def _log_odds(known: Floats, luck: Floats, fitted: _Fitted) -> Floats:
    """Logarithm of the chance before looking over the fitted curve's, up to a constant."""
    inner = (known - fitted.middle) @ fitted.inverse_root.T
    beside = (luck - fitted.luck_middle) / fitted.luck_sd
    before = np.einsum("ij,ij->i", known, known) + np.einsum("ij,ij->i", luck, luck)
    return np.asarray(0.5 * (np.einsum("ij,ij->i", inner, inner) + np.einsum("ij,ij->i", beside, beside) - before))


def _where(taken: NDArray[np.bool_], new: NDArray, old: NDArray) -> NDArray:  # type: ignore[type-arg]
    return np.where(taken.reshape(-1, *[1] * (new.ndim - 1)), new, old)


def _effective(log_weight: Floats) -> float:
    weight = np.exp(log_weight - log_weight.max())
    return float(weight.sum() ** 2 / (weight**2).sum())


def _log_sum(values: Floats) -> float:
    top = values.max()
    return float(top + np.log(np.exp(values - top).sum()))

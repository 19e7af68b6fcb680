"""Where versions try to go: some of their unknowns at a time, along a normal curve fitted to all versions.

A move keeps the fitted curve of what moves, given what stays. So its acceptance falls only with how far the truth is
from a normal curve, not with how many unknowns move. Source: cotter2013; pinski2015 for the fitted curve.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import chance

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

#: shares of versions that try a biology like theirs, any other, or another weather
_ALIKE_FRAC, _ANY_BIOLOGY_FRAC, _OTHER_WEATHER_FRAC = 0.4, 0.1, 0.35
#: biologies within this share of all are alike
_NEAR_FRAC = 0.1
#: how often a rust's own unknowns move with its plantings', how many plantings move at a time, and one more of so many
_RUST_MOVES_FRAC, _PLANTINGS_AT_A_TIME, _ONE_MORE_OF = 0.6, 3, 5
GARDEN = -1


class Cloud(NamedTuple):
    """Versions of a garden: known (versions, unknowns) and luck (versions, weeks × plantings), both standard normal before
    anybody looked; weather (versions,) and biology (versions, parts), numbers from 0 of which each is equally likely; biologies with near numbers are alike."""

    known: Floats
    luck: Floats
    weather: Whole
    biology: Whole


class Parts(NamedTuple):
    """What hangs together. A part is a rust with its plantings: parts share only the garden's own unknowns and weather.
    A unit moves as one: a rust's own unknowns, or a planting.

    known_unit, luck_unit : unit of each coordinate, GARDEN for the garden's own. unit_part : part of each unit. is_rust :
    units that are a rust's own. weathers, biologies : how many there are to choose from.
    """

    known_unit: Whole
    luck_unit: Whole
    unit_part: Whole
    is_rust: NDArray[np.bool_]
    weathers: int
    biologies: int

    @property
    def how_many(self) -> int:
        """How many parts there are."""
        return int(self.unit_part.max(initial=0)) + 1


class Move(NamedTuple):
    """A proposal. odds : (parts, versions) logarithm of how much likelier it is before looking, corrected for how it was
    proposed. by_part : whether each part is taken or left by itself. share_frac : of all units, those that move."""

    cloud: Cloud
    odds: Floats
    by_part: bool
    share_frac: float


class Fitted(NamedTuple):
    """A normal curve fitted to the versions; of luck each coordinate by itself, as far as it has made a difference."""

    middle: Floats
    covariance: Floats
    luck_middle: Floats
    luck_sd: Floats


def fit(cloud: Cloud, touched: int) -> Fitted:
    """The curve fitted to equally likely versions. touched : coordinates of luck that have made a difference."""
    count, size = cloud.known.shape
    middle = cloud.known.mean(axis=0)
    away = cloud.known - middle
    # a little towards independence, the more so the more unknowns there are for each version
    towards = min(0.05 + size / count, 0.5)
    covariance = (1.0 - towards) * (away.T @ away) / count
    covariance[np.diag_indices(size)] = 1.05 * np.maximum((away**2).mean(axis=0), 1e-3)
    luck = cloud.luck[:, :touched]
    return Fitted(middle, covariance, luck.mean(axis=0), np.maximum(luck.std(axis=0), 0.2))


def garden_move(cloud: Cloud, fitted: Fitted, parts: Parts, step: float, luck: tuple[int, int]) -> Move:
    """The garden's own unknowns, and for some versions the weather, moved; nothing else."""
    seed, number = luck
    count = cloud.weather.size
    moving = np.flatnonzero(parts.known_unit == GARDEN)
    known, odds = _known_moved(cloud.known, fitted, (moving, moving), step, luck)
    other = chance.uniforms(seed, "other weather", number, count)
    weather = np.where(
        other < _OTHER_WEATHER_FRAC, (other / _OTHER_WEATHER_FRAC * parts.weathers).astype(np.int64), cloud.weather
    )
    return Move(cloud._replace(known=known, weather=weather), odds[np.newaxis], False, 0.0)


def parts_move(cloud: Cloud, fitted: Fitted, parts: Parts, steps: Floats, luck: tuple[int, int]) -> Move:
    """Some units of every part moved, each part by its own step."""
    seed, number = luck
    count, touched = cloud.weather.size, fitted.luck_middle.size
    chosen = _units(parts, luck)
    moves = np.append(chosen, False)  # the garden's own stay, at place GARDEN
    all_moving = np.flatnonzero(moves[parts.known_unit])
    known, shaken, biology = cloud.known.copy(), cloud.luck.copy(), cloud.biology.copy()
    odds = np.zeros((parts.how_many, count))
    for part in range(parts.how_many):
        mine = np.append(chosen & (parts.unit_part == part), False)
        moving = np.flatnonzero(mine[parts.known_unit])
        lucky = np.flatnonzero(mine[parts.luck_unit[:touched]])
        moved, gain = _known_moved(cloud.known, fitted, (moving, all_moving), steps[part], (seed, number * 64 + part))
        known[:, moving] = moved[:, moving]
        shaken[:, lucky], more = _luck_moved(
            cloud.luck[:, lucky], fitted, lucky, steps[part], (seed, number * 64 + part)
        )
        odds[part] = gain + more
        biology[:, part] = _other_biology(biology[:, part], parts.biologies, (seed, number * 64 + part))
    return Move(Cloud(known, shaken, cloud.weather, biology), odds, True, float(chosen.mean()))


def _other_biology(biology: Whole, biologies: int, luck: tuple[int, int]) -> Whole:
    """For some versions another biology: mostly one that lets in about as much, now and then any."""
    seed, number = luck
    dice = chance.uniforms(seed, "other biology", number, 3 * biology.size).reshape(3, -1)
    near = 1 + (dice[1] * _NEAR_FRAC * biologies).astype(np.int64)
    alike = (biology + np.where(dice[2] < 0.5, near, -near)) % biologies
    any_one = (dice[1] * biologies).astype(np.int64)
    then = np.where(dice[0] < _ALIKE_FRAC, alike, any_one)
    return np.where(dice[0] < _ALIKE_FRAC + _ANY_BIOLOGY_FRAC, then, biology)


def _units(parts: Parts, luck: tuple[int, int]) -> NDArray[np.bool_]:
    """Which units move this time: of every part its rust's own or not, and a few of its plantings."""
    seed, number = luck
    order = chance.uniforms(seed, "units", number, parts.unit_part.size)
    chosen = parts.is_rust & (order < _RUST_MOVES_FRAC)
    for part in range(parts.how_many):
        plantings = np.flatnonzero((parts.unit_part == part) & ~parts.is_rust)
        some = _PLANTINGS_AT_A_TIME + plantings.size // _ONE_MORE_OF
        chosen[plantings[np.argsort(order[plantings])[:some]]] = True
    return chosen


def _known_moved(
    known: Floats, fitted: Fitted, moving: tuple[Whole, Whole], step: float, luck: tuple[int, int]
) -> tuple[Floats, Floats]:
    """Some coordinates moved along the fitted curve given those that stay. moving : these, and all that move this time."""
    these, all_moving = moving
    if not these.size:
        return known, np.zeros(known.shape[0])
    seed, number = luck
    stay = np.setdiff1d(np.arange(known.shape[1]), all_moving)
    across = fitted.covariance[np.ix_(these, stay)]
    pull = np.linalg.solve(fitted.covariance[np.ix_(stay, stay)], across.T).T
    middle = fitted.middle[these] + (known[:, stay] - fitted.middle[stay]) @ pull.T
    root: Floats = np.asarray(np.linalg.cholesky(fitted.covariance[np.ix_(these, these)] - pull @ across.T), np.float64)
    away = known[:, these] - middle
    fresh = chance.block_normals(seed, "move", number, away.shape) @ root.T
    new_away: Floats = np.asarray(np.sqrt(1.0 - step**2) * away + step * fresh, np.float64)
    moved = known.copy()
    moved[:, these] = middle + new_away
    return moved, _odds(moved[:, these], new_away, root) - _odds(known[:, these], away, root)


def _luck_moved(
    luck: Floats, fitted: Fitted, lucky: Whole, step: float, draw: tuple[int, int]
) -> tuple[Floats, Floats]:
    seed, number = draw
    away = luck - fitted.luck_middle[lucky]
    sd: Floats = np.asarray(fitted.luck_sd[lucky], np.float64)
    fresh = chance.block_normals(seed, "luck move", number, away.shape)
    new_away: Floats = np.asarray(np.sqrt(1.0 - step**2) * away + step * sd * fresh, np.float64)
    moved = np.asarray(fitted.luck_middle[lucky] + new_away, np.float64)
    change = _squares(new_away / sd) - _squares(away / sd) - _squares(moved) + _squares(luck)
    return moved, 0.5 * change


def _odds(values: Floats, away: Floats, root: Floats) -> Floats:
    """Logarithm of the chance before looking over the fitted curve's, up to a constant."""
    return np.asarray(0.5 * (_squares(np.linalg.solve(root, away.T).T) - _squares(values)))


def _squares(values: NDArray[Any]) -> Floats:
    return np.asarray(np.einsum("ij,ij->i", values, values))

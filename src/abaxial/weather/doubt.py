"""How far a value may be from what happened in the garden, by where it came from, and noise that errs that way."""

import math
from functools import cache
from pathlib import Path
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.errors import FaultError
from abaxial.provenance import Parameter, read_parameter, read_table
from abaxial.weather.series import SUSPECT, Mark, Marks

Floats = NDArray[np.float64]

#: where a value came from, in order of growing doubt; the numbers index the tables below
ORIGINS = ("measured", "grid", "filled", "derived", "forecast", "invented")

#: hours between the knots of the noise; between them it is drawn straight
KNOT_H = 3
_KNOTS_IN_BLOCK = 128
_PATH = Path(__file__).with_name("doubt.toml")
_LIMITS = {"memory_h": (1.0, 240.0), "notes": (0.0, 24.0), "history": (1.0, 3660.0), "rain": (0.0, 100.0)}


@cache
def parameter(table: str, name: str) -> Parameter:
    """One entry of doubt.toml, such as ("temperature_k", "grid"). Raises ParameterError if the file breaks its
    rules."""
    whole = read_table(_PATH)
    if table not in whole:
        raise FaultError(f"doubt.toml has no table {table!r}.")
    return read_parameter(f"{table}.{name}", whole[table].get(name), limits=_LIMITS.get(table, (0.0, 15.0)), path=_PATH)


def value(table: str, name: str) -> float:
    """The central value of one entry of doubt.toml."""
    return parameter(table, name).value


def origin(marks: Marks) -> NDArray[np.int64]:
    """Where values came from, as an index into ORIGINS, shape (hours,), from their marks.

    The most doubtful mark decides: an hour derived from a grid cell counts as derived.
    """
    result = np.zeros(marks.shape, np.int64)
    for name, mark in (
        ("grid", Mark.GRID),
        ("filled", Mark.FILLED),
        ("derived", Mark.DERIVED),
        ("forecast", Mark.FORECAST),
    ):
        result[(marks & mark) > 0] = ORIGINS.index(name)
    return result


def is_believed(marks: Marks) -> NDArray[np.bool_]:
    """Whether a value may be used, shape (hours,): never suspected, or replaced since by a filled or derived one."""
    suspect = (marks & np.uint8(SUSPECT)) > 0
    mended = (marks & np.uint8(Mark.FILLED | Mark.DERIVED)) > 0
    return np.asarray(~suspect | mended)


def spread(table: str, origins: NDArray[np.int64], lead_d: Floats) -> tuple[Floats, Floats]:
    """Standard deviations of the lasting and of the passing part of an error, each shape (hours,), in the table's unit.

    table : "temperature_k", "dew_point_k", "wind_log", "rain_log", "shortwave_log" or "cloud_frac".
    lead_d : days ahead of now, 0 for lived hours; counts only for forecasts.
    """
    scale = np.array([value(table, name) for name in ORIGINS])[origins]
    ahead = origins == ORIGINS.index("forecast")
    # the first hours ahead are nearly known: within the first day the doubt grows with the root of the time
    scale = scale * np.where(ahead & (lead_d > 0), np.sqrt(np.clip(lead_d, 0.0, 1.0)), 1.0)
    scale = scale + np.where(ahead, value(table, "forecast_per_day") * np.maximum(lead_d - 1.0, 0.0), 0.0)
    lasting = np.array([value("lasting_frac", name) for name in ORIGINS])[origins]
    return scale * np.sqrt(lasting), scale * np.sqrt(1.0 - lasting)


def lasting(seed: int, purpose: str, members: int) -> Floats:
    """One standard normal number for each member, shape (members,), stratified so that few members cover the range."""
    shares = chance.stratified(seed, purpose, members)
    return np.array([NormalDist().inv_cdf(float(share)) for share in shares])


def passing(seed: int, purpose: str, first_hour: int, hours: int, members: int) -> Floats:
    """Noise of unit variance that forgets itself within memory_h, shape (hours, members).

    The value of an hour depends only on seed, purpose and the hour, not on where the series begins or how many members
    are asked for.
    """
    window = 16
    first_knot = first_hour // KNOT_H - window
    knots = (hours + first_hour % KNOT_H) // KNOT_H + window + 2
    raw = _knot_normals(seed, purpose, first_knot, knots, members)
    decay = math.exp(-KNOT_H / value("memory_h", "error"))
    weights = decay ** np.arange(window)
    weights /= np.sqrt((weights**2).sum())
    smooth = sum(weight * raw[window - lag : knots - lag] for lag, weight in enumerate(weights))
    position = (first_hour % KNOT_H + np.arange(hours) + 0.5) / KNOT_H
    low = position.astype(np.int64)
    share = (position - low)[:, None]
    between = np.sqrt((1.0 - share) ** 2 + share**2 + 2.0 * share * (1.0 - share) * decay)
    return np.asarray(((1.0 - share) * smooth[low] + share * smooth[low + 1]) / between)


def _knot_normals(seed: int, purpose: str, first_knot: int, knots: int, members: int) -> Floats:
    """Independent normal numbers at absolute knots, shape (knots, members), drawn in blocks that never move."""
    first_block, last_block = first_knot // _KNOTS_IN_BLOCK, (first_knot + knots - 1) // _KNOTS_IN_BLOCK
    blocks = [
        chance.normals(seed, purpose, block, members * _KNOTS_IN_BLOCK).reshape(members, _KNOTS_IN_BLOCK).T
        for block in range(first_block, last_block + 1)
    ]
    start = first_knot - first_block * _KNOTS_IN_BLOCK
    return np.concatenate(blocks)[start : start + knots]

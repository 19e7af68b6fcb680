"""From the rust that each version ends with to the stock of a collection."""

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.collection.safety import Places
from abaxial.collection.stock import Stock, clean_clump_frac, even_weights, refuse_shares
from abaxial.errors import RequestError
from abaxial.provenance import Parameter, read_parameters, read_table

LIMITS: Mapping[str, tuple[float, float]] = {
    "clump_lost_frac": (0.0, 1.0),
    "place_lost_frac": (0.0, 1.0),
    "clump_clumping": (0.01, 1000.0),
    "level_frac": (0.0, 0.9999),
    "most_divisions": (0.0, 100.0),
}
_FILE = Path(__file__).parent / "stock.toml"


class Held(NamedTuple):
    """One planting of a collection.

    leaves_per_clump : at the season's end, 0 or more. lost_frac, place_lost_frac : chances that a clump, and the whole
    planting, is lost to something other than rust; None for ours.
    """

    cultivar: str
    clumps: int
    leaves_per_clump: float
    lost_frac: float | None = None
    place_lost_frac: float | None = None


def stock_at_end(
    plantings: Sequence[Held],
    rusted_frac: NDArray[np.float64],
    *,
    lesion_frac: ArrayLike,
    weight_frac: NDArray[np.float64] | None = None,
) -> Stock:
    """The stock at the season's end.

    rusted_frac : (versions, plantings) leaf area with rust then, hidden and showing, 0 to 1. lesion_frac : share of a
    leaf that one patch takes, above 0, one number or (versions, 1). weight_frac : (versions,); None where no version is
    likelier. A clump is clean where it bears no patch. Raises RequestError for shares that are none.
    """
    values, lesion = read_stock_values(), np.asarray(lesion_frac, float)
    leaves = np.array([each.leaves_per_clump for each in plantings], float)
    if not np.all(lesion > 0.0) or not np.all(leaves >= 0.0):
        raise RequestError("A patch or a clump has no size.", remedy="Patches are above 0, leaves 0 or more.")
    refuse_shares("A rusted share", rusted_frac)
    return Stock(
        cultivar=tuple(each.cultivar for each in plantings),
        clumps=np.array([each.clumps for each in plantings], np.int64),
        clean_frac=clean_clump_frac(rusted_frac * leaves / lesion, values["clump_clumping"].value),
        lost_frac=_or_ours([each.lost_frac for each in plantings], values["clump_lost_frac"]),
        place_lost_frac=_or_ours([each.place_lost_frac for each in plantings], values["place_lost_frac"]),
        weight_frac=even_weights(len(rusted_frac)) if weight_frac is None else weight_frac,
    )


def side_by_side(shares: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
    """Shares of several plantings, each (versions,), as (versions, plantings)."""
    return np.stack([np.asarray(each, float) for each in shares], axis=1)


def some_in_each(clean_frac: Sequence[NDArray[np.float64]], rooms: Sequence[int], beds: Sequence[str]) -> Places:
    """Places for safety divisions, with our chances of loss. clean_frac : of each place, (versions,). rooms : how many find
    room in each. beds : their names."""
    values = read_stock_values()
    return Places(
        beds=tuple(beds),
        clean_frac=side_by_side(clean_frac),
        lost_frac=np.full(len(beds), values["clump_lost_frac"].value),
        place_lost_frac=np.full(len(beds), values["place_lost_frac"].value),
        room=np.array(rooms, np.int64),
    )


@cache
def read_stock_values() -> Mapping[str, Parameter]:
    """Our values for a collection's safety. Raises ParameterError where their file breaks a rule."""
    return read_parameters(read_table(_FILE).get("parameters"), limits=LIMITS, rising=(), path=_FILE)


def _or_ours(given: Sequence[float | None], ours: Parameter) -> NDArray[np.float64]:
    return np.array([ours.value if each is None else each for each in given], float)

"""For every cultivar the chance that healthy stock of it exists at the season's end, over all versions together.

Plantings of one garden rust together, because they share weather and rust: the chance that all fail is far above the
product of their chances. So it is reckoned version by version, and only then averaged.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import RequestError

Floats = NDArray[np.float64]


class Stock(NamedTuple):
    """The plantings of a collection at the season's end.

    cultivar : (plantings,) names. clumps : (plantings,) 0 or more. clean_frac : (versions, plantings) chance that one of
    its clumps is free of rust in that version; 0 or 1 where a version knows. lost_frac : (plantings,) chance that a clump
    is lost to something else, each by itself. place_lost_frac : (plantings,) chance that the whole planting is.
    weight_frac : (versions,) of each version, together 1.
    """

    cultivar: tuple[str, ...]
    clumps: NDArray[np.int64]
    clean_frac: Floats
    lost_frac: Floats
    place_lost_frac: Floats
    weight_frac: Floats


class StockChance(NamedTuple):
    """How safe a cultivar is.

    healthy_frac : chance that at least one healthy clump of it exists. if_apart_frac : what one would think if plantings
    failed each by itself, for comparison. mean_clumps : healthy clumps to be expected.
    """

    cultivar: str
    plantings: int
    clumps: int
    healthy_frac: float
    if_apart_frac: float
    mean_clumps: float


def clean_clump_frac(patches: ArrayLike, clumping: ArrayLike) -> Floats:
    """Chance that a clump carries no patch at all, hidden or showing [0 to 1].

    patches : any shape, expected on the clump: its leaf area times the rusted share, over the area of a patch, 0 or more.
    clumping : k of the negative binomial, above 0; small where few clumps bear most.
    """
    k = np.asarray(clumping, float)
    return np.asarray((1.0 + np.asarray(patches, float) / k) ** -k)


def none_left_frac(
    clean_frac: ArrayLike, clumps: ArrayLike, lost_frac: ArrayLike, place_lost_frac: ArrayLike
) -> Floats:
    """Chance that no healthy clump is left of several in one place [0 to 1]; arguments as in Stock, any shapes that go
    together."""
    fails = 1.0 - np.asarray(clean_frac, float) * (1.0 - np.asarray(lost_frac, float))
    gone = np.asarray(place_lost_frac, float)
    return np.asarray(gone + (1.0 - gone) * fails ** np.asarray(clumps, float)) * (np.asarray(clumps) > 0) + (
        np.asarray(clumps) <= 0
    )


def stock_at_risk(stock: Stock) -> tuple[StockChance, ...]:
    """How safe each cultivar is, the least safe first.

    Raises RequestError where shapes do not fit or shares are none.
    """
    refuse_stock(stock)
    none_left = none_left_frac(stock.clean_frac, stock.clumps, stock.lost_frac, stock.place_lost_frac)
    kept = 1.0 - none_left
    whole = stock.clean_frac * (1.0 - stock.lost_frac) * (1.0 - stock.place_lost_frac) * stock.clumps
    chances = []
    for name in dict.fromkeys(stock.cultivar):
        own = np.flatnonzero([each == name for each in stock.cultivar])
        chances.append(
            StockChance(
                cultivar=name,
                plantings=int(own.size),
                clumps=int(stock.clumps[own].sum()),
                healthy_frac=float(1.0 - stock.weight_frac @ none_left[:, own].prod(axis=1)),
                if_apart_frac=float(1.0 - np.prod(1.0 - stock.weight_frac @ kept[:, own])),
                mean_clumps=float(stock.weight_frac @ whole[:, own].sum(axis=1)),
            )
        )
    return tuple(sorted(chances, key=lambda each: (each.healthy_frac, each.cultivar)))


def none_left_of(cultivar: str, stock: Stock) -> Floats:
    """Chance in each version that nothing healthy of a cultivar is left, (versions,); 1 where there is no planting of it."""
    refuse_stock(stock)
    none_left = none_left_frac(stock.clean_frac, stock.clumps, stock.lost_frac, stock.place_lost_frac)
    return np.asarray(none_left[:, [each == cultivar for each in stock.cultivar]].prod(axis=1))


def even_weights(versions: int) -> Floats:
    """The weights of versions of which none is likelier than another, (versions,)."""
    return np.full(versions, 1.0 / versions)


def refuse_stock(stock: Stock) -> None:
    """Raise RequestError where shapes do not fit or shares are none."""
    versions, plantings = stock.clean_frac.shape
    rows: Sequence[tuple[str, int, int]] = (
        ("cultivars", len(stock.cultivar), plantings),
        ("clumps", stock.clumps.size, plantings),
        ("chances of loss", stock.lost_frac.size, plantings),
        ("chances of loss of a place", stock.place_lost_frac.size, plantings),
        ("weights", stock.weight_frac.size, versions),
    )
    for name, found, wanted in rows:
        if found != wanted:
            raise RequestError(f"There are {found} {name} for {wanted}.", remedy="Give one for each.")
    refuse_shares("A chance", stock.clean_frac, stock.lost_frac, stock.place_lost_frac, stock.weight_frac)
    if np.any(stock.clumps < 0) or abs(float(stock.weight_frac.sum()) - 1.0) > 1e-6:
        raise RequestError(
            "Clumps are fewer than none, or the weights do not add up to 1.", remedy="Count again; divide by their sum."
        )


def refuse_shares(what: str, *shares: Floats) -> None:
    """Raise RequestError where a share is missing or lies outside 0 to 1. what : how it is spoken of."""
    for each in shares:
        outside = ~((each >= 0.0) & (each <= 1.0))
        if np.any(outside):
            raise RequestError(f"{what} is {each[outside].flat[0]:g}.", remedy="It lies between 0 and 1.")

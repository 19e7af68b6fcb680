"""The versions of one planting put into bands: day by day, weeks ahead, today, and where the spores came from."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import likelihood
from abaxial.assimilation.estimate import BAND, Posterior, shares_of
from abaxial.assimilation.garden_story import bearing
from abaxial.assimilation.likelihood import Predicted
from abaxial.epidemic.kernel import LATENT_OUT, LOWER, UPPER, VISIBLE_OUT, WHOLE

Floats = NDArray[np.float64]
Three = tuple[float, float, float]

#: shares of the versions that lie below the numbers of a forecast
QUANTILES = (0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95)
#: more of the leaf area than this, hidden or showing, is rust; and less than the second that shows is next to nothing
ANY_FRAC, NEXT_TO_NOTHING_FRAC = 1e-4, 1e-3
WEEK_D, FORTNIGHT_D = 7, 14


class DayShares(NamedTuple):
    """The end of one garden day: 10, 50 and 90 % of what shows, of what is latent (shares of leaf area) and of the
    share of leaves on which rust shows."""

    day: int
    showing_frac: Three
    latent_frac: Three
    incidence_frac: Three


class Forecast(NamedTuple):
    """One share on one day. part : "all", "lower" or "upper". what : showing_frac, latent_frac, incidence_frac, or
    seen_frac, the share of turned leaves on which a walk would find rust. values_frac : at QUANTILES."""

    day: int
    part: str
    what: str
    values_frac: tuple[float, ...]


class Shares(NamedTuple):
    """What is probably there of one planting.

    days : every day of the record. forecasts : on the day asked about and each week after. showing_frac, latent_frac :
    that day's, 10, 50 and 90 %. hidden_per_seen : latent over showing; None where next to nothing shows. any_frac :
    chance that more than ANY_FRAC of the leaf area is rusted. worse_frac : chance that more shows a fortnight later.
    origin_frac : the planting itself, its neighbours, outside; None where nothing came in.
    """

    days: tuple[DayShares, ...]
    forecasts: tuple[Forecast, ...]
    showing_frac: Three
    latent_frac: Three
    hidden_per_seen: Three | None
    any_frac: float
    worse_frac: float
    origin_frac: tuple[Three, Three, Three] | None


class Middle(NamedTuple):
    """The middle of what shows, what is latent (shares of leaf area), and the share of leaves on which rust shows."""

    showing_frac: float
    latent_frac: float
    incidence_frac: float


def shares(posterior: Posterior, *, now: int, weeks: int) -> tuple[Shares, ...]:
    """What is probably there, planting by planting.

    now : the garden day at whose end it is asked, within the posterior's record. weeks : how far the forecasts reach,
    while the record does.
    """
    unknowns = posterior.unknowns
    worn = unknowns.values(posterior.cloud.known)
    here = now - posterior.first_day
    ahead = [each for each in range(here, here + WEEK_D * weeks + 1, WEEK_D) if each < len(posterior.record)]
    leaves = [bearing(unknowns, worn, rust) for rust in unknowns.rusts]
    return tuple(
        _of_planting(posterior, planting, leaves[rust], ahead) for planting, rust in enumerate(unknowns.rust_of)
    )


def middles(posterior: Posterior, *, now: int) -> tuple[Middle, ...]:
    """The middle of what is probably there at the end of one garden day, planting by planting. now : as in `shares`."""
    unknowns = posterior.unknowns
    worn = unknowns.values(posterior.cloud.known)
    leaves = [bearing(unknowns, worn, rust) for rust in unknowns.rusts]
    found = []
    for rust, levels in zip(unknowns.rust_of, posterior.record[now - posterior.first_day], strict=True):
        latent, showing = (levels[WHOLE, part].astype(np.float64) for part in (LATENT_OUT, VISIBLE_OUT))
        bears = likelihood.incidence_frac(leaves[rust]._replace(visible_frac=showing))
        found.append(Middle(*(float(np.quantile(each, 0.5)) for each in (showing, latent, bears))))
    return tuple(found)


def _of_planting(posterior: Posterior, planting: int, leaves: Predicted, ahead: Sequence[int]) -> Shares:
    """The shares of one planting. leaves : what its leaves and its looker are like. ahead : rows of the record, now first."""
    latent, showing = shares_of(posterior, planting)
    here = ahead[0]
    later = min(here + FORTNIGHT_D, len(showing) - 1)
    shows_now = np.quantile(showing[here], 0.5) >= NEXT_TO_NOTHING_FRAC
    bears = likelihood.incidence_frac(leaves._replace(visible_frac=showing))
    return Shares(
        days=tuple(_days(posterior.first_day, showing, latent, bears)),
        forecasts=tuple(_forecasts(posterior, planting, leaves, ahead)),
        showing_frac=band(showing[here]),
        latent_frac=band(latent[here]),
        hidden_per_seen=band(latent[here] / np.maximum(showing[here], ANY_FRAC)) if shows_now else None,
        any_frac=float(np.mean(latent[here] + showing[here] > ANY_FRAC)),
        worse_frac=float(np.mean(showing[later] > showing[here])),
        origin_frac=_origin(posterior.origins[planting]),
    )


def band(values: Floats) -> Three:
    """10, 50 and 90 % of equally likely values, (versions,)."""
    return three(np.quantile(values, BAND))


def three(values: Iterable[float]) -> Three:
    """Three numbers as they are, rid of their array."""
    low, mid, high = (float(each) for each in values)
    return low, mid, high


def _days(first_day: int, *told: Floats) -> Iterator[DayShares]:
    """Bands of what shows, what is latent and how many leaves bear it, each (days, versions)."""
    rows = [np.quantile(each, BAND, axis=1).T.tolist() for each in told]
    for day, bands in enumerate(zip(*rows, strict=True)):
        shows, hides, bears = (tuple(each) for each in bands)
        yield DayShares(first_day + day, shows, hides, bears)


def _forecasts(posterior: Posterior, planting: int, leaves: Predicted, rows: Sequence[int]) -> Iterator[Forecast]:
    both = posterior.record[list(rows), planting].astype(np.float64)
    for part, place in (("all", WHOLE), ("lower", LOWER), ("upper", UPPER)):
        latent, showing = both[:, place, LATENT_OUT], both[:, place, VISIBLE_OUT]
        met = leaves._replace(visible_frac=showing)
        told = {
            "showing_frac": showing,
            "latent_frac": latent,
            "incidence_frac": likelihood.incidence_frac(met),
            "seen_frac": likelihood.seen_frac(met),
        }
        for what, values in told.items():
            quantiles = np.quantile(values, QUANTILES, axis=1).T.tolist()
            for row, found in zip(rows, quantiles, strict=True):
                yield Forecast(posterior.first_day + row, part, what, tuple(found))


def _origin(came: NDArray[np.float32]) -> tuple[Three, Three, Three] | None:
    """Bands over the versions in which anything came in. came : (3, versions)."""
    some = came.sum(axis=0) > 0.0
    if not some.any():
        return None
    own, near, outside = (band(each[some].astype(np.float64)) for each in came)
    return own, near, outside

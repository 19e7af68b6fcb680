"""What a planting's nights amount to: how much each let in, what is latent now, and when it will show, as bands."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from abaxial.infection.draws import Draws
from abaxial.infection.kernel import Nights
from abaxial.infection.latency import progress_when_shown, showing_shape, shown_frac

Floats = NDArray[np.float64]
#: the three numbers of a band: one in ten below, the middle, one in ten above
BAND = (0.1, 0.5, 0.9)
#: days over which present ripening is taken, and the longest latent period that is told [d]
_RECENT_D, _LONGEST_LATENT_D = 10, 100.0


@dataclass(frozen=True)
class NightOutlook:
    """One night that may matter. Bands are (3,): 10, 50, 90 %; days are fractional indices, to be rounded down.

    rise : (days from the night to the end, 3) latent progress since. first_showing_day, showing_day : when a tenth and
    a half of its pustules are open; a value equal to the number of days means beyond the outlook, and `open_ended` says
    so. latent_frac : share of it not showing today.
    """

    day: int
    infected_frac: Floats
    chance_frac: float
    rise: Floats
    first_showing_day: Floats
    showing_day: Floats
    latent_frac: Floats
    open_ended: bool


@dataclass(frozen=True)
class Outlook:
    """A planting's nights. infected_frac (days, 3), chance_frac (days,).

    latent_nights : (3,) what is in the leaves and not showing, in nights on which every spore got in. next_showing_day :
    (3,) when a tenth of that is open; the number of days where it lies beyond the outlook or nothing is latent.
    next_week_chance_frac : chance that at least one of the next seven nights lets in enough.
    """

    infected_frac: Floats
    chance_frac: Floats
    latent_nights: Floats
    next_showing_day: Floats
    next_week_chance_frac: float
    nights: tuple[NightOutlook, ...]


@dataclass(frozen=True)
class Change:
    """A change of habit over the same nights, bands (3,): infections per week now and changed, share avoided."""

    infections_per_week_now: Floats
    infections_per_week: Floats
    gain_frac: Floats


@dataclass(frozen=True)
class _Both:
    """Both levels put together by leaf area; each (days, draws) or (days + 1, draws)."""

    infected: Floats
    progress: Floats
    at_infection: Floats
    shape: Floats


def summarise(
    nights: Nights,
    draws: Draws,
    *,
    upper_weight_frac: Floats,
    kept_frac: Floats,
    today: int,
    enough_frac: float,
) -> Outlook:
    """The bands of one planting.

    upper_weight_frac : (days,) share of its leaf area at the upper level. kept_frac : (days,) share of the leaves open
    on each day that hang on the plant today. today : days before it are lived. enough_frac : share of the spores on a
    leaf that must get in for a night to matter.
    """
    both = _put_together(nights, draws, upper_weight_frac)
    enough = both.infected >= enough_frac
    chance = enough.mean(axis=1)
    latent = _latent_now(both, kept_frac, today)
    return Outlook(
        infected_frac=_bands(both.infected),
        chance_frac=chance,
        latent_nights=np.quantile(latent.sum(axis=0), BAND),
        next_showing_day=_next_showing(both, latent, kept_frac, today),
        next_week_chance_frac=float(enough[today : today + 7].any(axis=0).mean()),
        nights=tuple(_night(both, day, chance[day], today) for day in _worth_telling(chance, latent, today)),
    )


def compare(now: Nights, changed: Nights, *, weights: tuple[Floats, Floats], first_day: int, end_day: int) -> Change:
    """What a change of habit would have done from first_day up to end_day, draw by draw on the same luck.

    weights : (days,) share of leaf area at the upper level, now and changed.
    """
    weeks = (end_day - first_day) / 7.0
    before, after = (
        _levels(nights.infected_frac, weight)[first_day:end_day].sum(axis=0) / weeks
        for nights, weight in zip((now, changed), weights, strict=True)
    )
    # where a draw lets nothing in either way there is nothing to gain
    gain = np.where(before > 1e-9, 1.0 - after / np.maximum(before, 1e-9), np.where(after > 1e-9, -1.0, 0.0))
    return Change(np.quantile(before, BAND), np.quantile(after, BAND), np.quantile(np.maximum(gain, -1.0), BAND))


def thinned(nights: Nights, leaves_left_frac: Floats) -> Nights:
    """The same nights on fewer leaves. leaves_left_frac : (days,) share of leaf area that is still there, 0 to 1."""
    left = leaves_left_frac.astype(np.float32)[np.newaxis, np.newaxis, :, np.newaxis]
    return nights._replace(infected_frac=nights.infected_frac * left)


def _put_together(nights: Nights, draws: Draws, upper_weight_frac: Floats) -> _Both:
    last = upper_weight_frac[-1:]
    return _Both(
        infected=_levels(nights.infected_frac, upper_weight_frac),
        progress=_levels(nights.progress, np.concatenate([upper_weight_frac, last])),
        at_infection=_levels(nights.progress_at_infection, upper_weight_frac),
        shape=showing_shape(draws.showing_span_d, draws.shortest_latent_d).ravel().astype(np.float32),
    )


def _levels(values: NDArray[np.float32], upper_weight_frac: Floats) -> Floats:
    """(levels, members, days, draws) to (days, all draws), weighed by leaf area."""
    upper = upper_weight_frac.astype(np.float32)[:, np.newaxis]
    both = values[0] * (np.float32(1.0) - upper) + values[1] * upper
    return np.ascontiguousarray(np.moveaxis(both, 1, 0)).reshape(both.shape[1], -1)


def _latent_now(both: _Both, kept_frac: Floats, today: int) -> Floats:
    """(days lived, draws): share of the spores of each night that is in a leaf still attached, and not showing."""
    since = both.progress[today] - both.at_infection[:today]
    hidden = 1.0 - shown_frac(since, both.shape)
    return np.asarray(both.infected[:today] * hidden * kept_frac[:today, np.newaxis])


def _next_showing(both: _Both, latent: Floats, kept_frac: Floats, today: int) -> Floats:
    days = both.infected.shape[0]
    old = np.flatnonzero(latent.max(axis=1, initial=0.0) > 1e-4)
    total = latent.sum(axis=0)
    if old.size == 0:
        return np.full(3, float(days))
    opened = np.zeros((days + 1 - today, total.size), np.float32)
    for day in old:
        since = np.maximum(both.progress[today:] - both.at_infection[day], 0.0)
        hidden = 1.0 - shown_frac(since, both.shape)
        opened += (hidden[0] - hidden) * (both.infected[day] * kept_frac[day])
    when = today + _crossing(opened, 0.1 * total)
    if total.sum() <= 0.0:
        return np.full(3, float(days))
    return np.quantile(when[_standing_for(total)], BAND)


def _night(both: _Both, day: int, chance_frac: float, today: int) -> NightOutlook:
    # draws in which nothing got in cannot say when it shows: each draw speaks as loudly as what it let in
    who = _standing_for(both.infected[day])
    rise = np.maximum(both.progress[day:, who] - both.at_infection[day, who], 0.0)
    shape, last = both.shape[who], float(both.infected.shape[0])
    first = day + _crossing(rise, progress_when_shown(0.1, shape))
    half = day + _crossing(rise, np.ones_like(shape))
    hidden = 1.0 - shown_frac(rise[max(today - day, 0)], shape)
    return NightOutlook(
        day=day,
        infected_frac=np.quantile(both.infected[day], BAND),
        chance_frac=float(chance_frac),
        rise=_bands(rise),
        first_showing_day=np.quantile(first, BAND),
        showing_day=np.quantile(half, BAND),
        latent_frac=np.quantile(hidden, BAND),
        open_ended=bool(np.quantile(half, BAND[-1]) >= last),
    )


def _worth_telling(chance: Floats, latent: Floats, today: int, at_most: int = 12) -> list[int]:
    """Lived nights that still hide something and mattered in one draw of ten, and nights ahead that may: the chief ones."""
    weight = chance.copy()
    mean_now = latent.mean(axis=1)
    weight[:today] = np.where((chance[:today] >= 0.1) & (mean_now > 1e-3), mean_now, 0.0)
    weight[today:] = np.where(chance[today:] >= 0.1, chance[today:] * 0.01, 0.0)
    chosen = np.argsort(-weight, kind="stable")[:at_most]
    return sorted(int(day) for day in chosen if weight[day] > 0.0)


def _crossing(rising: Floats, target: Floats) -> Floats:
    """Fractional row at which each column of a rising table (rows, draws) first reaches its target; rows − 1 if never."""
    last = rising.shape[0] - 1
    row = np.clip((rising < target).sum(axis=0), 1, last)
    columns = np.arange(rising.shape[1])
    below, above = rising[row - 1, columns], rising[row, columns]
    part = np.clip((target - below) / np.maximum(above - below, 1e-12), 0.0, 1.0)
    return np.where(rising[last] < target, float(last), row - 1 + part)


def _bands(values: Floats) -> Floats:
    """(rows, draws) to (rows, 3)."""
    ordered = np.sort(values, axis=1)
    places = [round(share * (values.shape[1] - 1)) for share in BAND]
    return np.asarray(ordered[:, places], np.float64)


def _standing_for(weight: Floats, size: int = 256) -> NDArray[np.int64]:
    """Numbers of draws, each as often as its weight deserves: equal voices that stand for unequal ones."""
    reached = np.cumsum(weight, dtype=np.float64)
    steps = (np.arange(size) + 0.5) / size * reached[-1]
    return np.asarray(np.minimum(np.searchsorted(reached, steps), weight.size - 1))


def latent_period_d(nights: Nights, today: int) -> float:
    """Days that a latent period takes just now [d], from the last ten days' ripening of all members, levels and draws; at most
    a hundred. today : the garden day next to come, 1 or more."""
    first = max(today - _RECENT_D, 0)
    ripened = float((nights.progress[:, :, today] - nights.progress[:, :, first]).mean())
    return min((today - first) / max(ripened, 1e-9), _LONGEST_LATENT_D) if today > first else _LONGEST_LATENT_D

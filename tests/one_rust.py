"""One rust on one leaf, in wetness and weather of our choosing; and the kernel's rules again in plain Python."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.infection import curves, draws, kernel, latency, pathogen, response

Floats = NDArray[np.float64]


class Leaf(NamedTuple):
    """Hours at one leaf, each a number or (hours,)."""

    is_wet: object = 1.0
    temperature_c: object = 22.0
    humidity_frac: object = 0.6
    sun_w_m2: object = 0.0


def hours_on(leaf: Leaf, hours: int) -> kernel.LeafHours:
    """The kernel's drivers for one level and one member."""
    return kernel.LeafHours(*(np.broadcast_to(np.asarray(each, float), (hours,)).reshape(hours, 1, 1) for each in leaf))


def nights_on(leaf: Leaf, days: int, rust: str = "canna_rust", **changes: float) -> kernel.Nights:
    """What days of 24 hours let in, with a rust's central values or changed ones."""
    numbers = central(rust, **changes)
    return kernel.infect(hours_on(leaf, days * 24), curves.curves_of(numbers), np.arange(days + 1) * 24)


def central(rust: str = "canna_rust", **changes: float) -> draws.Draws:
    """One draw with a rust's central values or changed ones."""
    return draws.central(pathogen.read_pathogen(rust))._replace(
        **{name: value if name.endswith("pause_frac") else np.full((1, 1), value) for name, value in changes.items()}
    )


def wet_from(first: int, hours: int, total: int = 48) -> Floats:
    """A leaf dry but for `hours` hours from hour `first`."""
    place = np.arange(total)
    return ((place >= first) & (place < first + hours)).astype(float)


def infected(leaf: Leaf, days: int = 2, rust: str = "canna_rust", **changes: float) -> float:
    """Falls of spores that got in, all days together: a day's share times what could have got in that day.

    Spores on the leaf at the start of a day are reckoned again from the shares of the days before, with no deaths.
    """
    share = nights_on(leaf, days, rust, sun_loss_per_mj=0.0, dark_loss_per_d=0.0, break_kill_frac=0.0, **changes)
    on_leaf, got_in = 0.0, 0.0
    for each in share.infected_frac[0, 0, :, 0]:
        entered = float(each) * (on_leaf + 1.0)
        on_leaf += 1.0 - entered
        got_in += entered
    return got_in


def twin(leaf: Leaf, hours: int, numbers: draws.Draws) -> tuple[Floats, Floats]:
    """Infected share by day, and latent progress at the day's ends, by the kernel's rules without tables or lanes."""
    wet, temperature, humidity, sun = (np.broadcast_to(np.asarray(each, float), (hours,)) for each in leaf)
    one = {name: float(np.ravel(value)[0]) for name, value in numbers._asdict().items()}
    cardinal = [
        [one[f"{stage}_{mark}_c"] for mark in ("minimum", "optimum", "maximum")] for stage in ("infection", "latent")
    ]
    waiting = cohort = let_in = progress = ripe = caught = on_leaf = 0.0
    in_spell, shares, ripeness = False, [], [0.0]
    for hour in range(hours):
        if hour % 24 == 0:
            on_leaf, caught = waiting + cohort * (1.0 - let_in), 0.0
        ripe += float(latency.ripening_per_h(temperature[hour], *cardinal[1], one["shortest_latent_d"]))
        alive = math.exp(-sun[hour] * 0.0036 * one["sun_loss_per_mj"] - one["dark_loss_per_d"] / 24.0)
        if wet[hour] >= one["wet_hour_frac"]:
            if not in_spell:
                in_spell, cohort, waiting, let_in, progress = True, waiting, 0.0, 0.0, 0.0
            progress += float(response.beta_response_frac(temperature[hour], *cardinal[0]))
            now_in = float(response.infected_share_frac(progress, one["first_wet_h"], one["full_wet_h"]))
            cohort, waiting = cohort * alive, waiting * alive + (1.0 - now_in) / 24.0
            caught += cohort * (now_in - let_in) + now_in / 24.0
            let_in = now_in
        else:
            if in_spell and humidity[hour] < one["humid_pause_frac"]:
                dead = min(progress / one["germination_h"], 1.0) * one["break_kill_frac"]
                in_spell, waiting, cohort = False, waiting + cohort * (1.0 - let_in) * (1.0 - dead), 0.0
            waiting, cohort = waiting * alive + 1.0 / 24.0, cohort * alive
        if hour % 24 == 23:
            shares.append(caught / (on_leaf + 1.0))
            ripeness.append(ripe)
    return np.array(shares), np.array(ripeness)

"""What an epidemic does by theory alone: how fast it starts, whether it starts, how it ends, how much of it hides.

Nothing here is used for a bed. It is what the step through the days is tested against, and what explains it:
an epidemic grows at the rate r at which the pustules of one pustule, each discounted by e^(−r·age), come to one.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import ParameterError

Floats = NDArray[np.float64]
#: halvings of an interval after which a double can tell no more
_HALVINGS = 200


def reproduction_number(infection_per_d: ArrayLike, infectious_d: ArrayLike) -> Floats:
    """New pustules from one in its life on a clean planting; an epidemic needs more than 1.

    infection_per_d : new ones from one in a day (van der Plank's corrected basic infection rate). infectious_d : days for
    which one gives spores. Source: vanderplank1963.
    """
    return np.asarray(np.asarray(infection_per_d, float) * np.asarray(infectious_d, float))


def threshold_infection_per_d(infectious_d: ArrayLike) -> Floats:
    """New pustules from one in a day below which there is no epidemic [1/d]. infectious_d : above 0."""
    return 1.0 / _above_zero(infectious_d, "infectious_d")


def final_size_frac(reproduction: ArrayLike) -> Floats:
    """Share diseased in the end, f = 1 − exp(−f·R₀), if nothing grows and nothing is done [0 to 1]; 0 up to R₀ = 1.

    reproduction : R₀, any shape. Source: delponte2023.
    """
    each = np.asarray(reproduction, float)
    # the curve's height above f is greatest at ln R₀ / R₀, so the answer lies beyond
    low = np.log(np.maximum(each, 1.0)) / np.maximum(each, 1.0)
    root = _falling_root(lambda f: -np.expm1(-f * each) - f, low, np.ones_like(each))
    return np.where(each > 1.0, root, 0.0)


def growth_rate_per_d(
    reproduction: ArrayLike, latent_d: ArrayLike, infectious_d: ArrayLike, *, latent_stages: int, infectious_stages: int
) -> Floats:
    """Rate at which an epidemic starts when both periods pass in stages of equal mean [1/d]; below 0 where it dies out.

    reproduction : R₀, above 0. latent_d, infectious_d : mean periods, above 0. latent_stages, infectious_stages : 1 or
    more; one each is the HLIR system, ever more come to van der Plank's delay. Solves 1 = R₀ ∫ i(τ) e^(−rτ) dτ, of
    segarra2001, with periods of Erlang's distribution (derived).
    """
    number = _above_zero(reproduction, "reproduction")
    latent, infectious = _above_zero(latent_d, "latent_d"), _above_zero(infectious_d, "infectious_d")
    number, latent, infectious = np.broadcast_arrays(number, latent, infectious)
    if latent_stages < 1 or infectious_stages < 1:
        raise ParameterError("A period has one stage or more.", remedy="Give 1 for an even chance of passing each day.")

    def over_one(rate: Floats) -> Floats:
        waiting = -latent_stages * np.log1p(rate * latent / latent_stages)
        return np.asarray(np.log(number) + waiting + np.log(_mean_discount(rate, infectious, infectious_stages)))

    bound = -np.minimum(latent_stages / latent, infectious_stages / infectious)
    return _falling_root(over_one, bound * (1.0 - 1e-12), np.maximum(number / infectious, 1e-300))


def hlir_growth_rate_per_d(reproduction: ArrayLike, latent_d: ArrayLike, infectious_d: ArrayLike) -> Floats:
    """Rate at which an HLIR epidemic starts [1/d]: the larger root of (1 + r·latent)(1 + r·infectious) = R₀.

    Arguments as in growth_rate_per_d. Source: delponte2023.
    """
    number = np.asarray(reproduction, float)
    ripening = 1.0 / _above_zero(latent_d, "latent_d")
    removal = 1.0 / _above_zero(infectious_d, "infectious_d")
    root = np.sqrt((ripening - removal) ** 2 + 4.0 * ripening * removal * number)
    return np.asarray((root - ripening - removal) / 2.0)


def delay_growth_rate_per_d(infection_per_d: ArrayLike, latent_d: ArrayLike, infectious_d: ArrayLike) -> Floats:
    """Rate at which van der Plank's epidemic starts [1/d], r = R (e^(−rp) − e^(−r(p + i))); below 0 where it dies out.

    infection_per_d : R, above 0. latent_d : p, 0 or more. infectious_d : i, above 0; ∞ where pustules never tire.
    Source: vanderplank1963.
    """
    daily = _above_zero(infection_per_d, "infection_per_d")
    infectious = _above_zero(infectious_d, "infectious_d")
    daily, latent, infectious = np.broadcast_arrays(daily, np.asarray(latent_d, float), infectious)

    def over_one(rate: Floats) -> Floats:
        return np.asarray(np.log(daily) - rate * latent + np.log(_discounted_days(rate, infectious)))

    number = daily * infectious
    with np.errstate(invalid="ignore"):
        low = np.where(number < 1.0, -2.0 * (1.0 / np.minimum(number, 1.0) - 1.0) / infectious, 0.0)
    return _falling_root(over_one, low, daily.copy())


def hidden_frac(rate_per_d: ArrayLike, hidden_d: ArrayLike) -> Floats:
    """Share of all infections that does not show yet in an epidemic growing steadily, 1 − e^(−rp) [0 to 1].

    rate_per_d : at which it grows, 0 or more. hidden_d : days until an infection shows. Derived.
    """
    return np.asarray(-np.expm1(-np.asarray(rate_per_d, float) * np.asarray(hidden_d, float)))


def all_to_showing_factor(rate_per_d: ArrayLike, hidden_d: ArrayLike) -> Floats:
    """How many infections there are for each that shows, e^(rp), 1 or more. Arguments as in hidden_frac."""
    return np.asarray(np.exp(np.asarray(rate_per_d, float) * np.asarray(hidden_d, float)))


def leaves_before_showing(leaf_interval_d: float, latent_d: float) -> int:
    """Youngest leaves of a shoot that cannot show what came in as they unrolled.

    leaf_interval_d : days between one leaf and the next, above 0. latent_d : days until pustules open.
    """
    return math.ceil(latent_d / leaf_interval_d)


def front_speed_m_d(rate_per_d: ArrayLike, steepness_per_m: ArrayLike) -> Floats:
    """How fast the edge of an epidemic moves when its spores thin out exponentially with distance [m/d].

    steepness_per_m : of the gradient, above 0. With a power there is no such speed: the edge moves ever faster.
    Source: minogue1983.
    """
    return np.asarray(rate_per_d, float) / _above_zero(steepness_per_m, "steepness_per_m")


def hlir_course(
    day: ArrayLike, *, hosts: float, reproduction: float, latent_d: float, infectious_d: float, step_d: float = 0.05
) -> Floats:
    """Healthy, latent, infectious and removed hosts on days after one of them became latent (days, 4).

    day : (days,) rising, 0 or more. hosts : in all, above 1. reproduction : R₀. latent_d, infectious_d : mean periods.
    step_d : of Runge-Kutta's fourth-order steps, which end on each day. Source: delponte2023.
    """
    days = _rising(day)
    ripening, removal = 1.0 / latent_d, 1.0 / infectious_d
    infection = reproduction * removal / hosts

    def change(now: Floats) -> Floats:
        new, ripe, gone = infection * now[0] * now[2], ripening * now[1], removal * now[2]
        return np.array([-new, new - ripe, ripe - gone, gone])

    now, at, course = np.array([hosts - 1.0, 1.0, 0.0, 0.0]), 0.0, []
    for until in days:
        steps = math.ceil((until - at) / step_d - 1e-9)
        for _ in range(steps):
            now = _runge_kutta(change, now, (until - at) / steps)
        at = until
        course.append(now)
    return np.array(course)


def delay_course_frac(
    day: ArrayLike,
    *,
    infection_per_d: float,
    latent_d: float,
    infectious_d: float,
    start_frac: float,
    step_d: float = 0.01,
) -> Floats:
    """Share diseased on days of van der Plank's epidemic, dy/dt = R (y(t−p) − y(t−p−i)) (1 − y) (days,).

    day : (days,) rising, 0 or more. infection_per_d : R. latent_d, infectious_d : p and i, whole numbers of steps.
    start_frac : y on day 0; before, there was none. step_d : of Euler's plain steps. Source: vanderplank1963.
    """
    days = _rising(day)
    latent, tired = round(latent_d / step_d), round((latent_d + infectious_d) / step_d)
    share = np.zeros(round(days[-1] / step_d) + 1)
    share[0] = start_frac
    for step in range(1, share.size):
        young = share[step - 1 - latent] if step - 1 >= latent else 0.0
        old = share[step - 1 - tired] if step - 1 >= tired else 0.0
        share[step] = share[step - 1] + step_d * infection_per_d * (young - old) * (1.0 - share[step - 1])
    return share[np.round(days / step_d).astype(np.int64)]


def _runge_kutta(change: Callable[[Floats], Floats], now: Floats, step_d: float) -> Floats:
    first = change(now)
    second = change(now + 0.5 * step_d * first)
    third = change(now + 0.5 * step_d * second)
    fourth = change(now + step_d * third)
    return now + step_d / 6.0 * (first + 2.0 * second + 2.0 * third + fourth)


def _rising(day: ArrayLike) -> Floats:
    days = np.atleast_1d(np.asarray(day, float))
    if days.ndim != 1 or not days.size or days[0] < 0.0 or not (np.diff(days) > 0.0).all():
        raise ParameterError("Days must rise from 0 or later.", remedy="Put them in order, each once.")
    return days


def _discounted_days(rate: Floats, infectious: Floats) -> Floats:
    """∫ e^(−rτ) dτ from 0 to the infectious period [d]; the period itself at r = 0."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return np.where(np.abs(rate) < 1e-12, infectious, -np.expm1(-rate * infectious) / rate)


def _mean_discount(rate: Floats, infectious: Floats, stages: int) -> Floats:
    """Mean of e^(−rτ) over an infectious life in stages [0 or more]; 1 at r = 0."""
    x = rate * infectious
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return np.where(np.abs(x) < 1e-12, 1.0, -np.expm1(-stages * np.log1p(x / stages)) / x)


def _falling_root(height: Callable[[Floats], Floats], low: Floats, high: Floats) -> Floats:
    """Where a falling function passes 0 between two bounds, each of any shape, by halving."""
    below, above = np.array(low, float), np.array(high, float)
    for _ in range(_HALVINGS):
        middle = (below + above) / 2.0
        positive = height(middle) > 0.0
        below, above = np.where(positive, middle, below), np.where(positive, above, middle)
    return np.asarray((below + above) / 2.0)


def _above_zero(numbers: ArrayLike, name: str) -> Floats:
    each = np.asarray(numbers, float)
    if not (each > 0.0).all():
        raise ParameterError(f"{name} is {numbers!r}; it must be above 0.", remedy="Give a number above 0.")
    return each

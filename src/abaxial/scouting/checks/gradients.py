"""Gradients fitted and asked at once."""

from numpy.typing import ArrayLike

from abaxial.errors import ScoutingError
from abaxial.scouting import gradient


def half_distance_m(form: str, distance_m: ArrayLike, count: ArrayLike, from_m: float) -> float:
    """`gradient.half_distance_m` of a gradient fitted to counts. form : "exponential" or "power"."""
    return gradient.half_distance_m(_fitted(form, distance_m, count), from_m=from_m)


def left_after_frac(distance_m: ArrayLike, count: ArrayLike, offset_m: float, from_m: float, to_m: float) -> float:
    """`gradient.left_after_frac` of a modified power fitted to counts, with its offset known."""
    fitted = gradient.fit_modified_power(distance_m, count, offset_m=offset_m)
    return gradient.left_after_frac(fitted, from_m=from_m, to_m=to_m)


def _fitted(form: str, distance_m: ArrayLike, count: ArrayLike) -> gradient.Gradient:
    if form == "exponential":
        return gradient.fit_exponential(distance_m, count)
    if form == "power":
        return gradient.fit_power(distance_m, count)
    raise ScoutingError(f"No check fits a gradient of the form {form!r}.", remedy="Name exponential or power.")

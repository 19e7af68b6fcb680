"""One application: what was put on which leaves, on which day."""

from typing import NamedTuple


class Application(NamedTuple):
    """Something sprayed on a planting, done or intended.

    day : row of the garden day whose evening it precedes, 0 or more. materials : keys; one bottle may hold two.
    dose_frac : of the label's rate, 0 to 1. cover_lower_frac, cover_upper_frac : share of the leaf faces of the lower
    and the upper level that were wetted, 0 to 1. soon_frac : share of that day's rain that fell on it before it was
    rain-fast, 0 to 1; where it is not known, rain is taken to have fallen evenly over the day.
    """

    day: int
    materials: tuple[str, ...]
    dose_frac: float
    cover_lower_frac: float
    cover_upper_frac: float
    soon_frac: float | None = None

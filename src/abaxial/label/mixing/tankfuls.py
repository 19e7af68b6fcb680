"""Into how many equal tanks a volume goes: a number of litres that a jug can measure, and hardly more than is needed."""

import math
from typing import NamedTuple

#: litres a person can measure, the roundest first
_STEPS_L = (1.0, 0.5, 0.25, 0.1, 0.05, 0.025, 0.01)
_ROUNDING = 1e-9


class Tankfuls(NamedTuple):
    """Equal tanks. number : of them, 1 or more. tankful_l : water and product of each."""

    number: int
    tankful_l: float


def equal_tankfuls(least_l: float, most_l: float, tank_l: float) -> Tankfuls | None:
    """The fewest equal tanks that together hold a volume between two, in the roundest litres; None where no jug can.

    least_l : above 0. most_l : least_l or more. tank_l : what the sprayer takes, above 0.
    """
    fewest = max(1, math.ceil(least_l / tank_l - _ROUNDING))
    for number in (fewest, fewest + 1):
        for step_l in _STEPS_L:
            tankful_l = math.ceil(least_l / number / step_l - _ROUNDING) * step_l
            if tankful_l <= tank_l + _ROUNDING and number * tankful_l <= most_l + _ROUNDING:
                return Tankfuls(number, tankful_l)
    return None


def measured(amount: float, graduation: float) -> float:
    """An amount, down to the next graduation of a measure and never up. amount : 0 or more. graduation : above 0."""
    return math.floor(amount / graduation + _ROUNDING) * graduation

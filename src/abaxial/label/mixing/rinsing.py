"""What is left after rinsing, and what a container and a sprayer are rinsed with."""

from typing import Any

from abaxial.label.mixing.habits import RINSES, Habits


def left_frac(left_ml: Any, rinse_ml: Any, rinses: Any) -> Any:
    """Share of a product still in a container, of what was in it before the first rinse.

    left_ml : what will not drip out [mL], any shape, above 0. rinse_ml : water of each rinse [mL], 0 or more. rinses : 0
    or more, each poured out again as far as it drips.
    """
    return (left_ml / (left_ml + rinse_ml)) ** rinses


def container_rinse_l(container_l: float, habits: Habits) -> float:
    """Water of one rinse of an emptied container [L]. container_l : its size, above 0. Source: fiftyways."""
    small = container_l < habits.small_container_l
    return container_l * (habits.small_rinse_frac if small else habits.large_rinse_frac)


def sprayer_rinses_l(tank_l: float, habits: Habits) -> tuple[float, ...]:
    """Clean water of each rinse of a sprayer [L]; all of it goes on the bed that was sprayed. tank_l : above 0."""
    return (tank_l * habits.sprayer_rinse_frac,) * RINSES

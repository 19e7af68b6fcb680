"""Stopping plans made from four numbers and asked at once."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.scouting import stopping


def mean_leaves(clean_frac: float, act_frac: float, false_alarm_frac: float, missed_frac: float, at: str) -> float:
    """`stopping.mean_leaves` of a plan. at : "clean", "act" or "slope", the incidence there is."""
    plan = stopping.stopping_plan(clean_frac, act_frac, false_alarm_frac=false_alarm_frac, missed_frac=missed_frac)
    return stopping.mean_leaves(plan, {"clean": clean_frac, "act": act_frac, "slope": plan.slope_frac}[at])


def first_clean_leaves(
    clean_frac: float, act_frac: float, false_alarm_frac: float, missed_frac: float, rusted: ArrayLike
) -> NDArray[np.float64]:
    """Leaves after which so many rusted first mean clean. rusted : shape (cases,)."""
    plan = stopping.stopping_plan(clean_frac, act_frac, false_alarm_frac=false_alarm_frac, missed_frac=missed_frac)
    return np.array([stopping.first_clean(plan, int(each)) for each in np.ravel(rusted)], float)


def fewest_to_act_leaves(
    clean_frac: float, act_frac: float, false_alarm_frac: float, missed_frac: float, turned: ArrayLike
) -> NDArray[np.float64]:
    """The fewest rusted that mean acting after so many leaves, NaN where none does. turned : shape (cases,)."""
    plan = stopping.stopping_plan(clean_frac, act_frac, false_alarm_frac=false_alarm_frac, missed_frac=missed_frac)
    found = [stopping.limits_after(plan, int(each))[1] for each in np.ravel(turned)]
    return np.array([np.nan if each is None else each for each in found], float)


def clean_line_leaves(
    clean_frac: float, act_frac: float, false_alarm_frac: float, missed_frac: float, turned: ArrayLike
) -> NDArray[np.float64]:
    """The lower line after so many leaves [rusted leaves]. turned : shape (cases,)."""
    plan = stopping.stopping_plan(clean_frac, act_frac, false_alarm_frac=false_alarm_frac, missed_frac=missed_frac)
    return np.asarray(plan.slope_frac * np.asarray(turned, float) - plan.clean_leaves)


def act_line_leaves(
    clean_frac: float, act_frac: float, false_alarm_frac: float, missed_frac: float, turned: ArrayLike
) -> NDArray[np.float64]:
    """The upper line after so many leaves [rusted leaves]. turned : shape (cases,)."""
    plan = stopping.stopping_plan(clean_frac, act_frac, false_alarm_frac=false_alarm_frac, missed_frac=missed_frac)
    return np.asarray(plan.slope_frac * np.asarray(turned, float) + plan.act_leaves)

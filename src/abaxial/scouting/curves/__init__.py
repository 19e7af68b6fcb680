"""Curves of disease progress: four forms, fitted in two ways, and what stands in the way of a fit."""

from abaxial.scouting.curves.choice import Choice, choose, fit_every
from abaxial.scouting.curves.fit import METHODS, REASONS, Fit, Unfitted, fit_curve, fit_line
from abaxial.scouting.curves.forms import FORMS, curve_frac, fastest_at_frac, seen_back_frac, speed_per_d, straightened
from abaxial.scouting.curves.straight import Line, straight_line

__all__ = [
    "FORMS", "METHODS", "REASONS", "Choice", "Fit", "Line", "Unfitted", "choose", "curve_frac", "fastest_at_frac",
    "fit_curve", "fit_every", "fit_line", "seen_back_frac", "speed_per_d", "straight_line", "straightened",
]  # fmt: skip

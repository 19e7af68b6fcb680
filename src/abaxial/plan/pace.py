"""How fast somebody walks and looks, and from when on a look is worth making; read from pace.toml."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from abaxial.provenance import read_parameters, read_table

_PATH = Path(__file__).with_name("pace.toml")
_LIMITS = {
    "leaf_s": (0.5, 120.0),
    "settling_s": (0.0, 600.0),
    "writing_s": (0.0, 600.0),
    "walking_m_s": (0.1, 2.0),
    "detour_factor": (1.0, 5.0),
    "known_log_sd": (0.01, 2.0),
    "least_gain_frac": (1e-4, 0.5),
    "due_worth_frac": (0.0, 1.0),
    "due_chance_frac": (0.01, 0.99),
    "clean_below_frac": (1e-6, 0.1),
    "rusty_above_frac": (1e-6, 0.5),
}


class Pace(NamedTuple):
    """How somebody goes round.

    leaf_s : to turn one leaf. settling_s : at each planting. writing_s : to write down one stop. walking_m_s : between
    plantings. detour_factor : length of a path over the straight line, 1 or more. known_log_sd : doubt of the logarithm
    of rusted leaf area that is of no account. least_gain_frac : share of what a planting has to tell below which leaves
    are left alone. due_worth_frac : worth of meeting a leaf in the week it opens, against all doubt about its planting.
    due_chance_frac : chance of that from which on a stop is due. clean_below_frac, rusty_above_frac : shares of leaf
    area showing that part clean, speckled and rusty plantings.
    """

    leaf_s: float
    settling_s: float
    writing_s: float
    walking_m_s: float
    detour_factor: float
    known_log_sd: float
    least_gain_frac: float
    due_worth_frac: float
    due_chance_frac: float
    clean_below_frac: float
    rusty_above_frac: float


@cache
def read_pace() -> Pace:
    """The central values of pace.toml. Raises ParameterError if the file breaks its rules."""
    read = read_parameters(
        read_table(_PATH).get("parameters"),
        limits=_LIMITS,
        rising=[("clean_below_frac", "rusty_above_frac")],
        path=_PATH,
    )
    return Pace(**{name: parameter.value for name, parameter in read.items()})

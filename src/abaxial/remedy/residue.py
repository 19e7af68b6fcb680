"""What is left of a spray on the leaves, day by day: it decays, rain takes it off, new leaves come without it."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.compiled import small_kernel
from abaxial.provenance import Parameter, read_parameter, read_table
from abaxial.remedy.application import Application
from abaxial.remedy.material import Material

Floats = NDArray[np.float64]
_FILE = Path(__file__).parent / "constants.toml"


class Carry(NamedTuple):
    """How what lay on one day is spread on another, each (days, days): from the row's day to the column's.

    upper_frac : of the upper level, still there. lower_frac : the same of the lower. sunk_frac : of the upper level,
    as it now lies on the lower. Nothing before its day.
    """

    upper_frac: Floats
    lower_frac: Floats
    sunk_frac: Floats


@cache
def constants(part: str) -> dict[str, Parameter]:
    """The numbers of every material, by name. part : "residue" or "resistance". Source: constants.toml."""
    table = read_table(_FILE)[part]
    return {name: read_parameter(name, entry, limits=(-20.0, 100.0), path=_FILE) for name, entry in table.items()}


def decayed_left_frac(passed_d: ArrayLike, decay_per_d: float) -> Floats:
    """Share left after days without rain, exp(−decay·days) [0 to 1]. passed_d : any shape, 0 or more."""
    return np.exp(-decay_per_d * np.asarray(passed_d, float))


def washed_left_frac(rain_mm: ArrayLike, half_wash_mm: float) -> Floats:
    """Share left after rain, 1/(1 + rain/half) [0 to 1].

    rain_mm : since the spray, any shape. half_wash_mm : rain that takes half of it. The first millimetres take most,
    because what holds loosest goes first: a deposit whose parts wash off at exponentially spread rates leaves just this
    (derived). Source: hunsche2007 for the hyperbola; the half from ontario2020.
    """
    return np.asarray(1.0 / (1.0 + np.asarray(rain_mm, float) / half_wash_mm))


def left_frac(material: Material, application: Application, rain_mm: Floats) -> Floats:
    """Share of a deposit left at the end of each day, (members, days); 0 before it is there.

    rain_mm : (members, days). Rain that fell before the deposit was rain-fast counts several times.
    """
    day, days = application.day, rain_mm.shape[1]
    soon = application.soon_frac
    if soon is None:
        soon = min(material["rain_fast_h"] / 24.0, 1.0)
    counted = np.cumsum(rain_mm[:, day:], axis=1)
    counted += soon * (constants("residue")["soon_wash_factor"].value - 1.0) * rain_mm[:, day : day + 1]
    left = np.zeros_like(rain_mm)
    decayed = decayed_left_frac(np.arange(days - day), material["decay_per_d"])
    left[:, day:] = decayed * washed_left_frac(counted, material["half_wash_mm"])
    return left


def reached_frac(cover_frac: ArrayLike, through_leaf_frac: float) -> Floats:
    """Share of leaf area on which a deposit guards the face by which rust enters [0 to 1].

    cover_frac : share of all faces wetted, any shape. through_leaf_frac : what a deposit on one face is worth on the
    other; 0 for a contact film. The faces of a leaf are taken to be wetted independently (assumed).
    """
    cover = np.asarray(cover_frac, float)
    return cover + through_leaf_frac * cover * (1.0 - cover)


def carry(new_frac: Floats, to_new_frac: float) -> Carry:
    """How leaves that come and sink spread what lay on the others.

    new_frac : (2, days) share of the lower level's leaf area that sank in from the upper one that day, and of the
    upper's that unfolded. to_new_frac : how much of the others' a new leaf has; 0 for a contact film. Leaves that sink
    carry the mean of the upper level, as the epidemic mixes a level.
    """
    days = new_frac.shape[1]
    spread = Carry(*np.zeros((3, days, days)))
    _spread(*spread, new_frac[0].astype(np.float64), 1.0 - new_frac[1] * (1.0 - to_new_frac))
    return spread


@small_kernel
def _spread(upper: Floats, lower: Floats, sunk: Floats, sank: Floats, kept: Floats) -> None:
    for day in range(kept.size):
        upper[day, day], lower[day, day] = 1.0, 1.0
        for later in range(day + 1, kept.size):
            upper[day, later] = upper[day, later - 1] * kept[later]
            lower[day, later] = lower[day, later - 1] * (1.0 - sank[later])
            sunk[day, later] = sunk[day, later - 1] * (1.0 - sank[later]) + sank[later] * upper[day, later]

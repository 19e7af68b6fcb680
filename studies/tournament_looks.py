"""What a walk finds in a planting of the tournament, and how it is written down."""

import math
from datetime import date
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import likelihood
from abaxial.assimilation.looks import read_looks
from abaxial.scouting.sightings import Sighting
from studies.tournament_climate import setup
from studies.tournament_scene import Scene

Floats = NDArray[np.float64]


class Seen(NamedTuple):
    """What a walk finds in a planting. rusted : leaves of those turned, -1 where there are none to turn. severity_frac : how much
    of the rusted ones is rusted, as judged; 0 where that is too little to judge, or none is rusted."""

    rusted: int
    severity_frac: float = 0.0


#: where nobody looked, or nothing was there to be turned
NOT_LOOKED = Seen(-1)


def counted(predicted: likelihood.Predicted, dice: Floats) -> int:
    """Rusted leaves among those turned. predicted : of one version. dice : (2,) the second for a blunder."""
    turned = int(setup()["turned"])
    if dice[1] < _blunder_frac():
        return int(dice[0] * (turned + 1))
    chances = likelihood.count_distribution(turned, predicted, np.ones(1))
    return min(int(np.searchsorted(np.cumsum(chances), dice[0])), turned)


def sighting_of(scene: Scene, place: int, on: date, seen: Seen) -> Sighting:
    """What is written down of a look."""
    judged = seen.severity_frac or None
    return Sighting(
        scene.climate.stands[place].planting.name,
        on,
        "lower",
        turned=int(setup()["turned"]),
        rusted=seen.rusted,
        severity_low_frac=judged,
        severity_high_frac=judged,
        severity_of="rusted",
    )


def judged_frac(predicted: likelihood.Predicted, eye: float) -> float:
    """How much of the rusted leaves somebody judges to be rusted, 0 where that is too little to be judged. predicted : of one
    version. eye : standard normal luck."""
    looks = read_looks()
    # a look at a wrong bed may count rusted leaves where none is
    really = float(predicted.visible_frac[0] / max(likelihood.incidence_frac(predicted)[0], 1e-12))
    judged = really * math.exp(float(predicted.rater_log_bias[0]) + looks.severity_log_sd * eye)
    return min(judged, 0.99) if judged >= looks.smallest_seen_frac else 0.0


@cache
def _blunder_frac() -> float:
    """How often somebody writes down anything."""
    return read_looks().blunder_frac

"""What the walks have taught: every unknown of the garden before anybody looked, and now."""

from typing import NamedTuple

import numpy as np

from abaxial.assimilation.estimate import BAND, Posterior
from abaxial.assimilation.outcome.shares import Three, three

# a standard normal number lies below these one time in ten, in two, and nine times in ten
_BEFORE = (-1.2815515655446004, 0.0, 1.2815515655446004)
#: endings of names, the longer first, that are units to be shown; a share or a factor has none
_SHOWN_UNITS = ("per_d", "d")


class Taught(NamedTuple):
    """One unknown. of : key of its rust, name of its planting, or "". before, after : 10, 50 and 90 %. unit : as in
    docs/words.toml, "" for a factor or share."""

    name: str
    of: str
    before: Three
    after: Three
    unit: str


def taught(posterior: Posterior) -> tuple[Taught, ...]:
    """Every unknown, before and after."""
    unknowns = posterior.unknowns
    count = len(unknowns.names)
    before = unknowns.values(np.repeat(np.array(_BEFORE)[:, np.newaxis], count, axis=1))
    after = np.quantile(unknowns.values(posterior.cloud.known), BAND, axis=0)
    return tuple(
        Taught(name, of, three(before[:, i]), three(after[:, i]), _unit(name))
        for i, (name, of) in enumerate(zip(unknowns.names, unknowns.of, strict=True))
    )


def _unit(name: str) -> str:
    if name == "burst_day":
        return "d"
    return next((unit for unit in _SHOWN_UNITS if name.endswith(f"_{unit}")), "")

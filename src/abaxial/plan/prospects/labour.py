"""How long acts take on one planting, and what a spray of it needs."""

from collections.abc import Mapping
from typing import NamedTuple

from abaxial.plan.programmes.laid_out import Work
from abaxial.plan.prospects.plot import Plot, work

#: minutes of each kind of act: for each clump, for each square metre of ground, or for the bed
_BY_CLUMP = {
    "rusted_leaves_off": "rusted_leaf_min_clump",
    "low_leaves_off": "low_leaf_min_clump",
    "thin": "thin_min_clump",
    "cut_down": "cut_min_clump",
    "destroy": "destroy_min_clump",
}
_BY_BED = {"look": "look_min", "water_at_the_foot": "water_min_bed"}


class SprayNeed(NamedTuple):
    """What one spray of a planting with a bottle takes. litres : of mix. product : in the bottle's own unit."""

    litres: float
    product: float


def work_of(plot: Plot, sprays: Mapping[str, SprayNeed], *, rusted_leaves: float | None = None) -> Work:
    """What things take on a planting. sprays : bottle to what it needs. rusted_leaves : on which rust shows, in all; None where
    nobody knows, and many are looked for."""
    minutes = {kind: work()[name].value * plot.clumps for kind, name in _BY_CLUMP.items()}
    if rusted_leaves is not None:
        picking = work()["search_min_clump"].value * plot.clumps + work()["pick_min_leaf"].value * rusted_leaves
        minutes["rusted_leaves_off"] = picking
    minutes |= {kind: work()[name].value for kind, name in _BY_BED.items()}
    minutes["clear_litter"] = work()["litter_min_m2"].value * plot.ground_m2
    once = work()["spray_passes"].value * plot.ground_m2 / work()["spray_m2_s"].value / 60.0
    return Work(
        minutes,
        dict.fromkeys(sprays, once),
        {bottle: need.litres for bottle, need in sprays.items()},
        {bottle: need.product for bottle, need in sprays.items()},
    )

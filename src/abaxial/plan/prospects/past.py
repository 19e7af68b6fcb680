"""What was done in a season so far, as the epidemic feels it: leaves cut and taken off, sprays, and what stayed lying."""

from collections.abc import Mapping, Sequence

import numpy as np

from abaxial.epidemic import leaf_area, simulate
from abaxial.epidemic.leaf_area import LeafDays
from abaxial.epidemic.simulate import Remedies
from abaxial.plan.prospects.plot import Plot, work
from abaxial.remedy import effect
from abaxial.remedy.material import Material


def leaves_of(plots: Sequence[Plot]) -> LeafDays:
    """The leaves of some plantings through the season, as they were cut so far."""
    return LeafDays(*(np.concatenate(each) for each in zip(*(plot.leaves() for plot in plots), strict=True)))


def remedies_of(plots: Sequence[Plot], leaves: LeafDays, materials: Mapping[str, Material]) -> Remedies:
    """What was done to rust in some plantings. leaves : of them, in order. materials : by key."""
    members, days = plots[0].rain_mm.shape
    done = simulate.nothing_done(len(plots), members, days)
    for place, plot in enumerate(plots):
        for row, share in plot.left_frac.items():
            done.left_frac[place, row] = share
        for row in plot.rusted_leaves_off:
            done.picked_frac[place, :, row] = work()["found_frac"].value
        if plot.sprayed:
            own = LeafDays(*(each[place : place + 1] for each in leaves))
            new = leaf_area.new_frac(own)[0]
            found = effect.protection(plot.sprayed, materials, plot.rain_mm, new, plot.latent_d)
            done.shield[place], done.cure[place], done.reach_frac[place] = found
    return done

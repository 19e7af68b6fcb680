"""The ground of a walk: what may be looked at, what each look would tell, and how far apart things stand."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation.likelihood import Predicted, seen_frac
from abaxial.assimilation.looks import Looks
from abaxial.errors import FaultError
from abaxial.plan import gain, route
from abaxial.plan.doubt import Ahead
from abaxial.plan.gain import Size
from abaxial.plan.pace import Pace
from abaxial.scouting.sightings import Sighting

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Length = TypeVar("Length", float, Floats)

#: how many leaves may be turned at a stop
SIZES = (4, 6, 8, 10, 14, 20, 30)


class Corner(NamedTuple):
    """One part of one planting that may be looked at.

    part : "lower" or "upper". predicted : of today. concern : (versions,) what the decision hangs on: logarithm of the
    rusted leaf area, hidden and showing, a week or two ahead; finite, so of the area and a little more. weight : how much
    the planting matters [m2 of leaf], 0 or more; of a planting with two corners each carries half. due_frac : (versions,)
    share of leaf area that opens within the coming seven days. plants : there are, 0 or more. leaves_per_plant : of that
    part. east_m, north_m : where it stands. rusted_frac : middle share of leaf area showing.
    """

    planting: str
    bed: str
    part: str
    predicted: Predicted
    concern: Floats
    weight: float
    due_frac: Floats
    plants: int
    leaves_per_plant: float
    east_m: float
    north_m: float
    rusted_frac: float


@dataclass(frozen=True)
class Ground:
    """All of a walk that does not depend on what is chosen.

    plantings : names, in the order given. planting : (corners,) which one. ahead : every look. due_frac : (looks,) chance
    to meet a leaf that opens within the week. due_value : (looks,) what that is worth. apart_m, ranks : of plantings.
    whole_value : what complete knowledge of everything would be worth.
    """

    corners: tuple[Corner, ...]
    pace: Pace
    plantings: tuple[str, ...]
    planting: Whole
    weight: Floats
    ahead: Ahead
    due_frac: Floats
    due_value: Floats
    apart_m: Floats
    ranks: tuple[int, ...]
    whole_value: float

    def walking_s(self, straight_m: Length) -> Length:
        """Seconds for a straight distance, or for several [s]."""
        return straight_m * self.pace.detour_factor / self.pace.walking_m_s


def lay_out(corners: Sequence[Corner], pace: Pace, looks: Looks) -> Ground:
    """The ground of a garden. corners : one or more. Raises FaultError where a concern is not of the versions."""
    plantings = tuple(dict.fromkeys(each.planting for each in corners))
    number = {name: place for place, name in enumerate(plantings)}
    planting = np.array([number[each.planting] for each in corners], np.int64)
    first = [int(np.argmax(planting == place)) for place in range(len(plantings))]
    shares = np.array([each.weight for each in corners]) / np.bincount(planting)[planting]
    concern = np.stack([_checked(each, corners[0]) for each in corners])
    concern -= concern.mean(axis=1, keepdims=True)
    variance = np.mean(concern**2, axis=1)
    worth = shares / (variance + pace.known_log_sd**2)
    ahead, due = _ahead(corners, concern, worth, looks)
    rusty = [max(each.rusted_frac for each in corners if each.planting == name) for name in plantings]
    return Ground(
        corners=tuple(corners),
        pace=pace,
        plantings=plantings,
        planting=planting,
        weight=np.array([each.weight for each in corners]),
        ahead=ahead,
        due_frac=due,
        due_value=due * pace.due_worth_frac * shares[ahead.corner],
        apart_m=route.distances_m([corners[each].east_m for each in first], [corners[each].north_m for each in first]),
        ranks=tuple(int(each >= pace.clean_below_frac) + int(each > pace.rusty_above_frac) for each in rusty),
        whole_value=float(worth @ variance + pace.due_worth_frac * shares.sum()),
    )


def _checked(corner: Corner, first: Corner) -> Floats:
    """The concern of a corner."""
    concern = np.asarray(corner.concern, np.float64)
    if concern.shape != first.predicted.visible_frac.shape or not np.isfinite(concern).all():
        raise FaultError(
            f"{corner.planting}, {corner.part}: the concern must be one finite number for each version.",
            remedy="Please report this, with the garden.",
        )
    return concern


def sizes_of(corner: Corner, looks: Looks) -> list[Size]:
    """How many leaves may be turned there, rising, no more than there are; each as alike as they will be weighed as."""
    there = min(math.floor(max(corner.plants, 0) * max(corner.leaves_per_plant, 0.0) + 1e-9), SIZES[-1])
    leaves = [each for each in SIZES if each <= there]
    if there > 0 and there not in leaves:
        leaves.append(there)
    counted = [Sighting(corner.planting, date.min, turned=each, rusted=0) for each in leaves]
    alike = [looks.for_plants(each, corner.plants).among_frac for each in counted]
    return [Size(*each) for each in zip(leaves, alike, strict=True)]


def _ahead(corners: Sequence[Corner], concern: Floats, worth: Floats, looks: Looks) -> tuple[Ahead, Floats]:
    """Every look at every corner, and the chance of each to meet a leaf that opens within the week."""
    sizes = [sizes_of(each, looks) for each in corners]
    prospects, due = [], []
    for corner, held, leaves in zip(corners, concern, sizes, strict=True):
        now = seen_frac(corner.predicted)
        prospects.append(gain.prospect(now, held, leaves, blunder_frac=looks.blunder_frac))
        opened = np.clip(corner.predicted.visible_frac + corner.due_frac, 0.0, 1.0)
        opening = seen_frac(corner.predicted._replace(visible_frac=opened)) - now
        due.append(gain.met_frac(np.clip(opening, 0.0, 1.0), leaves))
    ahead = Ahead(
        corner=np.repeat(np.arange(len(corners)), [len(each) for each in sizes]),
        leaves=np.array([size.leaves for each in sizes for size in each], np.int64),
        told_variance=np.concatenate([each.told_variance for each in prospects]),
        told=np.concatenate([each.told for each in prospects]),
        concern=concern,
        worth=worth,
    )
    return ahead, np.concatenate(due)

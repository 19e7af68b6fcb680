"""Programmes as the arrays that the choice asks for: minutes, litres and product, week by week."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from abaxial.label import rotation
from abaxial.plan.choose.problem import Floats, Offers, Rotation
from abaxial.plan.programmes.step import SPRAYS, Programme
from abaxial.plan.programmes.together import Joint


class Work(NamedTuple):
    """What things take on one planting. minutes : of each kind of step once, without spraying. spray_minutes, litres,
    product : of each bottle once, by its key; product in the bottle's own unit."""

    minutes: Mapping[str, float]
    spray_minutes: Mapping[str, float]
    litres: Mapping[str, float]
    product: Mapping[str, float]


class Need(NamedTuple):
    """What one candidate uses: minutes (weeks,), and (weeks, bottles) each of the rest, as in `Offers`."""

    minutes: Floats
    spray_minutes: Floats
    litres: Floats
    product: Floats


def need(programme: Programme, work: Work, bottles: Sequence[str], weeks: int) -> Need:
    """What a programme of one planting uses. Minutes with the sprayer count as work too. bottles : keys, in their order."""
    minutes, used = np.zeros(weeks), np.zeros((3, weeks, len(bottles)))
    for week, kind, bottle in programme.steps:
        if kind not in SPRAYS:
            minutes[week] += work.minutes[kind]
            continue
        each = (work.spray_minutes[bottle], work.litres[bottle], work.product[bottle])
        used[:, week, bottles.index(bottle)] += each
        minutes[week] += work.spray_minutes[bottle]
    return Need(minutes, *used)


def offers(
    own: Sequence[Sequence[Programme]],
    joint: Sequence[Joint],
    works: Sequence[Work],
    bottles: Sequence[str],
    *,
    weeks: int,
    losses: Floats,
) -> Offers:
    """All candidates: those of each planting in turn, then the joint ones.

    own, works : one for each planting. losses : (candidates,) [money] in the same order, mixing left out.
    """
    needs: list[Need] = []
    covers: list[tuple[int, ...]] = []
    for planting, programmes in enumerate(own):
        for programme in programmes:
            needs.append(need(programme, works[planting], bottles, weeks))
            covers.append((planting,))
    for each in joint:
        parts = [need(each.programme, works[planting], bottles, weeks) for planting in each.plantings]
        needs.append(Need(*(np.sum(array, axis=0) for array in zip(*parts, strict=True))))
        covers.append(each.plantings)
    covered = np.zeros((len(covers), len(own)), np.bool_)
    for place, plantings in enumerate(covers):
        covered[place, list(plantings)] = True
    minutes, spray_minutes, litres, product = (np.stack(array) for array in zip(*needs, strict=True))
    return Offers(covered, np.asarray(losses, np.float64), minutes, spray_minutes, litres, product)


def rotation_of(
    codes: Sequence[str], running: Mapping[str, int], *, most_running: int, weeks_left: Mapping[str, float]
) -> Rotation:
    """The rotation of some codes as `label.rotation` counts it.

    running : turns in a row up to now; 0 where a code is not named. weeks_left : weeks with it that the year still allows; no
    end where it is not named.
    """
    return Rotation(
        limited=np.array([not rotation.is_exempt(code) for code in codes], np.bool_),
        breaking=np.array([bool(rotation.without_unclassified((code,))) for code in codes], np.bool_),
        running=np.array([running.get(code, 0) for code in codes], np.int64),
        most_running=most_running,
        weeks_left=np.array([weeks_left.get(code, np.inf) for code in codes], np.float64),
    )

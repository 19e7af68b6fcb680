"""From programmes to courses: what each would do to the leaves and the rust of one planting, day by day."""

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial.epidemic import leaf_area, simulate
from abaxial.epidemic.leaf_area import LeafDays
from abaxial.epidemic.rollout import Courses
from abaxial.epidemic.simulate import Remedies
from abaxial.infection.kernel import Nights
from abaxial.plan.programmes.step import SPRAYS, Programme, Step
from abaxial.plan.prospects.plot import Plot, work
from abaxial.remedy import effect
from abaxial.remedy.application import Application
from abaxial.remedy.material import Material

Floats = NDArray[np.float64]
#: garden day of the season on which a step is done
When = Callable[[Step], int]
#: what is cut, and on which day
Cutting = tuple[tuple[str, int], ...]
CUTS = ("cut_down", "low_leaves_off", "thin", "destroy")
#: kinds of step that change the nights
HABITS = ("thin", "water_at_the_foot")
# of a spray older than this next to nothing is left
_REMEMBERED_D = 60


def courses_of(
    plot: Plot,
    programmes: Sequence[Programme],
    days: tuple[int, int],
    when: When,
    shelf: Mapping[str, tuple[str, ...]],
    materials: Mapping[str, Material],
) -> Courses:
    """The courses of one planting, a row for each programme.

    days : first of the roll-out and the one after its last. when : day of a step. shelf : bottle to the keys of what is in
    it. materials : by key.
    """
    cuttings = [_cutting(each, when) for each in programmes]
    # few programmes cut alike, and leaves grow slowly
    grown = {each: _leaves(plot, each) for each in dict.fromkeys(cuttings)}
    remedies = _without_sprays(plot, programmes, when)
    _add_sprays(remedies, plot, (cuttings, grown), [_sprays(each, when, shelf) for each in programmes], days, materials)
    some = slice(*days)
    nights, nights_of = _nights(plot, programmes)
    return Courses(
        LeafDays(
            *(np.concatenate([getattr(grown[each], name)[..., some] for each in cuttings]) for name in LeafDays._fields)
        ),
        Remedies(*(each[..., some] for each in remedies)),
        nights,
        nights_of,
    )


def _cutting(programme: Programme, when: When) -> Cutting:
    return tuple((step.kind, when(step)) for step in programme.steps if step.kind in CUTS)


def _leaves(plot: Plot, cutting: Cutting) -> LeafDays:
    def rows(kind: str) -> tuple[int, ...]:
        return tuple(day for each, day in cutting if each == kind)

    leaves = plot.leaves(rows("cut_down"), rows("low_leaves_off"))
    taken, unfolded = np.zeros_like(leaves.cut_frac), leaves.unfolded.copy()
    for day in rows("thin"):
        taken[..., day] = work()["thinned_frac"].value
        unfolded[:, day + 1 :] *= 1.0 - work()["thinned_frac"].value
    for day in rows("destroy"):
        taken[..., day] = 1.0
        unfolded[:, day + 1 :] = 0.0
    if not taken.any():
        return leaves
    return leaf_area.cut(leaves._replace(unfolded=unfolded), taken, [plot.species["light_extinction"]])


def _without_sprays(plot: Plot, programmes: Sequence[Programme], when: When) -> Remedies:
    """What is taken off, and what of it stays lying."""
    members, days = plot.rain_mm.shape
    remedies = simulate.nothing_done(len(programmes), members, days)
    for row, programme in enumerate(programmes):
        cleared = {step.week for step in programme.steps if step.kind == "clear_litter"}
        for step in programme.steps:
            if step.kind in (*SPRAYS, *HABITS, "look", "clear_litter"):
                continue
            lies = "stubble_frac" if step.kind == "cut_down" and step.week not in cleared else "left_frac"
            remedies.left_frac[row, when(step)] = work()[lies].value
            if step.kind == "rusted_leaves_off":
                remedies.picked_frac[row, :, when(step)] = work()["found_frac"].value
    return remedies


def _sprays(programme: Programme, when: When, shelf: Mapping[str, tuple[str, ...]]) -> list[Application]:
    lower, upper = (work()[f"cover_{level}_frac"].value for level in ("lower", "upper"))
    # an hour is chosen in which no rain is to come before it is dry
    return [Application(when(step), shelf[step.bottle], 1.0, lower, upper, soon_frac=0.0) for step in programme.sprays]


def _add_sprays(
    remedies: Remedies,
    plot: Plot,
    leaves: tuple[Sequence[Cutting], Mapping[Cutting, LeafDays]],
    sprays: Sequence[Sequence[Application]],
    days: tuple[int, int],
    materials: Mapping[str, Material],
) -> None:
    """Fill in shield and cure; courses with the same leaves are worked out together. leaves : the cutting of each course, and
    what grows where it is cut so."""
    cuttings, grown = leaves
    first = max(days[0] - _REMEMBERED_D, 0)
    span = slice(first, days[1])
    before = [each._replace(day=each.day - first) for each in plot.sprayed if each.day >= first]
    alike: dict[Cutting, list[int]] = {}
    for row, cutting in enumerate(cuttings):
        if sprays[row] or before:
            alike.setdefault(cutting, []).append(row)
    if not alike:
        return
    every = LeafDays(*(np.concatenate(each) for each in zip(*(grown[cutting] for cutting in alike), strict=True)))
    new_frac = leaf_area.new_frac(every)[..., span]
    whole = effect.stand(plot.rain_mm[:, span], new_frac[0])
    for some, new in zip(alike.values(), new_frac, strict=True):
        of = whole.under(new)
        wanted = [[*before, *(each._replace(day=each.day - first) for each in sprays[row])] for row in some]
        found = effect.protections(wanted, materials, of, latent_d=plot.latent_d)
        remedies.shield[some, ..., span] = found.shield
        remedies.cure[some, span] = found.cure
        remedies.reach_frac[some, span] = found.reach_frac


def _nights(plot: Plot, programmes: Sequence[Programme]) -> tuple[Nights | None, NDArray[np.int64] | None]:
    """The nights that habits bring; a programme with several of them has those of the first."""
    habits = plot.habits or {}
    known = [kind for kind in HABITS if kind in habits]
    if not known:
        return None, None
    stack = Nights(*(np.stack(each) for each in zip(*(habits[kind] for kind in known), strict=True)))
    kinds = [[step.kind for step in programme.steps if step.kind in known] for programme in programmes]
    return stack, np.array([known.index(each[0]) if each else -1 for each in kinds], np.int64)

"""What might become of one planting under many courses of action, while all others go on as they would have.

Everything is run once as it stands, and what comes to each planting from the others is kept. Then any number of courses
of one planting are run against that, all versions side by side with the same luck. What a course spares the others is
not in it until `together` runs one chosen course of every planting jointly; until then `given` says how much it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.epidemic import kernel, simulate
from abaxial.epidemic.kernel import Acts, Outs, Rows, Span, Versions
from abaxial.epidemic.leaf_area import LeafDays
from abaxial.epidemic.simulate import Remedies, Season
from abaxial.errors import FaultError
from abaxial.infection.kernel import Nights

Whole = NDArray[np.int64]


class Courses(NamedTuple):
    """Courses of action, of one planting or one of each, over the days of a roll-out and no others.

    leaves, remedies : a row for each course. nights : other nights than the planting's own, where it is thinned or
    watered otherwise, (stack, levels, members, days, draws). nights_of : (courses,) which of them, -1 for its own.
    """

    leaves: LeafDays
    remedies: Remedies
    nights: Nights | None = None
    nights_of: Whole | None = None


class Outcome(NamedTuple):
    """What comes of courses, each (courses, versions).

    healthy_area_d, rusted_area_d : leaf area index free of rust, and showing it or dead of it, added up over the days.
    given : spores given off, those of leaves left lying included, in days' spores of a unit of showing leaf area per
    ground area. rusted_frac_end, latent_frac_end : shares of the leaf area at the end; 0 where there is none.
    worst_rusted_frac : the largest share that showed on any day.
    """

    healthy_area_d: Rows
    rusted_area_d: Rows
    given: Rows
    rusted_frac_end: Rows
    latent_frac_end: Rows
    worst_rusted_frac: Rows


@dataclass(frozen=True)
class Base:
    """A garden run as it stands over some days. versions, state, near : in the order of the kernel, which `order` gives.

    state : (plantings, rows, versions) at the start of first_day. near : (plantings, days, versions) spores that come
    over each planting from all others. outcome : (plantings, versions), in the order of the versions that were given.
    """

    season: Season
    first_day: int
    end_day: int
    order: Whole
    versions: Versions
    state: Rows
    near: Rows
    outcome: Outcome


def baseline(season: Season, versions: Versions, state: Rows, first_day: int, end_day: int) -> Base:
    """A garden run as its season says, from the start of first_day up to end_day; the state given is not changed.

    state : (plantings, rows, versions). Raises FaultError where the days are not the season's or the state not its own.
    """
    if not 0 <= first_day < end_day <= season.days:
        raise FaultError(f"Days {first_day} to {end_day} do not lie in a season of {season.days} days.")
    if state.shape != (season.plantings, *simulate.clean_rows(season.drivers, versions.member.size)):
        raise FaultError(f"A state of shape {state.shape} is not of these plantings and versions.")
    # versions of one weather side by side, once for all courses
    order = np.argsort(versions.member, kind="stable")
    ordered, begun = simulate.reordered(versions, order), np.ascontiguousarray(state[..., order])
    outs = kernel.outs(0, season.plantings, order.size, near_days=end_day - first_day, totals=season.plantings)
    kernel.run_days(begun.copy(), outs, season.drivers, ordered, _span(season, first_day, end_day))
    return Base(season, first_day, end_day, order, ordered, begun, outs.near, _outcome(outs, order))


def roll_out(base: Base, planting: int, courses: Courses) -> Outcome:
    """What would come of courses of one planting, each against neighbours that go on as in the base.

    planting : its number. Raises FaultError where there is none of that number, or the courses are not of the base's days.
    """
    if not 0 <= planting < base.season.plantings:
        raise FaultError(f"There is no planting number {planting} of {base.season.plantings}.")
    one, versions = slice(planting, planting + 1), base.versions
    own = versions._replace(start_frac=versions.start_frac[one], vigour=versions.vigour[one], luck=versions.luck[one])
    drivers = base.season.drivers._replace(acts=_acts(base, courses))
    rows = drivers.acts.nights_of.size
    outs = kernel.outs(0, 0, base.order.size, totals=rows)._replace(near=base.near[one])
    if rows:
        kernel.run_days(base.state[one], outs, drivers, own, _span(base.season, base.first_day, base.end_day, planting))
    return _outcome(outs, base.order)


def together(base: Base, courses: Courses) -> Outcome:
    """What would come of one course for every planting, all at once, (plantings, versions).

    courses : a row for each planting, in order; see `joined`. Raises FaultError where there are more or fewer.
    """
    drivers = base.season.drivers._replace(acts=_joint_acts(base, courses))
    outs = kernel.outs(0, base.season.plantings, base.order.size, totals=base.season.plantings)
    kernel.run_days(base.state.copy(), outs, drivers, base.versions, _span(base.season, base.first_day, base.end_day))
    return _outcome(outs, base.order)


def unchanged(base: Base, planting: int, count: int = 1) -> Courses:
    """The course that the season holds for a planting already, so many times: to begin with, or to be changed."""
    acts = base.season.drivers.acts
    days = slice(base.first_day - acts.from_day, base.end_day - acts.from_day)

    def some(name: str) -> NDArray[np.float64]:
        return np.repeat(getattr(acts, name)[planting : planting + 1, ..., days].astype(np.float64), count, axis=0)

    leaves = LeafDays(*(some(name) for name in LeafDays._fields))
    remedies = Remedies(*(some(name) for name in Remedies._fields))
    other = int(acts.nights_of[planting])
    if other < 0:
        return Courses(leaves, remedies)
    progress = acts.progress[other : other + 1]
    # when in a day infections came is nothing to the epidemic
    nights = Nights(
        infected_frac=acts.infected_frac[other : other + 1],
        progress=progress,
        progress_at_infection=progress[:, :, :, :-1],
        wet_reach_h=acts.wet_reach_h[other : other + 1],
        alive_frac=acts.alive_frac[other : other + 1],
    )
    return Courses(leaves, remedies, nights, np.zeros(count, np.int64))


def joined(parts: Sequence[Courses], chosen: Sequence[int]) -> Courses:
    """One course of each planting. parts : the courses of each. chosen : the number of one of each, from 0."""
    rows = list(zip(parts, chosen, strict=True))
    leaves = LeafDays(*(np.stack([getattr(each.leaves, f)[row] for each, row in rows]) for f in LeafDays._fields))
    remedies = Remedies(*(np.stack([getattr(each.remedies, f)[row] for each, row in rows]) for f in Remedies._fields))
    others = [(each.nights, -1 if each.nights_of is None else int(each.nights_of[row])) for each, row in rows]
    stack = [(nights, number) for nights, number in others if nights is not None and number >= 0]
    if not stack:
        return Courses(leaves, remedies)
    nights = Nights(*(np.stack([getattr(each, f)[number] for each, number in stack]) for f in Nights._fields))
    is_other = np.array([each is not None and number >= 0 for each, number in others])
    return Courses(leaves, remedies, nights, np.where(is_other, np.cumsum(is_other) - 1, -1))


def arriving(season: Season) -> NDArray[np.float64]:
    """Spores that come over one planting, per its ground area, for each that another gives off per its own, (to, from)."""
    drivers = season.drivers
    kin = (drivers.rust[:, np.newaxis] == drivers.rust) & ~np.eye(season.plantings, dtype=bool)
    share = np.where(kin, drivers.far_frac[:, np.newaxis].astype(np.float64), 0.0)
    for to, froms in enumerate(drivers.neighbour):
        share[to, froms[froms >= 0]] = drivers.neighbour_frac[to, froms >= 0]
    return share


def _joint_acts(base: Base, courses: Courses) -> Acts:
    acts = _acts(base, courses)
    if acts.nights_of.size != base.season.plantings:
        raise FaultError("One course for each planting is wanted, no more and no fewer.")
    return acts


def _acts(base: Base, courses: Courses) -> Acts:
    drivers, days = base.season.drivers, base.end_day - base.first_day
    if courses.leaves.unfolded.shape[1] != days:
        raise FaultError(f"Courses of {courses.leaves.unfolded.shape[1]} days do not go with a roll-out of {days}.")
    _, levels, members, _, draws = drivers.infected_frac.shape
    nights, nights_of = courses.nights, courses.nights_of
    if nights is None:
        return simulate.acts_of(courses.leaves, courses.remedies, drivers, from_day=base.first_day)
    if nights.infected_frac.shape[1:] != (levels, members, days, draws):
        raise FaultError(f"Nights of shape {nights.infected_frac.shape} do not go with this season and {days} days.")
    if nights_of is None or nights_of.shape != courses.leaves.unfolded.shape[:1]:
        raise FaultError("Other nights are given, but not which course has them.")
    if nights_of.size and not -1 <= nights_of.min() <= nights_of.max() < len(nights.infected_frac):
        raise FaultError("A course wants nights that are not there.")
    return simulate.acts_of(courses.leaves, courses.remedies, nights, nights_of, from_day=base.first_day)


def _span(season: Season, first_day: int, end_day: int, planting: int = -1) -> Span:
    return Span(first_day, end_day, np.full(season.days, -1), planting)


def _outcome(outs: Outs, order: Whole) -> Outcome:
    back = np.argsort(order)
    return Outcome(*np.ascontiguousarray(np.moveaxis(outs.totals, 1, 0)[..., back]))

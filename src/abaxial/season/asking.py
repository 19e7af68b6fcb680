"""What an estimate is made from: the season with all that was done in it, what is not known of it, and what was seen."""

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from abaxial import hours
from abaxial.assimilation import estimate, unknowns
from abaxial.assimilation.estimate import Asked, Posterior
from abaxial.assimilation.garden_story import Look
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic import dispersal, simulate, stages
from abaxial.epidemic.simulate import Season
from abaxial.garden.parts import Garden
from abaxial.plan.prospects import past
from abaxial.plan.prospects.plot import Plot
from abaxial.remedy.material import Material
from abaxial.report.answers.week import Reason
from abaxial.season import checkpoints, story
from abaxial.season.planning import plots as plots_in
from abaxial.season.planting_week import Grown
from abaxial.season.present import Present
from abaxial.season.stand import Sky

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.season.opening.shelf import Shelf

DAYS_BACK = 28
# one length for all seasons, the longest there is, so that luck does not depend on the day it is asked
SEASON_DAYS = 280


class Heard(NamedTuple):
    """What was seen, sorted. looks : that weigh the season. unused : why others do not, as reasons."""

    looks: tuple[Look, ...]
    unused: tuple[Reason, ...]


class Asking(NamedTuple):
    """Everything an estimate is made from. plots : the plantings, with what was done to them. materials : by key. day : at
    whose end it is asked. shelf : where an earlier one may be kept."""

    grown: Grown
    season: Season
    unknowns: Unknowns
    heard: Heard
    wanted: Asked
    day: int
    shelf: "Shelf | None"
    plots: tuple[Plot, ...]
    materials: Mapping[str, Material]


def asking(now: Present) -> Asking | None:
    """What is to be estimated at a moment of a garden; None where there is no planting with a rust, or no weather."""
    grown = now.grown
    if grown is None or grown.library is None:
        return None
    materials = plots_in.materials_of(now.garden.folder)
    plots = plots_in.plots_of(grown.sky, grown.here, now.told.done, materials, now.told.moved)
    season, unknown = season_of(now.garden, grown, plots, materials)
    day, draws = look_day(grown.sky.local_date, grown.sky), grown.here[0].biology.draws
    members = grown.sky.ensemble.members
    wanted = Asked(
        versions=draws.total,
        weathers=members,
        biologies=draws.total // members,
        seed=now.luck.seed,
        today=grown.sky.today,
        first_day=max(day - DAYS_BACK, 0),
    )
    return Asking(grown, season, unknown, heard_of(now, grown), wanted, day, now.shelf, plots, materials)


def posterior(asked: Asking) -> Posterior:
    """The versions of a garden, weighed by what was seen; from where they stood after an earlier walk, if that was kept."""
    looks, shelf = asked.heard.looks, asked.shelf
    if shelf is None or not looks:
        return estimate.estimate(asked.season, asked.unknowns, looks, asked.wanted)
    wanted = asked.wanted, looks
    begun = checkpoints.resumed(shelf, asked.season, asked.unknowns, asked.grown, wanted)
    told = estimate.estimate(asked.season, asked.unknowns, looks, asked.wanted, begun)
    if begun is None or len(begun.weighed) < len(looks):
        checkpoints.kept(shelf, asked.grown, wanted, told.progress)
    return told


def season_of(
    garden: Garden, grown: Grown, plots: Sequence[Plot], materials: Mapping[str, Material]
) -> tuple[Season, Unknowns]:
    """A garden's epidemic with all that was done about it, ready to run, and what is not known of it. grown : one planting or
    more."""
    here, leaves = grown.here, past.leaves_of(plots)
    assert grown.library is not None
    rusts = {each.biology.rust.key: each.biology for each in here}
    numbers = [list(rusts).index(each.biology.rust.key) for each in here]
    ground = dispersal.ground_of(
        [
            (
                each.stand.bed.east_m,
                each.stand.bed.north_m,
                each.stand.planting.clumps * each.stand.planting.spacing_m**2,
                number,
            )
            for each, number in zip(here, numbers, strict=True)
        ]
    )
    season = simulate.season_of(
        grown.library,
        [each.curves for each in rusts.values()],
        leaves,
        dispersal.spread_of(
            ground,
            [each.biology.rust.epidemic["gradient_exponent"].value for each in here],
            [each.biology.rust.epidemic["gradient_offset_m"].value for each in here],
            wind=(garden.wind.from_deg, garden.wind.steady_frac),
        ),
        [stages.latent_stages(each.rust["showing_span_d"], each.rust["shortest_latent_d"]) for each in rusts.values()],
        past.remedies_of(plots, leaves, materials),
    )
    names = [(each.stand.planting.name, number) for each, number in zip(here, numbers, strict=True)]
    return season, unknowns.unknowns_of([each.rust for each in rusts.values()], names, SEASON_DAYS)


def look_day(on: date, sky: Sky) -> int:
    """The garden day that ended as leaves were turned on a date: noon to noon, it began on the day before."""
    return hours.day_of(on) - sky.when.first_day - 1


def heard_of(now: Present, grown: Grown) -> Heard:
    """Sightings up to today as looks at the season. Those at plantings that are not here, or from before the season or
    the leaves, are left out and counted; of a planting without a rust there is nothing to weigh."""
    here, sky = grown.here, grown.sky
    places = {each.stand.planting.name: place for place, each in enumerate(here)}
    there = {each.name for each in now.garden.plantings}
    seen = [each for each in now.seen if each.on <= sky.local_date]
    strays = Counter(each.planting for each in seen if each.planting not in there)
    looks, older = [], 0
    for each in seen:
        day = min(look_day(each.on, sky), sky.today - 1)
        place = places.get(each.planting)
        if place is not None and day >= 0 and story.has_leaves(here[place].stand, day):
            looks.append(Look(each, place, day, here[place].stand.planting.clumps))
        elif place is not None:
            older += 1
    unused = [Reason("stray_sightings", {"planting": name, "count": count}) for name, count in strays.items()]
    if older:
        unused.append(Reason("older_looks", {"count": older}))
    return Heard(tuple(looks), tuple(unused))

"""Our plan as a player: estimate from the walks so far, propose for six weeks, do what the coming week asks for."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from time import process_time

import numpy as np

from abaxial.assimilation.estimate import Asked, Posterior, Progress, estimate, shares_of
from abaxial.assimilation.garden_story import Look
from abaxial.epidemic import rollout, simulate
from abaxial.epidemic.rollout import Base
from abaxial.epidemic.simulate import Season
from abaxial.infection.kernel import Nights
from abaxial.plan.choose.solve import Effort
from abaxial.plan.programmes import together
from abaxial.plan.programmes.step import SPRAYS, Programme, Step
from abaxial.plan.proposal import propose
from abaxial.plan.proposal.propose import Proposed
from abaxial.plan.proposal.prospect import Ask, Bed
from abaxial.plan.prospects import begin, permit, stakes, stock
from abaxial.plan.prospects.labour import work_of
from abaxial.plan.prospects.permit import Law, Standing
from abaxial.plan.prospects.plot import Plot, work
from abaxial.plan.prospects.price import Prices, price_money, teaching
from abaxial.plan.prospects.stock import Time
from abaxial.remedy.application import Application
from abaxial.season.planning import law as laws
from abaxial.season.planning.ask import DRY_WEEKS, SHOWS_FRAC
from abaxial.season.planning.law import Ground
from studies.tournament_climate import AHEAD_WEEKS, BIOLOGIES, MATERIALS, MEMBERS, latent_stages_of, setup
from studies.tournament_looks import Seen, sighting_of
from studies.tournament_player import BARE, Garden, courses_so_far, shelf, unit_money, values
from studies.tournament_scene import Scene

#: a planting that was dug out has no more leaves before this row
_NEVER = 10_000
_KINDS = ("cut_down", "low_leaves_off", "rusted_leaves_off")


@dataclass(frozen=True)
class Question:
    """What `season.planning.plan` asks, in the tournament."""

    ask: Ask
    law: Law
    standings: tuple[Standing, ...]
    first: date

    def on(self, place: int, step: Step) -> date:
        """The date of a step, whatever the planting."""
        return self.first + timedelta(7 * step.week)

    def broken(self, chosen: Sequence[Programme]) -> Sequence[permit.Broken]:
        """What the rules refuse of a plan, all of it counted."""
        return permit.broken(chosen, self.standings, self.law, self.on)


@dataclass
class Mind:
    """What our plan remembers. looks : so far. progress : of the estimate. seconds : of one core, each week. last : the last proposal."""

    looks: list[Look] = field(default_factory=list)
    progress: Progress | None = None
    seconds: list[float] = field(default_factory=list)
    last: Proposed | None = None
    told: Posterior | None = None


def act(garden: Garden, week: int, found: Sequence[Seen], mind: Mind) -> list[tuple[int, Step]]:
    """A week of our plan. found : on the walk, in each planting."""
    began = process_time()
    scene, row = garden.scene, garden.scene.row(week)
    mind.looks += [_look(scene, place, row - 1, seen) for place, seen in enumerate(found) if seen.rusted >= 0]
    nights, rain_mm = scene.believed(row)
    plots = [replace(each, rain_mm=rain_mm) for each in scene.climate.plots]
    season = _season(garden, plots, nights)
    season = replace(season, days=row + 7 * AHEAD_WEEKS, by_strength=scene.climate.by_strength)
    count = int(setup()["plan"]["versions"])
    asked = Asked(count, MEMBERS, BIOLOGIES, scene.seed, row, row - 1)
    told = estimate(season, scene.climate.unknowns, mind.looks, asked, mind.progress)
    mind.progress, mind.told = told.progress, told
    question = _question(garden, week, season, told, plots)
    effort = Effort(float(setup()["plan"]["gap_frac"]), float(setup()["plan"]["seconds"]))
    mind.last = propose.propose(question.ask, effort, against=question.broken)
    chosen = [each.programmes[line] for each, line in zip(mind.last.prospects, mind.last.chosen, strict=True)]
    steps = [(place, step) for place, each in enumerate(chosen) for step in each.now() if step.kind != "look"]
    mind.seconds.append(process_time() - began)
    garden.act(week, steps)
    return steps


def _look(scene: Scene, place: int, day: int, seen: Seen) -> Look:
    on = scene.on(0) + timedelta(day - scene.row(0))
    return Look(sighting_of(scene, place, on, seen), place, day, scene.climate.stands[place].planting.clumps)


def _season(garden: Garden, plots: Sequence[Plot], nights: Nights) -> Season:
    climate = garden.scene.climate
    parts = [courses_so_far(garden.scene, plot, each) for plot, each in zip(plots, garden.done, strict=True)]
    joined = rollout.joined(parts, [0] * len(parts))
    stages = latent_stages_of(climate)
    return simulate.season_of(nights, climate.tables, joined.leaves, climate.spread, stages, joined.remedies)


def _question(garden: Garden, week: int, season: Season, told: Posterior, plots: Sequence[Plot]) -> Question:
    row, law = garden.scene.row(week), garden.law
    # everybody knows when the season ends
    days = (row, min(row + 7 * AHEAD_WEEKS, garden.scene.row(garden.scene.weeks)))
    base = begin.begin(told, season, int(setup()["plan"]["versions"]), days)
    shown = [float(np.median(shares_of(told, place)[1][0])) for place in range(len(plots))]
    grounds = [
        each._replace(plot=_now(plot, garden, place), showing_frac=shows)
        for place, (each, plot, shows) in enumerate(zip(garden.grounds(week), plots, shown, strict=True))
    ]
    made = [_bed(garden, law, (week, place), ground, base) for place, ground in enumerate(grounds)]
    beds, standings = tuple(each for each, _ in made), tuple(each for _, each in made)
    codes, minutes = stock.codes_of(law), [float(setup()["minutes"])] * AHEAD_WEEKS
    time = Time(minutes, minutes[0], dict.fromkeys(shelf(), minutes[0]))
    ask = Ask(
        base=base,
        beds=beds,
        joint=_joint(garden, beds, days, shown),
        shelf=shelf(),
        materials=MATERIALS,
        stock=stock.shelf_of(law, codes, float(setup()["tank_l"]), values().hour_money),
        hours=stock.hours_of(time, law.bottles),
        rotation=stock.rotation_of(law, codes, garden.scene.on(week)),
        values=values(),
        price=_price(garden, law, beds),
        most_programmes=int(setup()["plan"]["most_programmes"]),
    )
    return Question(ask, law, standings, garden.scene.on(week))


def _bed(garden: Garden, law: Law, where: tuple[int, int], ground: Ground, base: Base) -> tuple[Bed, Standing]:
    """One planting to be asked about. where : week and place."""
    (week, place), scene = where, garden.scene
    first, row = scene.on(week), scene.row(week)
    needs = garden.needs(ground)
    standing = laws.open_of(ground, law, needs, first, AHEAD_WEEKS)
    if place in garden.gone or ground.leaf_area_m2 <= BARE * ground.plot.ground_m2:
        standing = standing._replace(sites={}, without={})
    may, _ = permit.permitted(standing, law, lambda step: first + timedelta(7 * step.week), AHEAD_WEEKS)
    stake = stakes.stake_of(
        ground.plot,
        (base.first_day, base.end_day),
        base.order.size,
        flowers=0.0,
        worth=(1.0, True),
        stem_frac=0.0,
    )
    bed = Bed(ground.plot, may, work_of(ground.plot, needs), stake, lambda step: row + 7 * step.week)
    return bed, standing


def _now(plot: Plot, garden: Garden, place: int) -> Plot:
    """A plot with what was done to it, as programmes for the days ahead are put on top."""
    if place in garden.gone:
        return replace(plot, since_day=_NEVER)
    done, scene = garden.done[place], garden.scene
    rows = {kind: tuple(scene.row(each.week) for each in done.steps if each.kind == kind) for kind in _KINDS}
    lower, upper = (work()[f"cover_{level}_frac"].value for level in ("lower", "upper"))
    sprayed = tuple(
        Application(scene.row(each.week), shelf()[each.bottle], 1.0, lower, upper, soon_frac=0.0)
        for each in done.steps
        if each.kind in SPRAYS
    )
    return replace(
        plot,
        cut_down=rows["cut_down"],
        low_leaves_off=rows["low_leaves_off"],
        rusted_leaves_off=rows["rusted_leaves_off"],
        sprayed=sprayed,
    )


def _joint(
    garden: Garden, beds: Sequence[Bed], days: tuple[int, int], showing: Sequence[float]
) -> tuple[together.Joint, ...]:
    climate = garden.scene.climate
    may_be_cut = {
        place: act.weeks for place, bed in enumerate(beds) for act in bed.permitted.acts if act.kind == "cut_down"
    }
    return together.cut_down_together(
        [climate.rusts[number].key for number in climate.rust_of],
        together.dry_weeks(beds[0].plot.rain_mm[:, slice(*days)], together.read_dry())[:DRY_WEEKS],
        may_be_cut,
        showing=[each >= SHOWS_FRAC for each in showing],
    )


def _price(garden: Garden, law: Law, beds: Sequence[Bed]) -> Callable[[int, Programme], float]:
    contents = {each.key: law.contents(each) for each in law.bottles}
    taught = teaching((each.actives for each in garden.history), MATERIALS)
    prices = Prices(contents, unit_money(), taught, MATERIALS, values())
    total = sum(each.plot.ground_m2 for each in beds)
    known: dict[tuple[int, Programme], float] = {}

    def price(place: int, programme: Programme) -> float:
        if (place, programme) not in known:
            share = beds[place].plot.ground_m2 / total
            known[place, programme] = price_money(
                programme, beds[place].work, prices, near_water=False, share_frac=share
            )
        return known[place, programme]

    return price

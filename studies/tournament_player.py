"""One player's season: what was done to the garden and what that cost, what really became of it, and what a walk finds."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.assimilation.garden_story import GardenStory
from abaxial.assimilation.unknowns import parts_of
from abaxial.epidemic import leaf_area, rollout, simulate
from abaxial.epidemic.kernel import LANES
from abaxial.epidemic.rollout import Courses
from abaxial.epidemic.simulate import Season
from abaxial.label.bottle import Bottle
from abaxial.label.done import Done, Site, done_of
from abaxial.label.limits import usual_rules
from abaxial.label.rules import Refusal, refusals
from abaxial.plan import cost
from abaxial.plan.cost import Values
from abaxial.plan.programmes.laid_out import Work
from abaxial.plan.programmes.step import SPRAYS, Programme, Step, in_order
from abaxial.plan.prospects import courses, price, stakes
from abaxial.plan.prospects.labour import SprayNeed, work_of
from abaxial.plan.prospects.permit import Law
from abaxial.plan.prospects.plot import Plot, work
from abaxial.plan.prospects.price import Prices
from abaxial.season.planning import law as laws
from abaxial.season.planning.law import Ground
from abaxial.season.planting_week import Biology, Here
from studies.tournament_climate import BIOLOGIES, MATERIALS, bottles, setup
from studies.tournament_looks import NOT_LOOKED, Seen, counted, judged_frac
from studies.tournament_scene import Scene

Floats = NDArray[np.float64]
#: leaf area index below which there is nothing to turn or to spray
BARE = 0.02


@cache
def values() -> Values:
    """The losses all are judged by."""
    return replace(cost.read_values(), **setup()["losses"])


@cache
def shelf() -> Mapping[str, tuple[str, ...]]:
    """Bottle to what is in it."""
    law = Law(bottles(), (), usual_rules(), MATERIALS)
    return {each.key: law.contents(each).actives for each in bottles()}


@cache
def bottle_named(key: str) -> Bottle:
    """One bottle of the shelf."""
    return next(each for each in bottles() if each.key == key)


class Spent(NamedTuple):
    """What was spent in one week. litres : by bottle."""

    minutes: float
    money: float
    litres: Mapping[str, float]


class Judged(NamedTuple):
    """What a season came to [money]: leaves, clumps and spores lost, work, product with harm, and what the rust was taught.
    sprays : applications of a fungicide. oils : of an oil. broken : steps that a rule refused. by_planting : what each lost."""

    plants: float
    work: float
    product: float
    taught: float
    sprays: int
    oils: int
    broken: int
    by_planting: tuple[float, ...]

    @property
    def loss(self) -> float:
        """All of it."""
        return self.plants + self.work + self.product + self.taught


@dataclass
class Garden:
    """A garden that somebody plays. done : programme of each planting, its weeks those of the season. history : as labels count.
    sites : where each spray was put. gone : plantings that were destroyed."""

    scene: Scene
    done: list[Programme] = field(default_factory=list)
    history: list[Done] = field(default_factory=list)
    sites: list[tuple[Bottle, Site]] = field(default_factory=list)
    spent: list[Spent] = field(default_factory=list)
    gone: set[int] = field(default_factory=set)
    _courses: dict[tuple[int, Programme], Courses] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.done = [Programme() for _ in self.scene.climate.stands]

    @property
    def law(self) -> Law:
        """The labels and rules, with all that was done."""
        return Law(bottles(), self.history, usual_rules(), MATERIALS)

    def grounds(self, week: int) -> list[Ground]:
        """Every planting as somebody sees it before he sets to work: how much leaf there is, everything in leaf as believed."""
        row, tank_l = self.scene.row(week), float(setup()["tank_l"])
        return [
            Ground(
                here=_here(self.scene, place),
                plot=plot,
                leaf_area_m2=float(area) * plot.ground_m2,
                showing_frac=0.0,
                tank_l=tank_l,
                flowers_open=False,
            )
            for place, (plot, area) in enumerate(
                zip(self.scene.climate.plots, self.leaf_area_index(row - 1), strict=True)
            )
        ]

    def leaf_area_index(self, row: int) -> Floats:
        """Of every planting at the end of a day."""
        parts = [self._course(place, self.scene.truth.plots[place], each) for place, each in enumerate(self.done)]
        return np.array([leaf_area.hanging(each.leaves)[0, :, row].sum() for each in parts])

    def season(self) -> Season:
        """The season as it really is with all that was done so far."""
        truth = self.scene.truth
        parts = [self._course(place, truth.plots[place], each) for place, each in enumerate(self.done)]
        joined = rollout.joined(parts, [0] * len(parts))
        factor = truth.found_frac / work()["found_frac"].value
        remedies = joined.remedies._replace(picked_frac=np.minimum(joined.remedies.picked_frac * factor, 1.0))
        return simulate.season_of(
            truth.nights, truth.tables, joined.leaves, truth.spread, truth.latent_stages, remedies
        )

    def _course(self, place: int, plot: Plot, done: Programme) -> Courses:
        if (place, done) not in self._courses:
            self._courses[place, done] = courses_so_far(self.scene, plot, done)
        return self._courses[place, done]

    def walk(self, week: int) -> list[Seen]:
        """What is found in each planting; everybody's luck is alike."""
        day, truth, climate = self.scene.row(week) - 1, self.scene.truth, self.scene.climate
        season = self.season()
        record = simulate.run(
            season, truth.versions, simulate.clean(season, LANES), first_day=0, end_day=day + 1, record_days=[day]
        )[0]
        story = GardenStory(season, climate.unknowns, (), parts_of(climate.unknowns, 1, BIOLOGIES))
        worn, areas = story.worn(truth.cloud), self.leaf_area_index(day)
        dice = chance.uniforms(self.scene.seed, "walk", week, 2 * len(climate.stands)).reshape(-1, 2)
        eyes = chance.normals(self.scene.seed, "judged severity", week, len(climate.stands))
        found = []
        for place, area in enumerate(areas):
            predicted = story.predicted(worn, record, place, "lower")
            predicted = type(predicted)(*(each[:1] for each in predicted))
            rusted = counted(predicted, dice[place])
            seen = Seen(rusted, judged_frac(predicted, eyes[place]) if rusted else 0.0)
            found.append(NOT_LOOKED if area < BARE else seen)
        return found

    def needs(self, ground: Ground) -> Mapping[str, SprayNeed]:
        """What a spray of a planting takes, by bottle."""
        return laws.needs_of(ground, bottles())[0] if ground.leaf_area_m2 > BARE * ground.plot.ground_m2 else {}

    def refused(self, ground: Ground, bottle: Bottle, week: int) -> tuple[Refusal, ...] | None:
        """Why a bottle may not be put on a planting this week; None where there is nothing to put it on."""
        site = self.site(ground, bottle)
        if site is None:
            return None
        return refusals(bottle, site, self.scene.on(week), self.history, usual_rules(), MATERIALS)

    def site(self, ground: Ground, bottle: Bottle) -> Site | None:
        """Where a bottle would be put."""
        return laws.open_of(ground, self.law, self.needs(ground), self.scene.on(0), 1).sites.get(bottle.key)

    def act(self, week: int, steps: Sequence[tuple[int, Step]]) -> None:
        """Do some steps in a week. Their own week is 0."""
        grounds, minutes, money = self.grounds(week), 0.0, 0.0
        litres: dict[str, float] = {}
        for place, step in steps:
            ground = grounds[place]
            needs = self.needs(ground)
            takes = work_of(ground.plot, needs)
            if step.kind in SPRAYS:
                bottle = bottle_named(step.bottle)
                site = self.site(ground, bottle)
                assert site is not None
                self.history.append(done_of(bottle, site, self.scene.on(week), MATERIALS))
                self.sites.append((bottle, site))
                minutes += takes.spray_minutes[step.bottle]
                litres[step.bottle] = litres.get(step.bottle, 0.0) + takes.litres[step.bottle]
                money += unit_money()[step.bottle] * takes.product[step.bottle]
            else:
                minutes += takes.minutes[step.kind]
            if step.kind == "destroy":
                self.gone.add(place)
            self.done[place] = in_order([*self.done[place].steps, step._replace(week=week)])
        mixes = sum(math.ceil(each / setup()["tank_l"]) for each in litres.values())
        self.spent.append(Spent(minutes + mixes * work()["mixing_min"].value, money, litres))

    def judged(self) -> Judged:
        """What the season came to, from the first walk to the end."""
        scene, truth, worth = self.scene, self.scene.truth, values()
        first, end = scene.row(0), truth.nights.infected_frac.shape[3]
        season = self.season()
        state = simulate.clean(season, LANES)
        simulate.run(season, truth.versions, state, first_day=0, end_day=first, record_days=())
        outcome = rollout.baseline(season, truth.versions, state, first, end).outcome
        lost, taught, areas = [], 0.0, np.array([each.ground_m2 for each in truth.plots])
        for place, plot in enumerate(truth.plots):
            stake = stakes.stake_of(plot, (first, end), 1, flowers=0.0, worth=(1.0, True), stem_frac=0.0)
            own = rollout.Outcome(*(each[place : place + 1, :1] for each in outcome))
            gone = np.array([float(place in self.gone)])
            lost.append(float(cost.losses_money(own, stake, worth, given_up_frac=gone)[0, 0]))
            taught += self._harm_and_taught(place, areas[place] / areas.sum())
        minutes = sum(each.minutes for each in self.spent)
        kinds = [step.kind for each in self.done for step in each.steps]
        return Judged(
            plants=sum(lost),
            work=float(cost.work_money(minutes, worth.hour_money)),
            product=sum(each.money for each in self.spent),
            taught=taught,
            sprays=kinds.count("fungicide"),
            oils=kinds.count("oil"),
            broken=self.broken(),
            by_planting=tuple(lost),
        )

    def _harm_and_taught(self, place: int, share_frac: float) -> float:
        """What the sprays of a planting may have harmed and taught the rust."""
        law = self.law
        prices = Prices({each.key: law.contents(each) for each in law.bottles}, {}, {}, MATERIALS, values())
        no_product = Work({}, {}, {}, dict.fromkeys(shelf(), 0.0))
        return price.price_money(self.done[place], no_product, prices, near_water=False, share_frac=share_frac)

    def broken(self) -> int:
        """Sprays of the season that a rule refuses, each asked with all that went before it."""
        count = 0
        for number, ((bottle, site), done) in enumerate(zip(self.sites, self.history, strict=True)):
            count += bool(refusals(bottle, site, done.on, self.history[:number], usual_rules(), MATERIALS))
        return count


def courses_so_far(scene: Scene, plot: Plot, done: Programme) -> Courses:
    """What was done to a planting, as a course of the whole season. plot : with nothing done to it."""
    days = plot.rain_mm.shape[1]

    def row(step: Step) -> int:
        return scene.row(step.week)

    return courses.courses_of(plot, (done,), (0, days), row, shelf(), MATERIALS)


@cache
def unit_money() -> Mapping[str, float]:
    """Price of a unit of product, by bottle."""
    return {each["name"]: float(each["money_per_unit"]) for each in setup()["bottle"]}


def _here(scene: Scene, place: int) -> Here:
    each = scene.climate.stands[place]
    biology = Biology(each.rust, None, None)  # type: ignore[arg-type]
    return Here(each, biology, None, None, None)  # type: ignore[arg-type]

"""Whole gardens to plan for, by lot: a small epidemic under real leaves, any labels, any history, any rules."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from random import Random
from typing import NamedTuple

import numpy as np

from abaxial import chance
from abaxial.epidemic import rollout, simulate
from abaxial.epidemic.rollout import Base
from abaxial.host.species import read_species
from abaxial.label.bottle import Bottle
from abaxial.label.done import Site
from abaxial.label.limits import Rules, usual_rules
from abaxial.plan import cost
from abaxial.plan.choose.solve import Effort
from abaxial.plan.programmes import together
from abaxial.plan.programmes.step import Programme, Step
from abaxial.plan.programmes.together import Joint
from abaxial.plan.proposal.propose import Proposed
from abaxial.plan.proposal.prospect import Ask, Bed
from abaxial.plan.prospects import past, permit, stakes, stock
from abaxial.plan.prospects.labour import SprayNeed, work_of
from abaxial.plan.prospects.permit import Law, Standing
from abaxial.plan.prospects.plot import Plot
from abaxial.plan.prospects.stock import Time
from tests import label_cases
from tests.label_cases import START
from tests.one_epidemic import LANES, Rust, go, season_of, versions_of

NAMES, WEEKS, FIRST, DAYS = ("reds", "golds", "whites"), 6, 30, 72
#: the day of which a plan is asked; histories of `label_cases` end about then
TODAY = START + timedelta(540)
RUST = Rust(infection_per_d=10.0, latent_d=9.0, infectious_d=14.0, latent_stages=2, showing_stages=1)
PROVED = Effort(gap_frac=0.0, seconds=20.0)


class Case(NamedTuple):
    """A garden with all that its plan hangs on. offsets : day of the week on which each bottle goes on each planting."""

    ask: Ask
    law: Law
    standings: tuple[Standing, ...]
    offsets: dict[tuple[int, str], int]

    def on(self, place: int, step: Step) -> date:
        """The date of a step on a planting."""
        return TODAY + timedelta(7 * step.week + self.offsets.get((place, step.bottle), 0))

    def against(self, chosen: Sequence[Programme]) -> tuple[permit.Broken, ...]:
        """What the rules refuse of one programme for each planting."""
        return permit.broken(chosen, self.standings, self.law, self.on)


@cache
def small_epidemic(number: int, versions: int = LANES) -> tuple[Base, tuple[Plot, ...]]:
    """One of any number of epidemics in three plantings, half of which hold no rust yet."""
    weathers, plantings = 2, len(NAMES)

    def lot(name: str, *shape: int) -> np.ndarray:
        return chance.uniforms(number, f"test plan/{name}", 0, int(np.prod(shape))).reshape(shape)

    rain_mm = np.where(lot("wet", weathers, DAYS) < 0.3, 20.0 * lot("rain", weathers, DAYS), 0.0)
    plots = tuple(
        Plot(
            read_species(host), 20.0 + 6.0 * lot(f"warm {host}", DAYS), rain_mm, since_day=0, clumps=clumps, spacing_m=0.5,
            latent_d=RUST.latent_d,
        )
        for host, clumps in zip(("canna", "daylily", "canna"), (3, 8, 12), strict=True)
    )  # fmt: skip
    leaves = past.leaves_of(plots)
    nights = (plantings, 2, weathers, DAYS, 1)
    wet = np.broadcast_to((rain_mm > 0.0)[:, :, None], nights)
    season = season_of(
        DAYS, RUST, plantings=plantings, infected_frac=np.where(wet, 0.8, 0.02), alive_frac=np.full(nights, 0.3),
        wet_reach_h=np.full(nights, 12.0), progress=np.broadcast_to(np.arange(DAYS + 1)[:, None] / RUST.latent_d,
        (plantings, 2, weathers, DAYS + 1, 1)), first_wet_h=np.full((1, weathers, 1), 6.0),
        spread_h=np.full((1, weathers, 1), 4.0), own_frac=np.full(plantings, 0.4), far_frac=np.full(plantings, 0.02),
        shield=np.zeros((plantings, 2, weathers, DAYS)), litter_frac=0.5, first_leaf_day=np.zeros(plantings, int),
        **leaves._asdict(),
    )  # fmt: skip
    begun = np.where(lot("place", plantings, 1) < 0.5, 0.05 * lot("begun", plantings, versions), 0.0)
    here = versions_of(
        season, RUST, count=versions, start_frac=begun, member=np.arange(versions) % weathers,
        vigour=0.5 + lot("vigour", plantings, versions), luck=0.3 + 1.4 * lot("luck", plantings, -(-DAYS // 7), versions),
    )  # fmt: skip
    state = simulate.clean(season, versions)
    go(season, here, state, (0, FIRST))
    return rollout.baseline(season, here, state, FIRST, DAYS), plots


def any_rules(lot: Random) -> Rules:
    """Rules of which some were tightened."""
    own = {
        "most_running": lot.choice((2, 2, 1, 3)),
        "solo_share_frac": lot.choice((1 / 3, 1 / 3, 0.2)),
        "least_interval_d": lot.choice((1, 1, 10)),
        "oil_sulfur_d": lot.choice((14, 30)),
    }
    return replace(usual_rules(), **{name: own[name] for name in own if lot.random() < 0.5})


def any_case(seed: int) -> Case:
    """A garden by lot. What `tighter` makes of it differs in nothing else."""
    lot = Random(seed)
    base, plots = small_epidemic(lot.randrange(6))
    shelf = {each.key: each for each in (_any_bottle(lot) for _ in range(1 + lot.randrange(4)))}
    history = label_cases.any_history(lot, list(shelf.values())) if shelf and lot.random() < 0.7 else []
    law = Law(list(shelf.values()), history, any_rules(lot), label_cases.materials())
    offsets = {(place, key): lot.randrange(7) for place in range(len(plots)) for key in shelf}
    needs = [{key: _need(lot, plot) for key in shelf} for plot in plots]
    standings = tuple(_standing(lot, place, plot, needs[place]) for place, plot in enumerate(plots))
    minutes = [lot.choice((0.0, 60.0, 240.0, 240.0))] * WEEKS
    time = Time(minutes, lot.choice((0.0, 40.0, 600.0)), {key: lot.choice((0.0, 30.0, 600.0, 600.0)) for key in shelf})
    worth = [(lot.choice((1.0, 10.0, 100.0)), lot.random() < 0.7) for _ in plots]
    case = case_of(base, plots, law, standings, needs, time=time, offsets=offsets, worth=worth)
    return case if lot.random() < 0.2 else case._replace(ask=replace(case.ask, joint=()))


def case_of(
    base: Base,
    plots: Sequence[Plot],
    law: Law,
    standings: Sequence[Standing],
    needs: Sequence[dict[str, SprayNeed]],
    *,
    time: Time,
    offsets: dict[tuple[int, str], int] | None = None,
    worth: Sequence[tuple[float, bool]] = ((1.0, True),) * 3,
    stem_frac: Sequence[float] = (0.02,) * 3,
) -> Case:
    """A garden of all these, as a season puts it together."""
    dates = Case(None, law, tuple(standings), offsets or {})  # type: ignore[arg-type]
    values, days = cost.read_values(), (FIRST, DAYS)
    beds = []
    for place, plot in enumerate(plots):

        def on(step: Step, place: int = place) -> date:
            return dates.on(place, step)

        def when(step: Step, place: int = place) -> int:
            return FIRST + (dates.on(place, step) - TODAY).days

        may, _ = permit.permitted(standings[place], law, on, WEEKS)
        stake = stakes.stake_of(
            plot, days, base.order.size, flowers=0.0, worth=worth[place], stem_frac=stem_frac[place]
        )
        beds.append(Bed(plot, may, work_of(plot, needs[place]), stake, when))
    codes = stock.codes_of(law)
    ask = Ask(
        base=base,
        beds=tuple(beds),
        joint=_joint(beds),
        shelf={each.key: law.contents(each).actives for each in law.bottles},
        materials=law.materials,
        stock=stock.shelf_of(law, codes, 5.0, values.hour_money),
        hours=stock.hours_of(time, law.bottles),
        rotation=stock.rotation_of(law, codes, TODAY),
        values=values,
        price=lambda place, programme: 0.2 * len(programme.sprays),
        most_programmes=14,
    )
    return dates._replace(ask=ask)


def tighter(case: Case, how: str) -> Case:
    """The same garden with one thing tighter. how : "minutes", "stock", "window" or "run"."""
    ask, shelf, hours, rotation = case.ask, case.ask.stock, case.ask.hours, case.ask.rotation
    if how == "minutes":
        return case._replace(ask=replace(ask, hours=replace(hours, minutes=0.5 * hours.minutes)))
    if how == "stock":
        return case._replace(ask=replace(ask, stock=replace(shelf, stock=0.5 * np.minimum(shelf.stock, 20.0))))
    if how == "window":
        return case._replace(ask=replace(ask, hours=replace(hours, open_minutes=0.3 * hours.open_minutes)))
    rules = replace(case.law.rules, most_running=1)
    return case._replace(
        law=case.law._replace(rules=rules), ask=replace(ask, rotation=replace(rotation, most_running=1))
    )


def plain_standing(name: str, needs: dict[str, SprayNeed], *, light: bool = True, **changes: object) -> Standing:
    """A planting of cannas on which everything may be done in every week."""
    site = Site(name, ("canna",), area_m2=6.0)._replace(**changes)  # type: ignore[arg-type]
    weeks = tuple(range(WEEKS))
    kinds = ("look", "rusted_leaves_off", "low_leaves_off", "cut_down", "clear_litter", "destroy")
    sites = {key: site._replace(product_ml=need.product) for key, need in needs.items()}
    return Standing(sites, light, dict.fromkeys(kinds, weeks))


def shelf_of(*bottles: Bottle) -> Law:
    """These bottles under the usual rules, with nothing done yet."""
    return Law(bottles, (), usual_rules(), label_cases.materials())


def _joint(beds: Sequence[Bed]) -> tuple[Joint, ...]:
    able = together.weeks_to_cut([each.permitted for each in beds])
    return together.cut_down_together(["canna_rust"] * len(beds), (1,), able, showing=[True] * len(beds))


def _any_bottle(lot: Random) -> Bottle:
    """Any bottle, or one whose label allows cannas and rust."""
    if lot.random() < 0.5:
        return label_cases.any_bottle(lot)
    actives = lot.sample(label_cases.ACTIVES, lot.choice((1, 1, 2)))
    name = f"bottle {lot.randrange(6)}"
    return label_cases.bottle(*actives, name=name, interval_d=lot.choice((7, 7, 14)), rate="10 ml/l")


def _need(lot: Random, plot: Plot) -> SprayNeed:
    return SprayNeed(0.2 * plot.ground_m2, lot.choice((0.5, 2.0, 5.0)) * plot.ground_m2)


def _standing(lot: Random, place: int, plot: Plot, needs: dict[str, SprayNeed]) -> Standing:
    site = label_cases.any_site(lot)._replace(planting=NAMES[place], area_m2=plot.ground_m2, warmest_c=None)
    standing = plain_standing(NAMES[place], needs, light=lot.random() < 0.7, **site._asdict())
    gone = [kind for kind in standing.without if kind != "look" and lot.random() < 0.15]
    return standing._replace(without={kind: weeks for kind, weeks in standing.without.items() if kind not in gone})


def programmes(found: Proposed) -> tuple[Programme, ...]:
    """What was chosen for each planting."""
    return tuple(each.programmes[row] for each, row in zip(found.prospects, found.chosen, strict=True))

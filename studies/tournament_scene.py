"""One season of the tournament before anybody does anything: its weather, its truth, and what the planner may know of it.

The planner sees the weather so far with its doubt about wetness, and ahead of today other years of the same climate, of which
each member is right for the first days. What remedies do to the canopy's own weather is left out on both sides.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import chance, hours
from abaxial.assimilation import unknowns
from abaxial.assimilation.proposals import Cloud
from abaxial.epidemic import simulate
from abaxial.epidemic.dispersal import Spread
from abaxial.epidemic.kernel import LANES, Versions
from abaxial.infection import curves
from abaxial.infection.curves import Curves
from abaxial.infection.kernel import LeafHours, Nights
from abaxial.microclimate import nights, wetness
from abaxial.plan.prospects.plot import Plot
from abaxial.season import stand
from abaxial.season.stand import Sky, Stand
from studies import tournament_climate as climates
from studies.tournament_climate import MEMBERS, Climate, setup

Floats = NDArray[np.float64]


class Truth(NamedTuple):
    """What is really so, in LANES alike versions. nights : of one member. found_frac : of rusted leaves a round takes off."""

    nights: Nights
    tables: tuple[Curves, ...]
    spread: Spread
    latent_stages: tuple[int, ...]
    versions: Versions
    cloud: Cloud
    by_strength: NDArray[np.int64]
    found_frac: float
    plots: tuple[Plot, ...]


@dataclass(frozen=True)
class Scene:
    """A season. actual : the planner's nights under the weather as it really was. rain_mm : as it fell, (days,)."""

    climate: Climate
    number: int
    seed: int
    truth: Truth
    actual: Nights
    rain_mm: Floats

    def row(self, week: int) -> int:
        """The row of the day on which a week's work is done; the walk was on the evening before."""
        return int(setup()["run_in_d"]) + 7 * week

    def on(self, week: int) -> date:
        """Its date."""
        return hours.date_of(self.climate.first_day + self.row(week))

    @property
    def weeks(self) -> int:
        """How many weeks are played."""
        return int(setup()["weeks"])

    def believed(self, row: int) -> tuple[Nights, Floats]:
        """The planner's nights and rain at a row: what was up to it, and what may come, (plantings, …) and (members, days)."""
        right = setup()["plan"]["right_d"]
        found = Nights(*(each.copy() for each in self.climate.other))
        rain = self.climate.other_rain_mm.copy()
        for member in range(MEMBERS):
            known = min(row + int(right[member % len(right)]), self.rain_mm.size)
            rain[member, :known] = self.rain_mm[:known]
            for name, mine, real in zip(Nights._fields, found, self.actual, strict=True):
                if name != "progress":
                    mine[:, :, member, :known] = real[:, :, member, :known]
                    continue
                # it is added up from the first day on
                jump = real[:, :, member, known] - mine[:, :, member, known]
                mine[:, :, member, known:] += jump[:, :, None]
                mine[:, :, member, :known] = real[:, :, member, :known]
        return found, rain


def scene_of(key: str, number: int) -> Scene:
    """One season of a climate."""
    climate, seed = (
        climates.climate_of(key),
        int(setup()["seed"]) + 1000 * (1 + list(setup()["climate"]).index(key)) + number,
    )
    place = climate.garden.place
    days = int(setup()["run_in_d"]) + 7 * int(setup()["weeks"])
    weather = climates.weather_of(place, climate.sketch, climate.first_day, days, seed)
    # the last member is the truth
    sky = stand.sky_over(climate.garden, climates.ensemble_of([weather] * (MEMBERS + 1)))
    stands = stand.stands_in(climate.garden, sky)
    doubt = wetness.wetness_members(int(setup()["seed"]), MEMBERS)
    which = int(chance.uniforms(seed, "truth wetness", 0, 1)[0] * MEMBERS)
    real = wetness.wetness_members(seed, MEMBERS)[:, which : which + 1]
    on_leaves = climates.leaf_hours_of(
        climate.garden, sky, stands, np.ascontiguousarray(np.concatenate([doubt, real], axis=1))
    )
    believed = [_of_members(each, slice(0, MEMBERS)) for each in on_leaves]
    truly = [_of_members(each, slice(MEMBERS, None)) for each in on_leaves]
    rain_mm = nights.daily_sum(sky.ensemble.rain_mm, sky.when).T
    return Scene(
        climate=climate,
        number=number,
        seed=seed,
        truth=_truth(climate, truly, stands, sky, (number, seed)),
        actual=climates.library_of(believed, climate.tables, climate.rust_of, sky),
        rain_mm=rain_mm[0],
    )


def _truth(
    climate: Climate, on_leaves: Sequence[LeafHours], stands: tuple[Stand, ...], sky: Sky, which: tuple[int, int]
) -> Truth:
    number, seed = which
    kinds = setup()["truth"]["kind"]
    kind = kinds[number % len(kinds)]
    tables = tuple(curves.curves_of(climates.draws_of(each, seed, 1)) for each in climate.rusts)
    wet = [_wetter(each, kind["wet_hours"]) for each in on_leaves]
    found = climates.library_of(wet, tables, climate.rust_of, sky)
    parts = unknowns.parts_of(climate.unknowns, 1, tables[0].first_wet_h.shape[1])
    cloud = unknowns.before_looking(climate.unknowns, LANES, parts, seed)
    one, works, finds = chance.uniforms(seed, "truth", 0, 3)
    place = int(one * LANES)
    cloud = Cloud._make(np.repeat(each[place : place + 1], LANES, axis=0) for each in cloud)
    by_strength = simulate.by_strength(found.infected_frac, climate.rust_of, len(climate.rusts))
    versions = unknowns.versions_of(climate.unknowns, cloud, by_strength)
    factor = np.full(LANES, _between(setup()["truth"]["remedy_factor"], works), np.float32)
    if kind["deposit"] == "exponential":
        spread = _exponential(stands, climate, kind["length_m"])
    else:
        spread = climates.power_spread(stands, climate.rust_of, kind["gradient_exponent"])
    return Truth(
        nights=found,
        tables=tables,
        spread=spread,
        latent_stages=(int(kind["latent_stages"]),) * len(climate.rusts),
        versions=versions._replace(remedy_factor=factor),
        cloud=cloud,
        by_strength=by_strength,
        found_frac=_between(setup()["truth"]["found_frac"], finds),
        plots=climates.plots_of(stands, sky, nights.daily_sum(sky.ensemble.rain_mm, sky.when).T[:1]),
    )


def _between(limits: Sequence[float], share: float) -> float:
    return float(limits[0] + (limits[1] - limits[0]) * share)


def _of_members(hours_: LeafHours, some: slice) -> LeafHours:
    return LeafHours(*(np.ascontiguousarray(np.asarray(each)[..., some]) for each in hours_))


def _exponential(stands: Sequence[Stand], climate: Climate, length_m: float) -> Spread:
    """Spores falling off exponentially, without a tail."""
    believed, ground = climate.spread, climates.ground_of(stands, climate.rust_of)
    apart = np.hypot(ground.east_m[:, None] - ground.east_m, ground.north_m[:, None] - ground.north_m)
    shares = ground.area_m2[None, :] * np.exp(-apart / length_m) / (2.0 * np.pi * length_m**2)
    radius = np.sqrt(ground.area_m2 / np.pi) / length_m
    near = np.take_along_axis(shares, np.maximum(believed.neighbour, 0), axis=1)
    return believed._replace(
        own_frac=1.0 - (1.0 + radius) * np.exp(-radius),
        neighbour_frac=np.where(believed.neighbour >= 0, near, 0.0),
        far_frac=np.zeros_like(believed.far_frac),
    )


def _wetter(hours_: LeafHours, by_h: int) -> LeafHours:
    """Wet spells longer, or shorter, by half of it at either end."""
    wet = np.asarray(hours_.wet_frac)
    for _ in range(abs(by_h) // 2):
        sooner, later = np.roll(wet, -1, axis=0), np.roll(wet, 1, axis=0)
        pick = np.maximum if by_h > 0 else np.minimum
        wet = pick(wet, pick(sooner, later))
    return hours_._replace(wet_frac=wet)

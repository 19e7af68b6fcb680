"""One season of the tournament before anybody does anything: its weather, its truth, and what the planner may know of it.

The planner sees the weather so far with its doubt about wetness, and ahead of today other years of the same climate, of which
each member is right for the first days. What remedies do to the canopy's own weather is left out on both sides.
"""

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import chance, hours
from abaxial.assimilation import unknowns
from abaxial.assimilation.proposals import Cloud
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic import dispersal, simulate, stages
from abaxial.epidemic.dispersal import Spread
from abaxial.epidemic.kernel import LANES, Versions
from abaxial.garden import description
from abaxial.garden.parts import Garden, Surroundings
from abaxial.infection import curves, draws, leaves, library
from abaxial.infection.curves import Curves
from abaxial.infection.draws import Draws
from abaxial.infection.kernel import LeafHours, Nights
from abaxial.infection.pathogen import Pathogen
from abaxial.label.bottle import Bottle
from abaxial.label.reading import read_bottle
from abaxial.microclimate import nights, wetness
from abaxial.place import Place
from abaxial.plan.prospects.plot import Plot
from abaxial.season import stand
from abaxial.season.planning.plots import materials_of
from abaxial.season.stand import Sky, Stand
from abaxial.weather import generator
from abaxial.weather.ensemble import WeatherEnsemble
from abaxial.weather.generator import ClimateSketch
from abaxial.weather.series import VARIABLES, Weather

Floats = NDArray[np.float64]
HERE = Path(__file__).parent
MEMBERS, BIOLOGIES, AHEAD_WEEKS = 16, 16, 6
_SKETCH = tuple(ClimateSketch.__dataclass_fields__)
_NOTHING_NEAR = Surroundings(math.inf, math.inf, False, False, False, False)


@cache
def setup() -> Mapping[str, Any]:
    """What was fixed before the first run."""
    return tomllib.loads((HERE / "tournament_setup.toml").read_text(encoding="utf-8"))


@cache
def bottles() -> tuple[Bottle, ...]:
    """The shelf."""
    said = [{key: value for key, value in each.items() if key != "money_per_unit"} for each in setup()["bottle"]]
    return tuple(read_bottle(each, where="tournament_setup.toml") for each in said)


MATERIALS = materials_of(str(HERE))


@dataclass(frozen=True)
class Climate:
    """What all seasons of one climate share. first_day : garden day of the first row. rusts, rust_of : and which each planting
    has. tables : the planner's versions of their biology. other : nights and rain of other years. by_strength : of the
    draws, taken from other years. spread : as the planner believes spores to fall. plots : as the planner believes leaves to grow."""

    garden: Garden
    sketch: ClimateSketch
    first_day: int
    stands: tuple[Stand, ...]
    rusts: tuple[Pathogen, ...]
    rust_of: NDArray[np.int64]
    tables: tuple[Curves, ...]
    unknowns: Unknowns
    other: Nights
    other_rain_mm: Floats
    by_strength: NDArray[np.int64]
    spread: Spread
    plots: tuple[Plot, ...]

    @property
    def days(self) -> int:
        """Garden days for which there are nights, the weeks beyond the last walk included."""
        return self.other_rain_mm.shape[1]


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


@cache
def climate_of(key: str) -> Climate:
    """A climate with its garden, and sixteen other years of it."""
    said = setup()["climate"][key]
    place = Place(said["latitude_deg"], said["longitude_deg"], said["elevation_m"], said["zone"])
    sketch = ClimateSketch(**{name: _tuple(said[name]) for name in _SKETCH})
    first_day = hours.day_of(said["first_walk"]) + 1 - int(setup()["run_in_d"])
    garden = _garden(place, said["first_walk"] - timedelta(setup()["grown_d"]))
    days = int(setup()["run_in_d"]) + 7 * (int(setup()["weeks"]) + AHEAD_WEEKS)
    seed = int(setup()["seed"])
    years = [_weather(place, sketch, first_day, days, seed - 1 - member) for member in range(MEMBERS)]
    sky = stand.sky_over(garden, _ensemble(years))
    stands = stand.stands_in(garden, sky)
    rusts = tuple({each.rust.key: each.rust for each in stands if each.rust is not None}.values())
    rust_of = np.array([rusts.index(each.rust) for each in stands])
    tables = tuple(curves.curves_of(_draws(each, seed, MEMBERS)) for each in rusts)
    other = _library(_on_leaves(garden, sky, stands, wetness.wetness_members(seed, MEMBERS)), tables, rust_of, sky)
    names = [(each.planting.name, int(number)) for each, number in zip(stands, rust_of, strict=True)]
    rain_mm = nights.daily_sum(sky.ensemble.rain_mm, sky.when).T
    return Climate(
        garden=garden, sketch=sketch, first_day=first_day, stands=stands, rusts=rusts, rust_of=rust_of, tables=tables,
        unknowns=unknowns.unknowns_of(rusts, names, days), other=other, other_rain_mm=rain_mm,
        by_strength=simulate.by_strength(other.infected_frac, rust_of, len(rusts)),
        spread=_power(stands, rust_of, None), plots=_plots(stands, sky, rain_mm),
    )  # fmt: skip


def scene_of(key: str, number: int) -> Scene:
    """One season of a climate."""
    climate, seed = climate_of(key), int(setup()["seed"]) + 1000 * (1 + list(setup()["climate"]).index(key)) + number
    place = climate.garden.place
    days = int(setup()["run_in_d"]) + 7 * int(setup()["weeks"])
    weather = _weather(place, climate.sketch, climate.first_day, days, seed)
    # the last member is the truth
    sky = stand.sky_over(climate.garden, _ensemble([weather] * (MEMBERS + 1)))
    stands = stand.stands_in(climate.garden, sky)
    doubt = wetness.wetness_members(int(setup()["seed"]), MEMBERS)
    which = int(chance.uniforms(seed, "truth wetness", 0, 1)[0] * MEMBERS)
    real = wetness.wetness_members(seed, MEMBERS)[:, which : which + 1]
    on_leaves = _on_leaves(climate.garden, sky, stands, np.ascontiguousarray(np.concatenate([doubt, real], axis=1)))
    believed = [_of_members(each, slice(0, MEMBERS)) for each in on_leaves]
    truly = [_of_members(each, slice(MEMBERS, None)) for each in on_leaves]
    rain_mm = nights.daily_sum(sky.ensemble.rain_mm, sky.when).T
    return Scene(
        climate=climate,
        number=number,
        seed=seed,
        truth=_truth(climate, truly, stands, sky, (number, seed)),
        actual=_library(believed, climate.tables, climate.rust_of, sky),
        rain_mm=rain_mm[0],
    )


def _truth(
    climate: Climate, on_leaves: Sequence[LeafHours], stands: tuple[Stand, ...], sky: Sky, which: tuple[int, int]
) -> Truth:
    number, seed = which
    kinds = setup()["truth"]["kind"]
    kind = kinds[number % len(kinds)]
    tables = tuple(curves.curves_of(_draws(each, seed, 1)) for each in climate.rusts)
    wet = [_wetter(each, kind["wet_hours"]) for each in on_leaves]
    found = _library(wet, tables, climate.rust_of, sky)
    parts = unknowns.parts_of(climate.unknowns, 1, tables[0].first_wet_h.shape[1])
    cloud = unknowns.before_looking(climate.unknowns, LANES, parts, seed)
    one, works, finds = chance.uniforms(seed, "truth", 0, 3)
    place = int(one * LANES)
    cloud = Cloud(*(np.repeat(each[place : place + 1], LANES, axis=0) for each in cloud))
    by_strength = simulate.by_strength(found.infected_frac, climate.rust_of, len(climate.rusts))
    versions = unknowns.versions_of(climate.unknowns, cloud, by_strength)
    factor = np.full(LANES, _between(setup()["truth"]["remedy_factor"], works), np.float32)
    if kind["deposit"] == "exponential":
        spread = _exponential(stands, climate, kind["length_m"])
    else:
        spread = _power(stands, climate.rust_of, kind["gradient_exponent"])
    return Truth(
        nights=found,
        tables=tables,
        spread=spread,
        latent_stages=(int(kind["latent_stages"]),) * len(climate.rusts),
        versions=versions._replace(remedy_factor=factor),
        cloud=cloud,
        by_strength=by_strength,
        found_frac=_between(setup()["truth"]["found_frac"], finds),
        plots=_plots(stands, sky, nights.daily_sum(sky.ensemble.rain_mm, sky.when).T[:1]),
    )


def latent_stages_of(climate: Climate) -> tuple[int, ...]:
    """As the planner believes."""
    return tuple(stages.latent_stages(each["showing_span_d"], each["shortest_latent_d"]) for each in climate.rusts)


def _tuple(value: Any) -> Any:
    return tuple(float(each) for each in value) if isinstance(value, list) else float(value)


def _between(limits: Sequence[float], share: float) -> float:
    return float(limits[0] + (limits[1] - limits[0]) * share)


def _garden(place: Place, since: date) -> Garden:
    site = (
        f'[site]\nname = "Tournament"\ninvented = true\nlatitude_deg = {place.latitude_deg}\nlongitude_deg = {place.longitude_deg}\n'
        f'elevation_m = {place.elevation_m}\nzone = "{place.zone}"\n'
    )
    text = (HERE / "tournament_garden.toml").read_text(encoding="utf-8")
    text = site + text.replace("spacing_m =", f"since = {since}\nspacing_m =")
    garden = description.garden_from_text(text, where="tournament_garden.toml", folder=HERE)
    return replace(garden, beds=tuple(replace(each, surroundings=_NOTHING_NEAR) for each in garden.beds))


def _weather(place: Place, sketch: ClimateSketch, first_day: int, days: int, seed: int) -> Weather:
    first_hour = hours.first_hour_of(first_day, place.zone)
    return generator.invent(place, sketch, first_hour=first_hour, hours=24 * days, seed=seed)


def _ensemble(years: Sequence[Weather]) -> WeatherEnsemble:
    end = years[0].first_hour + years[0].hours
    values = {name: np.stack([each.variable(name) for each in years], axis=1) for name in VARIABLES}
    return WeatherEnsemble(years[0].first_hour, end, end, known_share_frac=1.0, **values)


def _draws(rust: Pathogen, seed: int, members: int) -> Draws:
    return draws.make_draws(rust, seed=seed, members=members, at_least=members * BIOLOGIES)


def _on_leaves(garden: Garden, sky: Sky, stands: Sequence[Stand], doubt: Floats) -> list[LeafHours]:
    wet = wetness.leaf_wetness(sky.air, [one for each in stands for one in each.levels], sky.when, garden.place, doubt)
    return [
        leaves.leaf_hours(wet, slice(2 * i, 2 * i + 2), each.rust.face, sky.air, each.levels, sky.when)
        for i, each in enumerate(stands)
        if each.rust is not None
    ]


def _of_members(hours_: LeafHours, some: slice) -> LeafHours:
    return LeafHours(*(np.ascontiguousarray(np.asarray(each)[..., some]) for each in hours_))


def _library(
    on_leaves: Sequence[LeafHours], tables: Sequence[Curves], rust_of: NDArray[np.int64], sky: Sky
) -> Nights:
    return library.make_library(on_leaves, [tables[number] for number in rust_of], nights.day_starts(sky.when))


def _plots(stands: Sequence[Stand], sky: Sky, rain_mm: Floats) -> tuple[Plot, ...]:
    """The plantings with nothing done to them. Latent periods are taken as the shortest; they only bound a cure's reach."""
    temperature_c = nights.daily_mean(sky.ensemble.temperature_c.mean(axis=1), sky.when)
    return tuple(
        Plot(
            species=each.species,
            temperature_c=temperature_c,
            rain_mm=rain_mm,
            since_day=hours.day_of(each.planting.since) - sky.when.first_day,
            clumps=each.planting.clumps,
            spacing_m=each.planting.spacing_m,
            latent_d=each.rust["shortest_latent_d"] if each.rust is not None else math.inf,
        )
        for each in stands
    )


def _ground(stands: Sequence[Stand], rust_of: NDArray[np.int64]) -> dispersal.Ground:
    return dispersal.ground_of(
        [
            (each.bed.east_m, each.bed.north_m, each.planting.clumps * each.planting.spacing_m**2, int(number))
            for each, number in zip(stands, rust_of, strict=True)
        ]
    )


def _power(stands: Sequence[Stand], rust_of: NDArray[np.int64], exponent: float | None) -> Spread:
    """Spores falling off as a power of distance; exponent : the rust's own if None."""
    rusts = [each.rust.epidemic for each in stands if each.rust is not None]
    falls = [each["gradient_exponent"].value if exponent is None else exponent for each in rusts]
    return dispersal.spread_of(_ground(stands, rust_of), falls, [each["gradient_offset_m"].value for each in rusts])


def _exponential(stands: Sequence[Stand], climate: Climate, length_m: float) -> Spread:
    """Spores falling off exponentially, without a tail."""
    believed, ground = climate.spread, _ground(stands, climate.rust_of)
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

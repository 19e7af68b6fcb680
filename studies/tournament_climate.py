"""The climates of the tournament: for each a garden, sixteen other years, and what the planner believes of leaves and rusts."""

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from abaxial import hours
from abaxial.assimilation import unknowns
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic import dispersal, simulate, stages
from abaxial.epidemic.dispersal import Spread
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
Whole = NDArray[np.int64]
HERE = Path(__file__).parent
MEMBERS, BIOLOGIES, AHEAD_WEEKS = 16, 16, 6
#: everything that can be in a bottle, by key
MATERIALS = materials_of(str(HERE))
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
    rust_of: Whole
    tables: tuple[Curves, ...]
    unknowns: Unknowns
    other: Nights
    other_rain_mm: Floats
    by_strength: Whole
    spread: Spread
    plots: tuple[Plot, ...]

    @property
    def days(self) -> int:
        """Garden days for which there are nights, the weeks beyond the last walk included."""
        return int(self.other_rain_mm.shape[1])


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
    years = [weather_of(place, sketch, first_day, days, seed - 1 - member) for member in range(MEMBERS)]
    sky = stand.sky_over(garden, ensemble_of(years))
    stands = stand.stands_in(garden, sky)
    rusts = tuple({each.rust.key: each.rust for each in stands if each.rust is not None}.values())
    rust_of = np.array([rusts.index(each.rust) for each in stands])
    tables = tuple(curves.curves_of(draws_of(each, seed, MEMBERS)) for each in rusts)
    other = library_of(leaf_hours_of(garden, sky, stands, wetness.wetness_members(seed, MEMBERS)), tables, rust_of, sky)
    names = [(each.planting.name, int(number)) for each, number in zip(stands, rust_of, strict=True)]
    rain_mm = nights.daily_sum(sky.ensemble.rain_mm, sky.when).T
    return Climate(
        garden=garden, sketch=sketch, first_day=first_day, stands=stands, rusts=rusts, rust_of=rust_of, tables=tables,
        unknowns=unknowns.unknowns_of(rusts, names, days), other=other, other_rain_mm=rain_mm,
        by_strength=simulate.by_strength(other.infected_frac, rust_of, len(rusts)),
        spread=power_spread(stands, rust_of, None), plots=plots_of(stands, sky, rain_mm),
    )  # fmt: skip


def latent_stages_of(climate: Climate) -> tuple[int, ...]:
    """As the planner believes."""
    return tuple(stages.latent_stages(each["showing_span_d"], each["shortest_latent_d"]) for each in climate.rusts)


def weather_of(place: Place, sketch: ClimateSketch, first_day: int, days: int, seed: int) -> Weather:
    """Invented weather of some garden days."""
    first_hour = hours.first_hour_of(first_day, place.zone)
    return generator.invent(place, sketch, first_hour=first_hour, hours=24 * days, seed=seed)


def ensemble_of(years: Sequence[Weather]) -> WeatherEnsemble:
    """Years side by side, each a member, all of them lived."""
    end = years[0].first_hour + years[0].hours
    values = {name: np.stack([each.variable(name) for each in years], axis=1) for name in VARIABLES}
    return WeatherEnsemble(years[0].first_hour, end, end, known_share_frac=1.0, **values)


def draws_of(rust: Pathogen, seed: int, members: int) -> Draws:
    """Versions of a rust's biology."""
    return draws.make_draws(rust, seed=seed, members=members, at_least=members * BIOLOGIES)


def leaf_hours_of(garden: Garden, sky: Sky, stands: Sequence[Stand], doubt: Floats) -> list[LeafHours]:
    """What the rust meets on the leaves of every planting. doubt : (6, members) as from wetness_members."""
    wet = wetness.leaf_wetness(sky.air, [one for each in stands for one in each.levels], sky.when, garden.place, doubt)
    return [
        leaves.leaf_hours(wet, slice(2 * i, 2 * i + 2), each.rust.face, sky.air, each.levels, sky.when)
        for i, each in enumerate(stands)
        if each.rust is not None
    ]


def library_of(on_leaves: Sequence[LeafHours], tables: Sequence[Curves], rust_of: Whole, sky: Sky) -> Nights:
    """The nights of every planting. tables : of each rust."""
    return library.make_library(on_leaves, [tables[number] for number in rust_of], nights.day_starts(sky.when))


def plots_of(stands: Sequence[Stand], sky: Sky, rain_mm: Floats) -> tuple[Plot, ...]:
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


def ground_of(stands: Sequence[Stand], rust_of: Whole) -> dispersal.Ground:
    """Where the plantings stand."""
    return dispersal.ground_of(
        [
            (each.bed.east_m, each.bed.north_m, each.planting.clumps * each.planting.spacing_m**2, int(number))
            for each, number in zip(stands, rust_of, strict=True)
        ]
    )


def power_spread(stands: Sequence[Stand], rust_of: Whole, exponent: float | None) -> Spread:
    """Spores falling off as a power of distance; exponent : the rust's own if None."""
    rusts = [each.rust.epidemic for each in stands if each.rust is not None]
    falls = [each["gradient_exponent"].value if exponent is None else exponent for each in rusts]
    return dispersal.spread_of(ground_of(stands, rust_of), falls, [each["gradient_offset_m"].value for each in rusts])


def _tuple(value: Any) -> Any:
    return tuple(float(each) for each in value) if isinstance(value, list) else float(value)


def _garden(place: Place, since: date) -> Garden:
    site = (
        f'[site]\nname = "Tournament"\ninvented = true\nlatitude_deg = {place.latitude_deg}\nlongitude_deg = {place.longitude_deg}\n'
        f'elevation_m = {place.elevation_m}\nzone = "{place.zone}"\n'
    )
    text = (HERE / "tournament_garden.toml").read_text(encoding="utf-8")
    text = site + text.replace("spacing_m =", f"since = {since}\nspacing_m =")
    garden = description.garden_from_text(text, where="tournament_garden.toml", folder=HERE)
    return replace(garden, beds=tuple(replace(each, surroundings=_NOTHING_NEAR) for each in garden.beds))

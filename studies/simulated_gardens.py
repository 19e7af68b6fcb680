"""Small gardens whose truth is known: one version drawn as the priors say, and walks through it as looks are believed to be.

Four plantings (two of cannas, one of prayer plants, one of daylilies), a season of 106 lived days under invented weather, and
what follows for six weeks. Everything follows from one number.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import chance, hours
from abaxial.assimilation import garden_story, likelihood, unknowns
from abaxial.assimilation.estimate import Asked, Posterior, estimate
from abaxial.assimilation.garden_story import GardenStory, Look
from abaxial.assimilation.likelihood import Predicted
from abaxial.assimilation.looks import read_looks
from abaxial.assimilation.proposals import Cloud, Parts
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic import dispersal, leaf_area, simulate, stages
from abaxial.epidemic.kernel import LANES, Rows, Versions
from abaxial.epidemic.simulate import Season
from abaxial.garden import description
from abaxial.infection import curves, draws, leaves, library
from abaxial.infection.kernel import LeafHours
from abaxial.microclimate import nights, wetness
from abaxial.scouting.sightings import Sighting
from abaxial.season import demo, stand
from abaxial.season.stand import Sky, Stand
from abaxial.weather import generator, members

Floats = NDArray[np.float64]
PLANTINGS = ("Quay cannas", "Fig-tree cannas", "Prayer plants", "Hedge daylilies")
LIVED_D, AHEAD_D = 106, 42
WEATHERS, BIOLOGIES = 16, 16
#: walks, as days of the season; each looks at every planting
WALKS = (40, 50, 60, 70, 78, 86, 92, 98, 105)
_TURNED = 12


@dataclass(frozen=True)
class Scene:
    """A season under one weather, shared by many truths. stands : the plantings. today : the day next to come."""

    season: Season
    unknowns: Unknowns
    parts: Parts
    stands: tuple[Stand, ...]
    leaf_hours: tuple[LeafHours, ...]
    day_start: NDArray[np.int64]
    today: int


class Truth(NamedTuple):
    """A version, in the first of LANES alike places. record : (days, plantings, levels, 2) shares at the end of each day."""

    cloud: Cloud
    record: Floats


def scene(seed: int) -> Scene:
    """A season under the demo island's invented climate."""
    text = demo._DESCRIPTION.read_text(encoding="utf-8")
    whole = description.garden_from_text(text, where="demo", folder=Path("."))
    garden = description_with(whole, PLANTINGS)
    zone = hours.zone_named(garden.place.zone)
    now = hours.hour_of(datetime(2026, 1, 5, 6, tzinfo=zone) + timedelta(days=45 * (seed % 4)))
    first = now - 24 * LIVED_D
    weather = generator.invent(garden.place, demo._CLIMATE, first_hour=first, hours=24 * LIVED_D, seed=seed)
    ensemble = members.make_ensemble(
        weather, garden.place, now_hour=now, end_hour=now + 24 * AHEAD_D, seed=seed, members=WEATHERS
    )
    sky = stand.sky_over(garden, ensemble)
    stands = stand.stands_in(garden, sky)
    return _scene_of(garden.place, sky, stands, seed)


def description_with(garden, names):
    """A garden with only some of its plantings, all there since before the season."""
    from dataclasses import replace

    kept = tuple(
        replace(each, since=datetime(2025, 3, 1).date(), low_leaves_off=())
        for each in garden.plantings
        if each.name in names
    )
    return replace(garden, plantings=kept)


def _scene_of(place, sky: Sky, stands: tuple[Stand, ...], seed: int) -> Scene:
    doubt = wetness.wetness_members(seed, WEATHERS)
    wet = wetness.leaf_wetness(sky.air, [level for each in stands for level in each.levels], sky.when, place, doubt)
    on_leaves = tuple(
        leaves.leaf_hours(wet, slice(2 * i, 2 * i + 2), each.rust.face, sky.air, each.levels, sky.when)
        for i, each in enumerate(stands)
    )
    season, asked, parts = season_of(stands, on_leaves, nights.day_starts(sky.when), seed)
    return Scene(season, asked, parts, stands, on_leaves, nights.day_starts(sky.when), sky.today)


def season_of(
    stands, on_leaves, day_start, seed: int, *, exponent: float | None = None, latent_stages: int | None = None
) -> tuple[Season, Unknowns, Parts]:
    """The season of some stands. exponent, latent_stages : another kernel or another spread of latent periods than ours."""
    keys = sorted({each.rust.key for each in stands})
    rusts = [next(each.rust for each in stands if each.rust.key == key) for key in keys]
    numbers = np.array([keys.index(each.rust.key) for each in stands])
    tables = [
        curves.curves_of(draws.make_draws(rust, seed=seed, members=WEATHERS, at_least=WEATHERS * BIOLOGIES))
        for rust in rusts
    ]
    nights_of_all = library.make_library(on_leaves, [tables[number] for number in numbers], day_start)
    ground = dispersal.Ground(
        np.array([each.bed.east_m for each in stands]),
        np.array([each.bed.north_m for each in stands]),
        np.array([each.planting.clumps * each.planting.spacing_m**2 for each in stands]),
        numbers,
    )
    falls = np.array([rusts[n].epidemic["gradient_exponent"].value if exponent is None else exponent for n in numbers])
    offsets = np.array([rusts[n].epidemic["gradient_offset_m"].value for n in numbers])
    season = simulate.season_of(
        nights_of_all,
        tables,
        leaf_area.leaf_days([each.growth for each in stands], [each.species["light_extinction"] for each in stands]),
        dispersal.spread_of(ground, falls, offsets),
        [latent_stages or stages.latent_stages(each["showing_span_d"], each["shortest_latent_d"]) for each in rusts],
    )
    asked = unknowns.unknowns_of(
        rusts, [(each.planting.name, int(n)) for each, n in zip(stands, numbers, strict=True)], season.days
    )
    return season, asked, unknowns.parts_of(asked, WEATHERS, BIOLOGIES)


def truth(scene: Scene, seed: int) -> Truth:
    """A version drawn as the priors say, and its season."""
    cloud = unknowns.before_looking(scene.unknowns, LANES, scene.parts, seed)
    # any of them: they are sorted by their weather
    one = int(chance.uniforms(seed, "truth", 0, 1)[0] * LANES)
    cloud = Cloud(*(np.repeat(each[one : one + 1], LANES, axis=0) for each in cloud))
    return Truth(cloud, lived(scene.season, unknowns.versions_of(scene.unknowns, cloud, scene.season.by_strength)))


def lived(season: Season, versions: Versions) -> Floats:
    """The record of one version, (days, plantings, levels, 2)."""
    state = simulate.clean(season, versions.member.size)
    days = list(range(season.days))
    record: Rows = simulate.run(season, versions, state, first_day=0, end_day=season.days, record_days=days)
    return record[..., 0].astype(np.float64)


def walks(scene: Scene, real: Truth, seed: int, *, rater: float = 1.0) -> list[Look]:
    """What the gardener finds: counts at the low leaves, words at the high ones, on every third walk a severity instead of
    the count. rater : what the judged severity is multiplied with besides the truth's own bias."""
    story = GardenStory(scene.season, scene.unknowns, (), scene.parts)
    worn = story.worn(real.cloud)
    found = []
    for number, day in enumerate(WALKS):
        dice = chance.uniforms(seed, "walk", number, 8 * len(scene.stands)).reshape(len(scene.stands), 8)
        for planting, stand_ in enumerate(scene.stands):
            record = np.repeat(real.record[day][..., np.newaxis], LANES, axis=-1)
            for part, luck in (("lower", dice[planting, :4]), ("upper", dice[planting, 4:])):
                predicted = Predicted(*(each[:1] for each in story.predicted(worn, record, planting, part)))
                kind = "severity" if part == "lower" and number % 3 == 2 else "counts" if part == "lower" else "words"
                on = (datetime(2025, 9, 1) + timedelta(days=day)).date()
                seen = _sighting(stand_.planting.name, on, part, kind, predicted, luck, rater)
                found.append(Look(seen, planting, day))
    return found


def _sighting(planting, on, part: str, kind: str, predicted: Predicted, luck: Floats, rater: float) -> Sighting:
    looks = read_looks()
    blunder = luck[3] < looks.blunder_frac
    if kind == "severity":
        centre = np.log(max(predicted.visible_frac[0], 1e-12)) + predicted.rater_log_bias[0] + np.log(rater)
        judged = np.exp(centre + looks.severity_log_sd * _normal(luck[0], luck[1]))
        smallest = looks.smallest_seen_frac
        if blunder:
            judged = 0.0 if luck[0] < 0.5 else smallest ** (2.0 * (luck[0] - 0.5))
        value = 0.0 if judged < smallest else min(float(judged), 1.0)
        return Sighting(planting, on, part, severity_low_frac=value, severity_high_frac=value)
    turned = _TURNED if kind == "counts" else looks.casual_leaves
    chances = likelihood.count_distribution(turned, predicted, np.ones(1))
    rusted = int(luck[0] * (turned + 1)) if blunder else int(np.searchsorted(np.cumsum(chances), luck[0]))
    rusted = min(rusted, turned)
    if kind == "counts":
        return Sighting(planting, on, part, turned=turned, rusted=rusted)
    words = ("none", "some", "many")
    if blunder:
        return Sighting(planting, on, part, words[int(luck[0] * 3)])
    return Sighting(planting, on, part, "none" if rusted == 0 else "some" if 2 * rusted < turned else "many")


def posterior(scene: Scene, looks: list[Look], seed: int, versions: int = 512) -> Posterior:
    """The estimate a gardener would get."""
    asked = Asked(versions, WEATHERS, BIOLOGIES, seed, scene.today, scene.today - 28)
    return estimate(scene.season, scene.unknowns, looks, asked)


def _normal(first: float, second: float) -> float:
    return float(np.sqrt(-2.0 * np.log(first)) * np.cos(2.0 * np.pi * second))


__all__ = ["PLANTINGS", "Scene", "Truth", "garden_story", "lived", "posterior", "scene", "season_of", "truth", "walks"]

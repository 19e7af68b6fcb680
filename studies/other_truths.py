"""How the estimate fares where the truth is not of its kind, and against three simple ways of guessing on.

Run as `scripts/study other_truths`. The truths are in other_truths_setup.toml, fixed before the first run. What is forecast is the
share of low leaves on which a walk would find rust, fourteen days on. The simple ways: as at the last walk, a straight
line through the last two (in log odds), and a logistic curve fitted to all walks.
"""

import tomllib
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from abaxial import __version__
from abaxial.assimilation import diagnose, likelihood, unknowns
from abaxial.assimilation.estimate import Posterior, shares_of
from abaxial.assimilation.garden_story import GardenStory, Look
from abaxial.epidemic.kernel import LANES, WHOLE
from abaxial.epidemic.simulate import Season
from abaxial.infection.kernel import LeafHours
from abaxial.scouting import curves
from abaxial.scouting.curves import Unfitted
from studies import simulated_gardens as gardens
from studies.simulated_gardens import Scene, Truth

Floats = NDArray[np.float64]
AHEAD_D, VERSIONS = 14, 1024
SETUP = Path(__file__).with_name("other_truths_setup.toml")
WAYS = ("ours", "as at the last walk", "line through the last two", "logistic curve")


def one_garden(task: tuple[Mapping[str, Any], int]) -> dict[str, Any]:
    """One garden with one kind of truth: errors of every way for each planting, and whether our bands held."""
    kind, luck = task
    scene = gardens.scene(luck % 7)
    elsewhere = _other(scene, kind, luck % 7)
    cloud = gardens.truth(scene, luck).cloud
    real = Truth(cloud, gardens.lived(elsewhere, unknowns.versions_of(scene.unknowns, cloud, scene.season.by_strength)))
    looks = gardens.walks(scene, real, luck, rater=kind.get("rater", 1.0))
    found = gardens.posterior(scene, looks, luck, VERSIONS)
    scores: dict[str, list[float]] = {way: [] for way in WAYS}
    held, incidence_held = [], []
    for planting in range(len(gardens.PLANTINGS)):
        latent = shares_of(found, planting)[0][scene.today + AHEAD_D - found.first_day]
        real_latent = real.record[scene.today + AHEAD_D, planting, WHOLE, 0]
        held.append(bool(np.quantile(latent, 0.1) <= real_latent <= np.quantile(latent, 0.9)))
        ours, truth = _seen(scene, found, real, planting)
        incidence_held.append(bool(np.quantile(ours, 0.1) <= truth <= np.quantile(ours, 0.9)))
        scores["ours"].append(float(diagnose.crps_of_versions(np.array(truth), ours)))
        for way, guess in zip(WAYS[1:], _simple(looks, planting, scene.today + AHEAD_D), strict=True):
            scores[way].append(abs(guess - truth))
    return {"kind": kind["name"], "scores": scores, "held": held, "incidence_held": incidence_held}


def _other(scene: Scene, kind: Mapping[str, Any], seed: int) -> Season:
    """The season of a scene as this kind of truth has it."""
    hours = tuple(_wetter(each, kind.get("wet_hours", 0)) for each in scene.leaf_hours)
    season, _, _ = gardens.season_of(
        scene.stands, hours, scene.day_start, seed, latent_stages=kind.get("latent_stages")
    )
    if kind.get("deposit") != "exponential":
        return season
    drivers, length = season.drivers, kind["length_m"]
    east = np.array([each.bed.east_m for each in scene.stands])
    north = np.array([each.bed.north_m for each in scene.stands])
    ground = np.array([each.planting.clumps * each.planting.spacing_m**2 for each in scene.stands])
    apart = np.hypot(east[:, None] - east, north[:, None] - north)
    shares = ground[None, :] * np.exp(-apart / length) / (2.0 * np.pi * length**2)
    radius = np.sqrt(ground / np.pi) / length
    near = np.where(drivers.neighbour >= 0, np.take_along_axis(shares, np.maximum(drivers.neighbour, 0), axis=1), 0.0)
    return Season(
        drivers._replace(
            own_frac=(1.0 - (1.0 + radius) * np.exp(-radius)).astype(np.float32),
            neighbour_frac=near.astype(np.float32),
            far_frac=np.zeros_like(drivers.far_frac),
        ),
        season.days,
        season.by_strength,
    )


def _wetter(hours: LeafHours, by_h: int) -> LeafHours:
    """Wet spells longer, or shorter, by half of it at either end."""
    wet = np.asarray(hours.wet_frac)
    for _ in range(abs(by_h) // 2):
        sooner, later = np.roll(wet, -1, axis=0), np.roll(wet, 1, axis=0)
        pick = np.maximum if by_h > 0 else np.minimum
        wet = pick(wet, pick(sooner, later))
    return hours._replace(wet_frac=wet)


def _seen(scene: Scene, found: Posterior, real: Truth, planting: int) -> tuple[Floats, float]:
    """Share of low leaves on which a walk would find rust a fortnight on: ours, (versions,), and the truth's."""
    story = GardenStory(scene.season, scene.unknowns, (), scene.parts)
    ours = story.predicted(
        story.worn(found.cloud), found.record[scene.today + AHEAD_D - found.first_day], planting, "lower"
    )
    then = np.repeat(real.record[scene.today + AHEAD_D][..., np.newaxis], LANES, axis=-1)
    truth = story.predicted(story.worn(real.cloud), then, planting, "lower")
    return likelihood.seen_frac(ours), float(likelihood.seen_frac(truth)[0])


def _simple(looks: list[Look], planting: int, day: int) -> tuple[float, float, float]:
    """Three simple guesses from the counts at low leaves."""
    counted = [each for each in looks if each.planting == planting and each.sighting.turned]
    days = np.array([float(each.day) for each in counted])
    shares = np.array([each.sighting.rusted / each.sighting.turned for each in counted])  # type: ignore[operator]
    # half a leaf is taken as the least there is
    least = 0.5 / counted[0].sighting.turned  # type: ignore[operator]
    odds = np.log(np.clip(shares, least, 1.0 - least) / (1.0 - np.clip(shares, least, 1.0 - least)))
    line = odds[-1] + (odds[-1] - odds[-2]) / (days[-1] - days[-2]) * (day - days[-1])
    fitted = curves.fit_line(days, np.clip(shares, least, 1.0 - least), form="logistic")
    if isinstance(fitted, Unfitted):
        curve = shares[-1]
    else:
        curve = curves.curve_frac(
            np.array([float(day)]), fitted.start_frac, rate_per_d=fitted.rate_per_d, form="logistic"
        )[0]
    return float(shares[-1]), float(1.0 / (1.0 + np.exp(-line))), float(curve)


def run() -> list[dict[str, Any]]:
    """All gardens."""
    setup = tomllib.loads(SETUP.read_text(encoding="utf-8"))
    kinds = setup["truth"]
    tasks = [(kinds[number % len(kinds)], setup["seed"] + number) for number in range(setup["gardens"])]
    with ProcessPoolExecutor(2) as pool:
        return list(pool.map(one_garden, tasks))


def written(results: list[dict[str, Any]]) -> str:
    """What was found, as TOML."""
    lines = [
        "# What scripts/study other_truths found. Errors are mean CRPS (for a single number, its absolute error) of the share of",
        "# low leaves on which a walk would find rust fourteen days on; held: 80 % bands that held the truth.",
        f"date = {date.today()}",
        f'version = "{__version__}"',
        f"gardens = {len(results)}",
    ]
    for kind in [*dict.fromkeys(each["kind"] for each in results), "every kind"]:
        mine = [each for each in results if kind in (each["kind"], "every kind")]
        lines += ["", f'["{kind}"]']
        for name in ("held", "incidence_held"):
            lines.append(f"{name}_frac = {np.mean([each[name] for each in mine]):.3f}")
        for way in WAYS:
            lines.append(f'"{way}" = {np.mean([each["scores"][way] for each in mine]):.4f}')
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    Path(__file__).with_suffix(".toml").write_text(written(run()), encoding="utf-8")

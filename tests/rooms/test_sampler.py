"""Versions weighed and moved: against chains whose answers are exact, and in a garden where looks say nothing, or much."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.one_epidemic import Rust, season_of
from tests.rooms import chains
from tests.rooms.chains import Hidden, LinearGaussian

from abaxial import chance
from abaxial.assimilation import estimate, garden_story, sampler, unknowns
from abaxial.assimilation.garden_story import GardenStory, Look
from abaxial.assimilation.proposals import Cloud, Parts
from abaxial.infection.pathogen import read_pathogen
from abaxial.scouting.sightings import Sighting

Floats = NDArray[np.float64]
GAUSSIAN = LinearGaussian(np.array([0.3, -0.4, 1.2, 2.5, 1.9, 0.2, -0.3, 0.5, 1.1, 3.0, 2.2, 0.4]))
FINDS = Hidden(np.array([0, 0, 1, 0, 1, 1, 1, 0, 1, 1, 0, 0, 1, 1, 1]))
VERSIONS, SEEDS = 1024, range(12)
#: of a mean over the seeds, in its standard errors
TOLERANCE_SE = 3.5


def assert_near(found: list[float], exactly: float, *, one_run_sd: float) -> None:
    """The mean of some runs, each with a standard deviation that may not be exceeded either."""
    assert np.std(found) < 1.6 * one_run_sd
    assert np.mean(found) == pytest.approx(exactly, abs=TOLERANCE_SE * one_run_sd / len(found) ** 0.5)


def test_a_chain_of_normal_steps_is_weighed_as_the_exact_filter_weighs_it():
    evidence, mean, variance = GAUSSIAN.exactly()
    runs = [chains.told(GAUSSIAN, VERSIONS, seed) for seed in SEEDS]

    assert_near([sum(run.log_evidence) for run in runs], evidence, one_run_sd=0.12)
    assert_near([run.state.value.mean() for run in runs], mean, one_run_sd=0.046)
    assert_near([run.state.value.var() for run in runs], variance, one_run_sd=0.033)


def test_a_hidden_state_is_found_with_its_exact_chances():
    evidence, chances = FINDS.exactly()
    runs = [chains.told(FINDS, VERSIONS, seed) for seed in SEEDS]

    assert_near([sum(run.log_evidence) for run in runs], evidence, one_run_sd=0.12)
    for state in range(3):
        shares = [float((run.state.value == state).mean()) for run in runs]
        assert_near(shares, float(chances[state]), one_run_sd=0.02)


def test_more_versions_say_it_more_exactly():
    few, many = (
        np.std([sum(chains.told(GAUSSIAN, count, seed).log_evidence) for seed in range(36)]) for count in (128, 2048)
    )

    assert many < 0.5 * few


def test_a_look_that_nobody_expected_is_let_in_by_degrees_and_still_weighed_right():
    story = LinearGaussian(np.array([0.0, 6.0]))
    evidence, mean, _ = story.exactly()
    runs = [chains.told(story, VERSIONS, seed) for seed in SEEDS]

    assert min(run.effective[1] for run in runs) < 0.1 * VERSIONS
    assert_near([sum(run.log_evidence) for run in runs], evidence, one_run_sd=0.15)
    assert_near([run.state.value.mean() for run in runs], mean, one_run_sd=0.05)


@dataclass(frozen=True)
class Two:
    """Two chains of normal steps that share nothing, each a part; a look that is NaN was not taken."""

    looks: Floats

    @property
    def parts(self) -> Parts:
        steps = self.looks.shape[1]
        units = np.array([0, 1, 0, 1])
        return Parts(np.array([0, 1]), np.tile([2, 3], steps), units, np.arange(4) < 2, 5, 4)

    def begin(self, cloud: Cloud) -> Floats:
        return cloud.known.T

    def tell(self, cloud: Cloud, state: Floats, batch: int) -> tuple[Floats, Floats]:
        value = 0.9 * state + 0.5 * cloud.luck[:, 2 * batch : 2 * batch + 2].T
        off = np.nan_to_num(self.looks[:, batch : batch + 1] - value, nan=0.0)
        taken = ~np.isnan(self.looks[:, batch : batch + 1])
        return value, np.where(taken, -0.5 * np.log(2.0 * np.pi) - 0.5 * off**2, 0.0)

    def retell(self, cloud: Cloud, batch: int) -> tuple[Floats, Floats, Floats]:
        state, before = self.begin(cloud), np.zeros((2, cloud.weather.size))
        for each in range(batch):
            state, more = self.tell(cloud, state, each)
            before = before + more
        return *self.tell(cloud, state, batch)[:1], before, self.tell(cloud, state, batch)[1]

    def touched(self, batch: int) -> int:
        return 2 * (batch + 1)

    def choose(self, taken: NDArray[np.bool_], new: Floats, old: Floats) -> Floats:
        return np.where(taken, new, old)

    def pick(self, state: Floats, order: NDArray[np.int64]) -> Floats:
        return state[:, order]


def _both(looks: Floats, seed: int, versions: int = VERSIONS) -> sampler.Told[Floats]:
    story = Two(looks)
    known, luck = (
        chance.block_normals(seed, "test/" + each, 0, (versions, 2 * size))
        for each, size in (("known", 1), ("luck", looks.shape[1]))
    )
    numbers = [
        (chance.uniforms(seed, f"test/{each}", 0, versions) * most).astype(int)
        for each, most in (("w", 5), ("b", 4), ("c", 4))
    ]
    now = sampler.begin(story, Cloud(known, luck, numbers[0], np.stack(numbers[1:], axis=1)))
    for batch in range(looks.shape[1]):
        now = sampler.look(story, now, batch, seed)
    return sampler.equal(story, now, seed)


def test_what_is_seen_of_one_part_says_nothing_of_the_other():
    first, second = GAUSSIAN.looks, -GAUSSIAN.looks[::-1]
    evidence, mean, variance = GAUSSIAN.exactly()
    other = LinearGaussian(second).exactly()
    runs = [_both(np.stack([first, second]), seed) for seed in SEEDS]

    assert_near([sum(run.log_evidence) for run in runs], evidence + other[0], one_run_sd=0.25)
    assert_near([run.state[0].mean() for run in runs], mean, one_run_sd=0.07)
    assert_near([run.state[0].var() for run in runs], variance, one_run_sd=0.04)
    assert_near([run.state[1].mean() for run in runs], other[1], one_run_sd=0.07)
    assert_near([float(np.corrcoef(run.state)[0, 1]) for run in runs], 0.0, one_run_sd=0.07)


def test_a_part_that_nobody_looked_at_stays_as_it_was_held():
    looks = np.stack([GAUSSIAN.looks, np.full(GAUSSIAN.looks.size, np.nan)])
    runs = [_both(looks, seed) for seed in SEEDS]

    assert all(min(run.effective) < 0.4 * VERSIONS for run in runs)
    assert_near([run.cloud.known[:, 1].mean() for run in runs], 0.0, one_run_sd=0.05)
    assert_near([run.cloud.known[:, 1].var() for run in runs], 1.0, one_run_sd=0.07)
    assert_near([(run.cloud.luck[:, 1::2] ** 2).mean() for run in runs], 1.0, one_run_sd=0.03)
    for weather in range(5):
        assert_near([(run.cloud.weather == weather).mean() for run in runs], 0.2, one_run_sd=0.025)
    for biology in range(4):
        assert_near([(run.cloud.biology[:, 1] == biology).mean() for run in runs], 0.25, one_run_sd=0.03)


DAYS, PLANTINGS, MEMBERS, DRAWS, TODAY = 98, ("north", "south"), 3, 4, 90
CANNA = read_pathogen("canna_rust")
HELD = unknowns.unknowns_of([CANNA], [(name, 0) for name in PLANTINGS], DAYS)
DETECTION = HELD.column_of("detection_frac")


def _season() -> garden_story.Season:
    nights = (2, 2, MEMBERS, DAYS, DRAWS)
    reach = 12.0 * (chance.uniforms(5, "test/wet", 0, int(np.prod(nights))).reshape(nights) < 0.4)
    progress = np.broadcast_to(np.arange(DAYS + 1)[:, None] / 12.0, (2, 2, MEMBERS, DAYS + 1, DRAWS))
    hung = np.zeros((2, DAYS))
    hung[:, 0] = 2.0
    sinking, falling = np.full((2, DAYS), 0.01), np.full((2, DAYS), 0.01)
    sinking[:, 0], falling[:, 0] = 0.5, 0.0
    return season_of(
        DAYS, Rust(latent_stages=16, showing_stages=4), plantings=2, progress=progress, unfolded=hung, sinking_frac=sinking,
        fallen_frac=falling, infected_frac=1.0 - np.exp(-((np.maximum(reach - 6.0, 0.0) / 4.0) ** 2)), wet_reach_h=reach,
        alive_frac=np.full(nights, 0.5), first_wet_h=np.full((1, MEMBERS, DRAWS), 6.0),
        spread_h=np.full((1, MEMBERS, DRAWS), 4.0), caught_frac=np.full((2, 2, DAYS), 0.5), first_leaf_day=np.array([0, 0]),
        own_frac=np.full(2, 0.4), far_frac=np.full(2, 0.01), stay_frac=0.7, memory_frac=0.95,
    )  # fmt: skip


SEASON = _season()
ASKED = estimate.Asked(versions=1024, weathers=MEMBERS, biologies=DRAWS, seed=7, today=TODAY, first_day=TODAY)


def _looks(*found: tuple[int, int, int], turned: int = 30) -> list[Look]:
    """Planting, day and how many of the turned leaves were rusted."""
    first = date(2026, 4, 1)
    return [
        Look(Sighting(PLANTINGS[planting], first + timedelta(day), turned=turned, rusted=rusted), planting, day)
        for planting, day, rusted in found
    ]


WALKS = _looks((0, 30, 1), (1, 30, 0), (0, 44, 4), (1, 58, 2), (0, 72, 12))


def _blind(chance_frac: float) -> unknowns.Unknowns:
    """The same garden, looked at by somebody who hardly ever notices rust."""
    centre, spread = HELD.centre.copy(), HELD.spread.copy()
    centre[DETECTION], spread[DETECTION] = np.log(chance_frac / (1.0 - chance_frac)), 0.3
    return replace(HELD, centre=centre, spread=spread)


def _rusted(posterior: estimate.Posterior, planting: int = 0) -> Floats:
    return estimate.rusted(posterior.record[0], planting)


def test_with_no_looks_all_is_as_it_was_held_before():
    parts = unknowns.parts_of(HELD, MEMBERS, DRAWS)

    posterior = estimate.estimate(SEASON, HELD, [], ASKED)

    for after, before in zip(posterior.cloud, unknowns.before_looking(HELD, 1024, parts, ASKED.seed), strict=True):
        assert np.array_equal(after, before)
    assert posterior.effective == 1024.0


def test_looks_of_somebody_who_sees_nothing_change_nothing():
    held = _blind(1e-4)
    before = estimate.estimate(SEASON, held, [], ASKED)

    after = estimate.estimate(SEASON, held, _looks((0, 30, 0), (1, 30, 0), (0, 58, 0), (1, 72, 0)), ASKED)

    assert after.effective > 0.99 * 1024
    for planting in (0, 1):
        quantiles = [np.quantile(_rusted(each, planting), (0.1, 0.5, 0.9)) for each in (before, after)]
        np.testing.assert_allclose(*quantiles, rtol=0.05)
    np.testing.assert_allclose(after.cloud.known.mean(axis=0), before.cloud.known.mean(axis=0), atol=0.02)


def test_looks_of_somebody_who_sees_change_what_is_held_of_that_planting_most():
    before, clean = (estimate.estimate(SEASON, HELD, looks, ASKED) for looks in ([], _looks((0, 72, 0), turned=60)))

    fell = [np.median(_rusted(clean, each)) / np.median(_rusted(before, each)) for each in (0, 1)]

    assert fell[0] < 0.6
    assert fell[0] < fell[1]


def test_more_rusted_leaves_mean_more_rust():
    middles = [
        np.median(_rusted(estimate.estimate(SEASON, HELD, _looks((0, 72, rusted)), ASKED))) for rusted in (0, 3, 12, 27)
    ]

    assert middles == sorted(middles)
    assert middles[-1] > 4.0 * middles[0]


@pytest.mark.parametrize("walks", [1, 2, 3])
def test_to_go_on_from_an_earlier_estimate_is_to_take_all_walks_in_at_once(walks):
    days = sorted({each.day for each in WALKS})
    early = estimate.estimate(SEASON, HELD, [each for each in WALKS if each.day < days[walks]], ASKED)

    late = estimate.estimate(SEASON, HELD, WALKS, ASKED, early.progress)
    whole = estimate.estimate(SEASON, HELD, WALKS, ASKED)

    for one, other in zip(late.cloud, whole.cloud, strict=True):
        assert np.array_equal(one, other)
    assert np.array_equal(late.record, whole.record)
    assert late.weighed == early.weighed + late.weighed[len(early.weighed) :]
    assert late.progress.told.log_evidence == whole.progress.told.log_evidence


def test_a_season_told_again_is_the_season_told_walk_by_walk():
    parts = unknowns.parts_of(HELD, MEMBERS, DRAWS)
    story = GardenStory(SEASON, HELD, garden_story.batches_of(WALKS), parts)
    cloud = unknowns.before_looking(HELD, 64, parts, 1)
    state, told = story.begin(cloud), []
    for batch in range(len(story.batches)):
        state, seen = story.tell(cloud, state, batch)
        told.append(seen)

    again, before, last = story.retell(cloud, len(story.batches) - 1)

    assert np.array_equal(again.rows, state.rows)
    assert np.array_equal(again.record, state.record)
    np.testing.assert_allclose(before, sum(told[:-1]), rtol=1e-9)
    np.testing.assert_allclose(last, told[-1], rtol=1e-9)


def test_what_an_estimate_remembers_of_its_likelihood_is_what_its_versions_say():
    posterior = estimate.estimate(SEASON, HELD, WALKS, ASKED)
    told = posterior.progress.told
    story = GardenStory(SEASON, HELD, garden_story.batches_of(WALKS), unknowns.parts_of(HELD, MEMBERS, DRAWS))

    state, before, last = story.retell(told.cloud, len(story.batches) - 1)

    np.testing.assert_allclose(told.log_likelihood, before + last, rtol=1e-6, atol=1e-6)
    assert np.array_equal(state.rows, told.state.rows)

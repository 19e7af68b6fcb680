"""From walks to what is probably there: the versions of a garden taken through every look, and then run on."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import diagnose, garden_story, likelihood, sampler
from abaxial.assimilation.garden_story import GardenStory, Look, Then
from abaxial.assimilation.likelihood import Predicted
from abaxial.assimilation.proposals import Cloud
from abaxial.assimilation.sampler import Told
from abaxial.assimilation.unknowns import Unknowns, before_looking, parts_of
from abaxial.epidemic import simulate
from abaxial.epidemic.kernel import LATENT_OUT, VISIBLE_OUT, WHOLE, Rows
from abaxial.epidemic.simulate import Season

Floats = NDArray[np.float64]
BAND = (0.1, 0.5, 0.9)


class Asked(NamedTuple):
    """What is asked for. versions : rounded up to whole lanes. weathers, biologies : members, and versions of the biology
    on each. seed : names the luck. today : the garden day next to end or under way; looks lie before it. first_day : from
    which the record is kept."""

    versions: int
    weathers: int
    biologies: int
    seed: int
    today: int
    first_day: int


class Weighed(NamedTuple):
    """What one look did. expected : (3,) share of the turned leaves on which rust was to be found, 10, 50 and 90 %, before
    the look. before, after : (3,) share of that planting's leaf area showing or hidden then, before and after. tail_frac :
    how far out the look lay among what was to be expected, two-sided; small is strange. crps_frac : how far off the forecast
    of its count was, as a share of the leaves turned; chance_frac : that any of them would have rust; both NaN where leaves
    were not counted."""

    look: Look
    expected: Floats
    before: Floats
    after: Floats
    tail_frac: float
    crps_frac: float
    chance_frac: float


class Progress(NamedTuple):
    """How far the walks have been taken in: the versions after the last, and what each look did."""

    told: Told[Then]
    weighed: tuple[Weighed, ...]


@dataclass(frozen=True)
class Posterior:
    """Equally likely versions of a garden after all looks.

    cloud : the versions. progress : where they stood after the last walk. record : (days, plantings, parts, 2, versions)
    latent and showing shares at the ends of the days from first_day on. origins : (plantings, 3, versions) where the
    infections of late came from, at the end of today. effective : versions the estimate is worth.
    """

    unknowns: Unknowns
    cloud: Cloud
    progress: Progress
    record: Rows
    first_day: int
    origins: Rows
    effective: float

    @property
    def weighed(self) -> tuple[Weighed, ...]:
        """What each look did, in the order of walks."""
        return self.progress.weighed


def estimate(
    season: Season, unknowns: Unknowns, looks: Sequence[Look], asked: Asked, resume: Progress | None = None
) -> Posterior:
    """The versions of a garden weighed by its looks, and run on to the end of the season.

    resume : where an earlier estimate of the same season stood after the first so many walks.
    """
    parts = parts_of(unknowns, asked.weathers, asked.biologies)
    story = GardenStory(season, unknowns, garden_story.batches_of(looks), parts)
    count = simulate.whole_lanes(asked.versions)
    if resume is None:
        resume = Progress(sampler.begin(story, before_looking(unknowns, count, parts, asked.seed)), ())
    told, weighed = resume.told, list(resume.weighed)
    for batch in range(len(told.log_evidence), len(story.batches)):
        told, more = _taken_in(story, told, batch, asked.seed)
        weighed.extend(more)
    progress = Progress(told, tuple(weighed))
    effective = diagnose.effective_sample_size(np.exp(told.log_weight)) if story.batches else float(count)
    if story.batches:
        told = sampler.equal(story, told, asked.seed)
    record, origins = _run_on(season, told, asked.first_day, asked.today)
    return Posterior(unknowns, told.cloud, progress, record, asked.first_day, origins, effective)


def _taken_in(story: GardenStory, told: Told[Then], batch: int, seed: int) -> tuple[Told[Then], list[Weighed]]:
    """One walk's looks, and what each did."""
    ahead = story.tell(told.cloud, told.state, batch)
    worn = story.worn(told.cloud)
    asked = [_asked(story, told, (ahead[0].record, worn), each) for each in story.batches[batch]]
    after = sampler.look(story, told, batch, seed, ahead)
    weights = np.exp(after.log_weight)
    return after, [
        Weighed(each, expected, before, _band(rusted(after.state.record[1], each.planting), weights), *scores)
        for each, (expected, before, scores) in zip(story.batches[batch], asked, strict=True)
    ]


def _asked(
    story: GardenStory, told: Told[Then], then: tuple[Rows, Floats], look: Look
) -> tuple[Floats, Floats, tuple[float, float, float]]:
    """What a look was expected to find, what was held of the planting, and how far off that was."""
    record, worn = then
    weights = np.exp(told.log_weight)
    predicted = story.predicted(worn, record[1], look.planting, look.part)
    earlier = predicted._replace(visible_frac=garden_story.of_part(record[0][look.planting, :, VISIBLE_OUT], look.part))
    tail = likelihood.tail_frac(look.sighting, predicted, weights, earlier, looks=look.worth)
    expected = _band(likelihood.seen_frac(predicted), weights)
    scores = (tail, *_scores(look, predicted, weights))
    return expected, _band(rusted(record[1], look.planting), weights), scores


def _scores(look: Look, predicted: Predicted, weights: Floats) -> tuple[float, float]:
    """How far off the forecast of a count was, and how likely any rust was; NaN where no leaves were counted."""
    turned, found = look.sighting.turned, look.sighting.rusted
    if not turned or found is None or look.sighting.unit != "leaf" or look.sighting.part == "stem":
        return float("nan"), float("nan")
    chances = likelihood.count_distribution(turned, predicted, weights, looks=look.worth)
    return diagnose.crps_of_counts(found, chances), float(1.0 - chances[0])


def rusted(record: Rows, planting: int) -> Floats:
    """Share of a planting's leaf area with rust, hidden or showing, (versions,). record : one day's."""
    return garden_story.of_part(record[planting].sum(axis=1), "any")


def _run_on(season: Season, told: Told[Then], first_day: int, today: int) -> tuple[Rows, Rows]:
    """Every day of the versions' season from first_day on, and where infections came from up to today."""
    rows = simulate.clean(season, told.cloud.weather.size)
    early = list(range(first_day, max(today, first_day)))
    late = list(range(max(today, first_day), season.days))
    versions = told.state.versions
    lived = simulate.run(season, versions, rows, first_day=0, end_day=max(today, first_day), record_days=early)
    origins = simulate.origins(season, rows)
    ahead = simulate.run(season, versions, rows, first_day=max(today, first_day), end_day=season.days, record_days=late)
    return np.concatenate([lived, ahead]), origins


def _band(values: Floats, weights: Floats) -> Floats:
    return diagnose.weighted_quantiles(values, weights, BAND)


def shares_of(posterior: Posterior, planting: int) -> tuple[Floats, Floats]:
    """Latent and showing shares of a planting's leaf area, each (days, versions), from the record's first day on."""
    both = posterior.record[:, planting, WHOLE].astype(np.float64)
    return both[:, LATENT_OUT], both[:, VISIBLE_OUT]

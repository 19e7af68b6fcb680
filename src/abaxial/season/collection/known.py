"""What is known of a collection at a moment: the versions of its garden, and some of its plantings as stock."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import NamedTuple

from abaxial import hours
from abaxial.assimilation import estimate, garden_story, outcome
from abaxial.assimilation.estimate import Posterior
from abaxial.collection import held
from abaxial.collection.held import Held
from abaxial.collection.stock import Floats, Stock
from abaxial.errors import RequestError
from abaxial.garden.parts import Garden
from abaxial.season import asking
from abaxial.season.asking import Asking
from abaxial.season.collection import safety
from abaxial.season.planting_week import Here
from abaxial.season.present import Luck, Present, Told, present

DRAWS = 1000


class Collection(NamedTuple):
    """A garden at a moment, with what is probably there. shares : of every planting whose rust is known, today."""

    now: Present
    question: Asking
    posterior: Posterior
    shares: tuple[outcome.Shares, ...]

    def date_of(self, day: float) -> date | None:
        """The date of a day of the record; None beyond it."""
        sky = self.question.grown.sky
        return hours.date_of(sky.when.first_day + int(day)) if day < sky.days else None


def collection_of(garden: Garden, at: datetime, told: Told) -> Collection:
    """The garden at a moment. Raises RequestError where there is no planting with a known rust, or no weather."""
    now = present(garden, at, told, Luck(DRAWS))
    question = asking.asking(now)
    if question is None:
        raise RequestError(
            "What stock there will be cannot be said: there is no planting with a known rust, or no weather.",
            remedy="Describe what stands where, and add weather: abaxial weather fetch, or add.",
        )
    posterior = asking.posterior(question)
    return Collection(now, question, posterior, outcome.shares(posterior, now=question.day, weeks=1))


def stock_of(known: Collection, places: Sequence[int], row: int) -> Stock:
    """Some plantings as stock. row : of the record, for the day on which they stand so; -1 for its last."""
    posterior, here = known.posterior, known.question.grown.here
    day = row if row < 0 else posterior.first_day + row
    return held.stock_at_end(
        [
            Held(safety.cultivar_of(each.stand.planting), each.stand.planting.clumps, leaves_per_clump(each, day))
            for each in (here[place] for place in places)
        ],
        held.side_by_side([rusted_frac(posterior, place, row) for place in places]),
        lesion_frac=held.side_by_side([lesion_frac(posterior, place) for place in places]),
    )


def leaves_per_clump(here: Here, day: int) -> float:
    """Open leaves on a clump on a day."""
    return float(here.stand.growth.open_leaves[day]) * here.stand.species["shoots_per_clump"]


def rusted_frac(posterior: Posterior, place: int, row: int) -> Floats:
    """Share of a planting's leaf area with rust on a day of the record, (versions,)."""
    latent, showing = estimate.shares_of(posterior, place)
    share: Floats = (latent[row] + showing[row]).clip(0.0, 1.0)
    return share


def lesion_frac(posterior: Posterior, place: int) -> Floats:
    """Share of a leaf that one patch of a planting's rust takes, (versions,)."""
    unknowns = posterior.unknowns
    worn = unknowns.values(posterior.cloud.known)
    return garden_story.bearing(unknowns, worn, unknowns.rusts[int(unknowns.rust_of[place])]).lesion_frac

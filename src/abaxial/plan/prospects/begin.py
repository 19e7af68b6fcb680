"""Some versions of a garden as it stands today, from which programmes are rolled forward."""

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import garden_story, likelihood, unknowns
from abaxial.assimilation.estimate import Posterior
from abaxial.assimilation.proposals import Cloud
from abaxial.epidemic import rollout, simulate
from abaxial.epidemic.kernel import LOWER, VISIBLE_OUT
from abaxial.epidemic.rollout import Base
from abaxial.epidemic.simulate import Season

Floats = NDArray[np.float64]


def begin(posterior: Posterior, season: Season, versions: int, days: tuple[int, int]) -> Base:
    """The garden run on with nothing more done. versions : how many, rounded up to whole lanes. days : the first ahead and the
    one after the last. Equally likely versions are taken evenly from all there are."""
    some = _evenly(posterior, versions)
    wanted = some.size
    cloud = Cloud._make(each[some] for each in posterior.cloud)
    now = unknowns.versions_of(posterior.unknowns, cloud, season.by_strength)
    state = simulate.clean(season, wanted)
    simulate.run(season, now, state, first_day=0, end_day=days[0], record_days=())
    return rollout.baseline(season, now, state, *days)


def seen_low_frac(posterior: Posterior, versions: int, planting: int, day: int) -> Floats:
    """Chance that a low leaf turned at the end of a day is counted as rusted, of the same versions, (versions,)."""
    some = _evenly(posterior, versions)
    worn = posterior.unknowns.values(posterior.cloud.known[some])
    rust = posterior.unknowns.rusts[int(posterior.unknowns.rust_of[planting])]
    shows = posterior.record[day - posterior.first_day, planting, LOWER, VISIBLE_OUT, some]
    leaves = garden_story.bearing(posterior.unknowns, worn, rust)._replace(visible_frac=shows.astype(np.float64))
    return np.asarray(likelihood.seen_frac(leaves), np.float64)


def _evenly(posterior: Posterior, versions: int) -> NDArray[np.int64]:
    count = posterior.cloud.weather.size
    wanted = min(simulate.whole_lanes(versions), count)
    return np.arange(wanted) * count // wanted

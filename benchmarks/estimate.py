"""The estimate of a garden of thirty plantings: from nothing, after one more walk, and when only yesterday is new.

Run as `python -m benchmarks.estimate [PLANTINGS]`. Its peer is the estimate from nothing: a checkpoint saves the rest.
"""

import resource
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from abaxial import hours
from abaxial.assimilation import estimate as walks
from abaxial.assimilation import keeping
from abaxial.season import asking, demo
from abaxial.season.present import Luck, Present, present, told_by
from benchmarks.week import invented_garden


def at_the_demo(plantings: int) -> Present:
    """The demo garden's beds and walks, again and again, up to a number of plantings."""
    with tempfile.TemporaryDirectory() as folder:
        garden = invented_garden(Path(folder), plantings)
        at = datetime.fromisoformat(demo.TODAY).replace(tzinfo=hours.zone_named(garden.place.zone))
        return present(garden, at, told_by(garden, at), Luck())


def seconds(job: Callable[[], object]) -> float:
    """How long a job takes [s]."""
    begin = time.perf_counter()
    job()
    return time.perf_counter() - begin


def table(plantings: int) -> str:
    """Seconds and megabytes of one garden, in one run."""
    now = at_the_demo(plantings)
    asked = asking.asking(now)
    assert asked is not None
    looks = asked.heard.looks
    last = max(each.day for each in looks)
    before = tuple(each for each in looks if each.day < last)

    def told(of: tuple[walks.Look, ...], resume: walks.Progress | None = None) -> walks.Posterior:
        return walks.estimate(asked.season, asked.unknowns, of, asked.wanted, resume)

    earlier = told(before)
    whole = seconds(lambda: told(looks))
    one_more = seconds(lambda: told(looks, earlier.progress))
    done = told(looks).progress
    yesterday = seconds(lambda: told(looks, done)) + seconds(lambda: at_the_demo(plantings))
    kept = keeping.put_away(done)
    back = seconds(lambda: keeping.taken_out(asked.season, asked.unknowns, looks, kept))
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return (
        f"plantings {plantings}  looks {len(looks)}  walks {len(done.told.log_evidence)}  from_nothing_s {whole:.2f}  "
        f"one_more_walk_s {one_more:.2f}  only_yesterday_with_weather_s {yesterday:.2f}  "
        f"checkpoint_mb {len(kept) / 1e6:.1f}  taken_out_s {back:.3f}  memory_mb {memory:.0f}"
    )


if __name__ == "__main__":
    print(table(int(sys.argv[1]) if len(sys.argv) > 1 else 30))

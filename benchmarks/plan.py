"""The plan of a week: seconds of each of its parts, when the first plan is there, and how near the best it is.

Run as `python -m benchmarks.plan [PLANTINGS …]`. The demo garden's beds, walks and shelf, again and again, six weeks, 256
versions. The peer is the same question with every planting's own best in turn, which is what one does without a solver.
"""

import sys
import tempfile
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from abaxial import hours
from abaxial.plan.choose import problem as problems
from abaxial.plan.choose import start, tally
from abaxial.plan.choose.solve import Effort, Standing
from abaxial.plan.proposal.prospect import rolled
from abaxial.plan.prospects import permit
from abaxial.season import asking, demo
from abaxial.season.planning import ask, plan, tell
from abaxial.season.present import Luck, Present, present, told_by
from benchmarks.week import invented_garden

T = TypeVar("T")


def at_the_demo(plantings: int) -> Present:
    """The demo garden with its shelf, again and again, up to a number of plantings."""
    with tempfile.TemporaryDirectory() as folder:
        garden = invented_garden(Path(folder), plantings)
        at = datetime.fromisoformat(demo.TODAY).replace(tzinfo=hours.zone_named(garden.place.zone))
        return present(garden, at, told_by(garden, at), Luck())


def timed(job: Callable[[], T]) -> tuple[float, T]:
    """Seconds of a job, and what it gives."""
    begin = time.perf_counter()
    found = job()
    return time.perf_counter() - begin, found


def table(plantings: int, *, effort: Effort) -> str:
    """One garden: seconds of each part, gap, and what choosing planting by planting would lose."""
    now = at_the_demo(plantings)
    asked = asking.asking(now)
    assert asked is not None
    posterior = asking.posterior(asked)
    ask.question_of(now, asked, posterior)
    question_s, question = timed(lambda: ask.question_of(now, asked, posterior))
    rolled(question.ask)
    rolled_s, of = timed(lambda: rolled(question.ask))
    heard: list[tuple[float, Standing]] = []
    begin = time.perf_counter()
    found = plan.within_rules(
        question, effort, say=lambda standing: heard.append((time.perf_counter() - begin, standing))
    )
    whole_s = time.perf_counter() - begin
    told_s, _ = timed(lambda: tell.told(question, found, posterior, asked.day))
    chosen = [each.programmes[row] for each, row in zip(found.prospects, found.chosen, strict=True)]
    assert not permit.broken(chosen, question.standings, question.law, question.on)
    problem = problems.set_out(of.offers, question.ask.stock, question.ask.hours, question.ask.rotation)
    alone = start.first_plan(problem, seconds=10.0)
    first_s, first = heard[0]
    return (
        f"plantings {plantings}  programmes {of.offers.loss.size}  question_s {question_s:.2f}  rolled_s {rolled_s:.2f}  "
        f"first_plan_s {question_s + first_s:.2f}  first_gap {first.gap_frac:.4f}  plan_s {whole_s:.2f}  "
        f"gap {found.choice.gap_frac:.4f}  ended {found.choice.ended}  sent_back {found.again}  told_s {told_s:.2f}  "
        f"loses {found.choice.objective:.1f}  by_planting {tally.objective_of(problem, alone):.1f}  "
        f"waiting {found.choice.idle:.1f}"
    )


if __name__ == "__main__":
    for number in [int(each) for each in sys.argv[1:]] or [30]:
        print(table(number, effort=Effort(gap_frac=0.0, seconds=10.0 if number <= 100 else 60.0)), flush=True)

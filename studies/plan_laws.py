"""Whole plans of gardens by lot, held against a second reading of every hard rule.

Run as `scripts/study plan_laws [HOW_MANY]`; it goes on where it stopped. What it found is in plan_laws.toml: how many gardens,
how many of their plans spray, how often a rule sent a choice back, and every seed whose plan broke a rule.
"""

import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numba
from tests import plan_cases, recount

from abaxial.plan.proposal.propose import propose
from abaxial.provenance import read_table

ALL, PART = 100_000, 500
_PATH = Path(__file__).with_suffix(".toml")
_COUNTS = ("gardens", "spraying", "sprays", "sent_back")


def garden(seed: int) -> tuple[int, int, list[str]]:
    """Sprays in the plan of one garden, how often it was sent back, and what it breaks."""
    case = plan_cases.any_case(seed)
    found = propose(case.ask, plan_cases.PROVED, against=case.against)
    chosen = plan_cases.programmes(found)
    return sum(len(each.sprays) for each in chosen), found.again, recount.broken_rules(case, chosen)


def run(until: int) -> None:
    """Go on up to a number of gardens, writing down what was found after every part."""
    told = dict(read_table(_PATH)) if _PATH.exists() else {**dict.fromkeys(_COUNTS, 0), "broken": []}
    counts, broken = {name: int(str(told[name])) for name in _COUNTS}, list(told["broken"])  # type: ignore[call-overload]
    with ProcessPoolExecutor(2, initializer=_on_one_core) as pool:
        while counts["gardens"] < until:
            seeds = range(counts["gardens"], min(counts["gardens"] + PART, until))
            for seed, (sprays, again, wrong) in zip(seeds, pool.map(garden, seeds, chunksize=25), strict=True):
                counts["spraying"] += sprays > 0
                counts["sprays"] += sprays
                counts["sent_back"] += again > 0
                broken += [seed] if wrong else []
            counts["gardens"] = seeds.stop
            lines = [f"{name} = {counts[name]}" for name in _COUNTS]
            _PATH.write_text("\n".join([*lines, f"broken = {broken}", ""]), encoding="utf-8")
            print(counts, broken, flush=True)


def _on_one_core() -> None:
    # as many gardens at once as there are cores
    numba.set_num_threads(1)


if __name__ == "__main__":
    run(int(sys.argv[1]) if len(sys.argv) > 1 else ALL)

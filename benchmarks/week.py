"""`abaxial week`: seconds and memory of one garden, and how they grow with beds, days and draws.

Run as `python -m benchmarks.week`. Each size is a process of its own, so that memory is that size's own.
"""

import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from abaxial import hours
from abaxial.garden import description
from abaxial.garden.parts import Garden, Noted
from abaxial.season import demo, record, week


def invented_garden(folder: Path, beds: int) -> Garden:
    """The demo garden's beds and plantings, again and again, up to a number of beds with one planting each; its walks go
    through the first of each."""
    garden = description.read_garden(demo.lay_out(folder))
    names = {each.name: f"planting {i}" for i, each in enumerate(garden.plantings[:beds])}
    pairs = [(garden.bed_of(each), each) for each in garden.plantings]
    many = [(replace(pairs[i % len(pairs)][0], name=f"bed {i}"), pairs[i % len(pairs)][1]) for i in range(beds)]
    return replace(
        garden,
        beds=tuple(bed for bed, _ in many),
        plantings=tuple(replace(each, name=f"planting {i}", bed=f"bed {i}") for i, (_, each) in enumerate(many)),
        walks=tuple(
            each for each in (_walk_through(one.options, names) for one in garden.walks) if each.options["seen"]
        ),
    )


def _walk_through(walk: Mapping[str, Any], names: Mapping[str, str]) -> Noted:
    seen = [{**each, "planting": names[each["planting"]]} for each in walk["seen"] if each["planting"] in names]
    return Noted({**walk, "seen": seen})


def one(beds: int, days: int, draws: int) -> dict[str, float]:
    """Seconds of the second run in a process, and the most memory it held [MB]."""
    with tempfile.TemporaryDirectory() as folder:
        garden = invented_garden(Path(folder), beds)
        at = datetime.fromisoformat(demo.TODAY).replace(tzinfo=hours.zone_named(garden.place.zone))
        record.HISTORY_DAYS = days
        small = replace(garden, beds=garden.beds[:1], plantings=garden.plantings[:1], walks=())
        week.week(small, at=at, draws=16)
        begin = time.perf_counter()
        week.week(garden, at=at + timedelta(0), draws=draws)
        taken = time.perf_counter() - begin
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {"beds": beds, "days": days, "draws": draws, "seconds": round(taken, 3), "memory_mb": round(memory)}


SIZES = (
    (30, 200, 1000),
    (60, 200, 1000),
    (120, 200, 1000),
    (200, 200, 1000),
    (30, 100, 1000),
    (30, 200, 2000),
    (30, 200, 4000),
)

if __name__ == "__main__":
    if len(sys.argv) == 4:
        print(json.dumps(one(*(int(each) for each in sys.argv[1:]))))
    else:
        for size in SIZES:
            arguments = [sys.executable, "-m", "benchmarks.week", *(str(each) for each in size)]
            print(subprocess.run(arguments, check=True, capture_output=True, text=True).stdout.strip(), flush=True)

"""Writes into a garden and is killed, again and again; run as a program by test_records_faults.

killed_while_writing.py FOLDER TIMES SEED: says in one line of JSON what was confirmed, what was found and how often the
making of a garden was cut off.
"""

import json
import os
import random
import select
import signal
import sys
import time
from pathlib import Path

# whatever is loaded here need not be loaded after each fork
from tests.journal_pages import BEGINNING, walked
from tests.rooms.invented_batches import FIRST_HOUR, batch, hours

import abaxial.records.migrations.apply  # noqa: F401
from abaxial.journal.entries import Entry
from abaxial.journal.fold import fold
from abaxial.records.store import open_store


def sent(number: int) -> Entry:
    """The entry that goes by a number."""
    return walked(5 + number % 300, id=f"{number:032x}")


def write_until_killed(path: Path, begin: int, told: int) -> None:
    """Append one by one, several at once, and weather; each is told as soon as it is confirmed."""
    with open_store(path) as store:
        for number in range(begin, begin + 100_000, 5):
            kept = store.append([sent(number + each) for each in range(1 if number % 2 else 5)])
            os.write(told, b"".join(f"{each.id}\n".encode() for each in kept))
            if number % 3 == 0:
                batch_number = store.add_weather(batch(hours(24, FIRST_HOUR + 24 * (number % 3000))))
                os.write(told, f"weather {batch_number}\n".encode())
        os.write(told, b"end\n")


def run_and_kill(act: object, after_s: float, *, once_begun: bool = False) -> list[str]:
    """What a child told before it was killed. once_begun : count the time from what it tells first."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        try:
            act(writes)  # type: ignore[operator]
        finally:
            os._exit(0)
    os.close(writes)
    if once_begun:
        select.select([reads], [], [], 10.0)
    time.sleep(after_s)
    os.kill(child, signal.SIGKILL)
    with os.fdopen(reads) as told:
        # the last line may be cut off: that one was not confirmed
        lines = [line for line in told.read().split("\n")[:-1] if line != "end"]
    os.waitpid(child, 0)
    return lines


def main(folder: Path, times: int, seed: int) -> None:
    dice = random.Random(seed)
    path = folder / "plot.abaxial"
    with open_store(path, create=True) as store:
        store.append(BEGINNING)
    confirmed: set[str] = set()
    problems, rounds_with_writing, cut_off = [], 0, 0
    for each in range(times):
        if each % 5 == 4:
            new = folder / f"new{each}.abaxial"
            run_and_kill(lambda told, new=new: open_store(new, create=True).close(), dice.uniform(0.002, 0.06))
            cut_off += not new.exists()
            if new.exists():
                with open_store(new) as made:
                    problems += made.check()
            continue
        # one in five is killed while it opens, or soon after
        once_begun = each % 5 != 0
        delay_s = dice.uniform(0.0, 0.05)
        lines = run_and_kill(
            lambda told, at=each: write_until_killed(path, 100_000 * at + 10, told), delay_s, once_begun=once_begun
        )
        rounds_with_writing += bool(lines)
        confirmed |= set(lines)
        with open_store(path) as store:
            there = {entry.id for entry in store.entries()}
            if each % 10 == 0:
                there |= {f"weather {found.number}" for found in store.weather()}
            problems += [f"{lost} was lost" for lost in set(lines) - there if each % 10 == 0 or " " not in lost]
    with open_store(path) as store:
        problems += store.check()
        there = {entry.id for entry in store.entries()} | {f"weather {found.number}" for found in store.weather()}
        problems += [f"{lost} was lost" for lost in confirmed - there]
        entries = store.entries()
        folded = fold(entries)
        whole = fold([*BEGINNING, *(sent(int(each.id, 16)) for each in entries if each.kind == "walked")])
        same = folded.sightings == whole.sightings and folded.garden == whole.garden
        pending = path.with_name(path.name + "-wal").exists()
    told = {"confirmed": len(confirmed), "entries": len(entries), "problems": problems, "same": same}
    print(json.dumps(told | {"wrote": rounds_with_writing, "cut_off": cut_off, "log_was_there": pending}))


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))

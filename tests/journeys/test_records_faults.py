"""What may befall a garden's file: each has a clear answer, and nothing that was confirmed is lost."""

import json
import os
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from tests.journal_pages import BEGINNING, walked
from tests.rooms.invented_batches import batch, hours

from abaxial.errors import RecordsError
from abaxial.journal.entries import Entry
from abaxial.records.archive import write_archive
from abaxial.records.csv_tables import write_tables
from abaxial.records.store import open_store

HERE = Path(__file__).parent
NOBODY = 65534


@pytest.fixture
def garden(tmp_path: Path) -> Path:
    """A garden file with a beginning in it."""
    path = tmp_path / "plot.abaxial"
    with open_store(path, create=True) as store:
        store.append(BEGINNING)
    return path


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that another user can come to."""
    folder = Path(tempfile.mkdtemp(prefix="abx"))
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


def entries_in(path: Path) -> list[Entry]:
    with open_store(path) as store:
        assert store.check() == []
        return store.entries()


def run(program: str, *arguments: object, limit: int | None = None) -> str:
    """What a program printed that ran by itself; limit : bytes that a file of its may have."""

    def limited() -> None:
        if limit is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    given = [str(each) for each in arguments]
    told = subprocess.run(
        [sys.executable, "-c", program, *given], capture_output=True, text=True, cwd=HERE.parents[1], preexec_fn=limited
    )
    assert told.returncode == 0, told.stderr
    return told.stdout


@pytest.fixture
def quick_folder() -> Iterator[Path]:
    """A folder in memory where there is such a thing: a process that is killed takes no disk with it."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(prefix="abx", dir=memory if os.access(memory, os.W_OK) else None) as folder:
        yield Path(folder)


def test_killed_at_a_hundred_moments_it_loses_nothing_that_was_confirmed(quick_folder: Path) -> None:
    program = HERE / "killed_while_writing.py"
    asked = [sys.executable, str(program), str(quick_folder), "100", "20260401"]
    told = subprocess.run(
        asked, capture_output=True, text=True, cwd=HERE.parents[1], env={**os.environ, "PYTHONPATH": "."}
    )

    assert told.returncode == 0, told.stderr
    found = json.loads(told.stdout)
    assert found["problems"] == []
    assert found["same"]
    assert found["confirmed"] > 100
    assert found["wrote"] > 40


WRITER = """
import sys
from tests.journal_pages import walked
from abaxial.records.store import open_store
path, begin = sys.argv[1], int(sys.argv[2])
with open_store(path, wait_s=30) as store:
    for number in range(begin, begin + 100):
        assert len(store.append([walked(number), walked(5000)])) == 2
"""


def test_two_who_write_at_once_lose_nothing(garden: Path) -> None:
    both = [threading.Thread(target=run, args=(WRITER, garden, begin)) for begin in (1000, 2000)]
    for each in both:
        each.start()
    for each in both:
        each.join()

    kept = entries_in(garden)
    assert len(kept) == len(BEGINNING) + 200 + 1
    assert {each.id for each in kept} >= {walked(begin + each).id for begin in (1000, 2000) for each in range(100)}
    assert [each.seq for each in kept] == list(range(1, len(kept) + 1))


def test_threads_may_share_a_store(garden: Path) -> None:
    with open_store(garden) as store:
        threads = [
            threading.Thread(target=lambda at=at: [store.append([walked(at + each)]) for each in range(20)])  # type: ignore[misc]
            for at in (1000, 2000, 3000)
        ]
        for each in threads:
            each.start()
        for each in threads:
            each.join()

    assert len(entries_in(garden)) == len(BEGINNING) + 60


def test_who_waits_too_long_for_another_is_told_and_can_read_meanwhile(garden: Path) -> None:
    with closing(sqlite3.connect(garden, isolation_level=None)) as other, open_store(garden, wait_s=0.2) as store:
        other.execute("BEGIN IMMEDIATE")
        begun = time.perf_counter()

        with pytest.raises(RecordsError, match="somebody else kept writing") as refused:
            store.append([walked(9)])
        assert time.perf_counter() - begun < 2
        assert "try again" in refused.value.remedy
        assert len(store.entries()) == len(BEGINNING)
        other.execute("ROLLBACK")
        assert store.append([walked(9)])[0].seq == len(BEGINNING) + 1


FULL = """
import sys
from tests.journal_pages import walked
from tests.rooms.invented_batches import batch, hours
from abaxial.errors import RecordsError
from abaxial.records.store import open_store
kept = 0
with open_store(sys.argv[1]) as store:
    try:
        for number in range(1000, 9000):
            store.append([walked(number)])
            kept += 1
    except RecordsError as error:
        print(kept, "|", error.message, "|", error.remedy)
    try:
        store.add_weather(batch(hours(9000)))
    except RecordsError as error:
        print(len(store.entries()), "|", error.message, "|", error.remedy)
"""


def test_a_full_disk_keeps_what_was_confirmed_and_takes_no_half(garden: Path) -> None:
    size = garden.stat().st_size
    entries_told, weather_told = run(FULL, garden, limit=size + 300_000).splitlines()

    kept = int(entries_told.split(" |")[0])
    assert kept > 5
    for each in (entries_told, weather_told):
        assert "nothing was written" in each
        assert "Make room" in each
    assert len(entries_in(garden)) == len(BEGINNING) + kept
    with open_store(garden) as store:
        assert store.weather() == []
        store.append([walked(9000)])


MAKE_IN_LITTLE_ROOM = """
import sys
from pathlib import Path
from abaxial.errors import RecordsError
from abaxial.records.archive import write_archive
from abaxial.records.csv_tables import write_tables
from abaxial.records.store import open_store
source, folder = Path(sys.argv[1]), Path(sys.argv[2])
with open_store(source) as store:
    for act in (
        lambda: open_store(folder / "new.abaxial", create=True),
        lambda: store.backup(folder / "copy.abaxial"),
        lambda: write_archive(store, folder / "out.zip"),
        lambda: write_tables(store, folder / "tables"),
    ):
        try:
            act()
            print("made")
        except RecordsError as error:
            print(error.message, "|", error.remedy)
"""


def test_on_a_full_disk_nothing_half_made_is_left(garden: Path) -> None:
    with open_store(garden) as store:
        store.add_weather(batch(hours(8000)))
    told = run(MAKE_IN_LITTLE_ROOM, garden, garden.parent, limit=40_000).splitlines()

    assert len(told) == 4
    assert "made" not in told
    assert all(each.split("|")[1].strip() for each in told)
    assert [each.name for each in garden.parent.iterdir() if each.suffix not in (".abaxial-shm", ".abaxial-wal")] == [
        garden.name
    ]


AS_NOBODY = """
import os, sys
from pathlib import Path
from tests.journal_pages import walked
from abaxial.errors import RecordsError
from abaxial.records.store import open_store
if os.getuid() == 0:
    os.setuid(int(sys.argv[2]))
with open_store(sys.argv[1]) as store:
    print(len(store.entries()), store.check())
    for act in (lambda: store.append([walked(9)]), lambda: store.put_checkpoint("k", "0" * 64, b"")):
        try:
            act()
        except RecordsError as error:
            print(error.message, "|", error.remedy)
"""


@pytest.mark.parametrize("folder_mode", [0o555, 0o777])
def test_a_file_that_can_only_be_read_is_read_and_not_written(open_folder: Path, folder_mode: int) -> None:
    path = open_folder / "plot.abaxial"
    with open_store(path, create=True) as store:
        store.append(BEGINNING)
    path.chmod(0o444)
    open_folder.chmod(folder_mode)
    before = path.read_bytes()

    read, *refused = run(AS_NOBODY, path, NOBODY).splitlines()
    assert read == f"{len(BEGINNING)} []"
    assert len(refused) == 2
    assert all("can only be read, so nothing was written" in each for each in refused)
    assert path.read_bytes() == before


def test_a_file_of_an_older_version_that_can_only_be_read_is_refused(open_folder: Path) -> None:
    path = open_folder / "plot.abaxial"
    open_store(path, create=True).close()
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '0001'")
        connection.execute("DROP TABLE checkpoint")
    path.chmod(0o444)
    open_folder.chmod(0o555)
    asked = AS_NOBODY.replace(
        "with open_store",
        "try: open_store(sys.argv[1])\nexcept RecordsError as error: print(error.message); sys.exit()\nwith open_store",
    )

    assert "can only be read" in run(asked, path, NOBODY)


def cut(path: Path, size: int) -> None:
    path.write_bytes(path.read_bytes()[:size])


def other_database(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("CREATE TABLE recipe (name TEXT)")


SPOILED: dict[str, tuple[Callable[[Path], object], str]] = {
    "cut short": (lambda path: cut(path, path.stat().st_size - 5000), "cut short"),
    "cut to a page": (lambda path: cut(path, 4096), "cut short"),
    "cut within its head": (lambda path: cut(path, 60), "not a garden file"),
    "emptied": (lambda path: cut(path, 0), "is empty"),
    "a text": (lambda path: path.write_text("[site]\nname = 'Plot'\n" * 20), "not a garden file"),
    "random bytes": (lambda path: path.write_bytes(bytes(range(256)) * 40), "not a garden file"),
    "another program's": (other_database, "database of another program"),
    "a folder": (lambda path: (path.unlink(), path.mkdir()), "cannot be opened"),
    "not there": (Path.unlink, "cannot be opened"),
}


@pytest.mark.parametrize("how", SPOILED)
def test_what_is_no_whole_garden_file_is_refused_and_not_touched(garden: Path, how: str) -> None:
    spoil, said = SPOILED[how]
    spoil(garden)
    before = garden.read_bytes() if garden.is_file() else None

    with pytest.raises(RecordsError, match=said) as refused:
        open_store(garden)
    assert str(garden) in refused.value.message
    assert refused.value.remedy
    assert refused.value.exit_code == 2
    assert (garden.read_bytes() if garden.is_file() else None) == before
    assert {each.name for each in garden.parent.iterdir()} <= {garden.name}


def copy_damaged(path: Path) -> None:
    with open_store(path) as store:
        assert store.check() != []
        store.backup(path.parent / "copy.abaxial")


@pytest.mark.parametrize("page", range(8))
def test_a_page_of_rubbish_is_told_on_opening_or_found_by_the_check(garden: Path, page: int) -> None:
    with open_store(garden) as store:
        store.append([walked(each) for each in range(100, 180)])
    raw = bytearray(garden.read_bytes())
    pages = len(raw) // 4096
    at = 4096 * (1 + page * (pages - 2) // 8)
    raw[at : at + 4096] = b"\xa5" * 4096
    garden.write_bytes(raw)

    with pytest.raises(RecordsError, match="damaged") as refused:
        copy_damaged(garden)
    assert "backup" in refused.value.remedy
    assert not (garden.parent / "copy.abaxial").exists()


def test_a_log_left_by_one_who_was_stopped_is_taken_up(garden: Path) -> None:
    stopped = WRITER.replace("range(begin, begin + 100)", "range(begin, begin + 3)") + "\nimport os"
    run(
        stopped.replace("with open_store(path, wait_s=30) as store:", "store = open_store(path)\nif True:")
        + "\nos._exit(0)",
        garden,
        1000,
    )
    assert garden.with_name(garden.name + "-wal").stat().st_size > 0

    assert len(entries_in(garden)) == len(BEGINNING) + 4


def test_what_is_written_out_while_somebody_writes_is_whole(garden: Path) -> None:
    with open_store(garden) as store:
        writing = threading.Thread(target=run, args=(WRITER, garden, 1000))
        writing.start()
        for number in range(6):
            store.backup(garden.parent / f"{number}.abaxial")
            write_archive(store, garden.parent / f"{number}.zip")
            write_tables(store, garden.parent / f"{number}")
        writing.join()

    for number in range(6):
        kept = entries_in(garden.parent / f"{number}.abaxial")
        assert kept == entries_in(garden)[: len(kept)]

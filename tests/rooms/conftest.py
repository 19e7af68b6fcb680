"""A PostgreSQL server of the test's own, and the two places where a garden can lie."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest

PROGRAMS = Path("/usr/lib/postgresql/15/bin")
_NAMES = count(1)


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """The address of a running server, without a database; it listens on a socket in a folder of its own."""
    if not (PROGRAMS / "initdb").exists():
        pytest.skip(f"NOT TESTED on PostgreSQL: there is no {PROGRAMS}/initdb on this machine")
    root = os.getuid() == 0
    # the way to a socket must be short
    folder = Path(tempfile.mkdtemp(prefix="abx"))
    if root:
        shutil.chown(folder, "postgres", "postgres")

    def run(program: str, *arguments: str) -> None:
        # it will not run as root
        subprocess.run(
            [PROGRAMS / program, *arguments],
            check=True, stdout=subprocess.DEVNULL, cwd="/", user="postgres" if root else None,
        )  # fmt: skip

    kept = str(folder / "kept")
    try:
        run("initdb", "-D", kept, "-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync")
        quick = f"-c fsync=off -c listen_addresses= -c unix_socket_directories={folder} -c timezone=Asia/Kolkata"
        run("pg_ctl", "-D", kept, "-w", "-s", "-l", str(folder / "log"), "-o", quick, "start")
        yield f"postgresql://postgres@/{{database}}?host={folder}"
        run("pg_ctl", "-D", kept, "-s", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def database(server: str) -> str:
    """The address of an empty database."""
    name = f"gardens{next(_NAMES)}"
    made = ["createdb", "-h", server.partition("host=")[2], "-U", "postgres", name]
    subprocess.run([PROGRAMS / made[0], *made[1:]], check=True)
    return server.format(database=name)


@pytest.fixture(params=["file", "server"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a garden can be made: a file, or an empty database."""
    return str(tmp_path / "plot.abaxial") if request.param == "file" else str(request.getfixturevalue("database"))

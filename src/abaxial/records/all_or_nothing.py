"""All or nothing: a transaction that is kept whole or not at all, a file that takes its place whole or not at all, and
what a database's trouble means to a person."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from sqlalchemy import Connection, Engine, RowMapping, event, select, text
from sqlalchemy.exc import DBAPIError, StatementError

from abaxial.errors import AbaxialError, RecordsError
from abaxial.records.tables import GARDEN

_WRITES = "abaxial_writes"
_SPACE = "Make room on the disk or choose another; what was there before is unharmed."
_REPAIR = "Restore the last backup; keep the damaged file until that has worked."


class _Trouble(NamedTuple):
    what: str
    remedy: str


_BUSY = _Trouble("somebody else kept writing in it, so nothing was written", "Wait a little and try again.")
_READ_ONLY = _Trouble(
    "it can only be read, so nothing was written", "Copy it to a place where you may write, or ask for the right."
)
#: by the beginning of SQLite's own name for what happened; the first that fits
_SQLITE = {
    "SQLITE_BUSY": _BUSY,
    "SQLITE_LOCKED": _BUSY,
    "SQLITE_READONLY": _READ_ONLY,
    "SQLITE_FULL": _Trouble("the disk is full, so nothing was written", _SPACE),
    "SQLITE_IOERR": _Trouble("the disk did not take or give what was asked, so nothing was written", _SPACE),
    "SQLITE_CANTOPEN": _Trouble("it cannot be opened", "Check the name, the folder and the right to write there."),
    "SQLITE_NOTADB": _Trouble("it is no garden file, or its beginning is damaged", _REPAIR),
    "SQLITE_CORRUPT": _Trouble("it is damaged", _REPAIR),
}
#: by the beginning of PostgreSQL's code
_POSTGRESQL = {
    "55P03": _BUSY,
    "57014": _BUSY,
    "40": _BUSY,
    "25006": _READ_ONLY,
    "42501": _READ_ONLY,
    "53100": _Trouble("its disk is full, so nothing was written", "Make room on the server's disk."),
    "28": _Trouble("the server does not let this name in", "Check the name and the password in the address."),
    "3D000": _Trouble("the server has no database of that name", "Check the name, or have it made."),
}
_UNREACHED = _Trouble("the server does not answer", "Check the address, and whether the server is running.")


@contextmanager
def told(where: str) -> Iterator[None]:
    """Turns a database's trouble into a RecordsError that names `where`; what we said ourselves passes unchanged."""
    try:
        yield
    except (StatementError, sqlite3.Error) as error:
        cause = getattr(error, "orig", error)
        if isinstance(cause, AbaxialError):
            raise cause from None
        trouble = _meaning(error)
        if trouble is None:
            raise
        raise RecordsError(f"{where}: {trouble.what}.", remedy=trouble.remedy, where=where) from error


def _meaning(error: StatementError | sqlite3.Error) -> _Trouble | None:
    """What the database meant; None where it is no trouble of the user's."""
    cause = getattr(error, "orig", error)
    name = getattr(cause, "sqlite_errorname", None)
    if name is not None:
        return next((told for begin, told in _SQLITE.items() if name.startswith(begin)), None)
    code = getattr(cause, "sqlstate", None)
    if code is not None:
        return next((told for begin, told in _POSTGRESQL.items() if code.startswith(begin)), None)
    lost = isinstance(error, DBAPIError) and type(cause).__name__ == "OperationalError"
    return _UNREACHED if lost else None


def begin_as_asked(engine: Engine) -> None:
    """Let a SQLite engine begin its transactions itself: at once with the one lock for those who write, else with a
    snapshot."""

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get(_WRITES, False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def reading(engine: Engine, where: str) -> Iterator[Connection]:
    """A connection that sees the database as it is now, whatever is written meanwhile."""
    still = {} if engine.dialect.name == "sqlite" else {"isolation_level": "REPEATABLE READ"}
    with told(where), engine.connect().execution_options(**still) as connection, connection.begin():
        yield connection


@contextmanager
def writing(engine: Engine, where: str, wait_s: float) -> Iterator[Connection]:
    """A connection whose changes are kept together at the end, or not at all. wait_s : for others who write [s]."""
    with told(where), engine.connect().execution_options(**{_WRITES: True}) as connection, connection.begin():
        if engine.dialect.name == "postgresql":
            connection.execute(text(f"SET LOCAL lock_timeout = {round(1000 * wait_s)}"))
        yield connection


def held(connection: Connection, garden: int) -> RowMapping:
    """The garden's row, held against everybody else who writes until the transaction ends.

    On SQLite the transaction holds the whole file already.
    """
    return connection.execute(select(GARDEN).where(GARDEN.c.number == garden).with_for_update()).mappings().one()


@contextmanager
def placed(path: Path) -> Iterator[Path]:
    """A draft beside `path`, to be filled by the caller; it takes its place at the end, and vanishes if that fails.

    Raises RecordsError if something is there already or the folder cannot be written in.
    """
    refuse_taken(path)
    draft = path.with_name(f".{path.name}.{os.getpid()}.draft")
    try:
        _clear(draft)
        yield draft
        _settle(draft, path)
    except OSError as error:
        raise _unwritten(path, error) from error
    finally:
        with suppress(OSError):
            _clear(draft)


@contextmanager
def placed_folder(folder: Path) -> Iterator[Path]:
    """The same for a folder: a draft to be filled, which becomes `folder` at the end or vanishes."""
    refuse_taken(folder)
    draft = folder.with_name(f".{folder.name}.{os.getpid()}.draft")
    try:
        shutil.rmtree(draft, ignore_errors=True)
        draft.mkdir()
        yield draft
        refuse_taken(folder)
        draft.rename(folder)
    except OSError as error:
        raise _unwritten(folder, error) from error
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def refuse_taken(path: Path) -> None:
    """Raise RecordsError if something of that name is there, or there is no folder for it."""
    if path.exists() or path.is_symlink():
        raise RecordsError(
            f"There is already something called {path}.",
            remedy="Choose another name, or move that away first.",
            where=str(path),
        )
    if not path.parent.is_dir():
        raise RecordsError(
            f"There is no folder {path.parent}.", remedy="Make it, or choose another.", where=str(path.parent)
        )


def _unwritten(path: Path, error: OSError) -> RecordsError:
    return RecordsError(
        f"{path} cannot be written: {error.strerror or error}.",
        remedy="Check the folder, the room on the disk and the right to write there.",
        where=str(path),
    )


def _settle(draft: Path, path: Path) -> None:
    """Give the finished draft its name, without ever replacing what somebody put there meanwhile."""
    _to_disk(draft)
    try:
        os.link(draft, path)
    except FileExistsError:
        refuse_taken(path)
        raise
    except OSError:
        # a disk without a second name for a file
        refuse_taken(path)
        draft.rename(path)
    with suppress(OSError):
        _to_disk(path.parent)


def _to_disk(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _clear(draft: Path) -> None:
    for ending in ("", "-wal", "-shm", "-journal"):
        draft.with_name(draft.name + ending).unlink(missing_ok=True)

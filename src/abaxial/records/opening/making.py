"""Makes a garden, and the tables it lies in: all of it or nothing."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, insert, inspect, select, text

from abaxial.errors import RecordsError
from abaxial.records.all_or_nothing import placed, told, writing
from abaxial.records.opening.engines import WAIT_S, address, database_clock, file_engine, is_url, server_engine
from abaxial.records.tables import APPLICATION_ID, GARDEN, REVISIONS

#: what fills a garden that is being made: a connection in its one transaction, and the garden's number
Filling = Callable[[Connection, int], None]
_TABLES_LOCK = 7_210_431


def make_garden(
    place: str | Path, *, garden_id: str | None = None, filling: Filling | None = None, wait_s: float = WAIT_S
) -> str:
    """Make a new garden and give its id: a file that is not there yet, or a row in a PostgreSQL database, whose tables are made as well.

    garden_id : 32 hexadecimal digits; the database makes one if none is given. filling : writes what shall be in it from
    the beginning, in the same transaction. Raises RecordsError if the garden is there already or cannot be written.
    """
    if is_url(place):
        return _make_row(str(place), garden_id, filling, wait_s)
    path = Path(place)
    with placed(path) as draft:
        engine = file_engine(draft, "rwc", wait_s)
        try:
            with writing(engine, str(path), wait_s) as connection:
                connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
                make_tables(connection, str(path))
                made = _begin_garden(connection, garden_id, str(path), filling)
        finally:
            engine.dispose()
        # SQLite takes this only outside of a transaction, and remembers it
        with told(str(path)), closing(sqlite3.connect(draft, isolation_level=None)) as connected:
            connected.execute("PRAGMA journal_mode = WAL")
    return made


def make_tables(connection: Connection, where: str) -> None:
    """Make the tables, or bring them to the newest version, within the transaction that the connection is in."""
    # alembic takes longer to load than all the rest of opening, and is needed once a version
    from abaxial.records.migrations.apply import upgrade

    # somebody else may have brought them up to date while we waited
    if inspect(connection).has_table("alembic_version"):
        for revision in connection.execute(text("SELECT version_num FROM alembic_version")).scalars():
            refuse_later(revision, where)
    upgrade(connection)


def refuse_later(revision: str, where: str) -> None:
    """Raise RecordsError for tables of a version that is not known here."""
    if revision not in REVISIONS:
        raise RecordsError(
            f"{where} was written by a later version of this program: its tables are {revision!r}, and this one knows "
            f"them up to {REVISIONS[-1]!r}. Nothing in it was changed.",
            remedy="Install the newest version of abaxial, and open it with that.",
            where=where,
        )


def lock_tables(connection: Connection) -> None:
    """Keep everybody else from changing tables until the transaction ends; on SQLite it does so already."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _TABLES_LOCK})


def _make_row(place: str, garden_id: str | None, filling: Filling | None, wait_s: float) -> str:
    url, wanted = address(place)
    where = url.render_as_string()
    engine = server_engine(url)
    try:
        with writing(engine, where, wait_s) as connection:
            lock_tables(connection)
            make_tables(connection, where)
            return _begin_garden(connection, garden_id or wanted, where, filling)
    finally:
        engine.dispose()


def _begin_garden(connection: Connection, garden_id: str | None, where: str, filling: Filling | None) -> str:
    id_ = garden_id or _new_id(connection)
    if len(id_) != 32 or set(id_) - set("0123456789abcdef"):
        raise RecordsError(f"{id_!r} is no id of a garden.", remedy="An id is 32 hexadecimal digits, in small letters.")
    number = select(GARDEN.c.number).where(GARDEN.c.id == id_)
    if connection.execute(number).first():
        raise RecordsError(
            f"{where}: the garden {id_} is there already.", remedy="Open it, or choose another database.", where=where
        )
    connection.execute(insert(GARDEN).values(id=id_, made_at=database_clock(connection), last_seq=0))
    if filling is not None:
        filling(connection, connection.execute(number).scalar_one())
    return id_


def _new_id(connection: Connection) -> str:
    """An id that nobody else has. It decides nothing, so it may come from the database's own dice."""
    on_file = "lower(hex(randomblob(16)))"
    on_server = "replace(gen_random_uuid()::text, '-', '')"
    dice = on_file if connection.dialect.name == "sqlite" else on_server
    return str(connection.execute(text(f"SELECT {dice}")).scalar_one())

"""How we speak with a SQLite file and with a PostgreSQL server."""

import json
import sqlite3
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal

from sqlalchemy import URL, Connection, Engine, QueuePool, create_engine, make_url, text
from sqlalchemy.exc import ArgumentError

from abaxial.errors import RecordsError
from abaxial.records.all_or_nothing import begin_as_asked
from abaxial.records.tables import Moment

#: what the name of a garden file ends in
SUFFIX = ".abaxial"
#: how long to wait for others who write, in seconds
WAIT_S = 5.0
_ANSWER_S = 10


@dataclass(frozen=True)
class Opened:
    """A database with one garden in it.

    where : how it is spoken of. garden : its number there; garden_id : its id. can_write : False for a file that can
    only be read. wait_s : how long to wait for others who write [s].
    """

    engine: Engine
    where: str
    garden: int
    garden_id: str
    can_write: bool
    wait_s: float


def is_url(place: str | Path) -> bool:
    """Whether a place is the address of a PostgreSQL database and not a file."""
    return str(place).partition("://")[0].partition("+")[0] in ("postgresql", "postgres")


def file_engine(path: Path, mode: Literal["rw", "ro", "rwc", "immutable"], wait_s: float) -> Engine:
    """An engine on a SQLite file, of which every connection checks references and waits for the disk at each commit."""
    uri = path.absolute().as_uri() + ("?immutable=1" if mode == "immutable" else f"?mode={mode}")

    def connect() -> sqlite3.Connection:
        connection = sqlite3.connect(uri, uri=True, timeout=wait_s, isolation_level=None, check_same_thread=False)
        try:
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA synchronous = FULL")
        except sqlite3.Error:
            connection.close()
            raise
        return connection

    engine = create_engine("sqlite://", creator=connect, poolclass=QueuePool, json_serializer=_json)
    begin_as_asked(engine)
    return engine


def server_engine(url: URL) -> Engine:
    """An engine on a PostgreSQL database. Raises RecordsError where its driver is not installed."""
    try:
        return create_engine(url, json_serializer=_json, connect_args={"connect_timeout": _ANSWER_S})
    except ModuleNotFoundError:
        raise RecordsError(
            f"{url.render_as_string()}: what speaks with PostgreSQL is not installed.",
            remedy="Install it as abaxial[postgres].",
            where=url.render_as_string(),
        ) from None


def address(place: str) -> tuple[URL, str | None]:
    """The address of a database without what is meant for us, and the id of the garden it asks for."""
    try:
        url = make_url(place)
    except (ArgumentError, ValueError):
        raise RecordsError(
            "The address of the database cannot be read.", remedy="Write it as postgresql://name@server/database."
        ) from None
    wanted = url.query.get("garden")
    if isinstance(wanted, tuple):
        raise RecordsError("The address names several gardens.", remedy="Name one.")
    return url.set(drivername="postgresql+psycopg").difference_update_query(["garden"]), wanted


def database_clock(connection: Connection) -> datetime:
    """The time on the database's clock, in UTC: one clock for all who write there."""
    on_file = "strftime('%Y-%m-%d %H:%M:%f000', 'now')"
    asked = on_file if connection.dialect.name == "sqlite" else "clock_timestamp()"
    moment: datetime = connection.execute(text(f"SELECT {asked} AS moment").columns(moment=Moment())).scalar_one()
    return moment


def _json(value: object) -> str:
    """A body as it lies there: in the order it was written in, and in letters that every database takes."""
    return json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":"))

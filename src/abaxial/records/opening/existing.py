"""Opens a garden that is there, and brings its tables up to date if an older version made them."""

import os
from pathlib import Path

from sqlalchemy import Engine, inspect, select, text

from abaxial.errors import RecordsError
from abaxial.records.all_or_nothing import reading, writing
from abaxial.records.opening.engines import WAIT_S, Opened, address, file_engine, is_url, server_engine
from abaxial.records.opening.file_head import has_log, refuse_unfit
from abaxial.records.opening.making import lock_tables, make_tables, refuse_later
from abaxial.records.tables import GARDEN, REVISIONS


def open_garden(place: str | Path, *, wait_s: float = WAIT_S) -> Opened:
    """The garden in a file or a database.

    place : a path, or postgresql://…/database, with ?garden=ID where there are several. wait_s : for others [s].
    Raises RecordsError for what is not there, no garden, damaged, of a later version, or cannot be brought up to date.
    """
    wanted: str | None = None
    if is_url(place):
        url, wanted = address(str(place))
        engine, where, can_write = server_engine(url), url.render_as_string(), True
    else:
        path = Path(place)
        refuse_unfit(path)
        where, can_write = str(path), os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
        engine = file_engine(path, "rw", wait_s) if can_write else _only_read(path, wait_s)
    try:
        revision = _revision(engine, where)
        if revision != REVISIONS[-1]:
            _bring_up_to_date(engine, where, revision, can_write=can_write, wait_s=wait_s)
        number, id_ = _the_garden(engine, where, wanted)
    except BaseException:
        engine.dispose()
        raise
    return Opened(engine, where, number, id_, can_write, wait_s)


def _only_read(path: Path, wait_s: float) -> Engine:
    """An engine that only reads. Where not even a log can be laid beside the file, nobody can be writing in it."""
    alone = not os.access(path.parent, os.W_OK) and not has_log(path)
    return file_engine(path, "immutable" if alone else "ro", wait_s)


def _revision(engine: Engine, where: str) -> str | None:
    """The version of the tables; None where there are none of ours."""
    with reading(engine, where) as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


def _bring_up_to_date(engine: Engine, where: str, revision: str | None, *, can_write: bool, wait_s: float) -> None:
    if revision is None:
        raise RecordsError(f"{where} holds no garden yet.", remedy="Make one there first.", where=where)
    refuse_later(revision, where)
    if not can_write:
        raise RecordsError(
            f"{where} is from an older version and has to be brought up to date, but can only be read.",
            remedy="Copy it to a place where you may write, and open it there.",
            where=where,
        )
    with writing(engine, where, wait_s) as connection:
        lock_tables(connection)
        make_tables(connection, where)


def _the_garden(engine: Engine, where: str, wanted: str | None) -> tuple[int, str]:
    """Number and id of the one garden that is meant."""
    with reading(engine, where) as connection:
        found = connection.execute(select(GARDEN.c.number, GARDEN.c.id).order_by(GARDEN.c.number)).all()
    meant = [(number, id_) for number, id_ in found if wanted in (None, id_)]
    if len(meant) == 1:
        return meant[0]
    if not meant:
        lacking = f"no garden {wanted}" if wanted else "no garden"
        raise RecordsError(f"{where} holds {lacking}.", remedy="Check the address, or make the garden.", where=where)
    raise RecordsError(
        f"{where} holds {len(meant)} gardens.",
        remedy=f"Add ?garden=ID to the address. The ids are {', '.join(id_ for _, id_ in meant)}.",
        where=where,
    )

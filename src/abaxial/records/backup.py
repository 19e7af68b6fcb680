"""Backup and restore, and what is wrong with records that should be whole."""

import sqlite3
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, insert, select, text, update

from abaxial.errors import RecordsError
from abaxial.records import arrival, weather_batches
from abaxial.records.all_or_nothing import placed, reading, told
from abaxial.records.opening import Opened, is_url, make_garden, open_garden
from abaxial.records.tables import ENTRY, GARDEN, KEPT, WEATHER_BATCH

_ROWS_AT_ONCE = 5000
_TOLD = 20


def write_backup(opened: Opened, path: Path) -> None:
    """Write a garden into a new garden file, as it is at this moment. Raises RecordsError, with nothing left behind."""
    if is_url(opened.where):
        with reading(opened.engine, opened.where) as source:
            _copy_to_new(source, opened, path)
        return
    with placed(path) as draft, told(str(path)), closing(sqlite3.connect(draft)) as target:
        with opened.engine.connect() as connection:
            source_file: Any = connection.connection.driver_connection
            source_file.backup(target)
        found = [row[0] for row in target.execute("PRAGMA integrity_check")]
        if found != ["ok"]:
            raise RecordsError(
                f"{opened.where} is damaged, so it was not backed up: {found[0]}.",
                remedy="Restore the last backup; keep this file until that has worked.",
                where=opened.where,
            )


def restore_backup(source: Path, destination: str | Path) -> None:
    """Make the garden in a garden file anew: in another file, or in a PostgreSQL database.

    Raises RecordsError, with nothing made, if the garden is damaged or is there already.
    """
    opened = open_garden(source)
    try:
        with reading(opened.engine, opened.where) as connection:
            refuse_problems(connection, opened.garden, str(source))
            if is_url(destination):
                _copy_to_new(connection, opened, destination)
        if not is_url(destination):
            write_backup(opened, Path(destination))
    finally:
        opened.engine.dispose()


def rows_in(connection: Connection, garden: int, table: Table) -> Iterator[dict[str, Any]]:
    """A garden's rows of one table in the order of their keys, without its number."""
    columns = [each for each in table.columns if each.name != "garden"]
    asked = select(*columns).where(table.c.garden == garden).order_by(*table.primary_key.columns)
    for row in connection.execute(asked).mappings():
        yield dict(row)


def lay_rows(connection: Connection, garden: int, table: Table, rows: Iterator[Mapping[str, Any]]) -> None:
    """Write rows of one table as a garden's."""
    waiting: list[dict[str, Any]] = []
    for row in rows:
        waiting.append({**row, "garden": garden})
        if len(waiting) == _ROWS_AT_ONCE:
            connection.execute(insert(table), waiting)
            waiting = []
    if waiting:
        connection.execute(insert(table), waiting)


def garden_row(connection: Connection, garden: int) -> dict[str, Any]:
    """What is kept of a garden itself."""
    row = connection.execute(select(GARDEN).where(GARDEN.c.number == garden)).mappings().one()
    return {name: value for name, value in row.items() if name != "number"}


def set_garden_row(connection: Connection, garden: int, row: Mapping[str, Any]) -> None:
    """Give a new garden the age and the counts of the one it is made from."""
    same = {name: row[name] for name in ("made_at", "last_seq", "last_received_at")}
    connection.execute(update(GARDEN).where(GARDEN.c.number == garden).values(same))


def refuse_problems(connection: Connection, garden: int, where: str) -> None:
    """Raise RecordsError with the first of a garden's problems if it has any."""
    problems = problems_in(connection, garden)
    if problems:
        more = f" And {len(problems) - 1} more." if len(problems) > 1 else ""
        raise RecordsError(
            f"{where}: {problems[0]}{more}",
            remedy="Take an older backup, or an archive; nothing was made.",
            where=where,
        )


def problems_in(connection: Connection, garden: int) -> list[str]:
    """What is wrong with a garden's records, a sentence each, the worst first."""
    problems = _file_problems(connection) if connection.dialect.name == "sqlite" else []
    # rows of a file that is damaged may say anything
    return problems or [*_entry_problems(connection, garden), *_weather_problems(connection, garden)][:_TOLD]


def _copy_to_new(source: Connection, opened: Opened, destination: str | Path) -> None:
    def filling(connection: Connection, garden: int) -> None:
        set_garden_row(connection, garden, garden_row(source, opened.garden))
        for table in KEPT:
            lay_rows(connection, garden, table, rows_in(source, opened.garden, table))

    make_garden(destination, garden_id=opened.garden_id, filling=filling)


def _file_problems(connection: Connection) -> list[str]:
    found = [str(each) for each in connection.execute(text(f"PRAGMA integrity_check({_TOLD})")).scalars()]
    lost = Counter(str(row[0]) for row in connection.execute(text("PRAGMA foreign_key_check")))
    orphans = [f"{many} rows of {table} belong to nothing." for table, many in lost.items()]
    return [f"The file is damaged: {each}." for each in found if each != "ok"] + orphans


def _entry_problems(connection: Connection, garden: int) -> Iterator[str]:
    expected, before = 1, None
    at = ENTRY.c
    for row in connection.execute(select(ENTRY).where(at.garden == garden).order_by(at.seq)).mappings():
        if row["seq"] != expected:
            yield f"Entries {expected} to {row['seq'] - 1} are missing."
        if not arrival.is_unharmed(row):
            yield f"Entry {row['seq']} ({row['id']}) is not as it was written."
        if before is not None and row["received_at"] < before:
            yield f"Entry {row['seq']} came before the one before it."
        expected, before = row["seq"] + 1, row["received_at"]
    last = garden_row(connection, garden)["last_seq"]
    if last != expected - 1:
        yield f"The last entry should be number {last}, and is number {expected - 1}."


def _weather_problems(connection: Connection, garden: int) -> Iterator[str]:
    every = weather_batches.every(garden)
    asked = select(WEATHER_BATCH.c.content, WEATHER_BATCH.c.hour_chain).where(WEATHER_BATCH.c.garden == garden)
    written = connection.execute(asked.order_by(WEATHER_BATCH.c.batch)).all()
    for batch, (content, chain) in zip(weather_batches.batches_in(connection, every), written, strict=True):
        same_hours = weather_batches.hour_chain(batch.members) == chain
        if not same_hours or weather_batches.content_of(batch) != content:
            yield f"Batch {batch.number} of weather ({batch.source}) is not as it came."

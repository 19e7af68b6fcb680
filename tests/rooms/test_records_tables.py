"""The tables: alike on both databases, brought up to date in one piece, and never touched by an older program."""

import subprocess
import sys
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, inspect, select, text
from sqlalchemy.exc import StatementError
from tests.clock import quickest_s
from tests.journal_pages import BEGINNING

from abaxial.errors import RecordsError
from abaxial.records import tables
from abaxial.records.all_or_nothing import writing
from abaxial.records.arrival import row_of
from abaxial.records.migrations.apply import refuse_difference, upgrade
from abaxial.records.opening.engines import address, file_engine, is_url, server_engine
from abaxial.records.store import open_store

NOON = datetime(2026, 4, 1, 12, tzinfo=UTC)


def engine_on(place: str) -> Engine:
    return server_engine(address(place)[0]) if is_url(place) else file_engine(Path(place), "rwc", 5.0)


def lay_old_garden(place: str) -> None:
    """A garden as the first version of the tables held it."""
    engine = engine_on(place)
    with writing(engine, place, 5.0) as connection:
        if not is_url(place):
            connection.exec_driver_sql(f"PRAGMA application_id = {tables.APPLICATION_ID}")
        upgrade(connection, "0001")
        garden = {"number": 1, "id": "c" * 32, "made_at": NOON, "last_seq": len(BEGINNING), "last_received_at": NOON}
        connection.execute(tables.GARDEN.insert(), garden)
        for seq, each in enumerate(BEGINNING, 1):
            row = row_of(each, garden=1) | {"seq": seq, "received_at": NOON}
            connection.execute(tables.ENTRY.insert(), row)
    engine.dispose()


def revision_in(place: str) -> str:
    engine = engine_on(place)
    with engine.connect() as connection:
        found = str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())
    engine.dispose()
    return found


def test_the_migrations_lead_to_the_tables_in_the_code(place: str) -> None:
    with open_store(place, create=True) as store, store.opened.engine.connect() as connection, connection.begin():
        refuse_difference(connection)

        made = set(inspect(connection).get_table_names())
    assert made == {*tables.METADATA.tables, "alembic_version"}


def test_the_versions_named_in_the_code_are_those_of_the_migrations() -> None:
    config = Config()
    config.set_main_option("script_location", "abaxial.records:migrations")
    config.set_main_option("path_separator", "os")
    known = [each.revision for each in ScriptDirectory.from_config(config).walk_revisions()]

    assert tuple(reversed(known)) == tables.REVISIONS


def test_a_garden_of_an_older_version_is_brought_up_to_date_on_opening(place: str) -> None:
    lay_old_garden(place)

    with open_store(place) as store:
        assert [each.id for each in store.entries()] == [each.id for each in BEGINNING]
        assert store.check() == []
        store.put_checkpoint("k", "0" * 64, b"new table")
    assert revision_in(place) == tables.REVISIONS[-1]


def test_a_migration_that_fails_leaves_everything_as_it_was(place: str, monkeypatch: pytest.MonkeyPatch) -> None:
    lay_old_garden(place)

    def half_done(connection: Connection) -> None:
        upgrade(connection)
        raise RuntimeError("the lights went out")

    monkeypatch.setattr("abaxial.records.migrations.apply.upgrade", half_done)
    with pytest.raises(RuntimeError, match="lights"):
        open_store(place)
    engine = engine_on(place)
    assert revision_in(place) == "0001"
    with engine.connect() as connection:
        assert not inspect(connection).has_table("checkpoint")
        assert len(connection.execute(select(tables.ENTRY)).all()) == len(BEGINNING)
    engine.dispose()


def test_a_garden_of_a_later_version_is_refused_and_not_touched(place: str) -> None:
    open_store(place, create=True).close()
    engine = engine_on(place)
    with engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '0999'"))
    engine.dispose()
    before = None if is_url(place) else Path(place).read_bytes()

    with pytest.raises(RecordsError, match=r"later version.*'0999'") as refused:
        open_store(place)
    assert "newest version" in refused.value.remedy
    assert refused.value.exit_code == 2
    assert before is None or Path(place).read_bytes() == before
    if is_url(place):
        with pytest.raises(RecordsError, match="later version"):
            open_store(place, create=True)
    assert revision_in(place) == "0999"


def test_a_time_without_a_zone_never_reaches_the_database(place: str) -> None:
    with open_store(place, create=True) as store, store.opened.engine.connect() as connection:
        with pytest.raises(StatementError, match="has no zone") as refused:
            connection.execute(select(tables.GARDEN).where(tables.GARDEN.c.made_at == datetime(2026, 4, 1)))
        assert isinstance(refused.value.orig, RecordsError)
        before = NOON.astimezone(timezone(timedelta(hours=-9)))
        assert connection.execute(select(tables.GARDEN).where(tables.GARDEN.c.made_at > before)).first()


def test_opening_a_garden_loads_no_migrations(tmp_path: Path) -> None:
    path = tmp_path / "plot.abaxial"
    open_store(path, create=True).close()
    asked = (
        "import sys; from abaxial.records.store import open_store; open_store(sys.argv[1]).close(); "
        "print('alembic' in sys.modules)"
    )

    told = subprocess.run([sys.executable, "-c", asked, path], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "False"


@pytest.mark.alone
def test_opening_a_garden_takes_less_than_a_seventh_of_a_second(tmp_path: Path) -> None:
    path = tmp_path / "plot.abaxial"
    with open_store(path, create=True) as store:
        store.append(BEGINNING)

    assert quickest_s(lambda: open_store(path).close()) < 0.15

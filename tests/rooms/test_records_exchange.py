"""Backup, archive and tables: a garden that goes out by one and comes back in is the same garden."""

import csv
import json
import shutil
import sqlite3
import tomllib
import zipfile
from collections.abc import Callable, Mapping
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some
from tests.journal_pages import BEGINNING, entries, entry, made, walked
from tests.rooms.invented_batches import NOON, batch, forecast, told_batch
from tests.trial_garden import BED, PLANTING, SITE

from abaxial.errors import RecordsError
from abaxial.garden.description import garden_from
from abaxial.garden.writing import write_garden
from abaxial.journal.entries import Entry
from abaxial.journal.fold import fold
from abaxial.journal.writing import entries_of
from abaxial.records.archive import restore_archive, write_archive
from abaxial.records.backup import garden_row, restore_backup
from abaxial.records.csv_tables import restore_tables, write_tables
from abaxial.records.store import Store, open_store
from abaxial.remedy.material import read_material

Way = tuple[Callable[[Store, Path], object], Callable[[Path, str | Path], None]]
WAYS: dict[str, Way] = {
    "backup": (lambda store, path: store.backup(path), restore_backup),
    "archive": (write_archive, restore_archive),
    "tables": (write_tables, restore_tables),
}
ODD = entry(9, "note", {"text": 'Rost 🌱\u2028\u0085 "a",\r\nb;\n=1+1', "list": [1, 2.5, None, {"a": {}}], "z": 1})


def fill(store: Store) -> None:
    store.append([*BEGINNING, ODD, walked(5, author="")])
    store.append([entry(12, "sung", {}, version=3, corrects="x")])
    store.add_weather(batch())
    store.add_weather(forecast(NOON, members=3))
    store.add_weather(batch(source="second.csv", raw_text=bytes(range(256))))
    store.withdraw_weather(1)
    store.put_checkpoint("k", "0" * 64, b"can be computed again")


def told_store(store: Store) -> Mapping[str, object]:
    """All that a store keeps of a garden, withdrawn weather included."""
    with store.opened.engine.connect() as connection:
        row = garden_row(connection, store.opened.garden)
    before_all = [told_batch(each) for each in store.weather(received_until=datetime(2026, 3, 20, tzinfo=UTC))]
    return {
        "row": row,
        "entries": store.entries(),
        "weather": [told_batch(each) for each in store.weather()],
        "withdrawn too": before_all,
        "chain": store.chain_digest(20600),
        "problems": store.check(),
    }


@pytest.mark.parametrize("way", WAYS)
def test_a_garden_comes_back_equal(place: str, way: str, tmp_path: Path) -> None:
    write, restore = WAYS[way]
    with open_store(place, create=True) as store:
        fill(store)
        was = told_store(store)
        write(store, tmp_path / "out")

    restore(tmp_path / "out", tmp_path / "again.abaxial")
    with open_store(tmp_path / "again.abaxial") as again:
        assert told_store(again) == was
        assert len(was["withdrawn too"]) == 3  # type: ignore[arg-type]
        assert was["problems"] == []
        assert [each.seq for each in again.append([walked(40)])] == [8]


@pytest.mark.parametrize("way", WAYS)
def test_a_garden_in_a_file_moves_to_a_server(database: str, way: str, tmp_path: Path) -> None:
    write, restore = WAYS[way]
    with open_store(tmp_path / "plot.abaxial", create=True) as store:
        fill(store)
        was = told_store(store)
        write(store, tmp_path / "out")

    restore(tmp_path / "out", database)
    with open_store(database) as moved:
        assert told_store(moved) == was
    with pytest.raises(RecordsError, match="already"):
        restore(tmp_path / "out", database)


@pytest.mark.parametrize("way", WAYS)
def test_nothing_is_written_over_and_nothing_half_written_left(way: str, tmp_path: Path) -> None:
    write, restore = WAYS[way]
    (tmp_path / "taken").write_text("mine")
    with open_store(tmp_path / "plot.abaxial", create=True) as store:
        fill(store)
        write(store, tmp_path / "out")
        for path in (tmp_path / "taken", tmp_path / "nowhere" / "out", tmp_path / "taken" / "out"):
            with pytest.raises(RecordsError) as refused:
                write(store, path)
            assert refused.value.remedy
        with pytest.raises(RecordsError, match="already"):
            restore(tmp_path / "out", tmp_path / "taken")

    assert (tmp_path / "taken").read_text() == "mine"
    assert {each.name for each in tmp_path.iterdir()} == {"taken", "plot.abaxial", "out"}


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(sent=some.lists(entries(some.integers(0, 2**60).map(lambda number: f"{number:032x}")), max_size=6))
def test_any_entries_come_back_by_archive_and_by_tables(tmp_path: Path, sent: list[Entry]) -> None:
    folder = tmp_path / "once"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    with open_store(folder / "plot.abaxial", create=True) as store:
        for each in sent:
            try:
                store.append([each])
            except RecordsError:
                continue
        for way in ("archive", "tables"):
            write, restore = WAYS[way]
            write(store, folder / way)
            restore(folder / way, folder / f"{way}.abaxial")
            with open_store(folder / f"{way}.abaxial") as again:
                assert again.entries() == store.entries()


def test_a_backup_is_taken_while_others_write(tmp_path: Path) -> None:
    with open_store(tmp_path / "plot.abaxial", create=True) as store, open_store(tmp_path / "plot.abaxial") as other:
        store.append(BEGINNING)
        with other.opened.engine.connect().execution_options(abaxial_writes=True) as connection, connection.begin():
            connection.exec_driver_sql("UPDATE garden SET last_seq = 99")
            store.backup(tmp_path / "copy.abaxial")
            connection.get_transaction().rollback()  # type: ignore[union-attr]

        with open_store(tmp_path / "copy.abaxial") as copy:
            assert copy.entries() == store.entries()
            assert copy.check() == []


def test_an_archive_can_be_read_without_us_and_is_the_same_whenever_it_is_written(tmp_path: Path) -> None:
    with open_store(tmp_path / "plot.abaxial", create=True) as store:
        fill(store)
        write_archive(store, tmp_path / "one.zip")
        write_archive(store, tmp_path / "two.zip")

    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()
    with zipfile.ZipFile(tmp_path / "one.zip") as zipped:
        lines = zipped.read("entries.jsonl").decode().split("\n")
        assert json.loads(lines[4])["body"] == ODD.body
        assert zipped.read("weather/000001/hours.csv").decode().startswith("member,hour,temperature_c,")
        assert zipped.read("weather/000003/as_it_came") == bytes(range(256))


def rewrite(path: Path, name: str, change: Callable[[bytes], bytes]) -> None:
    with zipfile.ZipFile(path) as zipped:
        files = {each: zipped.read(each) for each in zipped.namelist()}
    files[name] = change(files[name])
    with zipfile.ZipFile(path, "w") as zipped:
        for each, content in files.items():
            zipped.writestr(each, content)


DAMAGE: dict[str, Callable[[Path], object]] = {
    "a number in a file": lambda path: rewrite(path, "entries.jsonl", lambda raw: raw.replace(b'"rusted": 2', b'"rusted": 3')),
    "hours of the weather": lambda path: rewrite(path, "weather/000001/hours.csv", lambda raw: raw[:-30]),
    "a later form": lambda path: rewrite(path, "garden.json", lambda raw: raw.replace(b"archive 1", b"archive 9")),
    "no counts": lambda path: rewrite(path, "garden.json", lambda raw: raw.replace(b'"last_seq": 7', b'"last_seq": 9')),
    "not a list": lambda path: rewrite(path, "garden.json", lambda raw: b"[]"),
    "cut short": lambda path: path.write_bytes(path.read_bytes()[:-200]),
    "no zip": lambda path: path.write_bytes(b"PK and nothing else"),
    "no file": Path.unlink,
}  # fmt: skip


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_archive_is_refused_and_makes_nothing(tmp_path: Path, damage: str) -> None:
    with open_store(tmp_path / "plot.abaxial", create=True) as store:
        fill(store)
        write_archive(store, tmp_path / "out.zip")
    DAMAGE[damage](tmp_path / "out.zip")

    with pytest.raises(RecordsError) as refused:
        restore_archive(tmp_path / "out.zip", tmp_path / "again.abaxial")
    assert refused.value.remedy
    assert not list(tmp_path.glob("*again*"))


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("entry", '""rusted"": 2', '""rusted"": 3', "Entry 6 .* is not as it was written"),
        ("entry", "2026-03-01T07", "someday", "entry.csv, line 2: happened_from is"),
        ("entry", "\n1,", "\none,", "line 2: seq is 'one'"),
        ("entry", "seq,id", "id,seq", "the columns must be seq, id"),
        ("entry", "\n2,", "\n2,2,", "14 cells for 13"),
        ("weather_batch", ",station,", ",grid,", "Batch 1 of weather .* is not as it came"),
        ("weather_hour", "17.0,", "17.5,", "Batch 1 of weather"),
        ("garden", "\nc", "\nx", "no id"),
    ],
)
def test_a_changed_cell_is_found(tmp_path: Path, name: str, old: str, new: str, said: str) -> None:
    with open_store(tmp_path / "plot.abaxial", create=True, garden_id="c" * 32) as store:
        fill(store)
        write_tables(store, tmp_path / "out")
    path = tmp_path / "out" / f"{name}.csv"
    text = path.read_bytes().decode()
    assert old in text
    path.write_bytes(text.replace(old, new, 1).encode())

    with pytest.raises(RecordsError, match=said):
        restore_tables(tmp_path / "out", tmp_path / "again.abaxial")
    assert not list(tmp_path.glob("*again*"))


def test_what_was_sprayed_lies_beside_the_tables_a_row_for_each_planting(tmp_path: Path) -> None:
    record = {"started": "07:10", "product_ml": 9, "water_l": 0.9, "area_m2": 6, "applicator": "Isaura"}
    record["growth_stage"] = "65"
    label = {
        "form": "liquid",
        "rate": "10 ml/l",
        "actives": {"mineral_oil": "850 g/l"},
        "registration": "A-1234",
        "reentry_h": 4,
    }
    bottle = {"material": "White bottle", "details": {"label": label}}
    oil = {"remedy": "oil", "plantings": ["Cannas", "Beans"], "material": "White bottle", "details": record}
    thinned = entry(8, "remedy_done", {"remedy": "thinned", "plantings": ["Cannas"]})
    with open_store(tmp_path / "plot.abaxial", create=True) as store:
        beans = made(4, "Beans", "Wall")
        beans = replace(beans, body={**beans.body, "eppo_host": "1AAAA", "eppo_pest": "BBB0CC"})
        store.append([*BEGINNING, beans, entry(5, "material_bought", bottle)])
        store.append([entry(7, "remedy_done", oil), thinned])
        write_tables(store, tmp_path / "out")

    with (tmp_path / "out" / "spray_record.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(each["bed"], each["planting"], each["shared_by"]) for each in rows] == [
        ("Quay", "Cannas", "2"),
        ("Wall", "Beans", "2"),
    ]
    assert {each["started"] for each in rows} == {"2026-03-08T07:10+03:00"}
    assert {each["reentry_until"] for each in rows} == {"2026-03-08T11:10+03:00"}
    assert {(each["registration"], each["actives"], each["codes"]) for each in rows} == {
        ("A-1234", "mineral_oil", "; ".join(read_material("mineral_oil").codes))
    }
    assert {(each["product_ml"], each["product_g"], each["missing"]) for each in rows} == {("9", "", "")}
    assert [(each["eppo_host"], each["eppo_pest"]) for each in rows] == [("", ""), ("1AAAA", "BBB0CC")]
    assert {each["growth_stage"] for each in rows} == {"65"}


def test_a_missing_table_is_named(tmp_path: Path) -> None:
    with open_store(tmp_path / "plot.abaxial", create=True) as store:
        write_tables(store, tmp_path / "out")
    (tmp_path / "out" / "weather_hour.csv").unlink()

    with pytest.raises(RecordsError, match="weather_hour"):
        restore_tables(tmp_path / "out", tmp_path / "again.abaxial")


CHANGES = {
    "UPDATE entry SET body = '{}' WHERE seq = 2": "Entry 2",
    "UPDATE entry SET seq = 30 WHERE seq = 7": "Entries 7 to 29 are missing",
    "DELETE FROM entry WHERE seq = 7": "should be number 7, and is number 6",
    "UPDATE entry SET received_at = '2020-01-01 00:00:00.000000' WHERE seq = 2": "came before the one before",
    "UPDATE weather_hour SET rain_mm = 9 WHERE batch = 2 AND rain_mm > 0": "Batch 2 of weather",
    "DELETE FROM weather_hour WHERE batch = 3 AND member = 0": "Batch 3 of weather",
    "DELETE FROM weather_member WHERE batch = 2 AND member = 1": "60 rows of weather_hour belong to nothing",
}


@pytest.mark.parametrize("change", CHANGES)
def test_the_check_finds_what_was_changed_behind_our_back(tmp_path: Path, change: str) -> None:
    path = tmp_path / "plot.abaxial"
    with open_store(path, create=True) as store:
        fill(store)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute(change)

    with open_store(path) as store:
        problems = store.check()
        assert any(CHANGES[change] in each for each in problems), problems
    with pytest.raises(RecordsError, match="plot") as refused:
        restore_backup(path, tmp_path / "again.abaxial")
    assert "older backup" in refused.value.remedy
    assert not list(tmp_path.glob("*again*"))


def test_a_described_garden_goes_through_the_store_unchanged(place: str) -> None:
    garden = garden_from(tomllib.loads(SITE + BED + PLANTING), where="here", folder=".")
    written = entries_of(garden, (), author="Isaura", device="laptop", recorded_at=NOON)
    with open_store(place, create=True) as store:
        store.append(written)
        store.append(
            entries_of(garden, (), author="Isaura", device="phone", recorded_at=datetime(2026, 5, 1, tzinfo=UTC))
        )

        folded = fold(store.entries())
        assert len(store.entries()) == len(written)
    assert folded.garden is not None
    assert write_garden(folded.garden) == write_garden(garden)
    assert folded.questions == ()

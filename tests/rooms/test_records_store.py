"""The store: what is taken in comes back the same, in the order it came, and nothing is ever changed."""

import math
import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some
from tests.journal_pages import BEGINNING, START, described, entries, entry, walked

from abaxial.errors import RecordsError
from abaxial.journal.entries import Entry
from abaxial.journal.fold import fold
from abaxial.records.all_or_nothing import held, writing
from abaxial.records.opening import is_url
from abaxial.records.store import Store, open_store
from abaxial.records.tables import ENTRY

NOON = datetime(2026, 4, 1, 12, tzinfo=UTC)


def as_sent(entry_: Entry) -> Entry:
    return replace(entry_, seq=None, received_at=None)


def test_entries_come_back_as_they_went_in(place: str) -> None:
    odd = entry(9, "note", {"text": "Rost 🌱\u2028", "list": [1, 2.5, None, True, {"a": {}}], "z": 1, "b": 1e-300})
    with open_store(place, create=True) as store:
        given_back = store.append([*BEGINNING, odd])

        assert given_back == store.entries()
        assert [as_sent(each) for each in given_back] == [*BEGINNING, odd]
        assert list(store.entries()[-1].body) == ["text", "list", "z", "b"]


def test_seq_counts_on_in_the_order_of_arrival(place: str) -> None:
    with open_store(place, create=True) as store:
        first = store.append([walked(7), walked(3)])
        second = store.append([walked(5)])

        assert [each.seq for each in first + second] == [1, 2, 3]
        assert [each.id for each in store.entries(after_seq=1)] == [walked(3).id, walked(5).id]


def test_a_closed_garden_opens_as_it_was_left(place: str) -> None:
    with open_store(place, create=True) as store:
        left = store.append(BEGINNING)
        garden_id = store.garden_id

    with open_store(place) as store:
        assert store.entries() == left
        assert store.garden_id == garden_id
        assert store.check() == []


def test_times_come_back_in_universal_time_whatever_clock_they_came_by(place: str) -> None:
    early = datetime.fromisoformat("1890-05-01T07:00:00.123456+05:30")
    with open_store(place, create=True) as store:
        [kept] = store.append([walked(1, happened_from=early)])
        [lying] = store.entries()

        assert kept.happened_from == lying.happened_from == early
        assert lying.happened_from.tzinfo == UTC
        assert lying.recorded_at.tzinfo == UTC


def test_the_store_says_when_an_entry_came(place: str) -> None:
    with open_store(place, create=True) as store:
        [told] = store.append([walked(1)])
        [asked] = store.append([walked(2)], received_at=datetime(2199, 1, 1, tzinfo=UTC))

    assert told.received_at is not None
    assert told.received_at.year >= 2026
    assert asked.received_at == datetime(2199, 1, 1, tzinfo=UTC)


def test_a_clock_set_back_does_not_make_later_entries_seem_earlier(place: str) -> None:
    with open_store(place, create=True) as store:
        store.append([walked(1)], received_at=NOON)
        [later] = store.append([walked(2)], received_at=NOON - timedelta(days=3))

        assert later.received_at == NOON
        assert store.check() == []


def test_at_an_earlier_date_only_what_had_come_by_then_is_seen(place: str) -> None:
    with open_store(place, create=True) as store:
        for day in (1, 2, 3):
            store.append([walked(day)], received_at=NOON + timedelta(days=day))

        assert [each.id for each in store.entries(received_until=NOON + timedelta(days=2))] == [
            walked(1).id,
            walked(2).id,
        ]
        assert store.entries(received_until=NOON) == []


def test_an_entry_twice_is_one_entry_whoever_wrote_it(place: str) -> None:
    with open_store(place, create=True) as store:
        [first] = store.append([walked(1)])
        again = store.append([walked(1, author="Nyambura", device="tablet"), walked(2), walked(2)])

        assert [each.seq for each in again] == [1, 2, 2]
        assert again[0] == first
        assert len(store.entries()) == 2


def test_the_same_id_with_other_content_is_refused_with_all_that_came_with_it(place: str) -> None:
    with open_store(place, create=True) as store:
        store.append([walked(1)])

        with pytest.raises(RecordsError, match="says something else") as refused:
            store.append([walked(2), replace(walked(3), id=walked(1).id)])
        assert "correction" in refused.value.remedy
        assert [each.id for each in store.entries()] == [walked(1).id]
        assert store.append([walked(4)])[0].seq == 2


def test_entries_of_a_later_version_are_kept(place: str) -> None:
    strange = entry(4, "leaf_sung_to", {"song": ["a", {"verse": 2}]}, version=7, corrects="whatever")
    with open_store(place, create=True) as store:
        store.append([strange])

        assert [as_sent(each) for each in store.entries()] == [strange]


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"id": "7"}, "32 hexadecimal"),
        ({"id": "A" * 32}, "32 hexadecimal"),
        ({"kind": ""}, "no kind"),
        ({"version": True}, "version"),
        ({"author": "a\x00"}, "author"),
        ({"device": "\ud800"}, "device"),
        ({"recorded_at": START.replace(tzinfo=None)}, "recorded_at"),
        ({"happened_to": START.replace(year=9)}, "happened_to"),
        ({"body": {"n": math.nan}}, "body"),
        ({"body": {"t": {1: 2}}}, "body"),
        ({"body": {"t": "\x00"}}, "body"),
        ({"body": ["x"]}, "body"),
    ],
)
def test_what_could_not_be_given_back_as_it_came_is_refused(
    tmp_path: Path, wrong: dict[str, object], told: str
) -> None:
    with open_store(tmp_path / "plot.abaxial", create=True) as store:
        with pytest.raises(RecordsError, match=told) as refused:
            store.append([walked(1), replace(walked(2), **wrong)])  # type: ignore[arg-type]
        assert refused.value.remedy
        assert store.entries() == []


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(sent=some.lists(entries(some.integers(0, 2**60).map(lambda number: f"{number:032x}")), max_size=5))
def test_any_entry_comes_back_the_same_or_is_refused(store: Store, sent: list[Entry]) -> None:
    for each in sent:
        before = store.entries()
        try:
            [given_back] = store.append([each])
        except RecordsError:
            assert store.entries() == before
        else:
            assert store.entries()[-1:] == [given_back] or given_back in before
            assert fold(store.entries(after_seq=given_back.seq - 1)[:1]) == fold([given_back])  # type: ignore[operator]


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """A new garden file, opened."""
    return open_store(tmp_path / "plot.abaxial", create=True)


def test_all_who_write_at_once_get_one_row_of_numbers(place: str) -> None:
    open_store(place, create=True).close()

    def write(begin: int) -> None:
        with open_store(place, wait_s=20) as store:
            for each in range(25):
                store.append([walked(begin + each), walked(5000)])

    threads = [threading.Thread(target=write, args=(begin,)) for begin in (1000, 2000, 3000)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    with open_store(place) as store:
        assert [each.seq for each in store.entries()] == list(range(1, 77))
        assert store.check() == []


def test_who_waits_too_long_for_another_is_told(place: str) -> None:
    with open_store(place, create=True) as other, open_store(place, wait_s=0.2) as store:
        with writing(other.opened.engine, place, 5.0) as connection:
            held(connection, other.opened.garden)

            with pytest.raises(RecordsError, match="somebody else kept writing"):
                store.append([walked(9)])
        assert store.append([walked(9)])[0].seq == 1


def test_a_garden_is_made_only_where_none_is(place: str) -> None:
    with open_store(place, create=True, garden_id="a" * 32):
        with pytest.raises(RecordsError, match="already"):
            open_store(place, create=True, garden_id="a" * 32)
        with pytest.raises(RecordsError, match="no id"):
            open_store(f"{place}.2" if not is_url(place) else place, create=True, garden_id="seven")


def test_two_gardens_in_one_database_know_nothing_of_each_other(database: str) -> None:
    with open_store(database, create=True) as one, open_store(database, create=True) as other:
        one.append([described(0), walked(1)])
        other.append([walked(1, "Beans")])
        one.put_checkpoint("k", "0" * 64, b"one")

        assert [each.seq for each in other.entries()] == [1]
        assert other.entries()[0].body == walked(1, "Beans").body
        assert other.checkpoint("k", "0" * 64) is None
        assert one.check() == other.check() == []
        with open_store(f"{database}&garden={other.garden_id}") as named:
            assert named.entries() == other.entries()


def test_a_database_of_several_gardens_asks_which(database: str) -> None:
    ids = []
    for _ in range(2):
        with open_store(database, create=True) as store:
            ids.append(store.garden_id)

    with pytest.raises(RecordsError, match="2 gardens") as several:
        open_store(database)
    assert all(each in several.value.remedy for each in ids)
    with pytest.raises(RecordsError, match="no garden ffff"):
        open_store(f"{database}&garden={'f' * 32}")


def test_a_database_without_tables_says_so(database: str) -> None:
    with pytest.raises(RecordsError, match="no garden yet"):
        open_store(database)


def test_a_server_that_does_not_answer_is_named_without_its_password(tmp_path: Path) -> None:
    with pytest.raises(RecordsError, match="does not answer") as refused:
        open_store(f"postgresql://someone:geheim@/nothing?host={tmp_path}")

    assert "geheim" not in refused.value.message + refused.value.where


def test_entries_lie_readable_in_their_table(store: Store) -> None:
    store.append([described()])

    with store.opened.engine.connect() as connection:
        lying = connection.exec_driver_sql("SELECT happened_from, body FROM entry").one()
    assert lying[0].startswith("2026-03-01 07:00:00")
    assert '"Africa/Nairobi"' in lying[1]
    assert set(ENTRY.columns.keys()) >= set(Entry.__dataclass_fields__)

"""A checkpoint is believed only while all it came from is unchanged."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.journal_pages import BEGINNING, START, entry, made, walked
from tests.rooms.invented_batches import FIRST_HOUR, NOON, batch, forecast, hours

from abaxial.hours import garden_day
from abaxial.journal.entries import Entry
from abaxial.records.store import Store, open_store

ZONE = "Africa/Nairobi"
#: a garden day well after the beginning
DAY = garden_day(FIRST_HOUR, ZONE) + 12
LATER = START + timedelta(days=40)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """A garden with a walk and two days of weather."""
    store = open_store(tmp_path / "plot.abaxial", create=True)
    store.append([*BEGINNING, walked(6)])
    store.add_weather(batch())
    return store


def later(kind: str, body: dict[str, object], **others: object) -> Entry:
    """An entry of something that happened after the day."""
    return entry(900, kind, body, happened_from=LATER, happened_to=LATER, **others)


def test_a_checkpoint_is_found_by_its_key_and_what_it_came_from(place: str) -> None:
    with open_store(place, create=True) as store:
        digest = store.chain_digest(DAY)
        store.put_checkpoint("state", digest, b"\x00one")
        store.put_checkpoint("state", digest, b"\x00two")

        assert store.checkpoint("state", digest) == b"\x00two"
        assert store.checkpoint("state", "f" * 64) is None
        assert store.checkpoint("other", digest) is None


@pytest.mark.parametrize(
    "new",
    [
        walked(30),
        later("planting_made", dict(made(1, since="2026-04-01").body)),
        later("minutes_set", {"minutes": 10}),
        later("rain_noted", {"rain_mm": 3.0}),
        later("retraction", {}, corrects=f"{777:032x}"),
        later("note", {"text": "at last"}),
    ],
    ids=lambda each: each.kind,
)
def test_what_speaks_only_of_later_days_leaves_it_valid(store: Store, new: Entry) -> None:
    before = store.chain_digest(DAY)
    store.append([new])

    assert store.chain_digest(DAY) == before


@pytest.mark.parametrize(
    "new",
    [
        walked(7),
        walked(11),
        later("planting_made", {**made(1, "Beans").body, "since": "2026-03-02"}),
        later("rain_noted", {"rain_mm": 3.0, "since": "2026-03-05", "at": "2026-03-06 07:00"}),
        later("bed_changed", {"bed": "Quay", "soil": "clay"}),
        later("values_set", {"values": {"clump": 3}}),
        later("retraction", {}, corrects=walked(6).id),
        later("correction", {"body": walked(6, "Beans").body}, corrects=walked(6).id),
        later("invented_later", {}),
    ],
    ids=lambda each: each.kind,
)
def test_what_speaks_of_earlier_days_makes_it_invalid_however_late_it_comes(store: Store, new: Entry) -> None:
    before = store.chain_digest(DAY)
    store.append([new])

    assert store.chain_digest(DAY) != before


def test_a_correction_that_moves_something_into_the_days_counts_too(store: Store) -> None:
    store.append([walked(35)])
    before = store.chain_digest(DAY)
    store.append([later("correction", {"happened_from": "2026-03-08T07:00:00Z"}, corrects=walked(35).id)])

    assert store.chain_digest(DAY) != before


def test_a_note_of_last_night_reaches_back_over_the_edge_of_the_day(store: Store) -> None:
    before = store.chain_digest(DAY)
    morning = datetime(2026, 3, 14, 10, tzinfo=UTC)
    store.append([entry(901, "rain_noted", {"rain": "last night"}, happened_from=morning, happened_to=morning)])

    assert store.chain_digest(DAY) != before


WEATHER: dict[str, tuple[Callable[[Store], object], bool]] = {
    "later hours alone": (lambda store: store.add_weather(batch(hours(first_hour=FIRST_HOUR + 30 * 24))), False),
    "a forecast of later days": (lambda store: store.add_weather(forecast(NOON + timedelta(days=13))), False),
    "the same file": (lambda store: store.add_weather(batch()), False),
    "a forecast of these days": (lambda store: store.add_weather(forecast(NOON + timedelta(days=12))), True),
    "another file of these days": (lambda store: store.add_weather(batch(hours(warmth=18.0))), True),
    "a file withdrawn": (lambda store: store.withdraw_weather(1), True),
}


@pytest.mark.parametrize("change", WEATHER)
def test_weather_of_the_days_makes_it_invalid_and_no_other(store: Store, change: str) -> None:
    before = store.chain_digest(DAY)
    act, matters = WEATHER[change]
    act(store)

    assert (store.chain_digest(DAY) != before) == matters


def test_two_files_alike_up_to_the_day_are_the_same_to_it(tmp_path: Path) -> None:
    digests = []
    for number, size in enumerate((30 * 24, 40 * 24)):
        whole = hours(40 * 24)
        cut = replace(hours(size), **{name: getattr(whole, name)[:size] for name in ("temperature_c", "rain_mm")})
        for name in ("relative_humidity_frac", "wind_speed_m_s", "cloud_frac"):
            getattr(cut, name)[:] = getattr(whole, name)[:size]
        cut.marks["rain_mm"][:] = 0
        with open_store(tmp_path / f"{number}.abaxial", create=True) as store:
            store.add_weather(batch(cut))
            digests.append(store.chain_digest(DAY))

    assert digests[0] == digests[1]


def test_parameters_and_the_day_itself_are_part_of_it(store: Store) -> None:
    digests = {
        store.chain_digest(DAY),
        store.chain_digest(DAY + 1),
        store.chain_digest(DAY, parameters={"canna": "0a"}),
        store.chain_digest(DAY, parameters={"canna": "0b"}),
    }

    assert len(digests) == 4


def test_at_an_earlier_date_it_is_what_it_was_then(store: Store) -> None:
    now = datetime(2199, 1, 1, tzinfo=UTC)
    before = store.chain_digest(DAY)
    store.append([walked(8)], received_at=now + timedelta(days=1))
    store.add_weather(replace(batch(hours(warmth=3.0)), received_at=now + timedelta(days=1)))

    assert store.chain_digest(DAY, received_until=now) == before


def test_the_order_in_which_entries_came_does_not_matter(tmp_path: Path) -> None:
    digests = []
    for order in (BEGINNING, BEGINNING[::-1]):
        with open_store(tmp_path / f"{len(digests)}.abaxial", create=True) as store:
            store.append(order)
            digests.append(store.chain_digest(DAY))

    assert digests[0] == digests[1]

"""Weather in the store: as it came, in the order it came, and merged without ever writing over what was observed."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from tests.rooms.invented_batches import FIRST_HOUR, NOON, batch, forecast, hours, told, told_batch

from abaxial.errors import RecordsError
from abaxial.records.store import open_store
from abaxial.records.weather_batches import LINK, hour_chain, lived_series
from abaxial.weather.series import Mark, empty

DAY = timedelta(days=1)


def test_a_batch_comes_back_as_it_came(place: str) -> None:
    sent = forecast(NOON, members=3)
    with open_store(place, create=True) as store:
        number = store.add_weather(sent)
        [back] = store.weather()

        assert number == back.number == 1
        assert told_batch(back) == told_batch(sent)
        assert store.check() == []


def test_a_batch_in_which_nothing_is_known_is_kept_too(place: str) -> None:
    silent = batch(empty(FIRST_HOUR, 5), empty(FIRST_HOUR, 0))
    with open_store(place, create=True) as store:
        store.add_weather(silent)

        assert told_batch(store.weather()[0]) == told_batch(silent)


def test_the_same_file_twice_is_one_batch_and_the_same_file_read_otherwise_another(place: str) -> None:
    again = replace(batch(), received_at=NOON + 9 * DAY)
    otherwise = replace(batch(hours(warmth=62.6)), reader={"form": "delimited", "unit": "F"})
    with open_store(place, create=True) as store:
        numbers = [store.add_weather(each) for each in (batch(), again, otherwise)]

        assert numbers == [1, 1, 2]
        assert store.weather()[0].received_at == batch().received_at


def test_the_store_says_when_a_batch_came_if_nobody_else_does(place: str) -> None:
    with open_store(place, create=True) as store:
        store.add_weather(replace(batch(), received_at=None))
        [back] = store.weather()

        assert back.received_at is not None
        assert back.received_at.year >= 2026


def test_a_batch_that_cannot_be_kept_is_refused(place: str) -> None:
    with open_store(place, create=True) as store:
        for wrong in (
            replace(batch(), members=()),
            replace(batch(), kind=""),
            replace(batch(), source="a\x00"),
            replace(batch(), reader={"x": object()}),
        ):
            with pytest.raises(RecordsError):
                store.add_weather(wrong)
        assert store.weather() == []


def test_at_an_earlier_date_later_weather_is_not_seen(place: str) -> None:
    with open_store(place, create=True) as store:
        for day in range(3):
            store.add_weather(forecast(NOON + day * DAY))

        seen = store.weather(received_until=NOON + 1.5 * DAY)
        assert [each.issued_at for each in seen] == [NOON, NOON + DAY]


def test_a_withdrawn_batch_is_seen_only_by_those_who_look_from_before(place: str) -> None:
    with open_store(place, create=True) as store:
        number = store.add_weather(batch())
        store.withdraw_weather(number, withdrawn_at=NOON + 9 * DAY)

        assert store.weather() == []
        assert len(store.weather(received_until=NOON + 8 * DAY)) == 1
        with pytest.raises(RecordsError, match="no batch 1"):
            store.withdraw_weather(number)
        assert store.check() == []


def test_old_batches_can_be_left_out(place: str) -> None:
    with open_store(place, create=True) as store:
        store.add_weather(batch())
        store.add_weather(batch(hours(first_hour=FIRST_HOUR + 48)))

        assert [each.number for each in store.weather(from_hour=FIRST_HOUR + 48)] == [2]


def test_what_was_observed_is_never_written_over() -> None:
    station, later = batch(hours(24)), batch(hours(48, warmth=30.0))
    ahead = forecast(NOON - DAY, warmth=5.0)
    series = lived_series([ahead, station, later], FIRST_HOUR + 40)

    assert series.first_hour == FIRST_HOUR - 24
    assert series.end_hour == FIRST_HOUR + 40
    there = np.isfinite(station.members[0].temperature_c)
    assert (series.temperature_c[24:48] == station.members[0].temperature_c)[there].all()
    assert series.temperature_c[48 + 3] == later.members[0].temperature_c[24 + 3]
    assert series.marks["temperature_c"][0] & Mark.FORECAST


def test_of_two_forecasts_the_one_issued_last_stands_however_late_the_other_came() -> None:
    early, late = forecast(NOON, warmth=5.0), forecast(NOON + DAY, warmth=25.0)

    for order in ([early, late], [late, early]):
        series = lived_series(order, FIRST_HOUR + 60)
        assert series.temperature_c[30] == late.members[0].temperature_c[6]
        assert series.temperature_c[3] == early.members[0].temperature_c[3]


def test_no_weather_is_a_series_without_hours() -> None:
    assert lived_series([], FIRST_HOUR).hours == 0


def test_a_link_stands_for_everything_up_to_its_hour() -> None:
    long, short = hours(48), hours(48)
    short.temperature_c[40] += 1e-9
    long_chain, short_chain = hour_chain([long]), hour_chain([short])

    assert len(long_chain) == 48 * LINK
    assert long_chain[: 40 * LINK] == short_chain[: 40 * LINK]
    assert all(long_chain[i : i + LINK] != short_chain[i : i + LINK] for i in range(40 * LINK, 48 * LINK, LINK))


def test_reading_and_writing_a_year_of_hours_changes_nothing(place: str) -> None:
    year = batch(hours(8760))
    with open_store(place, create=True) as store:
        store.add_weather(year)

        assert told(store.weather()[0].members[0]) == told(year.members[0])

"""What people notice of rain and wet leaves."""

from datetime import UTC, date, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.errors import WeatherError
from abaxial.hours import hour_of
from abaxial.place import Place
from abaxial.weather.observations import read_note, read_notes, wetness_likelihood

PLACE = Place(-27.5, 153.0, 20.0, "Australia/Brisbane")


def hour(*moment):
    """The hour of a moment on Brisbane's clock, ten hours ahead of UTC all year."""
    return hour_of(datetime(*moment, tzinfo=UTC)) - 10


def test_thirty_millimetres_since_sunday_cover_sunday_to_the_reading():
    seen = read_note({"rain_mm": 30, "since": "Sunday", "at": "2026-03-04 07:00"}, PLACE, where="notes")

    assert (seen.first_hour, seen.end_hour) == (hour(2026, 3, 1, 0), hour(2026, 3, 4, 7))
    assert seen.amount_mm == 30.0


def test_since_the_weekday_it_is_means_a_week_ago():
    seen = read_note({"rain_mm": 30, "since": "wednesday", "at": date(2026, 3, 4)}, PLACE, where="notes")

    assert seen.first_hour == hour(2026, 2, 25, 0)


def test_a_gauge_without_since_covers_a_day():
    seen = read_note({"rain_in": 0.5, "at": datetime(2026, 3, 4, 7)}, PLACE, where="notes")

    assert seen.end_hour - seen.first_hour == 24
    assert seen.amount_mm == pytest.approx(12.7)


def test_a_small_reading_is_less_sure_than_a_large_one():
    small, large = (read_note({"rain_mm": mm, "at": date(2026, 3, 4)}, PLACE, where="notes") for mm in (0.5, 40))

    assert small.log_sd > 3 * large.log_sd


def test_rain_last_night_says_that_and_not_how_much():
    seen = read_note({"rain": "last night", "at": "2026-03-04"}, PLACE, where="notes")

    assert (seen.happened, seen.amount_mm) == (True, None)
    assert (seen.first_hour, seen.end_hour) == (hour(2026, 3, 3, 18), hour(2026, 3, 4, 7))


def test_no_rain_last_night_is_a_dry_night():
    seen = read_note({"rain": "none last night", "at": "2026-03-04"}, PLACE, where="notes")

    assert (seen.happened, seen.amount_mm) == (False, 0.0)


def test_notes_are_put_in_order_of_time():
    notes = read_notes(
        [
            {"leaves": "damp", "at": "2026-03-05", "bed": "north", "level": "lower"},
            {"leaves": "dry", "at": "2026-03-04 07:00"},
        ],
        PLACE,
    )

    assert [each.state for each in notes.wetness] == ["dry", "damp"]
    assert notes.wetness[0].hour == hour(2026, 3, 4, 7)


@pytest.mark.parametrize(
    ("note", "said"),
    [
        ({"rain_mm": "12", "at": "2026-03-04"}, "rain_mm is '12'"),
        ({"rain_mm": -3, "at": "2026-03-04"}, "rain_mm is -3"),
        ({"rain_mm": True, "at": "2026-03-04"}, "rain_mm is True"),
        ({"rain_mm": 12}, "does not say when"),
        ({"rain_mm": 12, "at": "yesterday"}, "'yesterday' is not a date"),
        ({"rain_mm": 12, "at": "2026-03-04", "since": "2026-03-05"}, "begins at"),
        ({"rain": "a bit", "at": "2026-03-04"}, "rain is 'a bit'"),
        ({"rain": "none", "at": "2026-03-04"}, "without saying since when"),
        ({"leaves": "moist", "at": "2026-03-04"}, "leaves are 'moist'"),
        ({"leaves": "dry", "at": "2026-03-04", "level": "middle"}, "level is 'middle'"),
        ({"leafs": "dry", "at": "2026-03-04"}, "'leafs' is not"),
        ({"leaves": "dry", "rain_mm": 1, "at": "2026-03-04"}, "says one thing"),
        ({"at": "2026-03-04"}, "says nothing of rain or leaves"),
    ],
)
def test_a_note_that_cannot_be_read_is_named_with_its_value(note, said):
    with pytest.raises(WeatherError, match=said) as caught:
        read_notes([{"leaves": "dry", "at": "2026-03-01"}, note], PLACE, where="garden.toml")

    assert "note 2" in caught.value.message
    assert caught.value.remedy


@given(st.floats(0, 1))
def test_the_three_words_for_wet_leaves_share_one_certainty(wet_frac):
    chances = [wetness_likelihood(state, wet_frac) for state in ("dripping", "damp", "dry")]

    assert sum(chances) == pytest.approx(1.0)
    assert min(chances) > 0.0


def test_the_wetter_the_leaf_the_likelier_it_is_called_dripping():
    wet = np.linspace(0, 1, 50)

    assert (np.diff(wetness_likelihood("dripping", wet)) >= 0).all()
    assert (np.diff(wetness_likelihood("dry", wet)) <= 0).all()

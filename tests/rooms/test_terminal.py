"""The page in a terminal: what matters first, 80 columns, nothing that moves the cursor."""

from dataclasses import replace

from tests.rooms.invented_week import hostile_week, invented_week

from abaxial.report.answers.week import Reason
from abaxial.report.pages.week import week_page
from abaxial.report.terminal import MOST_SECTIONS, page_text

WEEK = invented_week()
TEXT = page_text(week_page(WEEK, {}))


def test_the_first_line_after_the_head_is_the_one_that_matters() -> None:
    assert TEXT.split("\n\n")[1].startswith("Turn the low leaves of the quay cannas on Thursday 26 November")


def test_no_line_is_wider_than_eighty_columns() -> None:
    assert max(map(len, TEXT.splitlines())) <= 80


def test_long_names_do_not_widen_the_page() -> None:
    long = replace(WEEK.plantings[0], planting="a" * 200, bed="b" * 90)

    text = page_text(week_page(replace(WEEK, plantings=(long, *WEEK.plantings[1:])), {}))
    assert max(map(len, text.splitlines())) <= 80


def test_tasks_come_before_reasons_and_reasons_before_numbers() -> None:
    order = [
        "WHAT TO DO",
        "WHY: THE QUAY CANNAS",
        "ALL PLANTINGS",
        "WHAT A CHANGE OF HABIT",
        "WHERE THE NUMBERS COME FROM",
    ]

    assert [TEXT.index(each) for each in order] == sorted(TEXT.index(each) for each in order)


def test_never_more_than_three_tasks() -> None:
    text = page_text(week_page(replace(WEEK, tasks=WEEK.tasks * 3), {}))

    assert "\n3. " in text
    assert "\n4. " not in text


def test_a_name_cannot_move_the_cursor() -> None:
    text = page_text(week_page(replace(WEEK, garden="Quay\x1b[2J\r\x07"), {}))

    assert all(char == "\n" or char.isprintable() for char in text)


def test_hostile_names_do_no_harm() -> None:
    assert "<SCRIPT>ALERT('X')</SCRIPT>" in page_text(week_page(hostile_week(), {}))


def test_many_plantings_are_told_in_the_table_and_the_first_ones_in_full() -> None:
    text = page_text(week_page(invented_week(30), {}))

    assert text.count("WHAT A CHANGE OF HABIT WOULD DO") == MOST_SECTIONS
    assert f"{30 - MOST_SECTIONS} more in the table above" in text


def test_an_empty_garden_is_told_kindly() -> None:
    empty = replace(WEEK, plantings=(), tasks=(), unknown=(), headline=Reason("empty_garden", {}))

    text = page_text(week_page(empty, {}))
    assert "There are no plants in this garden yet." in text
    assert "Nothing this week." in text


def test_what_cannot_be_known_is_followed_by_what_would_tell() -> None:
    headline = Reason("cannot_know", {"what": "rain"})

    text = " ".join(page_text(week_page(replace(WEEK, headline=headline), {})).split())
    assert "We do not know the rain, so we cannot say what is in the leaf; one line saying when it last rained" in text


def test_no_forecast_is_said() -> None:
    text = " ".join(page_text(week_page(replace(WEEK, forecast_until=WEEK.weather_until), {})).split())

    assert "There is no forecast" in text

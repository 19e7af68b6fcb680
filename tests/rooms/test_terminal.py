"""The page in a terminal: what matters first, 80 columns, nothing that moves the cursor."""

from dataclasses import replace

from tests.rooms.invented_week import hostile_week, invented_week, week_without_estimate

from abaxial.report.answers.week import Reason
from abaxial.report.pages.week import week_page
from abaxial.report.terminal import page_text

WEEK = invented_week()
TEXT = page_text(week_page(WEEK, {}))
#: what an estimate adds once: two rows of the strip, a heading with its blank line, what moved it, what shares mean
EXTRA_LINES = 9


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
        "WHAT WE DO NOT KNOW",
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


def test_seven_plantings_fit_in_ninety_lines_and_a_line_for_each_with_an_estimate() -> None:
    bare = page_text(week_page(week_without_estimate(), {}))

    assert len(bare.splitlines()) <= 90
    assert len(TEXT.splitlines()) <= 90 + 7 + EXTRA_LINES


def test_each_planting_says_in_one_line_how_it_is_doing() -> None:
    told = TEXT.split("HOW EACH IS DOING\n")[1].split("\n\n")[0].splitlines()

    assert len(told) == 7
    assert told[0] == "– the quay cannas: growing, 4 % shows, 8 % hidden; more in a fortnight 8 in 10"
    assert told[1] == "– prayer plants under the fig: nothing found so far; any rust 2 in 10"
    assert told[6] == "– the spare bed: no leaves"


def test_a_terminal_leaves_the_wide_tables_to_the_page() -> None:
    assert "THE WEEKS AHEAD" not in TEXT
    assert "WHAT THE WALKS" not in TEXT


def test_many_plantings_are_told_in_the_table_and_the_first_in_full() -> None:
    week = invented_week(30)
    text = page_text(week_page(week, {}))

    assert text.count("WHAT A CHANGE OF HABIT WOULD DO") == 1
    assert len(text.splitlines()) <= 90 + 30 + 2 * 23 + EXTRA_LINES
    assert "The other plantings, every night and every figure: the page (--out week.html)." in text


def test_the_first_line_is_not_said_twice() -> None:
    headline = "the wet night of 13 November let in enough to matter"
    turn = replace(WEEK.tasks[0], why=WEEK.headline)
    text = " ".join(page_text(week_page(replace(WEEK, tasks=(turn,)), {})).split())

    assert text.count(headline) == 1


def test_a_long_list_of_doubts_keeps_the_two_that_hold_for_the_whole_page() -> None:
    doubts = tuple(Reason("suspect_values", {"variable": f"thing_{number}", "count": 3}) for number in range(12))
    text = " ".join(page_text(week_page(replace(WEEK, unknown=doubts), {})).split())

    assert "8 more on the page" in text
    assert "Weather is known until 25 November 06:00" in text
    assert "It does not know whether they were." in text


def test_sources_are_short_here_and_the_making_takes_two_lines() -> None:
    tail = TEXT.split("WHERE THE NUMBERS COME FROM\n")[1].splitlines()

    assert tail[0] == "allen1998, campbell1998, mastrandrea2010. The page lists them in full."
    assert tail[1].startswith("Made by Abaxial 0.1.0 at 2026-11-25 06:00 UTC from")
    assert len(tail) <= 3


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

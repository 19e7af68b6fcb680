"""The page of a walk: the stops in order, why each is worth its minutes, and a sheet to fill in by hand."""

from dataclasses import replace
from io import BytesIO

from pypdf import PdfReader
from tests.rooms.invented_walk import invented_walk

from abaxial.report import render
from abaxial.report.answers.walk import WalkAnswer
from abaxial.report.answers.week import Reason

WALK = invented_walk()
TEXT = render.terminal_text(WALK)
PAGE = render.html_text(WALK)


def _said(answer: WalkAnswer) -> str:
    return " ".join(render.terminal_text(answer).split())


def test_the_first_line_says_how_long_how_many_stops_and_how_many_leaves() -> None:
    assert TEXT.split("\n\n")[1] == "About 25 minutes today: 3 stops, 61 leaves to turn, in this order."


def test_stops_stand_in_the_order_of_walking_however_they_come() -> None:
    shuffled = replace(WALK, stops=WALK.stops[::-1])

    assert render.terminal_text(shuffled) == TEXT
    assert (
        TEXT.index("1. the cistern pelargoniums") < TEXT.index("2. the quay cannas") < TEXT.index("3. the wall beans")
    )


def test_each_stop_says_how_many_leaves_on_how_many_plants_and_why() -> None:
    said = _said(WALK)

    assert "the quay cannas: turn 40 low leaves, spread over 12 plants. Quay bed, about 15 minutes." in said
    assert "; a look would take away about 4 in 10 of that doubt." in said
    assert "the wall beans: turn 1 leaf of one plant." in said


def test_what_finding_nothing_would_mean_is_told_where_it_means_something() -> None:
    said = _said(WALK)

    assert "If none of 40 leaves has rust, fewer than 1 leaf in 17 can be expected to show it." in said
    assert said.count("If none of") == 2


def test_beds_not_worth_a_look_are_named() -> None:
    assert "A look would tell little today in day lilies by the gate and the spare bed." in _said(WALK)


def test_the_sheet_has_room_for_what_is_found_and_for_what_was_not_planned() -> None:
    sheet = PAGE[PAGE.index('<table class="sheet">') :].split("</table>")[0]

    assert [each in sheet for each in ("Planting", "Part", "Turned", "With rust")] == [True] * 4
    assert sheet.count("<tr>") == 1 + len(WALK.stops) + 4
    assert sheet.count("<td></td><td></td></tr>") == len(WALK.stops) + 4


def test_the_sheet_is_on_paper_too() -> None:
    words = " ".join(page.extract_text() for page in PdfReader(BytesIO(render.pdf_bytes(WALK))).pages)

    assert "To fill in by hand" in words
    assert "Who looked" in words


def test_stems_are_looked_at_and_not_turned() -> None:
    stems = replace(WALK, stops=(replace(WALK.stops[0], part="stem"),))

    assert "look at the stems of 5 plants" in _said(stems)


def test_nothing_to_walk_for_is_told_kindly_and_without_a_sheet() -> None:
    rest = replace(WALK, headline=Reason("walk_nothing", {}), stops=())

    assert "There is nothing to walk for today" in _said(rest)
    assert "To fill in by hand" not in render.html_text(rest)


def test_a_hostile_name_stays_a_name() -> None:
    nasty = replace(WALK, stops=(replace(WALK.stops[0], planting="<b>\x1b[2J</b>", bed="#x *y*"),))

    assert "<b>" not in render.html_text(nasty)
    assert "\x1b" not in render.terminal_text(nasty)
    assert render.pdf_bytes(nasty).startswith(b"%PDF")

"""The shelf, a mix, hours for spraying, what was cut: each in text, HTML, PDF and JSON, none without its precautions."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from tests.rooms.invented_cards import invented_disposal, invented_hours, invented_mix, invented_shelf, no_mix

from abaxial.errors import FaultError
from abaxial.report import render, schema
from abaxial.report.answers.mix import MixAnswer
from abaxial.report.envelope import Answer

ANSWERS: dict[str, Answer] = {
    "shelf": invented_shelf(),
    "mix": invented_mix(),
    "when": invented_hours(),
    "dispose": invented_disposal(),
}
SCHEMAS = Path(schema.__file__).parent / "schemas"
FIRST = "The product’s label and the law where you live come first"


def _flowing(answer: Answer) -> str:
    return " ".join(render.terminal_text(answer).split())


@pytest.mark.parametrize("command", ANSWERS)
def test_every_small_page_is_told_on_screen_and_on_paper(command: str) -> None:
    answer = ANSWERS[command]
    text = render.terminal_text(answer)

    assert max(map(len, text.splitlines())) <= 80
    assert text.splitlines()[0] == "TAMARISK STEPS"
    assert FIRST in _flowing(answer)
    assert FIRST in " ".join(render.html_text(answer).split())
    assert render.pdf_bytes(answer).startswith(b"%PDF")


@pytest.mark.parametrize("command", ANSWERS)
def test_every_small_answer_keeps_to_its_schema(command: str) -> None:
    told = json.loads(render.json_text(ANSWERS[command]))
    committed = json.loads((SCHEMAS / f"{command}.json").read_text(encoding="utf-8"))

    assert told["schema"] == f"abaxial/{command}/1"
    assert [error.message for error in Draft202012Validator(committed).iter_errors(told)] == []


@pytest.mark.parametrize("command", ["mix", "when", "dispose"])
def test_no_small_page_that_can_hurt_is_shown_without_its_precautions(command: str) -> None:
    answer = ANSWERS[command]
    assert not isinstance(answer, type(invented_shelf()))

    for render_it in (render.terminal_text, render.html_text, render.pdf_bytes):
        with pytest.raises(FaultError, match="precautions"):
            render_it(replace(answer, precautions=()))


def test_a_shelf_says_what_is_left_what_its_labels_lack_and_when_each_may_be_used() -> None:
    text = _flowing(ANSWERS["shelf"])

    assert "3 bottles stand on the shelf; 1 of them may be used in the days ahead." in text
    assert "Green bottle: how soon it is safe from rain." in text
    assert "the wall beans: Sunday 6 December. 3 days lie between this and Shed oil" in text
    assert "never proposed" in text


def test_an_empty_shelf_is_told_kindly() -> None:
    assert "There is nothing on the shelf." in _flowing(replace(invented_shelf(), bottles=()))


def test_a_mix_begins_with_its_precautions_and_ends_with_writing_it_down() -> None:
    text = _flowing(ANSWERS["mix"])

    assert text.index("BEFORE YOU BEGIN") < text.index("HOW MUCH") < text.index("STEP BY STEP")
    assert "Measures for it never go back to the kitchen." in text
    assert "13. Write it down" in text


def test_a_mix_that_cannot_be_measured_says_what_stands_in_the_way() -> None:
    answer: MixAnswer = no_mix()

    assert "0.2 ml of Shed oil is too little to measure; 5 ml is the least. It could be measured for 12 l" in _flowing(
        answer
    )


def test_every_closed_stretch_of_hours_has_its_reason_and_every_bed_is_told() -> None:
    text = _flowing(ANSWERS["when"])

    assert "Shed oil on Quay bed: tomorrow from 17:00 to 19:00, best at 17:30; about 8 in 10." in text
    assert "there is too much wind" in text
    assert (
        "WHAT CLOSES THEM – For 40 hours ahead, rain comes before the spray has dried on; 3 hours would be open" in text
    )
    assert "SHED OIL, GATE BORDER" in text


def test_no_open_hour_needs_no_precautions_and_puts_other_work_first() -> None:
    shut = replace(invented_hours(), beds=invented_hours().beds[1:2], precautions=())

    assert "No hour ahead is fit for spraying; the work that needs no sprayer comes first." in _flowing(shut)


def test_what_was_cut_goes_into_the_bin_and_a_cool_heap_is_refused_with_the_reason() -> None:
    text = _flowing(ANSWERS["dispose"])

    assert "bag it and put it in the bin with household waste." in text
    assert "52.5 ml of bleach of 5 % into 447 ml of cold water" in text
    assert "leave it in the mix for 10 minutes" in text
    assert "The heap was too cool, or not hot for long enough" in text
    assert "hot days 4 of 15; no moisture measured" in render.html_text(ANSWERS["dispose"])
    assert "with acid, ammonia or alcohol it makes poisonous gas" in text

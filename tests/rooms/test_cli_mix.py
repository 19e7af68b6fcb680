"""The mixing card at the command line: never without its precautions, and why there is none where there is none."""

from pathlib import Path

import pytest
from tests.tended_garden import AT, answered, lay_out, told

from abaxial.label.mixing.card import USUAL


@pytest.fixture(autouse=True)
def garden(folder: Path) -> Path:
    """The description of a small garden."""
    return lay_out(folder)


def test_a_card_begins_with_its_precautions_and_keeps_the_rate_of_the_label(capsys: pytest.CaptureFixture[str]):
    answer = answered(capsys, "mix", "Brown glass", "cannas", *AT)
    page = told(capsys, "mix", "Brown glass", "cannas", *AT)

    assert set(USUAL) <= {each["kind"] for each in answer["precautions"]}
    assert 0.0 < answer["mix"]["doses"][0]["whole"] <= 10.0 * answer["mix"]["whole_l"] * (1 + 1e-9)
    assert page.index("BEFORE YOU BEGIN") < page.index("HOW MUCH") < page.index("STEP BY STEP")
    assert "The product’s label and the law where you live come first." in page


def test_a_smaller_sprayer_takes_more_tankfuls_of_the_same_mix(capsys: pytest.CaptureFixture[str]):
    large, small = (
        answered(capsys, "mix", "Brown glass", "Cannas", "--tank", tank, *AT)["mix"] for tank in ("5", "0.5")
    )

    assert large["tankfuls"] == 1
    assert small["tankfuls"] > 1
    assert small["tankful_l"] <= 0.5
    assert small["whole_l"] == pytest.approx(large["whole_l"], rel=0.1)


@pytest.mark.parametrize(
    ("bottle", "planting", "kind"),
    [
        ("Garlic water", "Cannas", "home_brew"),
        ("Old tin", "Cannas", "label_incomplete"),
        ("Brown glass", "Daylilies", "bed_asked"),
    ],
)
def test_where_label_or_bed_forbid_it_there_is_no_card_and_the_reason_is_told(
    capsys: pytest.CaptureFixture[str], bottle: str, planting: str, kind: str
):
    answer = answered(capsys, "mix", bottle, planting, *AT)

    assert answer["mix"] is None
    assert answer["precautions"] == []
    assert kind in {each["kind"] for each in answer["refusals"]}


def test_two_bottles_share_a_tank_in_the_order_of_mixing(capsys: pytest.CaptureFixture[str]):
    answer = answered(capsys, "mix", "Square bottle", "Cannas", "--with", "Brown glass", *AT)

    assert {each["bottle"] for each in answer["mix"]["doses"]} == {"Square bottle", "Brown glass"}
    assert "jar_test" in {each["kind"] for each in answer["mix"]["steps"]}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["Brown glass"], "It does not say which bottle for which planting."),
        (["garden.toml", "Brown glass"], "It does not say which bottle for which planting."),
        (["Brown", "Cannas"], "There is no bottle called 'Brown' on the shelf."),
        (["Brown glass", "Canas"], "Did you mean 'Cannas'?"),
        (["Brown glass", "Cannas", "Daylilies"], "These stand in 2 beds: Quay, Wall."),
        (["Brown glass", "Cannas", "--tank", "0"], "0.0 is not in the range"),
        (["Brown glass", "Cannas", "--tank", "nan"], "tank_l is nan"),
        (["Brown glass", "Cannas", "--out", "card.docx"], "the ending must say the form"),
    ],
)
def test_what_cannot_be_mixed_is_said_in_a_line(capsys: pytest.CaptureFixture[str], words: list[str], said: str):
    assert said in told(capsys, "mix", *words, *AT, code=2)


def test_without_weather_nobody_knows_how_much_leaf_there_is(garden: Path, capsys: pytest.CaptureFixture[str]):
    garden.write_text(garden.read_text().split("[[weather]]")[0])

    assert "cannot be known without weather" in told(capsys, "mix", "Brown glass", "Cannas", *AT, code=2)

"""The hours for spraying at the command line: every hour ahead is open, or closed by something that is named."""

from datetime import datetime
from itertools import pairwise
from pathlib import Path

import pytest
from tests.tended_garden import AT, answered, lay_out, told

from abaxial.label.precautions import kinds_for
from abaxial.label.window.closings import KINDS


@pytest.fixture(autouse=True)
def garden(folder: Path) -> Path:
    """The description of a small garden."""
    return lay_out(folder)


def test_every_hour_ahead_is_open_or_closed_by_something_once(capsys: pytest.CaptureFixture[str]):
    answer = answered(capsys, "when", "--bottle", "square bottle", "--bed", "quay", *AT)
    [bed] = answer["beds"]
    stretches = sorted(
        (datetime.fromisoformat(each["start"]), datetime.fromisoformat(each["end"]))
        for each in (*bed["open"], *bed["closed"])
    )

    assert stretches[0][0] == datetime.fromisoformat("2026-03-12T06:00+12:00")
    assert all(one[1] == other[0] for one, other in pairwise(stretches))
    assert (stretches[-1][1] - stretches[0][0]).days == 6
    assert {each["kind"] for each in bed["closed"]} <= set(KINDS)
    assert bool(bed["open"]) != bool(bed["shut"])


def test_hours_are_never_told_as_open_without_their_precautions(capsys: pytest.CaptureFixture[str]):
    answer = answered(capsys, "when", *AT)

    is_open = any(each["open"] for each in answer["beds"])
    assert is_open == bool(answer["precautions"])
    assert not is_open or set(kinds_for(("pesticide",))) <= {each["kind"] for each in answer["precautions"]}


def test_no_hour_is_fit_before_bed_and_label_are_known(capsys: pytest.CaptureFixture[str]):
    beds = answered(capsys, "when", *AT)["beds"]

    asked = {(each["bottle"], each["bed"]): {one["kind"] for one in each["asks"]} for each in beds}
    assert "bed_asked" in asked["Square bottle", "Wall"]
    assert "label_asked" in asked["Old tin", "Quay"]
    assert not any(each["open"] for each in beds if each["asks"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--bottle", "Blue"], "There is no bottle called 'Blue'"),
        (["--bottle", "garlic water"], "was brewed at home; it is never proposed"),
        (["--bed", "Moat"], "There is no bed called 'Moat'"),
        (["--bed", "Nursery"], "Nothing that gets a known rust stands in Nursery"),
    ],
)
def test_a_name_that_means_nothing_is_told(capsys: pytest.CaptureFixture[str], words: list[str], said: str):
    assert said in told(capsys, "when", *words, *AT, code=2)


def test_without_weather_no_hour_is_promised(garden: Path, capsys: pytest.CaptureFixture[str]):
    garden.write_text(garden.read_text().split("[[weather]]")[0])

    assert answered(capsys, "when", *AT)["beds"] == []

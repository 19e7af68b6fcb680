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


def test_a_bottle_too_small_to_measure_for_a_bed_has_no_hours_there_and_says_so(
    garden: Path, capsys: pytest.CaptureFixture[str]
):
    garden.write_text(garden.read_text().replace("clumps = 12\nspacing_m = 0.8", "clumps = 1\nspacing_m = 0.6"))
    asked = ("when", "garden.toml", "--bottle", "Square bottle", "--bed", "Quay", *AT)

    [bed] = answered(capsys, *asked)["beds"]
    page = " ".join(told(capsys, *asked).split())

    [reason] = bed["hindered"]
    assert (reason["kind"], reason["details"]["planting"]) == ("too_small", "Cannas")
    assert (bed["open"], bed["closed"], bed["shut"]) == ([], [], [])
    assert "Nothing that was asked for can be mixed, so no hour is fit; each says why." in page
    assert "of Square bottle for Cannas is too little to measure" in page


def test_beside_a_planting_that_is_too_small_the_hours_hold_for_the_others(
    garden: Path, capsys: pytest.CaptureFixture[str]
):
    small = '\n[[planting]]\nname = "One canna"\nbed = "Quay"\nhost = "canna"\nclumps = 1\nspacing_m = 0.6\nsince = 2025-10-05\n'
    text = garden.read_text().replace("\n[[walk]]", f"{small}no_flowers_seen = [2026-03-11]\n\n[[walk]]", 1)
    garden.write_text(text)
    asked = ("when", "garden.toml", "--bottle", "Square bottle", "--bed", "Quay", *AT)

    [bed] = answered(capsys, *asked)["beds"]
    page = " ".join(told(capsys, *asked).split())

    assert bed["plantings"] == ["Cannas"]
    assert [each["details"]["planting"] for each in bed["hindered"]] == ["One canna"]
    assert bed["open"] or bed["closed"]
    assert "of Square bottle for One canna is too little to measure" in page
    # neither shelf nor plan would put it there
    bottles = {each["bottle"]: each for each in answered(capsys, "shelf", "garden.toml", *AT)["bottles"]}
    [use] = [each for each in bottles["Square bottle"]["uses"] if each["planting"] == "One canna"]
    assert "too_small" in {each["kind"] for each in use["refusals"]}

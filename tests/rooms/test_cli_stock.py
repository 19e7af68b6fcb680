"""The collection at the command line: nothing is called clean by its looks, and where rust came from is told."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from tests.rooms.invented_week import invented_week
from tests.tended_garden import AT, answered, lay_out, told

from abaxial.cli import main
from abaxial.errors import FaultError
from abaxial.garden.description import read_garden
from abaxial.label.limits import usual_rules
from abaxial.label.precautions import Known, precautions_for
from abaxial.report import render
from abaxial.report.answers.stock import CultivarStock, PlantingStock, StockAnswer
from abaxial.report.answers.week import Band, Reason
from abaxial.season.collection.family import Family, lineage_of

DIVIDED = ["planting=Cannas", "name=Young cannas", "bed=Nursery", "clumps=2", "spacing_m=0.6", "since=2026-02-20"]


@pytest.fixture
def home(folder: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A garden file in which cannas were divided three weeks ago."""
    lay_out(folder)
    assert main.run(["garden", "import", "garden.toml", "home.abaxial", "--at", "2026-02-18"]) == 0
    told(capsys, "note", "home.abaxial", "division_taken", *DIVIDED, "--on", "2026-02-20", "--at", "2026-02-21")
    return folder / "home.abaxial"


def test_a_planting_with_rust_may_not_be_divided_and_its_division_is_traced(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    answer = answered(capsys, "stock", "home.abaxial", "--from", "cannas", *AT)
    plantings = {each["planting"]: each for each in answer["plantings"]}

    assert not any(each["may_divide"] for each in answer["plantings"])
    assert {each["kind"] for each in plantings["Cannas"]["reasons"]} >= {"rust_seen", "too_soon"}
    young = plantings["Young cannas"]
    assert (young["parent"], young["how"], young["came_on"]) == ("Cannas", "divided", "2026-02-20")
    assert answer["traced"]["seen_on"] == "2026-03-05"
    # it was divided from after the rust can have come in
    assert [each["planting"] for each in answer["traced"]["exposed"]] == ["Young cannas"]
    [cultivar] = [each for each in answer["cultivars"] if each["cultivar"] == "Harbour Flame"]
    assert (cultivar["plantings"], cultivar["clumps"], cultivar["safety"]) == (2, 14, None)
    # plantings of one garden rust together
    assert 0.0 <= cultivar["healthy_frac"] <= cultivar["if_apart_frac"] + 1e-9


def test_the_rust_of_a_division_is_traced_back_to_what_it_was_taken_from(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    told(capsys, "walk", "home.abaxial", "--seen", "Young cannas: 10 low, 1 rusted", "--at", "2026-03-11T08:00")

    traced = answered(capsys, "stock", "home.abaxial", "--from", "Young cannas", *AT)["traced"]

    assert [(each["planting"], each["how"]) for each in traced["back"]] == [("Cannas", "parent")]
    # nothing else here gets this rust, so all that came on the wind from other plantings came from there
    [giver] = traced["wind_from"]
    assert (giver["planting"], giver["share_frac"]["mid"]) == ("Cannas", pytest.approx(1.0))


def test_a_division_of_a_rusted_planting_has_its_chances_by_the_knife_and_by_the_wind(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    traced = answered(capsys, "stock", "home.abaxial", "--from", "Cannas", *AT)["traced"]
    page = " ".join(told(capsys, "stock", "home.abaxial", "--from", "Cannas", *AT).split())

    [division], [blown] = traced["exposed"], traced["wind_to"]
    assert (blown["planting"], blown["bed"]) == ("Young cannas", "Nursery")
    # what came along with it adds to what the wind brought
    assert 0.0 < blown["caught_frac"] < division["caught_frac"] < 1.0
    assert "Young cannas, from 20 February: divided from Cannas; that it has rust from there is" in page
    assert "of what the wind brought it from other plantings" in page


def test_clumps_that_are_only_tried_out_are_no_part_of_a_trace(home: Path, capsys: pytest.CaptureFixture[str]):
    words = ["--from", "Cannas", "--keep", "Harbour Flame", "--most", "1"]
    traced = answered(capsys, "stock", "home.abaxial", *words, *AT)["traced"]

    assert [each["planting"] for each in (*traced["wind_to"], *traced["wind_from"])] == ["Young cannas"] * 2


def test_safety_divisions_stand_in_beds_with_room_and_make_a_cultivar_no_less_safe(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    words = ["--keep", "harbour flame", "--level", "99", "--most", "2"]
    answer = answered(capsys, "stock", "home.abaxial", *words, *AT)
    page = told(capsys, "stock", "home.abaxial", *AT)

    [safety] = [each["safety"] for each in answer["cultivars"] if each["cultivar"] == "Harbour Flame"]
    assert {each["bed"] for each in safety["beds"]} <= {"Quay", "Wall", "Nursery"}
    assert sum(each["divisions"] for each in safety["beds"]) <= 2
    assert safety["healthy_frac"] >= safety["without_frac"]
    # what was tried out is not told as if it stood there
    assert {each["planting"] for each in answer["plantings"]} == {"Cannas", "Daylilies", "Young cannas"}
    assert "A clump that looks clean is not called clean" in page


def test_dividing_is_never_spoken_of_without_its_precautions():
    answer = _invented()

    page = " ".join(render.terminal_text(answer).split())
    html = render.html_text(answer)
    assert "Old clump may be divided today." in page
    assert "Cut away from yourself." in page
    assert "Cut away from yourself." in html
    with pytest.raises(FaultError, match="Dividing cannot be spoken of without"):
        render.pdf_bytes(replace(answer, precautions=answer.precautions[1:]))


def _invented() -> StockAnswer:
    """A collection that does not exist, of one clump that may be divided."""
    day, week = date(2026, 3, 12), invented_week(1)
    old = PlantingStock(
        "Old clump", "Quay", "Harbour Flame", "", "", day, True, (), day, 60, 0.01, day, Band(3.0, 3.2, 3.6), 3.0, day
    )  # fmt: skip
    care = tuple(Reason(*each) for each in precautions_for(("blade",), Known(usual_rules())))
    safe = CultivarStock("Harbour Flame", 1, 4, 0.9, 0.9, 3.1, None)
    return StockAnswer("Tamarisk Steps", True, day, day, (safe,), (old,), None, care, (), week.passport)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--from", "Canas"], "Did you mean 'Cannas'?"),
        (["--keep", "Nobody's"], "There is no cultivar called"),
        (["--level", "95"], "--level and --most go with --keep."),
        (["--keep", "Harbour Flame", "--level", "100"], "100.0 is not in the range"),
        (["--keep", "Harbour Flame", "--most", "-1"], "-1 is not in the range"),
    ],
)
def test_a_name_or_a_number_that_cannot_be_is_told(
    home: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
):
    assert said in told(capsys, "stock", "home.abaxial", *words, *AT, code=2)


def test_without_weather_nothing_is_said_of_the_stock(folder: Path, capsys: pytest.CaptureFixture[str]):
    path = lay_out(folder)
    path.write_text(path.read_text().split("[[weather]]")[0])

    assert "What stock there will be cannot be said" in told(capsys, "stock", "garden.toml", *AT, code=2)


def test_a_description_knows_no_lineage_and_nothing_is_made_up(folder: Path):
    of = lineage_of(read_garden(lay_out(folder)), Family())

    assert of.divisions == ()
    assert {each.planting for each in of.stays} == {"Cannas", "Daylilies"}

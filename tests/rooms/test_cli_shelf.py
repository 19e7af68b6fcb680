"""The shelf at the command line: what is left, what a label lacks, when each planting may get it, and one more put on it."""

from pathlib import Path

import pytest
from tests.tended_garden import AT, LABEL, SHELF, answered, lay_out, told

from abaxial.cli import main
from abaxial.records.store import open_store

WHITE = '[[bottle]]\nname = "White bottle"\nleft = "500 ml"\n' + LABEL.format(
    active="mineral_oil", strength="850 g/l", rate="10 ml/l", number=9
)


@pytest.fixture
def home(folder: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A garden file."""
    lay_out(folder)
    assert main.run(["garden", "import", "garden.toml", "home.abaxial", *AT]) == 0
    capsys.readouterr()
    return folder / "home.abaxial"


def test_the_shelf_tells_what_each_bottle_lacks_and_when_each_planting_may_get_it(
    folder: Path, capsys: pytest.CaptureFixture[str]
):
    lay_out(folder)

    bottles = {each["bottle"]: each for each in answered(capsys, "shelf", "garden.toml", *AT)["bottles"]}

    assert list(bottles) == ["Old tin", "Garlic water", "Brown glass", "Square bottle"]
    assert (bottles["Square bottle"]["codes"], bottles["Square bottle"]["left"]) == (["3"], 250.0)
    assert "rate" in bottles["Old tin"]["missing"]
    assert bottles["Garlic water"]["uses"] == []
    uses = {each["planting"]: each for each in bottles["Square bottle"]["uses"]}
    assert (uses["Cannas"]["on"], uses["Cannas"]["refusals"]) == ("2026-03-12", [])
    # nobody has said what lies around that bed
    assert uses["Daylilies"]["on"] is None
    assert uses["Daylilies"]["refusals"][0]["kind"] == "bed_asked"


def test_a_bottle_used_yesterday_may_be_used_again_once_its_interval_is_over(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    spray = ["remedy=fungicide", "plantings=Cannas", "material=Square bottle", "product_ml=3.6", "water_l=1.2"]
    told(capsys, "note", "home.abaxial", "remedy_done", *spray, "--on", "2026-03-11", *AT)

    answer = answered(capsys, "shelf", "home.abaxial", *AT)
    square = next(each for each in answer["bottles"] if each["bottle"] == "Square bottle")
    use = next(each for each in square["uses"] if each["planting"] == "Cannas")

    assert square["left"] == pytest.approx(250 - 3.6)
    assert use["on"] == "2026-03-25"
    assert use["refusals"][0]["kind"] == "too_soon"


def test_an_empty_shelf_and_a_garden_without_weather_are_told_and_are_no_mistake(
    folder: Path, capsys: pytest.CaptureFixture[str]
):
    path = lay_out(folder)
    path.write_text(path.read_text().replace(SHELF, "").split("[[weather]]")[0])

    assert "There is nothing on the shelf." in told(capsys, "shelf", "garden.toml", *AT)


def test_a_label_in_a_file_of_its_own_is_put_on_the_shelf(home: Path, capsys: pytest.CaptureFixture[str]):
    Path("white.toml").write_text(WHITE)

    said = told(capsys, "shelf", "home.abaxial", "--add", "white.toml", "--by", "Isaura", *AT)
    with open_store(home) as kept:
        written = kept.entries()[-1]

    assert "Written, as" in said
    assert (written.kind, written.author, written.body["material"]) == ("material_bought", "Isaura", "White bottle")
    assert "White bottle" in told(capsys, "shelf", "home.abaxial", *AT)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[bottle]\n", "cannot be read"),
        ("name = 'x'\n", "holds no [[bottle]] with a name"),
        (WHITE.replace('"White bottle"', '""'), "holds no [[bottle]] with a name"),
        (WHITE.replace("10 ml/l", "900 ml/l"), "no spray takes more than"),
        (WHITE.replace("10 ml/l", "10 furlongs"), "furlongs"),
        (WHITE + WHITE.replace("interval_d = 14", "interval_d = -3"), "interval_d"),
    ],
)
def test_a_label_that_cannot_be_is_refused_and_nothing_is_written(
    home: Path, capsys: pytest.CaptureFixture[str], text: str, said: str
):
    Path("white.toml").write_text(text)
    with open_store(home) as kept:
        before = len(kept.entries())

    assert said in told(capsys, "shelf", "home.abaxial", "--add", "white.toml", *AT, code=2)
    with open_store(home) as kept:
        assert len(kept.entries()) == before


def test_nothing_is_put_on_the_shelf_of_a_description_or_from_a_file_that_is_not_there(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    Path("white.toml").write_text(WHITE)

    assert "keeps no journal" in told(capsys, "shelf", "garden.toml", "--add", "white.toml", *AT, code=2)
    assert "nowhere.toml" in told(capsys, "shelf", "home.abaxial", "--add", "nowhere.toml", *AT, code=2)

"""What becomes of what was cut, at the command line: the bin first, blades cleaned, a heap judged by its own log."""

from pathlib import Path
from typing import Any

import pytest
from tests.tended_garden import AT, answered, lay_out, told

from abaxial.errors import RequestError
from abaxial.season.tending.bag_log import read_bag_log
from abaxial.season.tending.heap_log import read_heap_log

HOT = "date,core_c,turned,moisture_percent\n" + "".join(
    f"2026-02-{day:02d},66,{'yes' if day in (4, 7, 10, 13, 16, 19) else 'no'},55\n" for day in range(1, 22)
)


@pytest.fixture(autouse=True)
def garden(folder: Path) -> Path:
    """The description of a small garden, without weather, so that no estimate is waited for."""
    path = lay_out(folder)
    path.write_text(path.read_text().split("[[weather]]")[0])
    return path


def test_rusted_leaves_go_into_the_bin_and_never_on_the_ordinary_heap(capsys: pytest.CaptureFixture[str]):
    answer = answered(capsys, "dispose", "garden.toml", "--planting", "cannas", *AT)

    assert (answer["way"], answer["plantings"]) == ("bag_and_bin", ["Cannas"])
    assert "cold_compost" in {each["way"] for each in answer["refused"]}
    assert answer["precautions"]


def test_work_begins_with_the_planting_that_shows_least(folder: Path, capsys: pytest.CaptureFixture[str]):
    path = lay_out(folder)
    seen = 'rusted = 19 }, { planting = "Daylilies", turned = 40, rusted = 0 }'
    path.write_text(path.read_text().replace("rusted = 3 }", seen))

    order = answered(capsys, "dispose", "garden.toml", *AT)["order"]

    assert [each["planting"] for each in order] == ["Daylilies", "Cannas"]
    assert order[0]["before"] == ["clean_clothes", "clean_blades"]


def test_where_no_waste_is_fetched_fire_is_never_taken_on_a_guess(capsys: pytest.CaptureFixture[str]):
    unasked, buried = (
        answered(capsys, "dispose", "garden.toml", "--no-bin", *AT),
        answered(capsys, "dispose", "garden.toml", "--no-bin", "--own-ground", *AT),
    )
    lawful = answered(capsys, "dispose", "garden.toml", "--no-bin", "--no-own-ground", "--fire", *AT)

    assert unasked["way"] == ""
    assert "burning_legal" in unasked["questions"]
    assert buried["way"] == "solarise_then_bury"
    assert lawful["way"] == "burn"
    assert "burns" in {each["kind"] for each in lawful["precautions"]}


def test_bleach_is_told_with_what_it_must_never_meet(capsys: pytest.CaptureFixture[str]):
    [mix] = answered(capsys, "dispose", "garden.toml", "--bleach", "5", "--litres", "2", *AT)["dilutions"]
    page = told(capsys, "dispose", "garden.toml", "--bleach", "5", "--litres", "2", *AT)

    # C1 V1 = C2 V2
    assert mix["product_ml"] * 0.05 == pytest.approx(2000 * mix["strength_frac"])
    assert mix["product_ml"] + mix["water_ml"] == pytest.approx(2000)
    assert "never acid, ammonia, alcohol" in page


def test_a_hot_heap_passes_and_leaves_with_virus_never_do(capsys: pytest.CaptureFixture[str]):
    Path("heap.csv").write_text(HOT)
    Path("cold.csv").write_text(HOT.replace(",66,", ",41,"))

    hot = answered(capsys, "dispose", "garden.toml", "--compost", "heap.csv", *AT)
    cold = answered(capsys, "dispose", "garden.toml", "--compost", "cold.csv", *AT)
    virus = answered(
        capsys, "dispose", "garden.toml", "--compost", "heap.csv", "--trouble", "virus", "--trouble", "rust", *AT
    )

    assert (hot["compost"]["fit"], hot["compost"]["reasons"]) == (True, ["passed"])
    assert "hot_compost" in hot["others"]
    assert not cold["compost"]["fit"]
    assert virus["compost"]["reasons"] == ["never_virus"]


def test_degrees_fahrenheit_are_read_as_the_same_heat():
    [celsius] = read_heap_log("date,core_c\n2026-03-01,60\n", where="heap.csv")
    [fahrenheit] = read_heap_log("date,core_f\n2026-03-01,140\n", where="heap.csv")

    assert fahrenheit.core_c == pytest.approx(celsius.core_c)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is no log of a heap"),
        ("date,core_c\n", "holds no reading"),
        ("date,heat\n2026-03-01,60\n", "is no log of a heap"),
        ("date,core_c,core_f\n2026-03-01,60,140\n", "is no log of a heap"),
        ("date,core_c\n1 March,60\n", "is no date"),
        ("date,core_c\n2026-03-01,hot\n", "is no number"),
        ("date,core_c\n2026-03-01,inf\n", "is no number"),
        ("date,core_c,turned\n2026-03-01,60,maybe\n", "must be yes or no"),
        ("date,core_c\n2026-03-01,60,yes\n", "has 3 cells of 2"),
    ],
)
def test_a_log_that_cannot_be_read_says_where(text: str, said: str):
    with pytest.raises(RequestError, match=said):
        read_heap_log(text, where="heap.csv")


def test_a_bag_in_the_sun_is_buried_when_its_weeks_are_up_and_where_measured_its_heat(
    capsys: pytest.CaptureFixture[str],
):
    warm = "".join(f"2026-02-{day:02d}T{hour:02d},50\n" for day in range(1, 9) for hour in (12, 13))
    Path("warm.csv").write_text(f"hour,core_c\n{warm}")
    Path("cool.csv").write_text("hour,core_f\n2026-02-01T12,95\n2026-02-01T13,\n")

    def bag(*words: str) -> Any:
        return answered(capsys, "dispose", "garden.toml", "--bag", *words, *AT)["bag"]

    young, old = bag("14"), bag("28")
    heated, cool = bag("28", "--heat", "warm.csv"), bag("28", "--heat", "cool.csv")
    page = " ".join(told(capsys, "dispose", "garden.toml", "--bag", "28", "--heat", "cool.csv", *AT).split())

    assert (young["ready"], young["reasons"], young["doses"]) == (False, ["time"], None)
    assert (old["ready"], old["reasons"]) == (True, ["ready"])
    assert heated["ready"]
    assert heated["doses"] >= heated["needed_doses"]
    assert (cool["ready"], cool["reasons"], cool["doses"]) == (False, ["heat"], 0.0)
    assert "It was not warm enough for long enough, whatever its days; it stays closed, in full sun." in page


def test_leaves_with_virus_are_not_freed_by_the_sun(capsys: pytest.CaptureFixture[str]):
    words = ["--bag", "60", "--trouble", "virus", "--trouble", "rust"]
    bag = answered(capsys, "dispose", "garden.toml", *words, *AT)["bag"]

    assert (bag["ready"], bag["reasons"]) == (False, ["outlives_the_sun"])


def test_where_bags_are_buried_the_way_to_judge_one_is_told(capsys: pytest.CaptureFixture[str]):
    page = told(capsys, "dispose", "garden.toml", "--no-bin", "--own-ground", *AT)

    assert "abaxial dispose --bag" in page


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is no log of a bag"),
        ("hour,core_c\n", "holds no reading"),
        ("hour,core_c,core_f\n2026-02-01T12,50,122\n", "is no log of a bag"),
        ("hour,core_c\n2026-02-01,50\n", "is no whole hour"),
        ("hour,core_c\n2026-02-01T12:30,50\n", "is no whole hour"),
        ("hour,core_c\nnoon,50\n", "is no hour"),
        ("hour,core_c\n2026-02-01T12,hot\n", "which no bag in the sun shows"),
        ("hour,core_c\n2026-02-01T12,122\n", "which no bag in the sun shows"),
        ("hour,core_c\n2026-02-01T12,nan\n", "which no bag in the sun shows"),
        ("hour,core_c\n2026-02-01T12,50,yes\n", "has 3 cells of 2"),
        ("hour,core_c\n2026-02-01T12,50\n2026-02-01T12,51\n", "is there twice"),
    ],
)
def test_a_bags_log_that_cannot_be_read_says_where(text: str, said: str):
    with pytest.raises(RequestError, match=said):
        read_bag_log(text, where="bag.csv")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--heat", "warm.csv"], "warm.csv"),
        (["--bag", "-1"], "is not in the range"),
        (["--bag", "nan"], "nan is no number"),
        (["--bleach", "0.1"], "cannot be made from 0.1 %"),
        (["--bleach", "0"], "0.0 is not in the range"),
        (["--bleach", "5", "--litres", "0.001"], "cannot be measured"),
        (["--bleach", "5", "--litres", "900"], "too much to handle safely"),
        (["--alcohol", "70", "--for", "cut_material"], "is not for cut material"),
        (["--compost", "nowhere.csv"], "nowhere.csv"),
        (["--planting", "Canas"], "Did you mean 'Cannas'?"),
    ],
)
def test_what_cannot_be_done_safely_is_refused(capsys: pytest.CaptureFixture[str], words: list[str], said: str):
    assert said in told(capsys, "dispose", "garden.toml", *words, *AT, code=2)


def test_the_heat_of_a_bag_goes_with_its_days(capsys: pytest.CaptureFixture[str]):
    Path("warm.csv").write_text("hour,core_c\n2026-02-01T12,50\n")

    assert "--heat goes with --bag." in told(capsys, "dispose", "garden.toml", "--heat", "warm.csv", *AT, code=2)

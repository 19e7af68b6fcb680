"""A task of the plan, told to be done or turned down by its key: one line of the journal, with the weather of the hour."""

import re
from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pytest
from tests.tended_garden import AT, lay_out, told

from abaxial.cli import main
from abaxial.journal.entries import Entry
from abaxial.records.store import open_store
from abaxial.report.answers.plan import Dose, Mix, PlanTask
from abaxial.report.answers.week import Reason
from abaxial.season.opening import open_garden
from abaxial.season.tending import planned

TODAY = date(2026, 3, 12)
EVENING = ("--at", "2026-03-12T18:40")
MIX = Mix(1, 1.2, 1.2, 0.1, (Dose("Brown glass", "ml", 12.0, 12.0),), ())


def task(key: str, kind: str, *plantings: str, **others: object) -> PlanTask:
    fields = {"beds": ("Quay",), "days": (TODAY,), "minutes": 40, "why": Reason("plan", {}), **others}
    return PlanTask(key, kind, plantings or ("Cannas",), **fields)  # type: ignore[arg-type]


TASKS = (
    task("aaaa", "oil", bottle="Brown glass", actives=("clarified_neem_extract",), codes=("NC",), mix=MIX),
    task("bbbb", "low_leaves_off", "Cannas", "Daylilies", disposal="bag_and_bin"),
    task("cccc", "cut_down", "Daylilies", disposal="bag_and_bin"),
    task("dddd", "thin", disposal="bag_and_bin"),
    task("eeee", "water_at_the_foot"),
    task("ffff", "destroy", "Daylilies"),
    task("abcd", "look"),
)


@pytest.fixture
def home(folder: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A garden file whose owner was told some tasks this morning."""
    lay_out(folder)
    assert main.run(["garden", "import", "garden.toml", "home.abaxial", *AT]) == 0
    capsys.readouterr()
    planned.remember(open_garden(folder / "home.abaxial", at=None).shelf, TASKS, TODAY)
    return folder / "home.abaxial"


def entries(path: Path) -> list[Entry]:
    with open_store(path) as kept:
        return kept.entries()


def details(entry: Entry) -> Mapping[str, object]:
    found = entry.body["details"]
    assert isinstance(found, Mapping)
    return found


def test_a_spray_that_was_done_is_a_complete_record_with_the_weather_of_its_hour(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    said = told(capsys, "note", "home.abaxial", "done", "aaaa", "--by", "Isaura", *EVENING)
    written = entries(home)[-1]
    record = details(written)

    assert "12 ml in 1.2 l of water" in said
    assert "To settle" not in said
    assert (written.kind, written.body["material"], written.body["remedy"]) == ("remedy_done", "Brown glass", "oil")
    assert (record["started"], record["ended"], record["applicator"]) == ("18:00", "18:40", "Isaura")
    assert (record["product_ml"], record["water_l"], record["rate"]) == (12.0, 1.2, "10 ml/l")
    assert record["area_m2"] == pytest.approx(12 * 0.8**2)
    weather = record["weather"]
    assert isinstance(weather, Mapping)
    assert 5.0 < weather["temperature_c"] < 35.0
    assert 0.0 < weather["humidity_frac"] <= 1.0
    assert set(weather) == {"temperature_c", "humidity_frac", "wind_m_s", "delta_t_k"}
    assert open_garden(home, at=None).done[-1].missing == ()


def test_what_was_otherwise_than_planned_is_said_with_it(home: Path, capsys: pytest.CaptureFixture[str]):
    words = ["product_ml=8.1", "water_l=0.9", "ended=17:20", "growth_stage=65"]
    said = told(
        capsys, "note", "home.abaxial", "done", "aaaa", *words, "--by", "Isaura", "--on", "2026-03-12T17:05", *EVENING
    )

    record = details(entries(home)[-1])
    assert [record[name] for name in ("product_ml", "water_l", "started", "ended")] == [8.1, 0.9, "17:05", "17:20"]
    assert (record["rate"], record["growth_stage"]) == ("9 ml/l", "65")
    # weaker than planned, which is nobody's concern
    assert "To settle" not in said


def test_more_product_than_was_planned_is_asked_about(home: Path, capsys: pytest.CaptureFixture[str]):
    said = told(capsys, "note", "home.abaxial", "done", "aaaa", "product_ml=30", "--by", "Isaura", *EVENING)

    assert details(entries(home)[-1])["rate"] == "10 ml/l"
    assert "To settle" in said


def test_of_a_day_without_an_hour_no_weather_is_made_up(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "done", "aaaa", "--on", "2026-03-12", *EVENING)

    assert not {"started", "ended", "weather"} & set(details(entries(home)[-1]))


@pytest.mark.parametrize(
    ("key", "kinds", "fields"),
    [
        ("bbbb", ["leaves_taken_off", "leaves_taken_off"], {"which": "low", "disposal": "bag_and_bin"}),
        ("cccc", ["cut_down"], {"planting": "Daylilies", "disposal": "bag_and_bin"}),
        ("dddd", ["remedy_done"], {"remedy": "thinned", "details": {"disposal": "bag_and_bin"}}),
        ("ffff", ["destroyed"], {"planting": "Daylilies"}),
    ],
)
def test_work_without_a_bottle_is_one_line_for_what_the_journal_has_one_for(
    home: Path, capsys: pytest.CaptureFixture[str], key: str, kinds: list[str], fields: dict[str, object]
):
    before = len(entries(home))

    told(capsys, "note", "home.abaxial", "done", key, *EVENING)

    written = entries(home)[before:]
    assert [each.kind for each in written] == kinds
    assert all(fields.items() <= each.body.items() for each in written)


def test_watering_at_the_foot_changes_the_bed_from_then_on(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "done", "eeee", *EVENING)

    watering = open_garden(home, at=None).garden.beds[0].watering
    assert (watering.manner, watering.local_hour, watering.amount_mm, watering.every_days) == ("soil", 6, 8, 3)


def test_what_was_turned_down_is_written_with_its_kind_and_can_be_taken_back(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    said = told(capsys, "note", "home.abaxial", "declined", "cccc", *EVENING)
    [turned_down] = open_garden(home, at=None).declined

    assert (turned_down.task, turned_down.plantings) == ("cut_down", ("Daylilies",))
    written = re.search(r"Written, as (\w+)", said)
    assert written is not None
    told(capsys, "note", "home.abaxial", "--retract", written[1], *EVENING)
    assert open_garden(home, at=None).declined == ()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["done"], "It does not say which task."),
        (["done", "product_ml=3"], "It does not say which task."),
        (["done", "abcd"], "done by saying what was found"),
        (["declined", "cccc", "why=rain"], "does not go with declined"),
        (["done", "cccc", "disposal=eaten"], "disposal"),
        (["done", "aaaa", "product_ml=-3"], "product_ml"),
        (["done", "aaaa", "colour=red"], "no field 'colour'"),
        (["done", "aaaa", "growth_stage=full bloom"], "two digits"),
        (["done", "aaaa", "--on", "2027-01-01"], "which is still to come"),
    ],
)
def test_what_cannot_be_meant_writes_nothing(
    home: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
):
    before = entries(home)

    assert said in told(capsys, "note", "home.abaxial", *words, *EVENING, code=2)
    assert entries(home) == before


def test_a_task_told_more_than_a_week_ago_is_told_no_more(home: Path):
    shelf = open_garden(home, at=None).shelf

    assert planned.recalled(shelf, "cccc", TODAY) is not None
    assert planned.recalled(shelf, "cccc", date(2026, 3, 19)) is None
    assert planned.recalled(shelf, "cccc", date(2026, 3, 11)) is None


def test_the_key_that_the_week_prints_is_the_one_that_is_understood(home: Path, capsys: pytest.CaptureFixture[str]):
    page = told(capsys, "week", "home.abaxial", "--draws", "16", *AT)
    keys = re.findall(r"note\s+done\s+([0-9a-f]{4})", page)
    shelf = open_garden(home, at=None).shelf

    assert all(planned.recalled(shelf, key, TODAY) is not None for key in keys)
    unknown = told(capsys, "note", "home.abaxial", "done", "zzzz", *AT, code=2)
    assert "No task of this week is called 'zzzz'." in unknown

"""The garden file and its journal at the command line: written, said back, put right, taken back, and never half."""

import json
import math
import os
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from tests.trial_garden import BED, PLANTING, SITE

from abaxial.cli import main
from abaxial.cli.journal import pairs
from abaxial.errors import RequestError
from abaxial.garden.description import read_garden
from abaxial.garden.parts import Surroundings
from abaxial.journal.entries import KINDS, Entry
from abaxial.records.store import open_store
from abaxial.report import schema
from abaxial.season.opening import open_garden

AT = ("--at", "2026-03-12T06:30")
LATER = ("--at", "2026-03-12T06:45")
BEANS = PLANTING.replace("Cannas", "Beans “ß”: 日; x, y")
WALK = '\n[[walk]]\non = 2026-03-01\nseen = [{ planting = "Cannas", turned = 20, rusted = 1 }]\n'


@pytest.fixture
def home(folder: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A garden file with a bed, two plantings and a walk, made from the description beside it."""
    (folder / "garden.toml").write_text(SITE + BED + PLANTING + BEANS + WALK, encoding="utf-8")
    assert main.run(["garden", "import", "garden.toml", "home.abaxial", *AT]) == 0
    (folder / "garden.toml").rename(folder / "garden.txt")
    capsys.readouterr()
    return folder / "home.abaxial"


def entries(path: Path) -> list[Entry]:
    with open_store(path) as kept:
        return kept.entries()


def told(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    """What a command said; of one that failed, on the error stream, with nothing said of a fault of ours."""
    assert main.run([*words]) == code
    streams = capsys.readouterr()
    assert "our mistake" not in streams.err
    return streams.err if code else streams.out


def refused(capsys: pytest.CaptureFixture[str], home: Path, *words: str) -> str:
    """What a command said that refused, and wrote nothing."""
    before = entries(home)
    said = told(capsys, *words, code=2)
    assert entries(home) == before
    assert "What to do: " in said
    return said


# ------------------------------------------------------------------ import, and what a garden file is


def test_a_description_becomes_a_garden_file_that_is_the_same_garden(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "garden.toml").write_text(SITE + BED + PLANTING + WALK)

    said = told(capsys, "garden", "import", "garden.toml", "home.abaxial", "--by", "Ann", *AT)
    described, kept = (open_garden(folder / name, at=None) for name in ("garden.toml", "home.abaxial"))

    assert said.startswith(
        "Trial garden laid into home.abaxial: 4 lines of journal (1 walk) and 0 hours of weather from 0 files."
    )
    assert (kept.garden.beds, kept.garden.plantings) == (described.garden.beds, described.garden.plantings)
    assert kept.sightings == described.sightings
    assert {each.author for each in entries(folder / "home.abaxial")} == {"Ann"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nowhere.toml", "new.abaxial"], "There is no file nowhere.toml"),
        (["home.abaxial", "new.abaxial"], "home.abaxial is no description"),
        (["garden.txt", "new.toml"], "new.toml does not end in .abaxial"),
        (["garden.txt", "home.abaxial"], "There is already something called home.abaxial"),
        (["garden.txt", "nowhere/new.abaxial"], "There is no folder nowhere"),
    ],
)
def test_an_import_that_cannot_be_makes_nothing(
    home: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
):
    there = sorted(home.parent.iterdir())

    assert said in refused(capsys, home, "garden", "import", *words)
    assert sorted(home.parent.iterdir()) == there


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('\n[[weather]]\nfile = "gone.epw"\nform = "epw"\n', "gone.epw"),
        (WALK.replace("Cannas", "Canas"), "names the planting 'Canas'"),
        (PLANTING.replace('"Cannas"', '"Mine"').replace('"canna"', '"mine"'), "No host plant is called 'mine'"),
    ],
)
def test_a_description_with_a_slip_makes_no_file(
    folder: Path, capsys: pytest.CaptureFixture[str], more: str, said: str
):
    (folder / "garden.toml").write_text(SITE + BED + PLANTING + more)

    assert said in told(capsys, "garden", "import", "garden.toml", "home.abaxial", *AT, code=2)
    assert [each.name for each in folder.iterdir()] == ["garden.toml"]


def test_a_garden_moves_into_a_database_and_is_written_in_there(
    folder: Path, database: str, capsys: pytest.CaptureFixture[str]
):
    (folder / "garden.toml").write_text(SITE + BED + PLANTING)

    told(capsys, "garden", "import", "garden.toml", database, *AT)
    told(capsys, "note", database, "cut_down", "planting=Cannas", *LATER)

    assert "Cannas: 6 × canna" in told(capsys, "garden", "show", database)
    assert open_garden(database, at=None).garden.plantings[0].cut_down != ()


# ------------------------------------------------------------------ finding it


def test_the_only_garden_file_here_is_the_garden(home: Path, capsys: pytest.CaptureFixture[str]):
    assert "Cannas: 6 × canna" in told(capsys, "garden", "show")
    assert "Written, as" in told(capsys, "note", "flowering_seen", "planting=Cannas", *LATER)


def test_a_file_and_a_description_in_one_folder_are_told_apart_by_name(home: Path, capsys: pytest.CaptureFixture[str]):
    (home.parent / "garden.txt").rename(home.parent / "garden.toml")

    assert "garden.toml, home.abaxial" in told(capsys, "garden", "show", code=2)


@pytest.mark.parametrize("content", [b"", b"SQLite format 3\x00" + bytes(200), b"[site]\n", b"PK\x03\x04" + bytes(300)])
@pytest.mark.parametrize(
    "words", [["note", "x.abaxial", "--list"], ["week", "x.abaxial"], ["garden", "check", "x.abaxial"]]
)
def test_what_is_no_garden_file_is_said_so(
    folder: Path, capsys: pytest.CaptureFixture[str], content: bytes, words: list[str]
):
    (folder / "x.abaxial").write_bytes(content)

    assert "x.abaxial" in told(capsys, *words, code=2)
    assert (folder / "x.abaxial").read_bytes() == content


def test_before_anything_was_received_there_was_no_garden(home: Path, capsys: pytest.CaptureFixture[str]):
    said = refused(capsys, home, "week", "home.abaxial", "--at", "2026-03-11")

    assert "nothing had been received by 2026-03-11" in said
    assert "the first entry came at 2026-03-12 03:30 UTC" in said


def test_what_came_later_was_not_known_before(home: Path, capsys: pytest.CaptureFixture[str]):
    known = open_garden(home, at=entries(home)[0].received_at)
    told(capsys, "note", "home.abaxial", "destroyed", "planting=Cannas", "--on", "2026-03-11", *LATER)

    assert open_garden(home, at=entries(home)[0].received_at).garden == known.garden
    assert "Cannas" not in [each.name for each in open_garden(home, at=None).garden.plantings]


# ------------------------------------------------------------------ notes


def test_a_note_is_said_back_and_written(home: Path, capsys: pytest.CaptureFixture[str]):
    said = told(
        capsys, "note", "home.abaxial", "cut-down", "planting=cannas", "--on", "2026-03-10", "--by", "Ann", *LATER
    )

    last = entries(home)[-1]
    assert said == f"Tuesday 10 March 2026: “cannas” cut to the ground.\nWritten, as {last.id[:6]}.\n"
    assert (last.kind, last.author, last.body) == ("cut_down", "Ann", {"planting": "cannas"})


def test_flowers_and_the_lack_of_them_are_said_back(home: Path, capsys: pytest.CaptureFixture[str]):
    seen = told(capsys, "note", "home.abaxial", "flowering_seen", "planting=Cannas", "--on", "2026-03-09", *LATER)
    none = told(
        capsys, "note", "home.abaxial", "flowering_seen", "planting=Cannas", "open=false", "--on", "2026-03-10", *LATER
    )

    [planting] = [each for each in open_garden(home, at=None).garden.plantings if each.name == "Cannas"]
    assert "Open flowers on “Cannas” or under it." in seen
    assert "No open flowers on “Cannas” or under it." in none
    assert (planting.flowers_seen, planting.no_flowers_seen) == ((date(2026, 3, 9),), (date(2026, 3, 10),))


def test_a_garden_file_tells_from_where_and_when_a_planting_was_moved(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "bed_laid", "name=Wall", "area_m2=4", "--on", "2026-03-08", *LATER)
    told(
        capsys, "note", "home.abaxial", "planting_moved", "planting=Cannas", "bed=Wall", "name=Wall cannas",
        "--on", "2026-03-09", *LATER,
    )  # fmt: skip

    [move] = open_garden(home, at=None).moved
    assert (move.planting, move.parent, move.on) == ("Wall cannas", "Cannas", date(2026, 3, 9))


def test_the_same_thing_said_twice_is_two_lines_and_repeated_as_if_then_is_one(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    words = ("note", "home.abaxial", "destroyed", "planting=Cannas", "clumps=2", "--on", "2026-03-10")
    told(capsys, *words, *AT)
    told(capsys, *words, *LATER)
    again = told(capsys, *words, *LATER)

    assert "It stood there already" in again
    assert open_garden(home, at=None).garden.plantings[0].clumps == 2


def test_a_note_of_rain_on_a_date_means_that_morning(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "rain_noted", "rain_mm=12", "--on", "2026-03-11", *LATER)

    assert open_garden(home, at=None).garden.noted[0].options == {"rain_mm": 12, "at": "2026-03-11"}


def test_a_note_comes_back_as_json_with_what_is_asked(home: Path, capsys: pytest.CaptureFixture[str]):
    words = ("note", "home.abaxial", "destroyed", "planting=Cannas", "clumps=9", "--json", *LATER)
    answer = json.loads(told(capsys, *words))

    assert (answer["schema"], answer["garden"]) == ("abaxial/note/1", "Trial garden")
    assert answer["answer"]["body"] == {"planting": "Cannas", "clumps": 9}
    assert [each["kind"] for each in answer["questions"]] == ["fewer_clumps_than_taken"]
    assert "it had 6 clumps" in answer["questions"][0]["says"]


BAD = [
    (["sing"], "There is no kind of line called 'sing'"),
    (["cut_down"], "planting is missing"),
    (["cut_down", "planting=Canas"], "names the planting 'Canas', which is not there"),
    (["cut_down", "planting=Cannas", "planting=Cannas"], "planting is given twice"),
    (["cut_down", "Cannas"], "'Cannas' is not of the form key=value"),
    (["cut_down", "plantng=Cannas"], "has no field 'plantng'"),
    (["cut_down", "planting=Cannas", "--on", "2026-03-13"], "still to come"),
    (["cut_down", "planting=Cannas", "--on", "2026-03-12T09:00"], "still to come"),
    (["cut_down", "planting=Cannas", "--on", "12.3.2026"], "--on is '12.3.2026'"),
    (["bed_changed", "bed=Wall", "soil=clay"], "names the bed 'Wall', which is not there"),
    (["bed_changed", "bed=Quay", "soil=mud"], "soil is 'mud'"),
    (["bed_changed", "bed=Quay", "watering=1", "watering.manner=soil"], "watering is no table"),
    (["bed_laid", "name=X", "area_m2=[1"], "'area_m2=[1' cannot be read"),
    (["bed_laid", "name=X", "area_m2=" + "9" * 400], "area_m2 is"),
    (["rain_noted", "rain_mm=1", "rain_in=1"], "a note says one thing"),
    (["note", "text=" + "x" * 5000], "text is"),
    (["note", "text=\udcff"], "cannot hold"),
    (["correction", "body={}"], "A correction is written otherwise"),
    (["--retract", "zz"], "No line of"),
    (["--correct", "0"], "No line of"),
    (["--retract", "000000", "--list"], "do not go together"),
    (["x", "--list"], "'x' does not go with --list"),
    (["remedy_done", "remedy=oyl", "plantings=Cannas"], "'oyl' is no remedy; did you mean oil?"),
    (["remedy_done", "remedy=oil", "plantings=Cannas", "prodct_ml=9"], "has no field 'prodct_ml'"),
    (["remedy_done", "remedy=oil", "plantings=Cannas", "details.prodct_ml=9"], "did you mean product_ml?"),
    (["remedy_done", "remedy=oil", "plantings=Cannas", "product_ml=much"], "product_ml is 'much'"),
    (["remedy_done", "remedy=oil", "plantings=Canas"], "names the planting 'Canas'"),
    (["material_bought", "material=Tin", "label.rate=5 g"], "label"),
    (["material_bought", "material=Tin", "details=7", "left=5 g"], "details is no table"),
    (["cut_down", "planting=Cannas", "disposal=sea"], "disposal is 'sea'"),
    (["flowering_seen", "planting=Cannas", "open=perhaps"], "open is 'perhaps'"),
    ([], "does not say what happened"),
]
LABEL = (
    "label.form=liquid", "label.actives.mineral_oil=850 g/l", "label.rate=10 ml/l", "label.sites=ornamentals", "label.pests=rust,mildew",
    "label.interval_d=14", "label.most_applications=8", "label.most_product=not printed", "label.reentry_h=until dry",
    "label.rain_fast_h=4", "label.protective=gloves", "label.registration=1234",
)  # fmt: skip


def test_a_bottle_and_a_spraying_are_written_down_at_the_command_line(home: Path, capsys: pytest.CaptureFixture[str]):
    bought = told(
        capsys, "note", "home.abaxial", "material_bought", "material=White bottle", "left=500 ml", "price=9", *LABEL,
        "--on", "2026-03-09", *LATER,
    )  # fmt: skip
    sprayed = told(
        capsys, "note", "home.abaxial", "remedy_done", "remedy=oil", "plantings=cannas", "material=white bottle",
        "product_ml=9", "water_l=0.9", "area_m2=4", "rate=10 ml/l", "weather.wind_m_s=1.5", "codes=NC",
        "--by", "Ann", "--on", "2026-03-10T07:10", *LATER,
    )  # fmt: skip
    opened = open_garden(home, at=None)

    assert "Bought: White bottle, 500 ml, for 9, with its label." in bought
    assert "Done: oil sprayed, on cannas, with “white bottle”, 9 ml in 0.9 l of water, begun at 07:10." in sprayed
    assert "To settle" not in bought + sprayed
    assert [(each.key, each.left) for each in opened.bottles] == [("White bottle", 491.0)]
    [done] = opened.done
    assert (done.bottle, done.plantings, done.applicator, done.registration, done.missing) == (
        "White bottle", ("Cannas",), "Ann", "1234", (),
    )  # fmt: skip
    assert done.started is not None
    assert done.started.isoformat() == "2026-03-10T07:10:00+03:00"


def test_what_a_spraying_still_needs_is_asked_and_added_by_correcting_it(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    said = told(capsys, "note", "home.abaxial", "remedy_done", "remedy=fungicide", "plantings=Cannas", *AT)
    written = entries(home)[-1].id
    after = told(capsys, "note", "home.abaxial", "--correct", written, "product_ml=9", "applicator=Ann", *LATER)

    assert "still needs 8 things: the hour it began, how much product was used" in said
    assert "still needs 6 things: the hour it began, how much water" in after


def test_what_lies_around_a_bed_is_answered_one_by_one(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "bed_changed", "bed=Quay", "near.hives_m=none", *AT)
    told(capsys, "note", "home.abaxial", "bed_changed", "bed=Quay", "near.fish_m=12", "near.children=true", *LATER)

    [bed] = open_garden(home, at=None).garden.beds
    assert bed.surroundings == Surroundings(hives_m=math.inf, fish_m=12.0, children=True)


@pytest.mark.parametrize(("words", "said"), BAD, ids=[" ".join(words)[:40] for words, _ in BAD])
def test_a_note_that_cannot_be_meant_is_not_written(
    home: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
):
    assert said in refused(capsys, home, "note", "home.abaxial", *words, *LATER)


def test_a_planting_of_odd_letters_is_called_by_them(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "cut_down", "planting=Beans “ß”: 日; x, y", *LATER)
    told(capsys, "walk", "home.abaxial", "--seen", "beans “ß”: 日; x, y: 4 low, 1 rusted; cannas: none", *LATER)

    seen = open_garden(home, at=None).sightings
    assert [(each.planting, each.rusted) for each in seen if each.on.day == 12] == [
        ("Beans “ß”: 日; x, y", 1),
        ("Cannas", None),
    ]


def test_every_kind_of_line_stands_in_the_help(capsys: pytest.CaptureFixture[str]):
    said = told(capsys, "note", "--help")

    assert [kind for kind in KINDS if kind not in said and kind not in ("correction", "retraction")] == []


def test_a_description_keeps_no_journal(home: Path, capsys: pytest.CaptureFixture[str]):
    (home.parent / "garden.txt").rename(home.parent / "garden.toml")

    assert "keeps no journal" in refused(capsys, home, "note", "garden.toml", "flowering_seen", "planting=Cannas")


def test_a_file_that_can_only_be_read_is_not_written_in(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(os, "access", lambda path, mode: mode != os.W_OK)

    for words in (["note", "home.abaxial", "note", "text=x"], ["walk", "home.abaxial", "--seen", "Cannas: none"]):
        assert "can only be read, so nothing was written" in refused(capsys, home, *words, *LATER)
    assert "Cannas" in told(capsys, "garden", "show", "home.abaxial")


# ------------------------------------------------------------------ right, back, list


def test_a_line_is_put_right_and_the_list_says_so(home: Path, capsys: pytest.CaptureFixture[str]):
    told(
        capsys, "note", "home.abaxial", "rain_noted", "rain_mm=12", "since=2026-03-10 07:00", "--on", "2026-03-11", *AT
    )
    wrong = entries(home)[-1].id
    change = ("rain_mm=21", "since=", "--on", "2026-03-10")
    said = told(capsys, "note", "home.abaxial", "--correct", wrong[:5], *change, *LATER)

    assert said.startswith("Put right, as of Tuesday 10 March 2026: 21 mm of rain in the gauge, read at 2026-03-11.")
    assert open_garden(home, at=None).garden.noted[0].options == {"rain_mm": 21, "at": "2026-03-11"}
    assert "21 mm of rain in the gauge, read at 2026-03-11.  [put right]" in told(
        capsys, "note", "home.abaxial", "--list"
    )


def test_flowers_that_are_expected_are_said_of_a_planting_that_is_there_already(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    planted = next(each.id for each in entries(home) if each.body.get("name") == "Cannas")
    for said, kept in (("12", 12.0), ("", 0.0)):
        told(capsys, "note", "home.abaxial", "--correct", planted, f"flower_stems_per_week={said}", *LATER)

        plantings = {each.name: each for each in open_garden(home, at=None).garden.plantings}
        assert plantings["Cannas"].flower_stems_per_week == kept


def test_a_line_is_taken_back_and_brought_back(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "destroyed", "planting=Cannas", *AT)
    first = entries(home)[-1].id
    assert told(capsys, "note", "home.abaxial", "--retract", first, *LATER).startswith(
        "Taken back: “Cannas” cleared away."
    )
    back = entries(home)[-1].id
    assert "Cannas" in [each.name for each in open_garden(home, at=None).garden.plantings]
    assert "“Cannas” cleared away.  [taken back]" in told(capsys, "note", "home.abaxial", "--list")
    assert "Take the taking back off first" in refused(capsys, home, "note", "--correct", first, "clumps=2", *LATER)
    assert "cannot be put right" in refused(capsys, home, "note", "--correct", back, "remark=x", *LATER)

    assert told(capsys, "note", "home.abaxial", "--retract", back, *LATER).startswith("Brought back: “Cannas” cleared")
    assert "Cannas" not in [each.name for each in open_garden(home, at=None).garden.plantings]


def test_the_list_as_json_tells_which_lines_stand(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "note", 'text="odd\nletters \x1b[31m"', *AT)
    told(capsys, "note", "home.abaxial", "--retract", entries(home)[-1].id, *LATER)

    listed = json.loads(told(capsys, "note", "home.abaxial", "--list", "--json"))["answer"]
    assert len(listed) == len(entries(home))
    assert [each["kind"] for each in listed if not each["stands"]] == ["note"]
    assert "odd letters  [31m" in told(capsys, "note", "home.abaxial", "--list")


@pytest.mark.parametrize(
    ("schema_name", "words"),
    [
        ("note", ["note", "home.abaxial", "note", "text=dry", *AT]),
        ("note", ["note", "home.abaxial", "--list"]),
        ("walk-seen", ["walk", "home.abaxial", "--seen", "Cannas: 14 low, 2 rusted", *AT]),
        ("garden-check", ["garden", "check", "home.abaxial"]),
        ("garden-show", ["garden", "show", "home.abaxial"]),
        ("garden-import", ["garden", "import", "again.toml", "again.abaxial", *AT]),
    ],
)
def test_what_is_told_in_json_keeps_to_its_schema(
    home: Path, capsys: pytest.CaptureFixture[str], schema_name: str, words: list[str]
):
    (home.parent / "again.toml").write_text(SITE + BED + PLANTING + WALK, encoding="utf-8")
    answer = json.loads(told(capsys, *words, "--json"))

    committed = Path(schema.__file__).parent / "schemas" / f"{schema_name}.json"
    validator = Draft202012Validator(json.loads(committed.read_text(encoding="utf-8")))
    assert [error.message for error in validator.iter_errors(answer)] == []
    assert answer["schema"] == f"abaxial/{schema_name}/1"


def test_a_beginning_of_an_id_that_fits_several_is_refused(home: Path, capsys: pytest.CaptureFixture[str]):
    alike = Entry("abc" + "0" * 29, "note", 1, *[entries(home)[0].recorded_at] * 3, "", "", None, {"text": "a"})
    with open_store(home) as kept:
        kept.append([alike, Entry(**{**vars(alike), "id": "abc" + "1" * 29})])

    assert "2 lines have ids that begin with 'abc'" in refused(capsys, home, "note", "--retract", "abc")
    assert "Taken back" in told(capsys, "note", "--retract", "abc1", *LATER)


# ------------------------------------------------------------------ walks


def test_a_walk_is_said_back_and_written(home: Path, capsys: pytest.CaptureFixture[str]):
    said = told(capsys, "walk", "home.abaxial", "--seen", "cannas: 14 low, 2 rusted", "--on", "2026-03-10", *LATER)

    assert said.startswith("Tuesday 10 March 2026: Walk. Cannas: 14 low leaves turned, 2 with rust.\nWritten, as ")
    assert entries(home)[-1].body == {"seen": [{"planting": "Cannas", "part": "lower", "turned": 14, "rusted": 2}]}


def test_a_table_of_walks_read_again_adds_nothing(home: Path, capsys: pytest.CaptureFixture[str]):
    rows = "planting,date,leaves_turned,leaves_rusted\nCannas,2026-03-02,20,1\nCannas,2026-03-08,20,0\n"
    (home.parent / "walks.csv").write_text(rows)
    first = told(capsys, "walk", "home.abaxial", "--csv", "walks.csv", *LATER)
    told(capsys, "note", "home.abaxial", "--retract", entries(home)[-1].id, *LATER)
    again = told(capsys, "walk", "home.abaxial", "--csv", "walks.csv", "--at", "2026-03-12T08:00")

    assert "Written, as" in first
    assert "There already" in again
    assert "had been taken back, and still is" in again
    assert [each.kind for each in entries(home)].count("walked") == 3


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--seen", "Canas: 3 low, 1 rusted"], "names the planting 'Canas'"),
        (["--seen", "Cannas: 3 low, 5 rusted"], "more than the 3 turned"),
        (["--seen", "Cannas: none", "--on", "2026-03-13"], "still to come"),
        (["--seen", "Cannas: none", "--write"], "--write is for a description"),
        (["--seen", "Cannas: none", "--csv", "walks.csv"], "do not go together"),
        (["--csv", "gone.csv"], "gone.csv cannot be read"),
        (["--csv", "later.csv"], "a walk on 2027-01-01 is still to come"),
    ],
)
def test_a_walk_that_cannot_be_is_not_written(
    home: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
):
    (home.parent / "later.csv").write_text("planting,date,amount\nCannas,2026-03-01,none\nCannas,2027-01-01,none\n")

    assert said in refused(capsys, home, "walk", "home.abaxial", *words, *LATER)


def test_for_a_description_the_lines_are_shown_and_written_only_if_asked(
    folder: Path, capsys: pytest.CaptureFixture[str]
):
    text = SITE + BED + PLANTING + "# my own remark\n"
    (folder / "garden.toml").write_text(text)
    walk = ("walk", "garden.toml", "--seen", 'Cannas: 14 low, 2 rusted, 2-5 % ("quoted"), by Ann', *AT)

    block = told(capsys, *walk)
    assert (folder / "garden.toml").read_text() == text
    told(capsys, *walk, "--write")
    assert (folder / "garden.toml").read_text() == f"{text}\n{block}"

    [seen] = open_garden(folder / "garden.toml", at=None).sightings
    assert (seen.turned, seen.rusted, seen.severity_high_frac, seen.by) == (14, 2, 0.05, "Ann")
    assert len(read_garden(folder / "garden.toml").walks) == 1


def test_a_table_is_named_in_a_description(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "garden.toml").write_text(SITE + BED + PLANTING)
    (folder / "walks.csv").write_text("planting,date,amount\nCannas,2026-03-01,none\n")

    told(capsys, "walk", "garden.toml", "--csv", "walks.csv", "--write", *AT)

    assert [each.amount for each in open_garden(folder / "garden.toml", at=None).sightings] == ["none"]


def test_a_walk_in_a_description_after_the_moment_is_not_looked_at(folder: Path):
    (folder / "garden.toml").write_text(SITE + BED + PLANTING + WALK + WALK.replace("03-01", "01-02"))
    whole, early = (open_garden(folder / "garden.toml", at=at) for at in (None, datetime(2026, 2, 20, 12, tzinfo=UTC)))

    assert [len(each.sightings) for each in (whole, early)] == [1, 0]
    # leaves began to grow after the other one
    assert [each.on.month for each in whole.stray] == [1]
    assert [each.kind for each in whole.questions] == ["planting_not_yet_there"]


# ------------------------------------------------------------------ out of it and in again


@pytest.mark.parametrize("name", ["all.zip", "all.csv", "copy.abaxial"])
def test_a_garden_goes_out_and_comes_back_the_same(home: Path, capsys: pytest.CaptureFixture[str], name: str):
    out = (
        ["garden", "backup", "home.abaxial", name] if name.endswith("abaxial") else ["garden", "export", "--out", name]
    )
    told(capsys, *out)
    assert "already" in refused(capsys, home, *out)
    told(capsys, "garden", "restore", name, "again.abaxial")

    assert entries(home.parent / "again.abaxial") == entries(home)
    assert "already" in refused(capsys, home, "garden", "restore", name, "again.abaxial")


def test_a_garden_goes_out_as_a_description_and_comes_back_as_it_stands(home: Path, capsys: pytest.CaptureFixture[str]):
    told(capsys, "note", "home.abaxial", "cut_down", "planting=Cannas", "disposal=cold_compost", *LATER)
    told(capsys, "note", "home.abaxial", "material_bought", "material=White bottle", "left=500 ml", *LABEL, *AT)
    told(
        capsys, "note", "home.abaxial", "remedy_done", "remedy=oil", "plantings=Cannas", "material=White bottle",
        "product_ml=9", *LATER,
    )  # fmt: skip
    told(capsys, "garden", "export", "home.abaxial", "--out", "again.toml")
    described, kept = (open_garden(home.parent / name, at=None) for name in ("again.toml", "home.abaxial"))

    assert described.garden.plantings == kept.garden.plantings
    assert described.sightings == kept.sightings
    assert described.bottles == kept.bottles
    assert described.done == tuple(replace(each, entry_id="") for each in kept.done)
    assert [each.remedy for each in described.done] == ["cut_down", "oil"]
    assert "already" in refused(capsys, home, "garden", "export", "home.abaxial", "--out", "again.toml")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["export", "home.abaxial", "--out", "x.docx"], "the ending must say the form"),
        (["export", "garden.toml", "--out", "x.zip"], "is a description"),
        (["backup", "home.abaxial", "nowhere/x.abaxial"], "There is no folder nowhere"),
        (["restore", "gone.zip", "x.abaxial"], "There is no gone.zip"),
        (["restore", "garden.toml", "x.abaxial"], "is not a garden file"),
        (["restore", "empty.zip", "x.abaxial"], "is no archive of a garden"),
    ],
)
def test_what_cannot_go_out_or_come_in_is_said_so(
    home: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
):
    (home.parent / "garden.txt").rename(home.parent / "garden.toml")
    (home.parent / "empty.zip").write_bytes(b"PK\x05\x06" + bytes(18))

    assert said in refused(capsys, home, "garden", *words)
    assert not (home.parent / "x.abaxial").exists()


def test_a_whole_garden_is_said_to_be_whole_and_a_damaged_one_not(home: Path, capsys: pytest.CaptureFixture[str]):
    assert "is whole: 1 bed, 2 plantings, 1 look." in told(capsys, "garden", "check", "home.abaxial")
    raw = home.read_bytes()
    home.write_bytes(raw.replace(b'"turned":20', b'"turned":30'))

    assert main.run(["garden", "check", "home.abaxial", "--json"]) == 1
    answer = json.loads(capsys.readouterr().out)["answer"]
    assert answer["whole"] is False
    assert "is not as it was written" in answer["problems"][0]


def test_a_description_can_be_checked_too(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "garden.toml").write_text(SITE + BED + PLANTING + WALK.replace("03-01", "01-02"))

    assert "To settle: " in told(capsys, "garden", "check")


# ------------------------------------------------------------------ key=value


def test_values_are_read_as_what_their_field_holds():
    body = pairs.body_of(
        ["name=12", "clumps=6", "spacing_m=0.5", "plantings=A, B", "watering.manner=soil", "watering.local_hour=6",
         "details.dose=2.5", 'obstacle=[{from_deg = 0, on = 2026-03-01}]', "remark=a=b", 'task="x "']
    )  # fmt: skip

    assert body == {
        "name": "12",
        "clumps": 6,
        "spacing_m": 0.5,
        "plantings": ["A", "B"],
        "watering": {"manner": "soil", "local_hour": 6},
        "details": {"dose": 2.5},
        "obstacle": [{"from_deg": 0, "on": {"@date": "2026-03-01"}}],
        "remark": "a=b",
        "task": "x ",
    }


def test_a_change_leaves_the_rest_and_takes_out_what_is_empty():
    before = {"a": 1, "watering": {"manner": "soil", "amount_mm": 5}}

    assert pairs.body_of(["watering.amount_mm=", "b=2"], before=before) == {
        "a": 1,
        "watering": {"manner": "soil"},
        "b": 2,
    }
    assert before["watering"] == {"manner": "soil", "amount_mm": 5}


@pytest.mark.parametrize("pair", ["=1", "a", "a..b=1", "1a=2", "a b=3"])
def test_what_is_no_pair_is_refused(pair: str):
    with pytest.raises(RequestError, match="is not of the form"):
        pairs.body_of([pair])

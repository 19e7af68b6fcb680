"""Every kind of entry has a body that can be checked, and the reference page tells of all of them."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.journal_pages import BEGINNING, SITE, entry

from abaxial.journal.canonical import canonical_text, digest, same_content, with_derived_id
from abaxial.journal.entries import KINDS
from abaxial.journal.fold import fold
from abaxial.journal.kinds import BODIES, LOOSE, body_problems, moment_of
from abaxial.journal.questions import QUESTIONS

PAGE = (Path(__file__).parents[2] / "docs" / "reference" / "journal.md").read_text(encoding="utf-8")
SEEN = {"planting": "Cannas", "turned": 40, "rusted": 2}
SOUND = {
    "garden_described": {"site": SITE, "gardener": {"minutes": 60}, "folder": "mine"},
    "bed_laid": {
        "name": "Quay",
        "area_m2": 8,
        "watering": {"manner": "soil", "amount_mm": 5},
        "number": 0,
        "near": {"hives_m": "none", "children": True},
    },
    "bed_changed": {"bed": "Quay", "soil": "clay", "remark": "dug over"},
    "planting_made": {
        "name": "A",
        "bed": "Quay",
        "host": "canna",
        "clumps": 0,
        "spacing_m": 0.5,
        "since": "2026-02-20",
        "eaten": False,
    },
    "planting_moved": {"planting": "A", "bed": "Wall", "clumps": 3},
    "division_taken": {"planting": "A", "name": "B", "bed": "W", "clumps": 3, "spacing_m": 0.5, "since": "2026-02-20"},
    "cut_down": {"planting": "A", "disposal": "cold_compost"},
    "leaves_taken_off": {"planting": "A", "which": "low"},
    "destroyed": {"planting": "A", "clumps": 2},
    "walked": {"seen": [SEEN], "minutes": 40},
    "flowering_seen": {"planting": "A", "open": False},
    "rain_noted": {"rain_mm": 12.5, "since": "Sunday", "at": "2026-03-04 07:00"},
    "wetness_noted": {"leaves": "dripping", "bed": "Quay"},
    "remedy_done": {
        "remedy": "oil",
        "plantings": ["A"],
        "material": "White bottle",
        "details": {
            "started": "07:10",
            "ended": {"@time": "07:40:00"},
            "product_ml": 9,
            "water_l": 0.9,
            "area_m2": 6,
            "rate": "10 ml/l",
            "codes": ["NC"],
            "weather": {"wind_m_s": 1.5},
            "reentry_until": "2026-03-11 07:30",
            "taken": [1, 2],
        },
    },
    "material_bought": {
        "material": "White bottle",
        "details": {"left": "500 ml", "price": 9, "label": {"rate": "10 ml/l", "actives": {"mineral_oil": "850 g/l"}}},
    },
    "task_declined": {"task": "turn_leaves", "plantings": ["A"]},
    "minutes_set": {"minutes": 75, "days": ["Tuesday"], "tasks": {"thin": 60}},
    "values_set": {"values": {"clump": 6.5}},
    "note": {"text": "Two lines,\nof which this is one.", "planting": "A"},
    "photo": {"file": "photos/a.jpg", "sha256": "0" * 64},
    "correction": {"happened_from": "2026-03-04T15:00:00+08:00"},
    "retraction": {"remark": "the wrong bed"},
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_body_as_it_should_be_has_no_problems(kind: str):
    assert body_problems(kind, 1, SOUND[kind]) == []


@pytest.mark.parametrize("kind", [kind for kind in KINDS if BODIES[kind].needed])
def test_a_body_without_what_it_needs_is_told_so(kind: str):
    missing = BODIES[kind].needed[0]

    assert any(missing in each for each in body_problems(kind, 1, {}))


@pytest.mark.parametrize(
    ("kind", "change", "said"),
    [
        ("bed_laid", {"area_m2": -1}, "area_m2"),
        ("bed_laid", {"colour": "red"}, "colour"),
        ("bed_laid", {"area_m2": None}, "null"),
        ("garden_described", {"site": {**SITE, "zone": None}}, "null"),
        ("correction", {"body": None}, "body"),
        ("walked", {"seen": [{**SEEN, "part": None}]}, "part"),
        ("bed_laid", {"obstacle": [{"from_deg": 0}]}, "to_deg"),
        ("bed_laid", {"number": -1}, "number"),
        ("bed_laid", {"name": 10**400}, "JSON"),
        ("planting_made", {"since": "20260220"}, "since"),
        ("planting_made", {"since": "2026-02-30"}, "since"),
        ("planting_made", {"cut_down": ["2026-03-01"]}, "cut_down"),
        ("planting_moved", {"clumps": 0}, "clumps"),
        ("destroyed", {"clumps": 0}, "clumps"),
        ("leaves_taken_off", {"which": "all"}, "which"),
        ("walked", {"seen": [SEEN, {**SEEN, "rusted": 41}]}, "seen 2"),
        ("walked", {"seen": [{**SEEN, "turned": "40"}]}, "turned"),
        ("walked", {"seen": [{**SEEN, "turned": True}]}, "turned"),
        ("walked", {"seen": [{**SEEN, "colour": "red"}]}, "colour"),
        ("walked", {"seen": []}, "seen"),
        ("flowering_seen", {"open": "no"}, "open"),
        ("rain_noted", {"rain_mm": -1}, "rain_mm"),
        ("rain_noted", {"at": "0001-01-01 00:00", "since": "0001-01-01 00:00"}, "rain_noted"),
        ("wetness_noted", {"leaves": "soggy"}, "soggy"),
        ("remedy_done", {"plantings": []}, "plantings"),
        ("remedy_done", {"details": {"product_ml": "much"}}, "product_ml"),
        ("remedy_done", {"details": {"product_ml": -1}}, "product_ml"),
        ("remedy_done", {"details": {"started": "early"}}, "started"),
        ("remedy_done", {"details": {"reentry_until": "tomorrow"}}, "reentry_until"),
        ("remedy_done", {"details": {"codes": [11]}}, "codes"),
        ("remedy_done", {"details": {"weather": {"humidity_frac": 85}}}, "humidity_frac"),
        ("remedy_done", {"details": {"weather": "fine"}}, "weather"),
        ("remedy_done", {"details": {"disposal": "sea"}}, "disposal"),
        ("material_bought", {"details": {"price": "dear"}}, "price"),
        ("cut_down", {"disposal": "sea"}, "disposal"),
        ("bed_laid", {"near": {"hives_m": "far"}}, "hives_m"),
        ("planting_made", {"eaten": "yes"}, "eaten"),
        ("planting_made", {"flower_stems_per_week": -1}, "flower_stems_per_week"),
        ("planting_moved", {"flower_stems_per_week": 501}, "flower_stems_per_week"),
        ("division_taken", {"flower_stems_per_week": "many"}, "flower_stems_per_week"),
        ("minutes_set", {"days": ["Funday"]}, "Funday"),
        ("minutes_set", {"minutes": 5000}, "minutes"),
        ("values_set", {"values": {"clump": "much"}}, "clump"),
        ("values_set", {"values": {}}, "values"),
        ("photo", {"file": "../../secret.jpg"}, "file"),
        ("photo", {"file": "/photos/a.jpg"}, "file"),
        ("photo", {"sha256": "0"}, "sha256"),
        ("garden_described", {"site": {**SITE, "zone": "Mars/North"}}, "zone"),
        ("garden_described", {"weather": [{"form": "epw"}]}, "file"),
        ("correction", {"happened_from": "2026-03-04T15:00:00"}, "happened_from"),
        ("correction", {"happened_from": "2026-03-04T15:00:00Z", "body": []}, "body"),
        ("note", {"text": " "}, "text"),
        ("note", {"text": "a\x00b"}, "JSON"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_body_is_named(kind: str, change: dict[str, object], said: str):
    problems = body_problems(kind, 1, {**SOUND[kind], **change})

    assert any(said in each for each in problems), problems


JUNK = (None, True, -1, 10**400, 1e308, float("nan"), "", "\ud800", "0001-01-01", [], [None], {}, {"@datetime": "9999-12-31T23:00-12:00"})  # fmt: skip


def places(value: object, path: tuple[object, ...] = ()) -> Iterator[tuple[object, ...]]:
    yield path
    listed = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in listed:
        yield from places(inner, (*path, key))


def with_junk(value: object, path: tuple[object, ...], junk: object) -> object:
    if not path:
        return junk
    if isinstance(value, dict):
        return {**value, path[0]: with_junk(value[path[0]], path[1:], junk)}
    assert isinstance(value, list)
    return [with_junk(each, path[1:], junk) if number == path[0] else each for number, each in enumerate(value)]


@pytest.mark.parametrize("kind", KINDS)
def test_anything_may_stand_anywhere_in_a_body_and_the_fold_goes_on(kind: str):
    rest = () if kind == "garden_described" else BEGINNING
    broken = [with_junk(SOUND[kind], place, junk) for place in places(SOUND[kind]) for junk in JUNK]
    folds = [fold([*rest, entry(9, kind, body)]) for body in broken]  # type: ignore[arg-type]

    assert any(question.kind == "malformed" for each in folds for question in each.questions)


def test_a_body_of_nothing_or_of_no_table_is_told_so():
    assert body_problems("minutes_set", 1, {}) == ["minutes_set: it sets nothing."]
    assert body_problems("bed_changed", 1, {"bed": "Quay"}) == ["bed_changed: it changes nothing."]
    assert body_problems("correction", 1, {}) == ["correction: it changes nothing."]
    assert "not a table" in body_problems("note", 1, ["text"])[0]


def test_bodies_of_later_versions_and_kinds_are_not_looked_into():
    assert body_problems("bed_laid", 2, {"shape": "round"}) == []
    assert body_problems("moon_seen", 1, {"phase": "full"}) == []
    assert body_problems("bed_laid", 0, SOUND["bed_laid"]) != []


def test_a_time_without_zone_is_no_moment():
    assert moment_of("2026-03-04T07:00:00") is None
    assert moment_of("2026-03-04T07:00:00+02:00") == datetime(2026, 3, 4, 5, tzinfo=UTC)


def test_an_entry_has_one_text_however_its_numbers_and_times_are_written():
    first = BEGINNING[1]
    body = {**first.body, "area_m2": 8}
    nairobi = first.happened_from.astimezone(datetime.fromisoformat("2026-01-01T00:00+03:00").tzinfo)

    other = type(first)(**{**vars(first), "body": body, "happened_from": nairobi, "seq": 4})

    assert canonical_text(other) == canonical_text(first)
    assert digest(other) == digest(first)
    assert '"area_m2":8,' in canonical_text(first)


def test_who_wrote_it_is_in_the_digest_and_not_in_the_content():
    first = BEGINNING[1]
    other = type(first)(**{**vars(first), "author": "Somebody"})

    assert digest(other) != digest(first)
    assert same_content(other, first)
    assert with_derived_id(other).id == with_derived_id(first).id
    assert re.fullmatch(r"[0-9a-f]{12}5[0-9a-f]{3}[89ab][0-9a-f]{15}", with_derived_id(first).id)


def test_the_reference_page_tells_of_every_kind_with_all_its_fields():
    rows = {kind: row for row in PAGE.splitlines() for kind in re.findall(r"^\| `(\w+)` \|", row)}

    assert set(KINDS) <= set(rows)
    assert [
        (kind, name)
        for kind in KINDS
        for name in (*BODIES[kind].needed, *BODIES[kind].may)
        if f"`{name}`" not in rows[kind] and not (kind == "bed_changed" and name != "bed")
    ] == []
    assert all(f"`{name}`" in PAGE for name in LOOSE)


def test_the_reference_page_tells_of_every_question():
    assert [kind for kind in QUESTIONS if f"`{kind}`" not in PAGE] == []

"""A description turned into entries gives the same garden again."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import abaxial.season
from abaxial.garden.description import garden_from_text
from abaxial.garden.parts import Garden, Noted, Wind
from abaxial.hours import zone_named
from abaxial.journal.canonical import with_own_id
from abaxial.journal.entries import Entry
from abaxial.journal.fold import fold
from abaxial.journal.kinds import body_problems
from abaxial.journal.shelf.folding import Declined, declined_described, shelf_described
from abaxial.journal.writing import entries_of
from abaxial.scouting.sightings import Sighting

DEMO = Path(abaxial.season.__file__).parent / "demo_garden.toml"
NOW = datetime(2026, 3, 12, 6, 30, tzinfo=UTC)
EXTRAS = """
[[weather]]
file = "station.csv"
form = "delimited"
labels = "start"
since = 2025-08-25
read_at = 07:30:00
columns = { rain = { heading = "mm", unit = "mm" } }

[[noted]]
rain_mm = 12
since = "2026-03-10 07:00"
at = 2026-03-11

[[noted]]
leaves = "dripping"
at = 2026-03-11T06:00:00
bed = "Quay"

[[noted]]
rain = "last night"
at = "2026-02-01"

[[bottle]]
name = "White bottle"
left = "500 ml"
price = 9.5
bought_on = 2026-01-20

[bottle.label]
form = "liquid"
actives = { mineral_oil = "850 g/l" }
rate = "10 ml/l"
sites = ["ornamentals"]
pests = ["rust"]
interval_d = 14
most_applications = 8
most_product = "not printed"
reentry_h = 4
rain_fast_h = 4
protective = ["gloves"]
registration = "A-1234"

[[bottle]]
name = "Nettle water"
kind = "home_brew"

[[treatment]]
on = 2026-03-02
remedy = "thinned"
plantings = ["Wall daylilies"]

[[treatment]]
on = 2026-03-10
remedy = "oil"
plantings = ["Quay cannas", "Fig-tree cannas"]
material = "White bottle"

[treatment.details]
started = 23:50:00
ended = "00:20"
product_ml = 9
water_l = 0.9
area_m2 = 6
rate = "10 ml/l"
applicator = "Isaura"
weather = { wind_m_s = 1.2 }

[[declined]]
on = 2026-03-09
task = "oil"
plantings = ["Quay cannas", "Wall daylilies"]
details = { bottle = "White bottle" }
remark = "Guests."

[[declined]]
on = 2026-03-11
task = "look"

[[walk]]
on = 2026-03-10
seen = [{ planting = "Quay cannas", turned = 40, rusted = 0 }]
"""
VALUES = "[values]\nclump_money = 35\ntank_l = 2.5\n"
SIGHTINGS = (
    Sighting("Quay cannas", date(2026, 3, 1), "lower", turned=40, rusted=0, by="Isaura"),
    Sighting("Quay cannas", date(2026, 3, 8), "lower", amount="first", by="Ines", note="under the oldest leaf"),
    Sighting("Quay cannas", date(2026, 3, 8), "upper", turned=40, rusted=3, unit="plant", by="Isaura"),
    Sighting(
        "Wall daylilies", date(2026, 3, 8), turned=20, rusted=5, severity_low_frac=0.0, severity_high_frac=0.03,
        severity_of="rusted", scale="percent", pustules_per_leaf=2.5,
    ),
)  # fmt: skip


def demo() -> Garden:
    described = DEMO.read_text(encoding="utf-8").replace("[values]\n", VALUES) + EXTRAS
    return garden_from_text(described, where="demo", folder="garden")


def test_the_demo_garden_comes_back_equal_from_its_entries():
    written = entries_of(demo(), SIGHTINGS, author="Isaura", device="laptop", recorded_at=NOW)
    folded = fold(written, folder="garden")

    assert folded.garden == replace(demo(), walks=())
    assert folded.sightings == SIGHTINGS
    assert (folded.questions, folded.stray) == ((), ())
    assert {each.kind for each in folded.notes} == {"material_bought", "remedy_done", "task_declined"}


def test_a_described_shelf_is_the_same_read_at_once_and_by_way_of_its_entries():
    written = entries_of(demo(), (), author="", device="", recorded_at=NOW)
    folded = fold(written, folder="garden")
    described = shelf_described(demo(), until=None, zone=zone_named(demo().place.zone), where="demo")

    assert (folded.bottles, folded.prices) == (described.bottles, described.prices)
    assert tuple(replace(each, entry_id="") for each in folded.done) == described.done
    left = {each.key: each.left for each in folded.bottles}
    assert (left["White bottle"], left["Nettle water"]) == (491.0, None)


def test_what_was_turned_down_is_the_same_read_at_once_and_by_way_of_its_entries():
    folded = fold(entries_of(demo(), (), author="", device="", recorded_at=NOW), folder="garden")
    declined, asked = declined_described(demo(), until=None)

    assert tuple(each._replace(entry_id="") for each in folded.declined) == declined
    assert asked == ()
    assert declined[-2:] == (
        Declined(date(2026, 3, 10), "water_at_the_foot", ("Fig-tree cannas",), ""),
        Declined(date(2026, 3, 11), "look", (), ""),
    )


def test_what_was_turned_down_for_a_planting_that_is_not_there_is_asked_about():
    garden = replace(
        demo(), declined=(Noted({"on": date(2026, 3, 9), "task": "oil", "plantings": ["Nowhere", "Bean row"]}),)
    )
    [turned_down], [question] = declined_described(garden, until=None)

    assert turned_down.plantings == ("Bean row",)
    assert (question.kind, question.details["kind"], question.details["planting"]) == (
        "planting_unknown", "task_declined", "Nowhere",
    )  # fmt: skip
    assert declined_described(garden, until=date(2026, 3, 8)) == ((), ())


def test_what_the_journal_sets_later_goes_before_what_the_description_set():
    written = entries_of(demo(), (), author="", device="", recorded_at=NOW)
    later = with_own_id(
        Entry("", "values_set", 1, NOW, NOW, NOW, "", "", None, {"values": {"clump_money": 40, "hour_money": 10}})
    )

    assert fold([later, *written]).values == {
        "clump_money": 40.0, "hour_money": 10.0, "leaf_money_m2_d": 0.2, "tank_l": 2.5
    }  # fmt: skip


def test_every_entry_of_the_demo_garden_is_as_it_should_be():
    written = entries_of(demo(), SIGHTINGS, author="Isaura", device="laptop", recorded_at=NOW)

    assert [problem for each in written for problem in body_problems(each.kind, each.version, each.body)] == []
    assert len({each.id for each in written}) == len(written)


def test_a_description_imported_twice_counts_once():
    first = entries_of(demo(), SIGHTINGS, author="Isaura", device="laptop", recorded_at=NOW)
    again = entries_of(demo(), SIGHTINGS, author="Ines", device="phone", recorded_at=NOW + timedelta(days=3))

    assert fold([*again, *first]) == fold(first)


def test_a_garden_still_to_be_planted_comes_back_equal():
    garden = replace(demo(), plantings=(), wind=Wind(200.0, 0.4), invented=False, noted=())

    assert fold(entries_of(garden, (), author="", device="", recorded_at=NOW), folder="garden").garden == replace(
        garden, walks=()
    )


def test_plantings_still_to_come_are_not_there_until_their_day():
    garden = replace(demo(), plantings=(replace(demo().plantings[0], since=date(2027, 1, 1)),))
    written = entries_of(garden, (), author="", device="", recorded_at=NOW)
    now, then = (fold(written, until=day).garden for day in (date(2026, 12, 31), date(2027, 1, 1)))

    assert now is not None
    assert then is not None
    assert (len(now.plantings), len(then.plantings)) == (0, 1)


def test_a_note_that_cannot_be_read_is_left_to_be_asked_about():
    garden = replace(demo(), noted=(Noted({"rain_mm": "much", "at": "2026-03-01"}),))
    folded = fold(entries_of(garden, (), author="", device="", recorded_at=NOW))

    assert [each.kind for each in folded.questions] == ["malformed"]

"""What must be true of every journal, however it was written and in whatever order it arrived."""

import json
from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import settings as trial
from hypothesis import strategies as some
from tests.journal_pages import BEGINNING, JOURNALS, JSON, SHELVES, START, bodies, entries, entry

from abaxial.garden.description import garden_from_text
from abaxial.garden.parts import Bed, Garden, Planting
from abaxial.garden.writing import write_garden
from abaxial.hours import zone_named
from abaxial.journal.canonical import canonical_text, digest, misfits, plain, told
from abaxial.journal.entries import KINDS
from abaxial.journal.fold import fold
from abaxial.journal.kinds import body_problems
from abaxial.journal.questions import QUESTIONS
from abaxial.journal.shelf.folding import shelf_described
from abaxial.journal.writing import entries_of
from abaxial.place import Place

FRESH, LATER = "f" * 32, "e" * 32


@given(JOURNALS, some.data())
def test_the_order_of_arrival_does_not_matter(journal, data):
    shuffled = data.draw(some.permutations(journal))

    assert fold(shuffled) == fold(journal)


@given(JOURNALS, some.data())
def test_an_entry_that_arrives_twice_counts_once(journal, data):
    again = data.draw(some.lists(some.sampled_from(journal), max_size=4))

    assert fold([*journal, *again]) == fold(journal)


@given(JOURNALS, entries(ids=some.just(FRESH)), some.integers(-9, 9))
def test_retracting_the_last_entry_gives_what_was_before_it(journal, last, days):
    retraction = entry(days, "retraction", {}, id=LATER, corrects=FRESH)

    assert fold([*journal, last, retraction]) == fold(journal)


@given(JOURNALS, entries(ids=some.just(FRESH)))
def test_retracting_a_retraction_brings_the_entry_back(journal, last):
    first = entry(0, "retraction", {}, id=LATER, corrects=FRESH)
    second = entry(1, "retraction", {}, id="d" * 32, corrects=LATER)

    assert fold([*journal, last, first, second]) == fold([*journal, last])


@trial(max_examples=300)
@given(JOURNALS, some.none() | some.dates(date(2026, 1, 1), date(2026, 5, 1)))
def test_the_fold_of_anything_asks_and_never_fails(journal, until):
    folded = fold(journal, until=until)

    assert all(tuple(each.details) == QUESTIONS[each.kind] for each in folded.questions)


@given(some.sampled_from(KINDS), some.integers(-1, 3), some.data())
def test_every_body_is_either_sound_or_told_what_is_wrong_with_it(kind, version, data):
    problems = body_problems(kind, version, data.draw(bodies(kind) | JSON))

    assert all(isinstance(each, str) and each for each in problems)


@given(some.text(min_size=1, max_size=12).filter(lambda kind: kind not in KINDS), some.dictionaries(some.text(), JSON))
def test_a_kind_of_a_later_version_is_kept_and_said(kind, body):
    unknown = entry(9, kind, body)
    folded = fold([*BEGINNING, unknown])

    if misfits(body):
        assert [each.kind for each in folded.questions] == ["malformed"]
    else:
        assert unknown in folded.notes
        assert [(each.kind, each.details["kind"]) for each in folded.questions] == [("unknown_kind", kind)]


@given(
    JOURNALS, some.lists(entries(ids=some.integers(100, 103).map("{:032x}".format)), max_size=3), some.integers(1, 60)
)
def test_what_stands_on_a_date_does_not_hang_on_what_happened_later(journal, more, days):
    until = START + timedelta(days=40)
    later = [
        replace(each, happened_from=until + timedelta(days=days), happened_to=until + timedelta(days=days))
        for each in more
        if each.kind not in ("garden_described", "correction", "retraction")
    ]
    now = fold(journal, until=until.date())
    then = fold([*journal, *later], until=until.date())

    if now.garden is not None:
        assert replace(then, questions=()) == replace(now, questions=())


@given(SHELVES)
def test_nothing_is_left_below_nothing_and_only_what_stood_was_treated(journal):
    folded = fold(journal)
    standing = [each.name for each in folded.garden.plantings] + [each.planting.name for each in folded.former]

    assert all(each.left is None or each.left >= 0.0 for each in folded.bottles)
    assert {name for each in (*folded.done, *folded.declined) for name in each.plantings} <= set(standing)
    assert all(not each.missing for each in folded.done if not each.is_application)


@trial(max_examples=200)
@given(SHELVES)
def test_whatever_shelf_a_journal_adds_up_to_can_be_described_and_is_the_same_shelf(journal):
    folded = fold(journal)
    described = garden_from_text(write_garden(replace(folded.garden, noted=())), where="here", folder=".")
    shelf = shelf_described(described, until=None, zone=zone_named(described.place.zone), where="here")

    assert (shelf.bottles, shelf.prices) == (folded.bottles, folded.prices)
    assert applications(shelf.done) == applications(folded.done)


def applications(done):
    """What was sprayed, whatever on: a description of today cannot say which plantings stood once."""
    return sorted(repr(replace(each, entry_id="", plantings=())) for each in done if each.is_application)


@given(some.lists(some.floats(0.1, 50, allow_nan=False), min_size=1, max_size=4), some.integers(0, 2**31), some.data())
def test_a_described_garden_comes_back_from_its_entries(areas, seed, data):
    beds = tuple(Bed(f"Bed {number}", area) for number, area in enumerate(areas))
    days = some.dates(date(2025, 1, 1), date(2025, 12, 31))
    plantings = []
    for number in range(data.draw(some.integers(0, 5))):
        since = data.draw(days)
        after = [since + timedelta(days=each) for each in data.draw(some.sets(some.integers(0, 90), max_size=3))]
        bed = data.draw(some.sampled_from(beds)).name
        looks = {on: data.draw(some.booleans()) for on in sorted(after)}
        plantings.append(
            Planting(
                f"Planting {seed}-{number}",
                bed,
                "canna",
                number,
                0.4,
                since,
                cut_down=tuple(sorted(after)),
                flowers_seen=tuple(on for on, is_open in looks.items() if is_open),
                no_flowers_seen=tuple(on for on, is_open in looks.items() if not is_open),
                flower_stems_per_week=data.draw(some.just(0.0) | some.floats(0, 500)),
            )
        )
    zone = data.draw(some.sampled_from(["Pacific/Kiritimati", "Pacific/Pago_Pago", "America/Havana", "UTC"]))
    garden = Garden("Plot", Place(-1.3, 36.8, 1660.0, zone), beds, tuple(plantings), folder="here")
    written = entries_of(garden, (), author="a", device="b", recorded_at=START)
    folded = fold(written, folder="here")

    assert folded.garden == garden
    assert folded.questions == ()


@given(entries())
def test_an_entry_read_back_from_json_has_the_same_digest(written):
    if not misfits(written.body):
        read = replace(written, body=json.loads(json.dumps(written.body)))
        assert canonical_text(read) == canonical_text(written)
        assert len(digest(read)) == 64


TOML = some.recursive(
    some.booleans() | some.integers(-(2**40), 2**40) | some.floats(allow_nan=False) | some.text(max_size=8)
    | some.dates() | some.datetimes() | some.times(),
    lambda inner: some.lists(inner, max_size=3)
    | some.dictionaries(some.text(max_size=6) | some.sampled_from(["@date", "@table", "@number"]), inner, max_size=3),
    max_leaves=6,
)  # fmt: skip


@given(TOML)
def test_whatever_a_description_holds_survives_as_json(value):
    assert told(json.loads(json.dumps(plain(value)))) == value

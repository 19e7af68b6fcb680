"""What was written down wrongly can be put right, and taken back, without anything being lost."""

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.journal_pages import BEGINNING, START, entry, laid, made, walked

from abaxial.journal.correction import settle
from abaxial.journal.entries import Entry
from abaxial.journal.fold import fold

WALK = walked(5)


def seen(turned: int, rusted: int) -> dict[str, object]:
    return {"body": {"seen": [{"planting": "Cannas", "turned": turned, "rusted": rusted}]}}


def correction(number: int, of: Entry | str, **body: object) -> Entry:
    return entry(number, "correction", body, corrects=of if isinstance(of, str) else of.id)


def retraction(number: int, of: Entry) -> Entry:
    return entry(number, "retraction", {}, corrects=of.id)


def rusted(*written: Entry) -> list[int | None]:
    return [each.rusted for each in fold([*BEGINNING, *written]).sightings]


def asked(*written: Entry) -> list[str]:
    return [each.kind for each in fold([*BEGINNING, *written]).questions]


def test_a_walk_that_is_retracted_was_never_made():
    assert rusted(WALK, retraction(6, WALK)) == []


def test_a_retraction_that_is_retracted_leaves_the_walk_standing():
    first = retraction(6, WALK)

    assert rusted(WALK, first, retraction(7, first)) == [2]


def test_a_correction_puts_other_counts_in_the_place_of_the_first():
    assert rusted(WALK, correction(6, WALK, **seen(40, 7))) == [7]


def test_of_two_corrections_the_later_one_counts():
    assert rusted(WALK, correction(7, WALK, **seen(40, 9)), correction(6, WALK, **seen(40, 7))) == [9]


def test_a_correction_of_a_correction_is_laid_over_it():
    first = correction(6, WALK, **seen(40, 7))

    assert rusted(WALK, first, correction(7, first, **seen(40, 8))) == [8]


def test_a_clock_that_is_behind_does_not_put_a_correction_before_the_one_it_corrects():
    first = correction(6, WALK, **seen(40, 7))
    second = replace(correction(7, first, **seen(40, 8)), recorded_at=START - timedelta(days=300))

    assert rusted(WALK, first, second) == [8]


def test_retracting_a_correction_undoes_it():
    first = correction(6, WALK, **seen(40, 7))

    assert rusted(WALK, first, retraction(7, first)) == [2]


def test_what_corrects_a_retracted_correction_goes_with_it():
    first = correction(6, WALK, **seen(40, 7))
    second = correction(7, first, **seen(40, 8))

    assert rusted(WALK, first, second, retraction(8, first)) == [2]
    assert asked(WALK, first, second, retraction(8, first)) == []


def test_a_walk_written_down_for_the_wrong_day_is_moved_whole():
    long_walk = replace(WALK, happened_to=WALK.happened_to + timedelta(hours=2))
    (moved,) = settle([long_walk, correction(6, WALK, happened_from="2026-03-04T15:00:00+08:00")]).entries

    assert moved.happened_from == START + timedelta(days=3)
    assert moved.happened_to - moved.happened_from == timedelta(hours=2)


def test_a_correction_that_would_not_fit_changes_nothing_and_is_asked_about():
    first, second = correction(6, WALK, **seen(40, 7)), correction(7, WALK, **seen(40, 50))

    assert rusted(WALK, first, second) == [7]
    assert asked(WALK, first, second) == ["correction_does_not_fit"]


def test_a_malformed_entry_can_be_mended_by_a_correction():
    torn = entry(5, "walked", {"seen": "two of forty"})

    assert asked(torn) == ["malformed"]
    assert rusted(torn, correction(6, torn, **seen(40, 3))) == [3]
    assert asked(torn, correction(6, torn, **seen(40, 3))) == []


def test_a_correction_of_something_unknown_is_a_question():
    assert asked(correction(6, "f" * 32, **seen(40, 7))) == ["corrects_unknown"]
    assert asked(entry(6, "retraction", {}, corrects="f" * 32)) == ["corrects_unknown"]


def test_a_correction_of_nothing_is_a_question():
    assert asked(entry(6, "retraction", {})) == ["corrects_nothing"]


def test_a_retraction_cannot_be_corrected():
    first = retraction(6, WALK)

    assert asked(WALK, first, correction(7, first, **seen(1, 1))) == ["correction_of_retraction"]


def test_corrections_in_a_circle_are_asked_about_and_change_nothing():
    one, other = correction(6, "7".zfill(32), **seen(40, 7)), correction(7, "6".zfill(32), **seen(40, 8))
    behind = correction(8, other, **seen(40, 9))
    itself = entry(9, "retraction", {}, corrects="9".zfill(32))

    assert rusted(WALK, one, other, behind, itself) == [2]
    assert asked(WALK, one, other, behind, itself) == ["corrects_in_a_circle"] * 4


def test_a_circle_can_be_taken_away():
    one, other = correction(6, "7".zfill(32), **seen(40, 7)), correction(7, "6".zfill(32), **seen(40, 8))

    assert asked(one, other, retraction(8, one), retraction(9, other)) == []


def test_an_entry_that_is_no_correction_and_points_at_another_stands_and_is_asked_about():
    second = replace(walked(6), corrects=WALK.id)

    assert rusted(WALK, second) == [2, 2]
    assert asked(WALK, second) == ["corrects_though_not_a_correction"]


def test_of_two_contents_under_one_id_the_one_written_down_first_stands():
    other = replace(walked(5, "Nobody"), recorded_at=WALK.recorded_at + timedelta(seconds=1))

    assert rusted(other, WALK) == [2]
    assert asked(other, WALK) == ["same_id_other_content"]


def test_the_same_thing_written_down_twice_under_one_id_is_no_question():
    again = replace(WALK, recorded_at=WALK.recorded_at + timedelta(days=9), device="laptop", seq=12)

    assert rusted(WALK, again) == [2]
    assert asked(WALK, again) == []


@pytest.mark.parametrize("steps", [3000])
def test_a_very_long_chain_of_retractions_is_followed_to_its_end(steps):
    chain = [WALK]
    for number in range(6, 6 + steps):
        chain.append(retraction(number, chain[-1]))

    assert rusted(*chain) == ([2] if steps % 2 == 0 else [])


def test_an_entry_with_an_impossible_time_is_asked_about_until_it_is_retracted():
    naive = replace(laid(5, "Third"), happened_from=START.replace(tzinfo=None))
    early = replace(made(6, "Beans"), recorded_at=START.replace(year=1))

    assert asked(naive, early) == ["time_impossible", "time_impossible"]
    assert asked(naive, early, retraction(7, naive), retraction(8, early)) == []

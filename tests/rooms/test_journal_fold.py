"""The garden that the entries add up to, and what they leave to be asked."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from tests.clock import quickest_s
from tests.journal_pages import BEGINNING, SITE, START, described, entry, laid, made, walked

from abaxial.garden.parts import Disposed, Garden, Planting, Surroundings
from abaxial.journal.entries import Entry
from abaxial.journal.fold import Descent, Folded, fold


def folded(*written: Entry, until: date | None = None) -> Folded:
    return fold([*BEGINNING, *written], until=until)


def garden(*written: Entry) -> Garden:
    found = folded(*written).garden
    assert found is not None
    return found


def planting(name: str, *written: Entry) -> Planting:
    return next(each for each in garden(*written).plantings if each.name == name)


def asked(*written: Entry) -> list[tuple[str, str]]:
    return [(each.kind, each.entry_id[-2:].lstrip("0")) for each in folded(*written).questions]


def moved(number: int, **body: object) -> Entry:
    return entry(number, "planting_moved", {"planting": "Cannas", "bed": "Wall", **body})


def divided(number: int, **body: object) -> Entry:
    new = {"name": "Young", "bed": "Wall", "clumps": 4, "spacing_m": 0.3, "since": "2026-03-09"}
    return entry(number, "division_taken", {"planting": "Cannas", **new, **body})


def destroyed(number: int, **body: object) -> Entry:
    return entry(number, "destroyed", {"planting": "Cannas", **body})


def test_an_empty_journal_has_no_garden_and_no_questions():
    assert fold([]) == Folded(None, (), (), ())


def test_a_journal_that_never_says_where_the_garden_is_asks_for_it():
    nowhere = fold([laid(1), made(3), walked(5)])

    assert nowhere.garden is None
    assert [each.kind for each in nowhere.questions] == ["no_garden"]
    assert len(nowhere.sightings) == 1


def test_the_garden_is_what_was_laid_and_planted_in_it():
    assert [bed.name for bed in garden().beds] == ["Quay", "Wall"]
    assert planting("Cannas") == Planting("Cannas", "Quay", "canna", 10, 0.5, date(2026, 2, 20))
    assert folded().questions == ()


def test_beds_stand_in_the_gardeners_own_order():
    third = entry(9, "bed_laid", {"name": "Gate", "area_m2": 2.0, "number": 0})

    assert [bed.name for bed in garden(third).beds] == ["Gate", "Quay", "Wall"]


def test_a_changed_bed_keeps_what_was_not_changed():
    change = entry(5, "bed_changed", {"bed": "quay", "soil": "clay"})
    bed = garden(change).beds[0]

    assert (bed.name, bed.soil, bed.area_m2) == ("Quay", "clay", 8.0)


def test_a_new_fence_takes_wind_unless_somebody_says_how_much_is_left():
    fence = {"from_deg": 0, "to_deg": 360, "height_m": 2.0, "distance_m": 1.0}
    sheltered = garden(entry(5, "bed_changed", {"bed": "Quay", "obstacle": [fence]})).beds[0]
    said = garden(entry(5, "bed_changed", {"bed": "Quay", "obstacle": [fence], "shelter_frac": 0.9})).beds[0]

    assert sheltered.shelter_frac < 0.6
    assert said.shelter_frac == 0.9


def test_a_planting_that_was_cut_remembers_the_dates():
    cuts = [entry(number, "cut_down", {"planting": "Cannas"}) for number in (9, 5)]
    off = entry(6, "leaves_taken_off", {"planting": "Cannas", "which": "low"})

    assert planting("Cannas", *cuts).cut_down == (date(2026, 3, 6), date(2026, 3, 10))
    assert planting("Cannas", off).low_leaves_off == (date(2026, 3, 7),)


def test_taking_off_rusted_leaves_alone_does_not_count_as_taking_off_the_low_ones():
    off = entry(6, "leaves_taken_off", {"planting": "Cannas", "which": "rusted"})

    assert planting("Cannas", off).low_leaves_off == ()
    assert planting("Cannas", off).rusted_leaves_off == (date(2026, 3, 7),)


def test_where_the_cut_leaves_went_is_remembered_and_goes_with_a_planting_that_is_moved():
    cut = entry(5, "cut_down", {"planting": "Cannas", "disposal": "cold_compost"})
    here, there = planting("Cannas", cut), planting("Wall cannas", cut, moved(6, name="Wall cannas"))

    assert here.disposals == there.disposals == (Disposed(date(2026, 3, 6), "cut_down", "cold_compost"),)


def test_where_the_cut_leaves_went_is_what_was_said_last():
    cuts = [
        entry(5, "cut_down", {"planting": "Cannas", "disposal": way}, id=f"{number:032x}", recorded_at=START)
        for number, way in ((50, "burn"), (51, "left_lying"))
    ]

    assert [each.way for each in planting("Cannas", *cuts).disposals] == ["left_lying"]


def flowering(number: int, planting: str = "Cannas", **body: object) -> Entry:
    return entry(number, "flowering_seen", {"planting": planting, **body})


def test_when_flowers_were_open_and_when_there_were_none_is_remembered():
    seen = planting("Cannas", flowering(9), flowering(5, open=True), flowering(7, "cannas ", open=False))

    assert seen.flowers_seen == (date(2026, 3, 6), date(2026, 3, 10))
    assert seen.no_flowers_seen == (date(2026, 3, 8),)
    assert folded(flowering(5)).notes == ()


def test_of_one_day_what_is_said_last_of_flowers_counts():
    said = [
        entry(5, "flowering_seen", {"planting": "Cannas", "open": is_open}, id=f"{number:032x}", recorded_at=START)
        for number, is_open in ((50, True), (51, False))
    ]

    assert (planting("Cannas", *said).flowers_seen, planting("Cannas", *said).no_flowers_seen) == (
        (),
        (date(2026, 3, 6),),
    )


def test_flowers_on_what_was_not_there_are_asked_about():
    assert asked(flowering(5, "Roses")) == [("planting_unknown", "5")]
    assert asked(made(4, "Late", since="2026-03-20"), flowering(6, "Late")) == [("planting_not_yet_there", "6")]
    assert asked(destroyed(5), flowering(9)) == [("planting_gone", "9")]


def test_open_flowers_go_with_a_planting_that_is_moved():
    seen = (flowering(5), flowering(7))

    assert planting("Wall cannas", *seen, moved(6, name="Wall cannas", clumps=4)).flowers_seen == (date(2026, 3, 6),)
    assert planting("Wall cannas", *seen, moved(6, name="Wall cannas", since="2026-03-07")).flowers_seen == ()


def test_that_no_flowers_were_open_says_nothing_of_another_bed():
    there = planting("Wall cannas", flowering(4), flowering(5, open=False), moved(6, name="Wall cannas"))

    assert (there.flowers_seen, there.no_flowers_seen) == ((), ())


def test_a_question_about_a_bed_that_was_answered_stays_answered():
    near = [
        entry(n, "bed_changed", {"bed": "Quay", "near": said})
        for n, said in ((5, {"fish_m": 9}), (6, {"animals": False}))
    ]

    assert garden(*near).beds[0].surroundings == Surroundings(fish_m=9.0, animals=False)


def test_a_division_is_eaten_as_its_parent_is():
    mint = entry(4, "planting_made", {**made(4, "Mint").body, "eaten": False})

    assert planting("Young", mint, divided(6, planting="Mint")).eaten is False


def bloomers(number: int = 4, **body: object) -> Entry:
    return entry(number, "planting_made", {**made(4, "Bloomers").body, "flower_stems_per_week": 30, **body})


def stems(name: str, *written: Entry) -> float:
    return planting(name, bloomers(), *written).flower_stems_per_week


def test_flowers_go_in_proportion_with_clumps_that_are_moved_and_with_those_that_are_dug_out():
    some = moved(6, planting="Bloomers", name="Wall bloomers", clumps=4)

    assert (stems("Bloomers"), stems("Bloomers", some), stems("Wall bloomers", some)) == (30.0, 18.0, 12.0)
    assert stems("Wall bloomers", moved(6, planting="Bloomers", name="Wall bloomers")) == 30.0
    assert stems("Bloomers", destroyed(6, planting="Bloomers", clumps=5)) == 15.0
    assert stems("Bloomers", some, destroyed(7, planting="Bloomers", clumps=2)) == 12.0


def test_what_is_said_of_flowers_at_a_move_counts_and_more_clumps_than_there_are_bring_no_more_of_them():
    assert stems("Wall", moved(6, planting="Bloomers", name="Wall", clumps=4, flower_stems_per_week=0)) == 0.0
    assert stems("Wall", moved(6, planting="Bloomers", name="Wall", clumps=12)) == 30.0


def test_a_division_flowers_when_somebody_says_so_and_the_clumps_lifted_for_it_no_longer_do():
    lifted = divided(6, planting="Bloomers", lifted=2)

    assert (stems("Bloomers", lifted), stems("Young", lifted)) == (24.0, 0.0)
    assert stems("Young", divided(6, planting="Bloomers", flower_stems_per_week=3)) == 3.0


def test_flowers_that_are_put_right_are_shared_out_anew():
    said = {**bloomers().body, "flower_stems_per_week": 50}
    right = entry(8, "correction", {"body": said}, corrects=bloomers().id)
    some = moved(6, planting="Bloomers", name="Wall bloomers", clumps=4)

    assert (stems("Bloomers", some, right), stems("Wall bloomers", some, right)) == (30.0, 20.0)


def test_a_destroyed_planting_stands_no_more_and_is_remembered():
    end = folded(walked(5), destroyed(6))

    assert end.garden is not None
    assert end.garden.plantings == ()
    assert [(each.planting.name, each.planting.clumps, each.ended_on) for each in end.former] == [
        ("Cannas", 10, date(2026, 3, 7))
    ]
    assert len(end.sightings) == 1


def test_digging_out_some_clumps_leaves_the_others():
    assert planting("Cannas", destroyed(6, clumps=3)).clumps == 7


def test_digging_out_more_clumps_than_there_are_ends_the_planting_and_is_asked_about():
    assert asked(destroyed(6, clumps=11)) == [("fewer_clumps_than_taken", "6")]
    assert garden(destroyed(6, clumps=11)).plantings == ()


def test_a_planting_moved_to_another_bed_is_a_new_one_that_remembers_its_parent():
    move = moved(6, name="Wall cannas")
    after = folded(move)

    assert after.descent == (Descent("Wall cannas", "Cannas", "moved", date(2026, 3, 7)),)
    assert planting("Wall cannas", move) == Planting("Wall cannas", "Wall", "canna", 10, 0.5, date(2026, 2, 20))
    assert [each.planting.name for each in after.former] == ["Cannas"]


def test_moving_some_clumps_leaves_the_others_where_they_were():
    move = moved(6, name="Wall cannas", clumps=4, spacing_m=0.8)

    assert planting("Cannas", move).clumps == 6
    assert (planting("Wall cannas", move).clumps, planting("Wall cannas", move).spacing_m) == (4, 0.8)


def test_a_moved_planting_brings_the_cuts_of_its_leaves_with_it():
    cut, late = (entry(number, "cut_down", {"planting": "Cannas"}) for number in (5, 8))

    assert planting("Wall cannas", cut, moved(6, name="Wall cannas", clumps=4), late).cut_down == (date(2026, 3, 6),)


def test_a_planting_moved_whole_may_keep_its_name():
    after = folded(walked(5), moved(6), walked(9))

    assert after.garden is not None
    assert [(each.name, each.bed) for each in after.garden.plantings] == [("Cannas (2)", "Wall")]
    assert [each.planting for each in after.sightings] == ["Cannas", "Cannas (2)"]
    assert after.questions == ()


def test_next_years_beans_may_be_called_as_this_years():
    beans, next_beans = made(4, "Beans"), made(200, "beans", since="2026-09-10")
    end = entry(60, "destroyed", {"planting": "Beans"})
    walks = [walked(number, "Beans") for number in (5, 201)]

    assert [each.planting for each in folded(beans, end, next_beans, *walks).sightings] == ["Beans", "beans (2)"]
    assert asked(beans, end, next_beans, *walks) == []


def test_a_division_is_a_planting_of_the_same_kind():
    young = planting("Young", divided(9))

    assert (young.host, young.clumps, young.since) == ("canna", 4, date(2026, 3, 9))
    assert planting("Cannas", divided(9)).clumps == 10
    assert planting("Cannas", divided(9, lifted=2)).clumps == 8


@pytest.mark.parametrize(
    ("written", "question"),
    [
        ([described(9)], "garden_described_twice"),
        ([laid(9, " QUAY")], "bed_laid_twice"),
        ([made(9, "cannas ")], "two_plantings_of_one_name"),
        ([made(9, "Beans", "Nowhere")], "bed_unknown"),
        ([moved(9, bed="Nowhere")], "bed_unknown"),
        ([moved(9, name="Cannas", clumps=3)], "two_plantings_of_one_name"),
        ([replace(made(9, "Beans"), happened_from=START - timedelta(days=9))], "bed_not_yet_laid"),
        ([entry(9, "bed_changed", {"bed": "Nowhere", "soil": "clay"})], "bed_unknown"),
        ([entry(9, "cut_down", {"planting": "Beans"})], "planting_unknown"),
        ([destroyed(8), destroyed(9)], "planting_gone"),
        ([destroyed(8), entry(9, "cut_down", {"planting": "Cannas"})], "planting_gone"),
        ([made(20, "Beans", since="2026-04-01"), entry(9, "cut_down", {"planting": "Beans"})], "planting_not_yet_there"),
        ([made(8, "Beans", since="2026-04-01"), entry(9, "cut_down", {"planting": "Beans"})], "planting_not_yet_there"),
        ([entry(9, "note", {"text": "tall", "planting": "Beans"})], "planting_unknown"),
        ([entry(9, "remedy_done", {"remedy": "thin", "plantings": ["Beans"]})], "planting_unknown"),
        ([entry(9, "wetness_noted", {"leaves": "dry", "bed": "Nowhere"})], "bed_unknown"),
        ([replace(laid(9, "Gate"), happened_to=START)], "time_backwards"),
        ([entry(9, "cut_down", {"plant": "Cannas"})], "malformed"),
        ([entry(9, "moon_seen", {"phase": "full"})], "unknown_kind"),
        ([entry(9, "note", {"words": ["of", "later"]}, version=2)], "newer_version"),
        ([entry(9, "retraction", {}, version=2, corrects="3".zfill(32))], "newer_version"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_asked_about_and_the_rest_goes_on(written: list[Entry], question: str):
    after = folded(*written)

    assert [(each.kind, each.entry_id[-1]) for each in after.questions] == [(question, "9")]
    assert after.garden is not None
    assert "Quay" in [bed.name for bed in after.garden.beds]


def test_a_planting_that_cannot_move_stays_where_it_is():
    assert planting("Cannas", moved(9, bed="Nowhere")) == planting("Cannas")
    assert planting("Cannas", moved(9, name="Cannas", clumps=3)) == planting("Cannas")


def test_what_was_seen_on_a_planting_that_is_not_there_is_kept_apart():
    after = folded(walked(9, "Nobody"), destroyed(10), walked(12))

    assert after.sightings == ()
    assert [(each.planting, each.on) for each in after.stray] == [
        ("Nobody", date(2026, 3, 10)), ("Cannas", date(2026, 3, 13)),
    ]  # fmt: skip
    assert asked(walked(9, "Nobody"), destroyed(10), walked(12)) == [("planting_unknown", "9"), ("planting_gone", "c")]


def test_a_walk_before_the_planting_had_leaves_is_kept_apart():
    early = walked(-30)

    assert len(folded(early).stray) == 1
    assert [each.kind for each in folded(early).questions] == ["planting_not_yet_there"]


def test_a_walk_before_the_bed_was_laid_counts_and_is_asked_about():
    late_bed = laid(20, "Gate")
    beans = entry(21, "planting_made", {**made(0, "Beans", "Gate").body, "since": "2026-02-20"})

    after = folded(late_bed, beans, walked(9, "Beans"))

    assert len(after.sightings) == 1
    assert [each.kind for each in after.questions] == ["bed_not_yet_laid"]


def test_a_walk_late_in_the_evening_belongs_to_the_gardeners_own_date():
    late = replace(walked(5), happened_from=START.replace(hour=22), happened_to=START.replace(hour=22))

    assert folded(late).sightings[0].on == date(2026, 3, 2)


def test_until_a_date_only_what_had_happened_counts():
    cut = entry(9, "cut_down", {"planting": "Cannas"})
    before, after = (folded(cut, until=date(2026, 3, day)).garden for day in (9, 10))

    assert before is not None
    assert after is not None
    assert before.plantings[0].cut_down == ()
    assert after.plantings[0].cut_down == (date(2026, 3, 10),)


def test_until_a_date_before_everything_there_is_an_empty_garden():
    found = folded(until=date(2020, 1, 1)).garden

    assert found is not None
    assert (found.name, found.beds) == ("Plot", ())


def test_a_note_of_rain_without_a_time_has_that_of_its_entry():
    rain = entry(5, "rain_noted", {"rain_mm": 12}, happened_to=START + timedelta(days=6))

    assert garden(rain).noted[0].options == {
        "rain_mm": 12, "at": "2026-03-07 10:00", "since": "2026-03-06 10:00",
    }  # fmt: skip


def test_minutes_and_values_are_those_set_last():
    first = entry(5, "minutes_set", {"minutes": 30, "days": ["Monday"], "tasks": {"turn_leaves": 9, "thin": 60}})
    second = entry(6, "minutes_set", {"minutes": 45, "tasks": {"turn_leaves": 4}})
    value = entry(7, "values_set", {"values": {"clump": 6.5}})
    after = folded(second, first, value)

    assert after.garden is not None
    assert (after.garden.gardener.minutes, after.garden.gardener.weekdays) == (45, (0,))
    assert after.task_minutes == {"turn_leaves": 4.0, "thin": 60.0}
    assert after.values == {"clump": 6.5}


def test_notes_come_in_the_order_in_which_things_happened():
    notes = [entry(number, "note", {"text": "windy"}) for number in (9, 5, 7)]

    assert [each.id for each in folded(*notes).notes] == sorted(each.id for each in notes)


def test_hosts_and_rusts_of_ones_own_may_lie_in_a_folder_beside_the_journal():
    own = replace(described(), body={"site": SITE, "folder": "mine"})
    found = fold([own], folder="garden").garden

    assert found is not None
    assert found.folder == "garden/mine"


@pytest.mark.alone
def test_ten_years_of_a_large_garden_fold_within_two_seconds():
    plantings = [made(10 + number, f"Planting {number}") for number in range(60)]
    walks = [walked(100 + number, f"Planting {number % 60}") for number in range(5000)]

    assert len(folded(*plantings, *walks).sightings) == 5000
    assert quickest_s(lambda: folded(*plantings, *walks)) < 2.0

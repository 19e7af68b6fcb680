"""What was bought and what was sprayed add up to a shelf and a history, and what does not fit is asked about."""

from datetime import UTC, date, datetime

import pytest
from tests.journal_pages import BEGINNING, entry, made

from abaxial.garden.parts import DISPOSALS
from abaxial.journal.body.details import clock_of, moment_in
from abaxial.journal.entries import Entry
from abaxial.journal.fold import Folded, fold
from abaxial.journal.shelf.treatment import Treatment
from abaxial.label.sanitation.disposal import ways

LABEL = {
    "form": "liquid",
    "actives": {"mineral_oil": "850 g/l"},
    "rate": "5 ml/l",
    "reentry_h": 12,
    "registration": "A-1",
    "codes": ["nc"],
}
WHOLE = {"started": "07:10", "product_ml": 4.5, "water_l": 0.9, "area_m2": 6, "applicator": "Isaura"}


def bought(number: int = 4, name: str = "White bottle", **details: object) -> Entry:
    return entry(
        number, "material_bought", {"material": name, "details": {"left": "500 ml", "label": LABEL, **details}}
    )


def sprayed(number: int = 6, material: str = "White bottle", **details: object) -> Entry:
    body = {"remedy": "oil", "plantings": ["Cannas"], "material": material, "details": {**WHOLE, **details}}
    return entry(number, "remedy_done", body)


def folded(*written: Entry, until: date | None = None) -> Folded:
    return fold([*BEGINNING, *written], until=until)


def asked(*written: Entry) -> list[str]:
    return [each.kind for each in folded(*written).questions]


def done(*written: Entry) -> Treatment:
    [treatment] = folded(*written).done
    return treatment


def left(*written: Entry) -> list[float | None]:
    return [each.left for each in folded(*written).bottles]


# ------------------------------------------------------------------ a complete record


def test_a_complete_spraying_asks_nothing_and_takes_its_product_off_the_shelf():
    assert asked(bought(), sprayed()) == []
    assert left(bought(), sprayed()) == [495.5]


def test_what_the_label_says_need_not_be_written_again():
    treatment = done(bought(), sprayed())

    assert (treatment.actives, treatment.codes, treatment.registration) == (("mineral_oil",), ("NC",), "A-1")
    assert treatment.reentry_until is not None
    assert treatment.reentry_until.isoformat() == "2026-03-07T19:10:00+03:00"


def test_what_was_recorded_goes_before_what_the_label_says():
    treatment = done(bought(), sprayed(codes=["m02"], registration="B-2", reentry_until="2026-03-09 08:00"))

    assert (treatment.codes, treatment.registration) == (("M02",), "B-2")
    assert treatment.reentry_until is not None
    assert treatment.reentry_until.day == 9


def test_work_past_midnight_ends_the_next_day():
    treatment = done(bought(), sprayed(started="23:50", ended="00:20"))

    assert treatment.ended is not None
    assert treatment.ended.date() == date(2026, 3, 8)


def test_an_entry_that_has_a_length_says_when_the_work_began_and_ended():
    written = sprayed()
    body = {**written.body, "details": {key: value for key, value in WHOLE.items() if key != "started"}}
    long = type(written)(**{**vars(written), "body": body, "happened_to": written.happened_from.replace(hour=8)})
    treatment = done(bought(), long)

    assert treatment.started is not None
    assert treatment.ended is not None
    # seven and eight o'clock by universal time, on a clock three hours ahead
    assert (treatment.started.hour, treatment.ended.hour, treatment.missing) == (10, 11, ())


@pytest.mark.parametrize("field", ["started", "water_l", "area_m2", "applicator"])
def test_a_field_that_is_missing_is_a_question(field: str):
    record = {key: value for key, value in WHOLE.items() if key != field}
    body = {"remedy": "oil", "plantings": ["Cannas"], "material": "White bottle", "details": record}
    [question] = folded(bought(), entry(6, "remedy_done", body)).questions

    assert (question.kind, question.details["missing"]) == ("spray_record_incomplete", _with_reentry(field))


def _with_reentry(field: str) -> tuple[str, ...]:
    """Until when to keep out follows from when it began."""
    return ("started", "reentry_until") if field == "started" else (field,)


def test_a_label_without_registration_number_is_asked_for_one_until_it_is_known_to_bear_none():
    bare = {key: value for key, value in LABEL.items() if key != "registration"}

    assert done(bought(label=bare), sprayed()).missing == ("registration",)
    assert done(bought(label={**bare, "registration": "not printed"}), sprayed()).missing == ()


def test_a_label_that_keeps_people_out_until_dry_needs_no_hour():
    assert done(bought(label={**LABEL, "reentry_h": "until dry"}), sprayed()).missing == ()


def test_work_without_a_bottle_needs_no_record():
    thinned = entry(6, "remedy_done", {"remedy": "thinned", "plantings": ["Cannas"]})

    assert asked(thinned) == []
    assert not done(thinned).is_application


# ------------------------------------------------------------------ rate, ground and product


@pytest.mark.parametrize(
    ("details", "fits"),
    [
        ({"rate": "5 ml/l"}, True),  # 5 ml/l in 0.9 l are 4.5 ml
        ({"rate": "5 ml/l", "product_ml": 4.58}, True),
        ({"rate": "5 ml/l", "product_ml": 4.6}, False),
        ({"rate": "5 ml/l", "product_ml": 4.4}, False),
        ({"rate": "0.75 ml/m2"}, True),
        ({"rate": "1 ml/m2"}, False),
        ({"rate": "0.4-1 %"}, True),
        ({"rate": "1-2 %"}, False),
    ],
)
def test_the_rate_gives_the_product_within_two_per_cent_or_is_asked_about(details: dict[str, object], fits: bool):
    assert asked(bought(), sprayed(**details)) == ([] if fits else ["rate_does_not_fit"])


def test_a_rate_that_cannot_be_read_is_asked_about():
    assert asked(bought(), sprayed(rate="plenty")) == ["rate_unreadable"]


# ------------------------------------------------------------------ the shelf


def test_the_same_name_bought_again_fills_the_bottle_up_and_the_price_is_the_mean():
    shelf = folded(bought(price=10), bought(5, name="white bottle ", left="1 l", price=11), sprayed())

    assert [(each.key, each.left) for each in shelf.bottles] == [("White bottle", 1495.5)]
    assert shelf.prices == {"White bottle": pytest.approx(21 / 1500)}
    assert shelf.questions == ()


def test_a_label_typed_in_later_is_that_of_the_bottle():
    bare = entry(4, "material_bought", {"material": "White bottle", "details": {"left": "500 ml"}})
    typed = entry(5, "material_bought", {"material": "White bottle", "details": {"label": LABEL}})

    assert asked(bare, sprayed())[0] == "sprayed_without_label"
    assert asked(bare, typed, sprayed()) == []
    assert left(bare, typed, sprayed()) == [495.5]


def test_two_labels_of_one_name_are_asked_about():
    assert asked(bought(), bought(5, label={**LABEL, "rate": "9 ml/l"})) == ["two_labels_of_one_name"]


def test_more_used_than_there_was_is_asked_about_and_leaves_nothing():
    assert asked(bought(left="4 ml"), sprayed()) == ["more_used_than_there_was"]
    assert left(bought(left="4 ml"), sprayed()) == [0.0]


def test_a_bottle_that_is_used_up_to_the_last_drop_is_empty_and_asks_nothing():
    assert asked(bought(left="9 ml"), sprayed(6), sprayed(7)) == []
    assert left(bought(left="9 ml"), sprayed(6), sprayed(7)) == [0.0]


def test_grams_of_a_liquid_are_taken_off_only_where_its_density_is_known():
    by_weight = sprayed(product_g=9.0)
    body = {**by_weight.body, "details": {k: v for k, v in by_weight.body["details"].items() if k != "product_ml"}}  # type: ignore[attr-defined]
    weighed = type(by_weight)(**{**vars(by_weight), "body": body})
    heavy = bought(label={**LABEL, "density": "0.9 kg/l"})

    assert asked(bought(), weighed) == ["product_in_another_measure"]
    assert left(bought(), weighed) == [500.0]
    assert left(heavy, weighed) == [pytest.approx(490.0)]


def test_a_bottle_nobody_bought_or_not_yet_is_asked_about_and_the_spraying_counts():
    assert asked(sprayed())[0] == "bottle_unknown"
    assert asked(bought(8), sprayed()) == ["bottle_not_yet_bought"]
    assert done(sprayed(codes=["11"])).codes == ("11",)


def test_a_home_brew_is_kept_and_asked_about_and_needs_neither_label_nor_number():
    brew = entry(4, "material_bought", {"material": "Nettle water", "details": {"kind": "home_brew"}})

    assert asked(brew, sprayed(material="nettle water")) == ["home_brew_used"]
    assert done(brew, sprayed(material="nettle water")).home_brew


def test_a_bottle_whose_label_cannot_be_read_stands_on_the_shelf_without_one():
    [question, *_] = folded(bought(label={"rate": "50 %"})).questions
    [bottle] = folded(bought(label={"rate": "50 %"})).bottles

    assert question.kind == "bottle_unreadable"
    assert any("rate" in each for each in question.details["problems"])  # type: ignore[attr-defined]
    assert bottle.label is None


def test_what_is_used_later_is_still_there_earlier():
    [before] = folded(bought(), sprayed(9), until=date(2026, 3, 8)).bottles

    assert before.left == 500.0


def test_a_spraying_that_is_taken_back_leaves_the_bottle_full():
    back = entry(8, "retraction", {}, corrects=f"{6:032x}")

    assert left(bought(), sprayed(), back) == [500.0]


# ------------------------------------------------------------------ what was done, in order


def test_cuts_and_sprayings_stand_in_one_order_with_where_the_leaves_went():
    off = entry(7, "leaves_taken_off", {"planting": "cannas", "which": "rusted", "disposal": "bag_and_bin"})
    beans = made(4, "Beans", "Wall")
    gone = entry(8, "destroyed", {"planting": "Beans", "disposal": "burn"})

    history = folded(beans, gone, off, bought(5), sprayed(6)).done
    assert [(each.remedy, each.plantings, each.disposal) for each in history] == [
        ("oil", ("Cannas",), ""),
        ("rusted_leaves_off", ("Cannas",), "bag_and_bin"),
        ("destroyed", ("Beans",), "burn"),
    ]


def test_an_old_entry_in_free_words_is_read_as_something_else_that_was_done():
    free = entry(6, "remedy_done", {"remedy": "thin", "plantings": ["Cannas"], "details": {"taken": [1, 2], "x": None}})

    assert asked(free) == []
    assert done(free).remedy == "other"
    assert folded(free).notes == (free,)


def test_a_planting_that_is_not_there_is_asked_about_and_left_out():
    body = {"remedy": "thinned", "plantings": ["Cannas", "Nobody"]}

    assert asked(entry(6, "remedy_done", body)) == ["planting_unknown"]
    assert done(entry(6, "remedy_done", body)).plantings == ("Cannas",)


def test_a_proposal_that_was_turned_down_is_remembered():
    [declined] = folded(entry(6, "task_declined", {"task": "thin", "plantings": ["cannas"]})).declined

    assert (declined.on, declined.task, declined.plantings) == (date(2026, 3, 7), "thin", ("Cannas",))


def test_the_words_for_where_cut_leaves_go_are_those_that_are_judged():
    assert ways() == DISPOSALS


@pytest.mark.parametrize("text", ["7", "25:00", "", "noon", 7, None, True])
def test_what_is_no_clock_hour_is_none(text: object):
    assert clock_of(text) is None


@pytest.mark.parametrize("text", ["2026-13-01 07:00", "tomorrow", "0001-01-01 00:00", 7, None, date(2026, 3, 1)])
def test_what_is_no_date_with_its_hour_is_no_moment(text: object):
    assert moment_in(text, UTC) is None


def test_a_moment_without_a_clock_of_its_own_is_on_the_gardens():
    assert moment_in("2026-03-01 07:00", UTC) == datetime(2026, 3, 1, 7, tzinfo=UTC)
    assert moment_in("2026-03-01 07:00+03:00", UTC) == datetime(2026, 3, 1, 4, tzinfo=UTC)

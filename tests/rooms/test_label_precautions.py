"""No card of work that can hurt is made without its cautions, and a record says what it lacks."""

from dataclasses import replace

import pytest
from tests.label_cases import bottle, materials

from abaxial.errors import FaultError
from abaxial.label.contents import contents_of
from abaxial.label.limits import usual_rules
from abaxial.label.precautions import ALWAYS, DETAILS, USUAL, Card, Known, card, kinds_for, precautions_for, works_of
from abaxial.label.spray_record import STANDARDS, Amounts, agrees, lacking

KNOWN = Known(usual_rules())


@pytest.mark.parametrize("work", list(USUAL))
def test_every_work_says_first_that_label_and_law_stand_above_us(work):
    assert [each.kind for each in card([work], "anything", KNOWN).precautions][:3] == list(ALWAYS)


@pytest.mark.parametrize("work", list(USUAL))
def test_a_card_that_lacks_one_caution_cannot_be_made(work):
    whole = precautions_for([work], KNOWN)
    for place in range(len(whole)):
        with pytest.raises(FaultError, match=whole[place].kind):
            Card((work,), "anything", whole[:place] + whole[place + 1 :])


@pytest.mark.parametrize("works", [(), ("dancing",), ("blade", "dancing")])
def test_a_card_of_no_known_work_cannot_be_made(works):
    with pytest.raises(FaultError):
        card(works, "anything", KNOWN)


def test_a_card_cannot_lose_its_cautions_afterwards():
    with pytest.raises(FaultError):
        replace(card(["bleach"], "soak the blades", KNOWN), precautions=())


def test_cautions_of_two_works_stand_once_each():
    kinds = kinds_for(["bleach", "alcohol"])

    assert len(kinds) == len(set(kinds))
    assert {"never_with_acid_ammonia_or_alcohol", "no_flame"} <= set(kinds)


def test_a_bottle_holds_what_the_files_say_whatever_they_said_before():
    oil, known = bottle("mineral_oil"), materials()
    other = {**known, "mineral_oil": replace(known["mineral_oil"], apart={"sulfur": 90})}

    assert contents_of(oil, known).apart != {"sulfur": 90}
    assert contents_of(oil, other).apart == {"sulfur": 90}
    assert contents_of(oil, {}).unknown == ("mineral_oil",)


def test_cautions_carry_the_numbers_of_the_label():
    oil = bottle(
        "mineral_oil", reentry_h="until dry", buffer_m=5, protective=["gloves", "goggles"], temperature_most_c=28
    )
    contents = contents_of(oil, materials())
    told = {
        each.kind: each.details
        for each in precautions_for(works_of(contents), Known(usual_rules(), oil.label, contents))
    }

    assert told["gear_of_the_label"] == {"gear": ("gloves", "goggles")}
    assert told["keep_out"] == {"reentry_h": 0.0, "when_dry": True}
    assert told["water_and_drains"] == {"buffer_m": 5.0}
    assert told["not_in_heat"] == {"most_c": 28.0}
    assert told["not_near_sulfur"] == {"least_d": 14, "better_d": 30}


def test_every_detail_belongs_to_a_caution_there_is():
    assert set(DETAILS) <= {*ALWAYS, *(kind for each in USUAL.values() for kind in each)}


def test_a_record_names_what_the_law_misses():
    whole = dict.fromkeys(STANDARDS["eu2023"], "given")

    assert lacking(whole, "eu2023") == ()
    assert lacking({**whole, "registration": ""}, "eu2023") == ("registration",)
    assert lacking({}, "us2006") == STANDARDS["us2006"]


@pytest.mark.parametrize(("product", "sound"), [(4.5, True), (4.59, True), (4.41, True), (4.6, False), (4.4, False)])
def test_rate_times_volume_is_the_product_within_two_per_cent(product, sound):
    assert agrees(Amounts(5.0, 0.9, product)) is sound


def test_a_record_without_rate_or_volume_does_not_agree():
    assert not agrees(Amounts(0.0, 0.9, 0.0))

"""A walk said in one line is understood as it was meant, or refused with what to write instead."""

from contextlib import suppress
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as some

from abaxial.errors import ScoutingError
from abaxial.scouting.reading import read_spoken
from abaxial.scouting.sightings import Sighting

ON = date(2026, 3, 12)
NAMES = ("Quay cannas", "Fig-tree cannas", "Odd: name; with, all", "Größe “ß” 日")


def said(text: str, **stated: str) -> list[Sighting]:
    return list(read_spoken(text, NAMES, on=ON, **stated))


def look(planting: str = "Quay cannas", **fields: object) -> Sighting:
    return Sighting(planting, ON, **fields)  # type: ignore[arg-type]


MEANT = {
    "Quay cannas: 14 low, 2 rusted": [look(part="lower", turned=14, rusted=2)],
    "quay CANNAS: 2 of 14 low leaves": [look(part="lower", turned=14, rusted=2)],
    "Quay cannas: 14 high leaves turned, none": [look(part="upper", turned=14, rusted=0)],
    "Quay cannas: 14 low, all rusted": [look(part="lower", turned=14, rusted=14)],
    "Quay cannas: none rusted": [look(amount="none")],
    "Quay cannas: some low, none high.": [look(part="lower", amount="some"), look(part="upper", amount="none")],
    "Quay cannas: 14 low, 2 rusted, 10 high, none": [
        look(part="lower", turned=14, rusted=2),
        look(part="upper", turned=10, rusted=0),
    ],
    "Quay cannas: 10 plants, 3 with rust": [look(turned=10, rusted=3, unit="plant")],
    "Quay cannas: first": [look(amount="first")],
    "Quay cannas: 20 low, 10 % of leaves": [look(part="lower", turned=20, rusted=2)],
    "Quay cannas: 2,5 %": [look(severity_low_frac=0.025, severity_high_frac=0.025)],
    "Quay cannas: 2-5 % of rusted leaves": [
        look(severity_low_frac=0.02, severity_high_frac=0.05, severity_of="rusted")
    ],
    "Quay cannas: 4.5 pustules a leaf": [look(pustules_per_leaf=4.5)],
    "Quay cannas: 14 low, 2 rusted (edge; of, bed), by Ann": [
        look(part="lower", turned=14, rusted=2, note="edge; of, bed", by="Ann")
    ],
    "Odd: name; with, all: some; Größe “ß” 日: many": [
        look("Größe “ß” 日", amount="many"),
        look("Odd: name; with, all", amount="some"),
    ],
    "Somebody's beans: none": [look("Somebody's beans", amount="none")],
}


@pytest.mark.parametrize("text", MEANT)
def test_a_line_is_understood_as_it_was_meant(text: str) -> None:
    assert sorted(said(text), key=repr) == sorted(MEANT[text], key=repr)


def test_several_plantings_stand_behind_semicolons_or_on_lines_of_their_own() -> None:
    one = said("Quay cannas: some; Fig-tree cannas: 3 low, 1 rusted", by="Ann")
    lines = said("Quay cannas: some\nFig-tree cannas: 3 low, 1 rusted\n", by="Ann")

    assert one == lines
    assert [each.planting for each in one] == ["Fig-tree cannas", "Quay cannas"]
    assert {each.by for each in one} == {"Ann"}


REFUSED = {
    "": "it says nothing",
    " ;; ": "it says nothing",
    "Quay cannas 14 low": "does not say at which planting",
    "Quay cannas:": "nothing is said of it",
    "Quay cannas: low": "nothing was seen",
    "Quay cannas: 14 low": "does not say how many had rust",
    "Quay cannas: 14 low, 20 rusted": "more than the 14 turned",
    "Quay cannas: all rusted": "does not say of how many",
    "Quay cannas: 14 lwo": "is not understood",
    "Quay cannas: 14,2 rusted": "is no whole count",
    "Quay cannas: ²5 low": "is no whole count",
    "Quay cannas: 99999999999 low, 1 rusted": "is no whole count",
    "Quay cannas: some many": "says two amounts",
    "Quay cannas: 120 %": "must lie between 0 and 100",
    "Quay cannas: 1,2,3 %": "is not a number",
    "Quay cannas: (no end; 14 low": "is not understood",
    "Quay cannas: 1 2 3 low": "is not understood",
    "Quay cannas: \x07 low": "is not understood",
}


@pytest.mark.parametrize("text", REFUSED)
def test_what_cannot_be_meant_is_refused_with_what_to_write(text: str) -> None:
    with pytest.raises(ScoutingError, match=REFUSED[text]) as refused:
        said(text)

    assert refused.value.remedy


def test_a_slip_is_answered_with_the_word_that_was_meant() -> None:
    with pytest.raises(ScoutingError) as refused:
        said("Quay cannas: 14 lwo, 2 rusted")

    assert refused.value.remedy.startswith("Did you mean low?")


@given(some.text(max_size=40) | some.text('Quay cns:;,()"%0123456789-. lowrusted\n', max_size=60))
def test_whatever_is_said_is_understood_or_refused_with_a_way_out(text: str) -> None:
    for line in (text, f"Quay cannas: {text}"):
        with suppress(ScoutingError):
            assert all(each.on == ON for each in said(line))

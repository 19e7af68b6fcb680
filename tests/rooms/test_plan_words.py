"""How the plan speaks: every kind of reason of label, plan and collection has its sentence, and amounts are never rounded up."""

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.rooms.invented_week import TODAY

from abaxial.label import precautions
from abaxial.label.allowed.case import REFUSALS, WARNINGS
from abaxial.label.bottle import ASKED as FIELDS
from abaxial.label.mixing.card import USUAL as MIXING
from abaxial.label.sanitation import disinfect, disposal
from abaxial.label.window import closings
from abaxial.label.window.site import SiteFacts
from abaxial.plan.choose import tally
from abaxial.plan.cost import Values
from abaxial.plan.programmes.step import KINDS
from abaxial.report.answers.plan import OpenHours
from abaxial.report.answers.week import Reason
from abaxial.report.words.plan import cleaning, hours, labels, steps, values
from abaxial.report.words.quantities import product_words, volume_words
from abaxial.report.words.speech import SENTENCES, say

AROUND = (
    "animals_away_until_dry", "bowls_and_feed_in", "children_away_until_dry", "toys_in", "washing_in",
    "inlet_of_tank_off", "tell_beekeeper", "cover_pond",
)  # fmt: skip
STEPS = (
    "read_label", "dress", "try_with_water", "jar_test", "tankfuls", "first_water", "paste_and_add", "measure_and_add",
    "stir", "rinse_container", "fill_up", "spray_all_on_bed", "rinse_sprayer", "rinsings_on_bed", "wash", "write_down",
)  # fmt: skip
HINDRANCES = ("too_small", "too_little_water", "too_little_to_wet", "labels_disagree", "not_enough_left")
NOTES = ("held_by_area", "raised_by_label", "runs_off")
EXPLAINED = ("saves", "look_changes", "bound_by")
DIVIDING = (
    "lasting_disease", "rust_seen", "too_soon", "no_rain_since", "rain_too_young", "too_few_leaves", "no_estimate",
    "chance_of_rust",
)  # fmt: skip


def test_every_kind_of_reason_of_the_labels_and_the_plan_has_a_sentence() -> None:
    works = {kind for kinds in precautions.USUAL.values() for kind in kinds}
    kinds = {*REFUSALS, *WARNINGS, *closings.KINDS, *precautions.ALWAYS, *works, *MIXING, *AROUND}

    assert (kinds | {*STEPS, *HINDRANCES, *NOTES, *EXPLAINED, *DIVIDING}) - set(SENTENCES) == set()


@pytest.mark.parametrize("kind", [*REFUSALS, *WARNINGS])
def test_a_reason_names_the_bottle_and_the_planting_it_is_about(kind: str) -> None:
    details = {
        "bottle": "Green bottle", "planting": "the beans", "other": "Shed oil", "on": TODAY, "days": 3, "least_d": 14,
        "better_d": 30, "code": "11", "turns": 3, "most": 2, "of": 5, "times": 4, "over_d": 365, "amount": 3.0,
        "warmest_c": 31.0, "most_c": 30.0, "coldest_c": 2.0, "least_c": 5.0, "better_c": 27.0, "sites": ("roses",),
        "buffer_m": 5.0, "water_m": 2.0, "fields": ("rate",), "actives": ("x",), "use_before": TODAY, "left": 2.0,
        "needed": None, "pests": ("rust",), "named": ("mildew",), "until": datetime(2026, 11, 26, 9, tzinfo=UTC),
        "what": "oil",
    }  # fmt: skip
    said = say(Reason(kind, {**details, "needed": 4.0} if kind == "too_little_left" else details))

    assert "Green bottle" in said
    names_plants = "planting" in {**REFUSALS, **WARNINGS}[kind]
    assert ("the beans" in said) == names_plants or kind == "never_together"


def test_a_reason_that_holds_for_several_plantings_names_them() -> None:
    said = say(
        Reason("site_not_named", {"bottle": "Green bottle", "planting": "a", "plantings": ["a", "b"], "sites": ()})
    )

    assert said == "Green bottle: the label does not name a and b."


def test_an_interval_is_told_with_both_days() -> None:
    details = {"planting": "the beans", "other": "Shed oil", "on": date(2026, 11, 22), "days": 3, "least_d": 14}

    assert say(Reason("too_soon", details)) == (
        "3 days lie between this and Shed oil on the beans (22 November); of one kind it must be 14 days at least."
    )


def test_every_step_field_question_value_and_closing_has_plain_words() -> None:
    assert all("_" not in told for told in map(steps.name_words, KINDS))
    assert all("_" not in told for told in map(labels.field_words, FIELDS))
    assert set(hours.CLOSED_BY) == set(closings.KINDS)
    assert all(values.value_words(name) != name.replace("_", " ") for name in Values.__dataclass_fields__)
    asked = say(Reason("bed_asked", {"bed": "Quay bed", "questions": SiteFacts._fields}))
    assert "_" not in asked


@pytest.mark.parametrize("rule", tally.KINDS)
def test_every_rule_that_stands_in_the_way_is_told(rule: str) -> None:
    said = say(
        Reason("bound_by", {"rule": rule, "money": 3.2, "bottle": "Shed oil", "code": "11", "planting": "the beans"})
    )

    assert "another choice for the beans would save about 3.2" in said
    assert "A rule stood in the way" not in said


def test_every_way_and_every_reason_against_it_has_words() -> None:
    nowhere = disposal.Circumstances(False, False, False, disinfected=True)
    found = [disposal.disposal(("rust", *more), nowhere) for more in ((), ("virus",))]

    for each in found:
        assert all("_" not in cleaning.refused_words(refused.kind) for refused in each.refused)
        assert all(cleaning.refused_words(one.kind) != one.kind.replace("_", " ") for one in each.refused)
    assert all("_" not in cleaning.way_words(way) for way in disposal.ways())


def test_every_caution_about_disposal_and_disinfecting_has_its_sentence() -> None:
    way = disposal.disposal(("rust",), disposal.Circumstances(refuse_collection=False, burning_legal=True))
    mixed = {each for key in disinfect.disinfectant_keys() for each in disinfect.read_disinfectant(key).cautions}

    assert (mixed | set(way.cautions)) - set(cleaning.CAUTIONS) == set()


@given(st.floats(min_value=0.5, max_value=5000.0), st.sampled_from(["ml", "g"]))
def test_an_amount_of_product_is_never_told_larger_than_it_is(amount: float, unit: str) -> None:
    for units in ("metric", "us"):
        told = product_words(amount, unit, "us" if units == "us" else "metric")
        number = float(told.split()[0])
        size = {"ml": 29.5735295625, "g": 28.349523125}[unit] if units == "us" else 1.0
        assert number * size <= amount * (1 + 1e-6)


@pytest.mark.parametrize(
    ("amount", "told"),
    [(14.787, "0.5 fl oz (1 tbsp, 14.7 ml)"), (7.4, "0.25 fl oz (1 ½ tsp, 7.4 ml)"), (90.0, "3.04 fl oz (90 ml)")],
)
def test_spoons_stand_beside_ounces_where_they_help(amount: float, told: str) -> None:
    assert product_words(amount, "ml", "us") == told


def test_water_is_told_in_what_it_is_measured_with() -> None:
    assert [volume_words(each, "metric") for each in (1.5, 0.05, 10.0)] == ["1.5 l", "50 ml", "10 l"]
    assert [volume_words(each, "us") for each in (1.0, 3.785411784)] == ["34 fl oz", "1.00 gal"]


def test_hours_over_midnight_name_both_days() -> None:
    late, early = datetime(2026, 11, 25, 22, tzinfo=UTC), datetime(2026, 11, 26, 1, tzinfo=UTC)

    assert hours.stretch_words(late, early, TODAY) == "today 22:00 to tomorrow 01:00"
    assert hours.open_words(OpenHours(late, early, late, 0.97), TODAY).endswith("best at 22:00; more than 9 in 10")


def test_a_look_that_would_change_nothing_says_so() -> None:
    assert say(Reason("look_changes", {"leaves": 40, "fewer_than": 0, "more_than": 40})) == (
        "A look would hardly change this."
    )

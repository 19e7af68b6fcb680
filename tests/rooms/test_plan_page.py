"""The plan on the page: tasks first, then why, then what not to do; nothing that can hurt without its precautions."""

import math
from dataclasses import replace
from datetime import timedelta

import pytest
from tests.rooms.invented_plan import GREEN, invented_plan, leaves_off, looking, planned_week, quiet_week, spraying
from tests.rooms.invented_week import invented_week

from abaxial.errors import FaultError
from abaxial.label.precautions import kinds_for
from abaxial.plan.programmes.step import KINDS
from abaxial.report import render
from abaxial.report.answers.week import Band, Reason, WeekAnswer
from abaxial.report.blocks import Action, Precautions
from abaxial.report.html import page_html
from abaxial.report.pages.plan.cautions import cautions_told
from abaxial.report.pages.plan.tasks import WORKS
from abaxial.report.pages.week import week_page
from abaxial.report.pdf import page_pdf
from abaxial.report.terminal import page_text
from abaxial.report.words.plan.because import against_words
from abaxial.report.words.speech import SENTENCES, say

WEEK = planned_week()
TEXT = page_text(week_page(WEEK, {}))
FLOWING = " ".join(TEXT.split())
PAGE = " ".join(page_html(week_page(WEEK, {})).split())
FIRST = "The product’s label and the law where you live come first."


def _with(week: WeekAnswer, **changes: object) -> WeekAnswer:
    return replace(week, plan=replace(invented_plan(), **changes))


def test_the_one_sentence_is_the_plans_first_task_and_how_sure_it_is() -> None:
    assert TEXT.split("\n\n")[1].startswith(
        "Take every rusted leaf off the quay cannas today.\nAgainst waiting this week"
    )
    assert "the better one is likely, about 9 in 10" in FLOWING


def test_a_week_without_work_says_so() -> None:
    text = page_text(week_page(quiet_week(), {}))

    assert text.split("\n\n")[1].startswith(
        "Nothing needs doing in Tamarisk Steps this week.\nWaiting is the best choice"
    )


@pytest.mark.parametrize("page", [TEXT.upper(), PAGE.upper()])
def test_tasks_come_first_then_why_then_what_not_to_do_then_the_figure(page: str) -> None:
    order = ("Today", "Later this week", "Left alone", "What not to do", "Or all at once", "What we have to ask")
    places = [page.index(each.upper(), page.index("RUSTED LEAF OFF THE QUAY CANNAS TODAY.")) for each in order]

    assert places == sorted(places)
    assert places[-1] < page.index("ALL PLANTINGS, THE MOST PRESSING FIRST")


def test_a_spray_says_what_where_how_much_when_and_with_what_on() -> None:
    assert "Spray the quay cannas and prayer plants under the fig with Shed oil (Quay bed and Fig shade)." in FLOWING
    assert "Tomorrow from 17:00 to 19:00, best at 17:30; about 8 in 10, about 35 minutes." in FLOWING
    assert "Mix 2 tankfuls of 1.5 l, each with 15 ml of Shed oil: 3 l and 30 ml of Shed oil in all." in FLOWING
    assert "By its label, wear gloves and goggles." in FLOWING
    assert "If a look finds fewer than 3 leaves of 40 with rust, waiting would be better." in FLOWING


def test_a_spray_is_told_in_us_measures_rounded_down() -> None:
    text = " ".join(page_text(week_page(WEEK, {}, "us")).split())

    assert "Mix 2 tankfuls of 51 fl oz, each with 0.5 fl oz (1 tbsp, 15 ml) of Shed oil" in text
    assert "Never above 86 °F" in text


def test_the_label_and_the_law_come_first_on_every_task_that_can_hurt() -> None:
    paper = render.pdf_bytes(WEEK)

    # two tasks, and the offer to cut everything down
    assert FLOWING.count(FIRST) == PAGE.count(FIRST) == 3
    assert FLOWING.count("Where a licence is needed") == 3
    assert len(paper) > 10_000


@pytest.mark.parametrize("kind", sorted(WORKS))
def test_a_task_that_can_hurt_is_not_shown_without_its_precautions(kind: str) -> None:
    bare = replace(leaves_off(), kind=kind, precautions=())
    week = _with(WEEK, tasks=(bare,))

    with pytest.raises(FaultError, match="without its precautions"):
        week_page(week, {})
    with pytest.raises(FaultError, match="without its precautions"):
        render.calendar_bytes(week)


def test_a_task_that_lacks_one_precaution_is_not_shown_either() -> None:
    told = tuple(each for each in spraying().precautions if each.kind != "keep_out")
    week = _with(WEEK, tasks=(replace(spraying(), precautions=told),))

    with pytest.raises(FaultError, match="keep_out"):
        week_page(week, {})


def test_an_offer_to_cut_everything_down_is_not_shown_without_its_precautions() -> None:
    bare = tuple(replace(each, precautions=()) for each in WEEK.plan.joint)

    with pytest.raises(FaultError, match="without its precautions"):
        week_page(_with(WEEK, joint=bare), {})


def test_a_choice_that_saves_nothing_against_the_next_best_does_not_boast() -> None:
    choice = replace(WEEK.plan.choices[0], saves=Band(-2.9, -0.5, -0.1))

    assert against_words(choice).endswith("would come to about the same.")


def test_neither_an_action_that_hurts_nor_a_list_of_precautions_can_be_empty() -> None:
    with pytest.raises(FaultError):
        Action("Spray", "today", "", hurts=True)
    with pytest.raises(FaultError):
        Precautions("Take care", ())


def test_every_kind_of_step_that_is_done_by_blade_or_bottle_can_hurt() -> None:
    harmless = {"look", "water_at_the_foot", "clear_litter"}

    assert set(WORKS) | harmless == set(KINDS)
    assert all(kinds_for(works) for works in WORKS.values())


def test_a_look_needs_no_precautions() -> None:
    text = page_text(week_page(_with(WEEK, tasks=(looking(),), joint=()), {}))

    assert "Turn leaves of day lilies by the gate and write down how many show rust" in text
    assert "Take care" not in text


def test_where_no_hour_is_fit_the_work_that_needs_no_sprayer_comes_first() -> None:
    week = _with(WEEK, tasks=(spraying(), looking(), leaves_off()))

    text = " ".join(page_text(week_page(week, {})).split())
    assert (
        text.index("Take every rusted leaf off")
        < text.index("Turn leaves of day lilies")
        < text.index("Spray the quay")
    )
    assert (
        "For Green bottle no hour on South wall in the next 6 days is fit for spraying: there is too much wind and rain "
        "comes before the spray has dried on. 4 hours would be open but for one thing: there is too much wind."
    ) in text


def test_why_is_told_against_waiting_and_against_the_next_best() -> None:
    assert (
        "Prayer plants under the fig. Left alone, about 6 % of its leaf area would be rusted at the worst; this way about "
        "2 %, with about 1.3 m² more healthy leaf on a usual day. Against waiting, the next best, it saves about 6.1 "
        "(1.2 to 13) in your own money"
    ) in FLOWING


def test_what_the_first_line_has_said_is_not_said_again_at_the_head() -> None:
    assert FLOWING.count("Against waiting this week, then spraying Green bottle") == 1


def test_a_look_is_not_praised_for_what_a_spray_saves() -> None:
    look = replace(looking(), plantings=("the quay cannas",), days=(WEEK.today,))
    text = page_text(week_page(_with(WEEK, tasks=(look,)), {}))

    assert text.split("\n\n")[1].endswith("A look there first would tell more than any work.")
    assert text.count("A look there first") == 1


def test_two_days_are_told_as_one_says_them() -> None:
    look = replace(looking(), days=(WEEK.today, WEEK.today + timedelta(days=4)))
    text = " ".join(page_text(week_page(_with(WEEK, tasks=(look,)), {})).split())

    assert "write down how many show rust today and on Sunday 29 November." in text


def test_what_a_product_may_harm_is_told_thing_by_thing() -> None:
    beware = tuple(Reason("beware", {"bottle": GREEN, "of": of}) for of in ("fish", "bees"))

    assert cautions_told(beware, "metric", WEEK.today) == (
        "Green bottle: mind fish and water animals.",
        "Green bottle: mind bees.",
    )


def test_mixes_of_one_bottle_that_are_too_small_are_one_reason() -> None:
    small = tuple(
        Reason("too_small", {"bottle": GREEN, "planting": name, "unit": "ml", "amount": amount, "smallest": 2.0})
        for name, amount in (("the wall beans", 0.9), ("the spare bed", 1.5))
    )
    text = " ".join(page_text(week_page(_with(WEEK, not_to_do=small), {})).split())

    assert "1.5 ml of Green bottle or less for the wall beans and the spare bed is too little to measure" in text
    assert "0.9 ml" not in text


def test_of_several_bottles_the_strictest_precaution_counts() -> None:
    asked = (
        Reason("keep_out", {"reentry_h": 12.0, "when_dry": False}),
        Reason("keep_out", {"reentry_h": 0.0, "when_dry": True}),
        Reason("keep_out", {"reentry_h": 24.0, "when_dry": False}),
        Reason("not_in_heat", {"most_c": 30.0}),
        Reason("not_in_heat", {"most_c": 27.0}),
        Reason("gear_of_the_label", {"gear": ("gloves",)}),
        Reason("gear_of_the_label", {"gear": ("goggles", "gloves")}),
    )

    assert cautions_told(asked, "metric", WEEK.today) == (
        "Nobody, and no animal, goes in again for 24 hours.",
        "Never above 27 °C, nor in full sun.",
        "By the label, wear gloves and goggles.",
    )


def test_the_joint_offer_has_its_price_its_conditions_and_when_leaves_stand_again() -> None:
    assert (
        "OR ALL AT ONCE, AGAINST CANNA RUST – Cutting down and picking up fallen leaves, of the quay cannas" in FLOWING
    )
    assert "It costs about 14 (3.0 to 31) more than the plan, in your own money." in FLOWING
    assert "in the week of 30 November, while it is dry" in FLOWING
    assert "Leaves stand again about 12 January." in FLOWING


def test_what_has_to_be_asked_is_asked_and_stands_among_the_questions() -> None:
    assert "write down how soon it is safe from rain and how often in a year; it is not used before." in FLOWING
    assert "how far the nearest beehive is and whether children come there." in FLOWING
    assert '"kind": "bed_asked"' in render.json_text(WEEK)


def test_how_near_the_plan_is_to_the_best_is_always_told() -> None:
    assert "costs about 41.3 of your own money" in FLOWING
    assert "no plan could cost less than 40.6: it is within 2 % of the best there can be." in FLOWING


def test_what_the_plan_costs_and_what_none_can_cost_less_than_is_never_folded_away() -> None:
    before = PAGE[: PAGE.index("no plan could cost less than 40.6")]

    assert before.count("<details") == before.count("</details>")


@pytest.mark.parametrize(
    ("ended", "said"),
    [
        ("asked", "You stopped the choice by hand, and this is the best that it had found by then"),
        ("time", "The choice had 8 seconds; with more, as in abaxial week --seconds 60, it may come nearer."),
    ],
)
def test_a_choice_that_was_not_finished_says_what_ended_it_beside_its_gap(ended: str, said: str) -> None:
    week = week_page(_with(WEEK, ended=ended, allowed_s=8.0, gap_frac=0.12), {})

    for page in (page_text(week), page_html(week)):
        flowing = " ".join(page.split())
        assert "within 12 % of the best there can be" in flowing
        assert said in flowing
    assert said not in FLOWING


def test_a_plan_as_good_as_any_cannot_come_nearer() -> None:
    text = " ".join(page_text(week_page(_with(WEEK, ended="asked", gap_frac=0.0), {})).split())

    assert "it is as good as any there can be. You stopped the choice by hand" in text
    assert "come nearer" not in text


def test_a_great_cost_and_a_gap_that_nobody_knows_are_told_without_powers_of_ten() -> None:
    text = " ".join(page_text(week_page(_with(WEEK, cost=12345.6, bound=-3.0, gap_frac=math.inf), {})).split())

    assert "costs about 12346 of your own money" in text
    assert "no plan could cost less than −3: how near it is to the best cannot be told in per cent." in text


def test_each_planting_has_its_plan_with_what_would_change_it_and_what_stood_in_the_way() -> None:
    assert "This week: rusted leaves off, Shed oil; in 2 weeks: Shed oil." in PAGE
    assert "if it finds more than 30 of 40 with rust, cutting down would be better." in PAGE
    assert (
        "Kind 11 has had its turns in a row; but for that, another choice for the quay cannas would save about 2.4."
        in PAGE
    )
    assert "Wait, and look again next week." in PAGE


def test_the_steps_of_a_mix_are_on_the_page_and_on_paper_and_a_terminal_says_where() -> None:
    assert "Measure 15 ml of Shed oil and pour it in." in PAGE
    assert "Measure 15 ml" not in FLOWING
    assert "Step by step: abaxial mix" in FLOWING


def test_what_was_done_is_in_the_figure_and_in_its_words() -> None:
    assert (
        "Done: rusted leaves off on 5 November, takes away only what shows; oil on 12 November, keeps rust out until 22"
        in PAGE
    )
    assert "spray on 19 November, keeps rust out until 3 December and reaches what is hidden." in PAGE
    assert "done                 x      =======X==============" in TEXT


def test_a_hostile_bottle_stays_words() -> None:
    nasty = replace(spraying(), bottle='<script>"x"</script>#[`')
    week = _with(WEEK, tasks=(nasty,))

    assert "<script>" not in page_html(week_page(week, {}))
    assert page_pdf(week_page(week, {}), made_at="2026-11-25T06:00:00+00:00").startswith(b"%PDF")


def test_no_line_of_the_plan_is_wider_than_eighty_columns() -> None:
    assert max(map(len, TEXT.splitlines())) <= 80


def test_a_week_without_a_plan_reads_as_before() -> None:
    text = page_text(week_page(invented_week(), {}))

    assert "WHAT TO DO" in text
    assert "LATER THIS WEEK" not in text


def test_the_plans_reasons_are_all_spoken() -> None:
    plan = invented_plan()
    spoken = (*plan.not_to_do, *plan.asks, *plan.no_hours, *plan.warnings)

    assert {each.kind for each in spoken} <= set(SENTENCES)
    assert say(Reason("empty", {"bottle": GREEN})) == "Green bottle is empty."

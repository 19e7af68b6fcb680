"""How it speaks: kinds and numbers become short, kind, exact sentences."""

import ast
from datetime import date
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from tests.rooms.invented_week import TODAY

import abaxial
from abaxial.journal.entries import KINDS
from abaxial.journal.questions import QUESTIONS
from abaxial.report.answers.week import Band, DateBand, Learned, PastForecasts, Reason
from abaxial.report.words import dates, likelihood, quantities
from abaxial.report.words.seen import shares
from abaxial.report.words.seen.cards import short_card
from abaxial.report.words.seen.learned import past_words, said_words, unknown_words
from abaxial.report.words.seen.questions import ASKED, ENTRIES
from abaxial.report.words.speech import SENTENCES, say, say_first, say_why
from abaxial.report.words.tasks import change_words

PACKAGE = Path(abaxial.__file__).parent


def _kinds_in_the_house() -> set[str]:
    """Kinds given to Reason, Finding and Question anywhere in our code, where they are written out."""
    calls = (
        node
        for path in PACKAGE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and getattr(node.func, "id", getattr(node.func, "attr", "")) in ("Reason", "Finding", "ask", "Question")
    )
    return {
        told.value
        for call in calls
        for told in ast.walk(call.args[0] if call.args else call)
        if isinstance(told, ast.Constant) and isinstance(told.value, str) and told.value
    }


def test_every_kind_of_reason_in_the_house_has_a_sentence() -> None:
    kinds = _kinds_in_the_house()

    assert {"shows_soon", "sensor_ceiling"} <= kinds
    assert kinds - set(SENTENCES) == set()


def test_every_question_of_the_journal_has_a_sentence() -> None:
    assert set(QUESTIONS) == set(ASKED)


@pytest.mark.parametrize("kind", sorted(SENTENCES))
def test_a_sentence_with_its_details_missing_is_still_a_sentence(kind: str) -> None:
    said = say(Reason(kind, {"frac": float("nan"), "extra_h": None}))

    assert said[0].isupper() or said[0].isdigit()
    assert said.endswith(".")
    assert not {"None", "nan", "{", "_"} & set(said.replace(".", " ").split())


@pytest.mark.parametrize("kind", sorted(SENTENCES))
def test_no_sentence_alarms_or_scolds(kind: str) -> None:
    said = say(Reason(kind, {"planting": "the beans", "nights": 3, "chance_frac": 0.95, "frac": 0.9})).lower()

    assert not any(word in said for word in ("!", "danger", "alarm", "severe", "you should have", "failed", "warning"))


def test_an_unknown_kind_is_said_plainly_with_its_numbers() -> None:
    said = say(
        Reason("snail_seen", {"night": date(2026, 11, 20), "count": 3.0, "where": "the wall", "size": Band(1, 2, 3)})
    )

    assert said == "Snail seen: night 20 November, count 3, where the wall, size 2."


def test_a_whole_number_of_an_unknown_kind_is_told_whole() -> None:
    assert say(Reason("snail_seen", {"count": 2013})) == "Snail seen: count 2013."


def test_what_is_past_is_not_told_as_still_to_come() -> None:
    shows = Reason("shows_soon", {"night": date(2026, 11, 13), "first": date(2026, 11, 24), "last": date(2026, 12, 2)})

    assert "it may be showing already, and should be by 2 December" in say(shows, today=TODAY)
    assert "it should be showing by now" in say(shows, today=date(2026, 12, 3))
    assert "it should show from 24 November to 2 December" in say(shows, today=date(2026, 11, 23))


def test_a_headline_calls_today_today() -> None:
    look = {"planting": "the beans", "look_first": TODAY, "look_last": date(2026, 11, 29)}

    assert say(Reason("shows_soon", look), today=TODAY).startswith(
        "Turn the low leaves of the beans today and on Sunday 29 November."
    )


def test_a_record_that_stopped_says_since_when() -> None:
    said = say(Reason("record_stale", {"until": "2026-11-02", "days": 23}))

    assert said.startswith("Nothing has been written down since 2 November; 23 days.")


def test_the_lenders_of_borrowed_numbers_are_told_by_their_plain_names() -> None:
    lent = ["southern maize rust, Puccinia polysora", "coffee rust, Hemileia vastatrix"]

    assert "borrowed from southern maize rust and coffee rust, so" in say(Reason("borrowed_parameters", {"from": lent}))


def test_the_share_that_got_in_is_only_told_if_spores_were_about() -> None:
    night = {"night": date(2026, 11, 20), "wet_h": 12.6, "temperature_c": 19.4, "frac": 0.62}

    said = say(Reason("wet_night", night))

    assert said == (
        "The night of 20 November kept the low leaves wet for 13 hours at about 19 °C. "
        "If spores were about, about 6 in 10 of those on the leaf got in."
    )


def test_the_headline_says_what_to_do_then_why_then_how_sure() -> None:
    details = {
        "planting": "the quay cannas",
        "night": date(2026, 11, 13),
        "first": date(2026, 11, 24),
        "last": date(2026, 12, 2),
        "chance_frac": 0.8,
        "look_first": date(2026, 11, 26),
        "look_last": date(2026, 11, 29),
    }

    said = say(Reason("shows_soon", details))

    assert said == (
        "Turn the low leaves of the quay cannas on Thursday 26 November and Sunday 29 November. If spores were about, "
        "the wet night of 13 November let in enough to matter (likely, about 8 in 10); "
        "it should show from 24 November to 2 December."
    )


def test_a_reason_under_an_instruction_does_not_instruct_again() -> None:
    assert "Turn" not in say_why(Reason("shows_soon", {"planting": "the beans", "night": date(2026, 11, 13)}))


@pytest.mark.parametrize(
    ("chance_frac", "words"),
    [
        (0.95, "very likely"),
        (0.90, "very likely"),
        (0.75, "likely"),
        (0.66, "likely"),
        (0.5, "about as likely as not"),
        (0.33, "unlikely"),
        (0.10, "very unlikely"),
        (0.0, "very unlikely"),
    ],
)
def test_chance_is_spoken_on_the_published_scale(chance_frac: float, words: str) -> None:
    assert likelihood.likelihood(chance_frac) == words


def test_seven_in_ten_nights_are_said_as_seven_in_ten() -> None:
    assert likelihood.nights_like_this(0.72) == "in 10 nights like this, about 7"


@given(st.floats(0, 1))
@example(0.95)
def test_a_chance_is_never_rounded_to_never_or_always(chance_frac: float) -> None:
    said = likelihood.tenths(chance_frac)

    assert not said.startswith("about 0 ")
    assert not said.startswith("about 10 ")


def test_a_span_within_a_month_names_the_month_once() -> None:
    assert dates.span_words(date(2026, 11, 26), date(2026, 11, 29)) == "26 to 29 November"


def test_a_span_across_months_names_both() -> None:
    assert dates.span_words(date(2026, 11, 29), date(2026, 12, 3)) == "29 November to 3 December"


def test_a_band_without_an_end_is_not_given_one() -> None:
    band = DateBand(date(2026, 12, 1), date(2026, 12, 9), date(2027, 1, 4), open_ended=True)

    assert "January" not in dates.band_words(band)


def test_today_is_called_today() -> None:
    assert dates.days_listed((TODAY, date(2026, 11, 29)), TODAY) == "today and Sunday 29 November"


def test_americans_read_fahrenheit_inches_and_feet() -> None:
    shown = [
        quantities.temperature_words(20.0, "us"),
        quantities.water_words(25.4, "us"),
        quantities.length_words(3.0, "us"),
    ]

    assert shown == ["68 °F", "1.00 in", "10 ft"]


def test_units_reach_the_sentence() -> None:
    assert "66 °F" in say(Reason("wet_night", {"temperature_c": 19.0}), "us")


def test_nothing_hidden_is_written_as_nothing() -> None:
    assert quantities.amount_band(Band(0.0, 0.001, 0.01)) == "0"


def test_many_names_are_counted_not_listed() -> None:
    assert quantities.listed(("a", "b", "c", "d", "e")) == "a, b and 3 more"


def test_a_change_nobody_named_yet_is_shown_in_plain_words() -> None:
    assert change_words("mulch_with_straw") == "Mulch with straw"


@pytest.mark.parametrize("kind", sorted(ASKED))
def test_a_question_of_the_journal_is_a_sentence_with_its_names(kind: str) -> None:
    details = {
        "kind": "walked", "planting": "the beans", "bed": "South wall", "name": "Steps", "on": "2026-11-20",
        "ended_on": TODAY, "begins_on": TODAY, "laid_on": TODAY, "problems": ["turned is text"], "clumps": 3, "taken": 5,
        "count": 2, "version": 2, "target": "0f3c", "begins": "2026-11-20", "ends": "2026-11-19",
        "bottle": "Blue bottle", "bought_on": TODAY, "used": 30.0, "had": 20.0, "measure": "ml", "rate": "5 ml/l",
        "product": 9.0, "expected": (4.5, 4.5), "plantings": ("the beans",), "missing": ("started", "water_l"),
    }  # fmt: skip

    said = say(Reason(kind, {name: details[name] for name in QUESTIONS[kind]}))
    assert said.endswith(".")
    assert ("walked" in said) == (kind == "unknown_kind")
    assert ("the beans" in said) == bool({"planting", "plantings"} & set(QUESTIONS[kind]))
    assert ("South wall" in said) == ("bed" in QUESTIONS[kind])


def test_every_kind_of_line_in_the_journal_has_a_plain_name() -> None:
    assert set(KINDS) == set(ENTRIES)


GROWING = {
    "planting": "the quay cannas",
    "showing": Band(0.021, 0.041, 0.068),
    "latent": Band(0.04, 0.09, 0.15),
    "hidden_per_seen": Band(1.1, 2.1, 3.4),
    "worse_frac": 0.82,
    "in_two_weeks": Band(0.04, 0.09, 0.3),
    "last_look": date(2026, 11, 23),
    "looks": 4,
}


def test_a_card_says_what_shows_what_hides_what_comes_and_how_sure_that_is() -> None:
    assert say(Reason("card_growing", GROWING)) == (
        "Rust is growing in the quay cannas: about 4 % of the leaf area (between 2 and 7) shows it, and about twice as much "
        "is hidden in the leaf: about 9 % (between 4 and 15); with nothing done, about 9 % (between 4 and 30) would show in "
        "a fortnight (more than today: likely, about 8 in 10). That rests on the weather and 4 looks, the last on "
        "23 November."
    )


def test_a_clean_bed_is_not_called_free_of_rust() -> None:
    details = {"planting": "the beans", "turned": 60, "last_look": TODAY, "any_rust_frac": 0.2}

    said = say(Reason("card_clean", {**details, "latent": Band(0.0, 0.0004, 0.008)}))
    assert said == (
        "No rust was found on the 60 leaves turned in the beans, last on 25 November; that there is some all the same, seen "
        "by nobody or still hidden, is unlikely (about 2 in 10), and hardly more than 0.8 % of the leaf area can be hiding it."
    )


def test_where_nobody_looked_next_to_nothing_is_known() -> None:
    details = {
        "planting": "the beans",
        "any_rust_frac": 0.7,
        "latent": Band(0, 0.02, 0.2),
        "showing": Band(0, 0.01, 0.1),
    }

    said = say(Reason("card_unlooked", details))
    assert "Nobody has looked at the beans yet, so next to nothing is known." in said
    assert "rust is likely in it (about 7 in 10)" in said
    assert "up to 10 % of the leaf area may show it and up to 20 % may hide it" in said


def test_a_card_in_a_few_words_fits_beside_a_name() -> None:
    short = short_card(Reason("card_growing", GROWING))

    assert short == "growing, 4 % shows, 9 % hidden; more in a fortnight 8 in 10"
    assert short_card(Reason("quiet", {})) == ""


@pytest.mark.parametrize(
    ("band", "words"),
    [
        (Band(0.012, 0.02, 0.049), "about 2 % (between 1 and 5)"),
        (Band(0.0, 0.0, 0.0), "next to nothing"),
        (Band(0.0, 0.0002, 0.03), "next to nothing (at most 3 %)"),
        (Band(0.002, 0.004, 0.0094), "about 0.4 % (between 0.2 and 0.9)"),
        (Band(0.12, 0.33, 0.58), "about 35 % (between 10 and 60)"),
        (Band(0.31, 0.33, 0.36), "about 33 % (between 31 and 36)"),
        (Band(0.5, 0.9, 0.999), "about 90 % (between 50 and 95)"),
    ],
)
def test_a_share_is_rounded_to_what_is_known_of_it(band: Band, words: str) -> None:
    assert shares.about_percent(band) == words


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_rounding_never_turns_a_band_inside_out(one: float, two: float, three: float) -> None:
    low, mid, high = sorted((one, two, three))

    told = [float(each) for each in shares.rounded(Band(low, mid, high))]
    assert told == sorted(told)
    assert high == 1.0 or told[2] < 100


def test_a_look_that_is_hard_to_believe_is_asked_for_again_and_nobody_is_blamed() -> None:
    details = {"on": TODAY, "planting": "the beans", "turned": 40, "rusted": 0, "tail_frac": 0.021}

    said = say(Reason("look_disagrees", {**details, "expected": Band(0.1, 0.2, 0.4)}))
    assert said == (
        "On 25 November 0 of 40 leaves of the beans had rust; the weather and the other walks led us to expect about 20 % "
        "(between 10 and 40). So far off comes about 1 time in 50. A second look there would tell which of the two is off."
    )


def test_a_look_hard_to_believe_for_its_leaf_area_says_how_much_was_judged_and_how_much_awaited() -> None:
    details = {"on": TODAY, "planting": "the beans", "turned": 14, "rusted": 5, "severity_frac": 0.12}
    awaited = {"expected": Band(0.2, 0.4, 0.6), "expected_area": Band(0.0, 0.002, 0.01), "tail_frac": 0.015}

    said = say(Reason("look_disagrees", {**details, **awaited}))
    assert "5 of 14 leaves of the beans had rust, 12 % of their area; " in said
    assert (
        "about 40 % (between 20 and 60) of the leaves, and about 0.2 % of the leaf area (between 0 and 1) rusted"
        in said
    )


def test_looks_too_old_to_use_are_told_with_their_number() -> None:
    assert say(Reason("older_looks", {"count": 1})).startswith("1 look is from before the days we look back on")
    assert say(Reason("older_looks", {"count": 3})).startswith("3 looks are from before")


def test_a_headline_of_rust_that_does_not_grow_says_what_to_do_and_does_not_call_it_gone() -> None:
    first, why = say_first(Reason("standing_rust", {**GROWING, "look_first": TODAY, "look_last": TODAY}), today=TODAY)

    assert first == "Rust is in the quay cannas, and is not likely to grow just now: turn its low leaves today."
    assert why.startswith("About 4 % of the leaf area (between 2 and 7) shows it")


def test_a_headline_of_growing_rust_says_first_what_to_do() -> None:
    look = {"look_first": date(2026, 11, 26), "look_last": date(2026, 11, 29)}

    first, why = say_first(Reason("growing_rust", {**GROWING, **look}), today=TODAY)
    assert first == (
        "Rust is growing in the quay cannas: turn its low leaves on Thursday 26 November and Sunday 29 November."
    )
    assert (
        why
        == "About 4 % of the leaf area (between 2 and 7) shows it; about 9 % (between 4 and 15) is hidden in the leaf."
    )


def test_a_headline_of_hidden_rust_says_how_likely_and_when() -> None:
    details = {"planting": "the beans", "any_rust_frac": 0.7, "latent": Band(0.01, 0.03, 0.06)}

    said = say(Reason("hidden_rust", {**details, "first": date(2026, 11, 28), "last": date(2026, 12, 4)}), today=TODAY)
    assert "That it has rust at all is likely, about 7 in 10" in said
    assert "about 3 % of the leaf area (between 1 and 6)" in said
    assert said.endswith("it should show from 28 November to 4 December.")


PRIOR = Band(1.0, 3.0, 9.0)


@pytest.mark.parametrize(
    ("posterior", "words"),
    [
        (PRIOR, "nothing yet"),
        (Band(1.1, 3.2, 9.2), "nothing yet"),
        (Band(2.0, 3.1, 5.0), "as thought, more surely"),
        (Band(4.0, 6.0, 8.0), "more than thought"),
        (Band(0.5, 1.0, 2.0), "less than thought"),
        (Band(1.0, 2.4, 8.9), "less than thought"),
    ],
)
def test_what_the_walks_said_of_an_unknown_is_told_by_before_and_after(posterior: Band, words: str) -> None:
    assert said_words(Learned("anything_m", "", PRIOR, posterior, "m")) == words


def test_an_unknown_without_a_plain_name_is_told_without_its_unit() -> None:
    assert unknown_words(Learned("mean_reach_m", "canna rust", PRIOR, PRIOR, "m")) == "mean reach, canna rust"


def test_past_forecasts_are_told_beside_the_simplest_guess() -> None:
    said = past_words(PastForecasts(12, 0.08, 0.1, 9, 0.07, 0.13))

    assert "What 12 looks would find was worked out before each was made, and was off by 8 leaves in a hundred" in said
    assert "off by 7; to take the look before for the next would have been off by 13." in said
    assert "earlier look" not in past_words(PastForecasts(1, 0.2, 0.1, 0, 0.0, 0.0))

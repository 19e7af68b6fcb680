"""The one mouth: a reason or a finding, kind and numbers, becomes a sentence."""

from collections.abc import Callable, Mapping
from datetime import date

from abaxial.report.answers.week import Reason
from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.findings import FINDINGS
from abaxial.report.words.headlines import HEADLINES, shows_because, turn_words
from abaxial.report.words.plan.because import BECAUSE
from abaxial.report.words.plan.cleaning import DIVIDING
from abaxial.report.words.plan.hours import CLOSINGS
from abaxial.report.words.plan.labels import ASKS
from abaxial.report.words.plan.mixing import HINDERED, STEPS
from abaxial.report.words.plan.precautions import PRECAUTIONS
from abaxial.report.words.plan.refusals import REFUSED
from abaxial.report.words.quantities import Units
from abaxial.report.words.readings import READINGS
from abaxial.report.words.reasons import REASONS
from abaxial.report.words.seen import moved
from abaxial.report.words.seen.cards import CARDS
from abaxial.report.words.seen.moved import MOVED
from abaxial.report.words.seen.questions import ASKED
from abaxial.report.words.seen.walks import WALKS

SENTENCES: Mapping[str, Callable[[Facts], str]] = {
    **READINGS, **FINDINGS, **REASONS, **HEADLINES, **CARDS, **MOVED, **WALKS, **ASKED,
    # a refusal and a closing of one name are one sentence, and so are a warning about bees and the precaution
    **CLOSINGS, **REFUSED, **ASKS, **BECAUSE, **STEPS, **HINDERED, **PRECAUTIONS, **DIVIDING,
}  # fmt: skip
#: headlines told in two parts: what to do or to know, then why and how sure
TWO_PARTS: Mapping[str, tuple[Callable[[Facts], str], Callable[[Facts], str]]] = {
    "shows_soon": (turn_words, shows_because),
    "growing_rust": (moved.turn_growing, moved.grows_because),
    "standing_rust": (moved.turn_standing, moved.grows_because),
    "hidden_rust": (moved.hides_first, moved.hides_because),
}


def say(reason: Reason, units: Units = "metric", today: date | None = None) -> str:
    """The sentence of a reason. An unknown kind is said plainly, with its numbers; it never fails.

    today : the day it is said, so that what is past is not told as still to come; None if nobody knows.
    """
    facts = Facts(reason.details, units, today)
    sentence = SENTENCES.get(reason.kind)
    return sentence(facts) if sentence else _plainly(reason, facts)


def say_why(reason: Reason, units: Units = "metric", today: date | None = None) -> str:
    """The sentence of a reason that stands under an instruction, so that it does not instruct again."""
    if reason.kind in TWO_PARTS:
        return TWO_PARTS[reason.kind][1](Facts(reason.details, units, today))
    return say(reason, units, today)


def say_first(reason: Reason, units: Units = "metric", today: date | None = None) -> tuple[str, str]:
    """A headline in two parts: what to do or to know, then why and how sure (may be empty)."""
    if reason.kind in TWO_PARTS:
        return TWO_PARTS[reason.kind][0](Facts(reason.details, units, today)), say_why(reason, units, today)
    return say(reason, units, today), ""


def _plainly(reason: Reason, facts: Facts) -> str:
    told = [f"{name.replace('_', ' ')} {_value(value, facts, name)}" for name, value in reason.details.items()]
    return f"{reason.kind.replace('_', ' ').capitalize()}{': ' if told else ''}{', '.join(told)}."


def _value(value: object, facts: Facts, name: str) -> str:
    day, number = facts.day(name), facts.number(name)
    if day is not None:
        return day_words(day)
    if number is not None and not isinstance(value, str):
        return f"{number:.0f}" if number.is_integer() or abs(number) >= 100 else f"{number:.3g}"
    return facts.text(name) or "unknown"

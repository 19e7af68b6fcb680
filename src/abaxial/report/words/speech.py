"""The one mouth: a reason or a finding, kind and numbers, becomes a sentence."""

from collections.abc import Callable, Mapping
from datetime import date

from abaxial.report.answers.week import Reason
from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.findings import FINDINGS
from abaxial.report.words.headlines import HEADLINES, shows_because, turn_words
from abaxial.report.words.quantities import Units
from abaxial.report.words.readings import READINGS
from abaxial.report.words.reasons import REASONS

SENTENCES: Mapping[str, Callable[[Facts], str]] = {**READINGS, **FINDINGS, **REASONS, **HEADLINES}


def say(reason: Reason, units: Units = "metric", today: date | None = None) -> str:
    """The sentence of a reason. An unknown kind is said plainly, with its numbers; it never fails.

    today : the day it is said, so that what is past is not told as still to come; None if nobody knows.
    """
    facts = Facts(reason.details, units, today)
    sentence = SENTENCES.get(reason.kind)
    return sentence(facts) if sentence else _plainly(reason, facts)


def say_why(reason: Reason, units: Units = "metric", today: date | None = None) -> str:
    """The sentence of a reason that stands under an instruction, so that it does not instruct again."""
    if reason.kind == "shows_soon":
        return shows_because(Facts(reason.details, units, today))
    return say(reason, units, today)


def say_first(reason: Reason, units: Units = "metric", today: date | None = None) -> tuple[str, str]:
    """A headline in two parts: what to do or to know, then why and how sure (may be empty)."""
    if reason.kind == "shows_soon":
        return turn_words(Facts(reason.details, units, today)), say_why(reason, units, today)
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

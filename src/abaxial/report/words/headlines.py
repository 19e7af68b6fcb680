"""The one line that matters: what to do, why, how sure; for the page and for each planting."""

from datetime import date

from abaxial.report.words.dates import day_words, span_words, weekday_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.likelihood import likelihood_with_number, nights_like_this
from abaxial.report.words.quantities import counted


def _shows_soon(facts: Facts) -> str:
    return f"{turn_words(facts)} {shows_because(facts)}"


def turn_words(facts: Facts) -> str:
    """Which leaves to turn, and on which days."""
    return f"Turn the low leaves {_of(facts)} {turn_on(facts)}."


def turn_on(facts: Facts) -> str:
    """The days on which to turn leaves."""
    look = tuple(day for day in (facts.day("look_first"), facts.day("look_last")) if day)
    return _on_days(look, facts.today)


def shows_because(facts: Facts) -> str:
    """Why leaves are to be turned: the night, how sure it is, and when it should show."""
    night, first, last = facts.day("night"), facts.day("first"), facts.day("last")
    wet = f"the wet night of {day_words(night)}" if night else "a wet night of the last weeks"
    shows = f"; {shows_between(first, last, facts.today)}" if first and last else ""
    return f"If spores were about, {wet} let in enough to matter{_how_sure(facts)}{shows}."


def _wet_nights_ahead(facts: Facts) -> str:
    nights, chance = facts.number("nights"), facts.number("chance_frac")
    how_many = f"{counted(nights, 'wet night', 'wet nights')}" if nights else "Wet nights"
    first, last = facts.day("first"), facts.day("last")
    when = f", {span_words(first, last)}" if first and last else ""
    sure = f" If spores were about, {nights_like_this(chance)} would let them in." if chance is not None else ""
    verb = "is" if how_many.startswith("1 ") else "are"
    return f"{how_many[0].upper()}{how_many[1:]} {verb} likely ahead {_for(facts)}{when}; keep the leaves dry till then.{sure}"


def _hidden_for_now(facts: Facts) -> str:
    nights = facts.number("nights")
    amount = f"{nights:.1f} full nights’ worth" if nights else "something"
    first, last = facts.day("first"), facts.day("last")
    when = f" and should show {_between(first, last)}" if first and last else " and will not show this week"
    return f"Nothing to turn yet {_for(facts)}. If spores were about, {amount} is in the leaf, hidden,{when}."


def _may_be_hidden(facts: Facts) -> str:
    most = facts.number("nights")
    amount = f"up to {most:.1f} full nights’ worth" if most else "something"
    first, last = facts.day("first"), facts.day("last")
    when = f"; it would show {_between(first, last)}" if first and last else ""
    return (
        f"We are not sure {_for(facts)}. If spores were about, {amount} may be hidden in the leaf{when}. "
        "Turn a few low leaves when you pass."
    )


def _quiet(facts: Facts) -> str:
    until = facts.day("until")
    return f"Nothing is due {_for(facts)}{f' before {day_words(until)}' if until else ' this week'}. Enjoy the leaves."


def _cannot_know(facts: Facts) -> str:
    what = facts.text("what") or "weather"
    since, until = facts.day("since"), facts.day("until")
    when = f" since {day_words(since)}" if since else ""
    when = f" between {day_words(since)} and {day_words(until)}" if since and until else when
    tell = {
        "rain": "one line saying when it last rained would tell most of it",
        "humidity": "a note on whether low leaves drip at seven in the morning would tell most of it",
    }.get(what, "a weather file, or one line saying when it last rained, would tell most of it")
    return f"We do not know the {what}{when}, so we cannot say what is in the leaf; {tell}."


def _empty_garden(_: Facts) -> str:
    return "There are no plants in this garden yet. Add a planting to the description and ask again."


def _no_leaves(facts: Facts) -> str:
    return f"There are no open leaves {_for(facts)}, so there is nothing for rust to enter and nothing to turn."


def _of(facts: Facts) -> str:
    name = facts.text("planting")
    return f"of {name}" if name else "of the plants named below"


def _for(facts: Facts) -> str:
    name = facts.text("planting")
    return f"for {name}" if name else "in this garden"


def _between(first: date, last: date) -> str:
    return f"on {day_words(first)}" if first == last else f"from {span_words(first, last)}"


def shows_between(first: date, last: date, today: date | None) -> str:
    """When it should show, as told on a day."""
    if today is None or first > today:
        return f"it should show {_between(first, last)}"
    if last <= today:
        return "it should be showing by now"
    return f"it may be showing already, and should be by {day_words(last)}"


def _on_days(days: tuple[date, ...], today: date | None) -> str:
    if not days:
        return "this week"
    later = " and ".join(weekday_words(day) for day in days if day != today)
    if today not in days:
        return f"on {later}"
    return f"today and on {later}" if later else "today"


def _how_sure(facts: Facts) -> str:
    chance = facts.number("chance_frac")
    return f" ({likelihood_with_number(chance)})" if chance is not None else ""


HEADLINES = {
    "shows_soon": _shows_soon,
    "wet_nights_ahead": _wet_nights_ahead,
    "hidden_for_now": _hidden_for_now,
    "may_be_hidden": _may_be_hidden,
    "quiet": _quiet,
    "cannot_know": _cannot_know,
    "empty_garden": _empty_garden,
    "no_leaves": _no_leaves,
}

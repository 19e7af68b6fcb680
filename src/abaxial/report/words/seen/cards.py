"""What is going on in a planting and how sure that is, in a sentence, and in a few words for a narrow place."""

from abaxial.report.answers.week import Band, Reason
from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.likelihood import likelihood, likelihood_with_number, tenths, tenths_short
from abaxial.report.words.quantities import counted
from abaxial.report.words.seen.shares import about_percent, at_most_percent, percent_short, times_words

LEAF_AREA = "of the leaf area"


def _unlooked(facts: Facts) -> str:
    any_rust, latent, showing = facts.number("any_rust_frac"), facts.band("latent"), facts.band("showing")
    chance = f": rust is {likelihood(any_rust)} in it ({tenths(any_rust)})" if any_rust is not None else ""
    joined = " and" if chance else ":"
    most = _up_to(showing, latent)
    return (
        f"Nobody has looked at {_who(facts)} yet, so next to nothing is known. The weather alone allows much"
        f"{chance}{f'{joined} {most}' if most else ''}."
    )


def _clean(facts: Facts) -> str:
    turned, last, any_rust = facts.number("turned"), facts.day("last_look"), facts.number("any_rust_frac")
    leaves = f"{counted(turned, 'leaf', 'leaves')} turned" if turned else "leaves looked at"
    when = f", last on {day_words(last)}" if last else ""
    chance = (
        f"; that there is some all the same, seen by nobody or still hidden, is {likelihood(any_rust)} ({tenths(any_rust)})"
        if any_rust is not None
        else ""
    )
    latent = facts.band("latent")
    hidden = f", and hardly more than {at_most_percent(latent)} of the leaf area can be hiding it" if latent else ""
    return f"No rust was found on the {leaves} in {_who(facts)}{when}{chance}{hidden}."


def _growing(facts: Facts) -> str:
    return _course(facts, f"Rust is growing in {_who(facts)}")


def _steady(facts: Facts) -> str:
    return _course(facts, f"Rust is holding about steady in {_who(facts)}")


def _falling(facts: Facts) -> str:
    return _course(facts, f"Rust is going back in {_who(facts)}")


def _gone(facts: Facts) -> str:
    return f"There are no leaves on {_who(facts)} now, so there is nothing to see and nothing for rust to live in."


def _course(facts: Facts, lead: str) -> str:
    told = [told for told in (_shows(facts), _hides(facts)) if told]
    return f"{lead}{': ' if told else ''}{', and '.join(told)}{_fortnight(facts)}.{_from_looks(facts)}"


def _shows(facts: Facts) -> str:
    showing = facts.band("showing")
    return f"{about_percent(showing, LEAF_AREA)} shows it" if showing else ""


def _hides(facts: Facts) -> str:
    latent, times = facts.band("latent"), facts.number("hidden_per_seen")
    if latent is None:
        return ""
    if times is None:
        return f"{about_percent(latent)} is hidden in the leaf"
    return f"{times_words(times)} is hidden in the leaf: {about_percent(latent)}"


def _fortnight(facts: Facts) -> str:
    later, worse = facts.band("in_two_weeks"), facts.number("worse_frac")
    if later is None and worse is None:
        return ""
    shows = f"{about_percent(later)} would show" if later else "as much would show"
    sure = f" (more than today: {likelihood_with_number(worse)})" if worse is not None else ""
    return f"; with nothing done, {shows} in a fortnight{sure}"


def _from_looks(facts: Facts) -> str:
    looks, last = facts.number("looks"), facts.day("last_look")
    if not looks:
        return f" Last looked at on {day_words(last)}." if last else ""
    return f" That rests on the weather and {counted(looks, 'look', 'looks')}{f', the last on {day_words(last)}' if last else ''}."


def _up_to(showing: Band | None, latent: Band | None) -> str:
    told = []
    if showing:
        told.append(f"up to {at_most_percent(showing)} of the leaf area may show it")
    if latent:
        told.append(f"up to {at_most_percent(latent)} may hide it")
    return " and ".join(told)


def _who(facts: Facts) -> str:
    return facts.text("planting") or "this planting"


def short_card(card: Reason) -> str:
    """A card in a few words: "growing, 4 % shows, 8 % hidden; more in a fortnight 8 in 10"; nothing for other kinds."""
    facts = Facts(card.details, "metric")
    lead = _SHORT.get(card.kind)
    if lead is None:
        return ""
    any_rust, worse = facts.number("any_rust_frac"), facts.number("worse_frac")
    showing, latent = facts.band("showing"), facts.band("latent")
    told = [f"{percent_short(showing)} shows"] if showing and worse is not None else []
    if latent and worse is not None:
        told.append(f"{percent_short(latent)} hidden")
    amounts = ", ".join((lead, *told))
    if worse is not None:
        return f"{amounts}; more in a fortnight {tenths_short(worse)}"
    return f"{lead}; any rust {tenths_short(any_rust)}" if any_rust is not None else amounts


_SHORT = {
    "card_unlooked": "not looked at yet",
    "card_clean": "nothing found so far",
    "card_growing": "growing",
    "card_steady": "steady",
    "card_falling": "going back",
    "card_gone": "no leaves",
}

CARDS = {
    "card_unlooked": _unlooked,
    "card_clean": _clean,
    "card_growing": _growing,
    "card_steady": _steady,
    "card_falling": _falling,
    "card_gone": _gone,
}

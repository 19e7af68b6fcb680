"""What the journal asks about bottles, and about what was sprayed out of them."""

from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.quantities import counted, listed

#: what a record still needs, in plain words
MISSING = {
    "started": "the hour it began",
    "product": "how much product was used",
    "water_l": "how much water",
    "area_m2": "the ground it covered",
    "registration": "the registration number",
    "actives": "what is in it",
    "applicator": "who sprayed",
    "reentry_until": "until when to keep out",
}


def _unreadable(facts: Facts) -> str:
    problems = facts.names("problems")
    why = f" ({listed(problems, most=2).rstrip('.')})" if problems else ""
    return (
        f"What was written down of {_bottle(facts)} cannot be read{why}, so it stands on the shelf without a label and is not "
        "proposed. Write it anew with its label at hand."
    )


def _two_labels(facts: Facts) -> str:
    return (
        f"{_bottle(facts, 'One bottle')} was written down twice with different labels; the later one counts. "
        "Give the second bottle another name if it is another product."
    )


def _more_used(facts: Facts) -> str:
    used, had, measure = facts.number("used"), facts.number("had"), facts.text("measure") or ""
    begin = f"More was sprayed out of {_bottle(facts)} than was in it"
    if used is not None and had is not None:
        begin += f": {used:.4g} of {had:.4g} {measure}"
    return f"{begin}. Look whether one of the amounts is off, or whether a second bottle was bought."


def _unknown(facts: Facts) -> str:
    return (
        f"The spraying{_on(facts)} names {_bottle(facts)}, which does not stand on the shelf. "
        "Write down that it was bought, with its label, or correct its name."
    )


def _not_yet(facts: Facts) -> str:
    bought = facts.day("bought_on")
    since = f" until {day_words(bought)}" if bought else " by then"
    return f"The spraying{_on(facts)} names {_bottle(facts)}, which was not bought{since}. One of the two dates is off."


def _home_brew(facts: Facts) -> str:
    return (
        f"{_bottle(facts, 'A home brew')} was sprayed{_on(facts)}. It is kept in the record; nobody has tested it, so we "
        "reckon as if nothing had been sprayed, and we never propose it."
    )


def _no_label(facts: Facts) -> str:
    return (
        f"The spraying{_on(facts)} was out of {_bottle(facts)}, whose label nobody has written down. "
        "Copy the label, and do not use it again before."
    )


def _measure(facts: Facts) -> str:
    unit = "grams" if facts.text("measure") == "g" else "millilitres"
    return (
        f"What the spraying{_on(facts)} took of {_bottle(facts)} is not in {unit}, as the label is, so it was not taken off "
        f"what is left. Write it in {unit}."
    )


def _rate_unreadable(facts: Facts) -> str:
    rate, problems = facts.text("rate"), facts.names("problems")
    why = f" ({listed(problems, most=1).rstrip('.')})" if problems else ""
    return f"The rate{f' “{rate}”' if rate else ''} of the spraying{_on(facts)} cannot be read{why}. Write it as on the label."


def _rate_off(facts: Facts) -> str:
    rate, product, measure = facts.text("rate"), facts.number("product"), facts.text("measure") or ""
    expected = facts.details.get("expected")
    limits = tuple(expected) if isinstance(expected, list | tuple) else ()
    awaited = " to ".join(f"{each:.4g}" for each in dict.fromkeys(limits))
    makes = f" makes {awaited} {measure}" if awaited else " makes another amount"
    used = f", and {product:.4g} {measure} are written down" if product is not None else ""
    return (
        f"At the spraying{_on(facts)}, the rate{f' “{rate}”' if rate else ''}{makes}{used}. One of the numbers is off."
    )


def _incomplete(facts: Facts) -> str:
    missing = tuple(MISSING.get(each, each.replace("_", " ")) for each in facts.names("missing"))
    on = listed(facts.names("plantings"), most=2)
    what = listed(missing, most=9) if missing else "something"
    where = f" of {on}" if on else ""
    lacks = counted(len(missing), "thing", "things") if missing else "something"
    return f"The record of the spraying{where}{_on(facts)} still needs {lacks}: {what}. Add it by correcting that line."


def _bottle(facts: Facts, otherwise: str = "a bottle") -> str:
    name = facts.text("bottle")
    return f"“{name}”" if name else otherwise


def _on(facts: Facts) -> str:
    on = facts.day("on")
    return f" of {day_words(on)}" if on else ""


SPRAYED = {
    "bottle_unreadable": _unreadable,
    "two_labels_of_one_name": _two_labels,
    "more_used_than_there_was": _more_used,
    "bottle_unknown": _unknown,
    "bottle_not_yet_bought": _not_yet,
    "home_brew_used": _home_brew,
    "sprayed_without_label": _no_label,
    "product_in_another_measure": _measure,
    "rate_unreadable": _rate_unreadable,
    "rate_does_not_fit": _rate_off,
    "spray_record_incomplete": _incomplete,
}

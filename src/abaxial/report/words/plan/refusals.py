"""Why a bottle may not be used on a planting on a day, and what to think about where it may."""

from collections.abc import Callable

from abaxial.report.words.dates import day_words, moment_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.plan.cleaning import dividing_too_soon
from abaxial.report.words.plan.hours import CLOSINGS
from abaxial.report.words.plan.labels import fields_words
from abaxial.report.words.quantities import counted, length_words, listed, temperature_words

#: those that need no more than names; the others are told by a function of their own
_PLAIN = {
    "home_brew": "{Bottle} was brewed at home; it may be written down, and is never proposed.",
    "no_label": "{Bottle} has no label written down, so nobody can say what is allowed.",
    "not_a_fungicide": "Nothing in {bottle} does anything to rust.",
    "empty": "{Bottle} is empty.",
    "licensed_only": "Only people with a licence may use {bottle}.",
    "wilted": "Leaves of {who} hang limp; nothing is sprayed before they stand again.",
    "stressed": "Water is short for {who}, and this is hard on thirsty plants.",
    "newly_planted": "It is too soon after planting for {who}: this is hard on plants that still root.",
    "area_not_known": "The label counts by ground, and the ground under {who} is not known.",
    "plants_not_at_ease": "Water is short for {who}, or planting was not long ago: spray a few leaves first and look after two days.",
}


def _label_incomplete(facts: Facts) -> str:
    fields = facts.names("fields")
    lacking = f": {fields_words(fields)}" if fields else ""
    return f"Part of the label of {_bottle(facts)} is not written down{lacking}."


def _active_unknown(facts: Facts) -> str:
    what = listed(facts.names("actives")) or "something"
    return f"Neither label nor our files tell of what kind {what} in {_bottle(facts)} is."


def _expired(facts: Facts) -> str:
    day = facts.day("use_before")
    return f"{_cap(_bottle(facts))} was to be used before {day_words(day) if day else 'now'}."


def _too_little_left(facts: Facts) -> str:
    left, needed = facts.number("left"), facts.number("needed")
    told = f": {left:.3g} of {needed:.3g} (ml, or g of a powder)" if left is not None and needed is not None else ""
    return f"Too little is left of {_bottle(facts)}{told}."


def _site_not_named(facts: Facts) -> str:
    return f"The label does not name {_who(facts)}{_names(facts, 'sites')}."


def _site_excepted(facts: Facts) -> str:
    return f"The label forbids it on {_who(facts)}{_names(facts, 'sites')}."


def _crop_not_named(facts: Facts) -> str:
    return f"Something of {_who(facts)} is eaten, and the label does not name the crop{_names(facts, 'sites')}."


def _pest_not_named(facts: Facts) -> str:
    return f"The label does not name {listed(facts.names('pests')) or 'this rust'}{_names(facts, 'named')}."


def _water_not_asked(facts: Facts) -> str:
    apart = _distance(facts, "buffer_m", "a distance")
    return f"The label keeps {apart} from water, and nobody said how far it is from {_who(facts)}."


def _water_too_near(facts: Facts) -> str:
    if facts.number("buffer_m") is None:
        return CLOSINGS["water_too_near"](facts)
    near, kept = _distance(facts, "water_m", "too near"), _distance(facts, "buffer_m", "more")
    return f"Water is {near} from {_who(facts)}, and the label keeps {kept} from it."


def _too_much_at_once(facts: Facts) -> str:
    return f"It is more than the label allows on {_who(facts)} at once{_most(facts, 'amount')}."


def _too_much_in_a_year(facts: Facts) -> str:
    return f"It would be more than the label allows on {_who(facts)}{_within(facts)}{_most(facts, 'amount')}."


def _too_often_in_a_year(facts: Facts) -> str:
    return f"It would be more often than the label allows on {_who(facts)}{_within(facts)}{_most(facts, 'times')}."


def _too_soon(facts: Facts) -> str:
    if facts.number("needed") is not None:
        return dividing_too_soon(facts)
    return f"{_between(facts)}; of one kind it must be {_days(facts, 'least_d', 'more')} at least."


def _too_near_another(facts: Facts) -> str:
    return f"{_between(facts)}; the two hurt leaves unless it is {_days(facts, 'least_d', 'more')}."


def _better_apart(facts: Facts) -> str:
    return f"{_between(facts)}; {_days(facts, 'better_d', 'more')} would be kinder to the leaves."


def _closed(facts: Facts) -> str:
    until, other = facts.moment("until"), facts.text("other")
    when = f" until {moment_words(until.isoformat())}" if until else ""
    return f"Nobody goes among {_who(facts)}{when}{f', after {other}' if other else ''}."


def _never_together(facts: Facts) -> str:
    other, what = facts.text("other"), facts.text("what")
    return f"It never goes with {other or 'what is put on there'} on one day{f' ({what})' if what else ''}."


def _too_many_running(facts: Facts) -> str:
    turns, most = facts.number("turns"), facts.number("most")
    told = (
        f": this would be {turns:.0f} of {_code(facts)} in a row, and {most:.0f} is the most" if turns and most else ""
    )
    return f"It is time for another kind of fungicide{told}. Kinds go by their code, not by their name."


def _too_much_alone(facts: Facts) -> str:
    much = f"{_cap(_code(facts))} would stand alone in too many of the year’s sprayings{_of_year(facts)}"
    return f"{much}; take turns, or mix with another kind."


def _too_much_of_a_code(facts: Facts) -> str:
    much = f"{_cap(_code(facts))} would be in too many of the year’s sprayings{_of_year(facts)}"
    return f"{much}; take turns with another kind."


def _too_hot(facts: Facts) -> str:
    warm, most = _degrees(facts, "warmest_c"), _degrees(facts, "most_c")
    return f"It gets {warm}, and {most} is the most for it." if warm and most else CLOSINGS["too_hot"](facts)


def _too_cold(facts: Facts) -> str:
    cold, least = _degrees(facts, "coldest_c"), _degrees(facts, "least_c")
    return f"It is {cold}, and {least} is the least for it." if cold and least else CLOSINGS["too_cold"](facts)


def _open_flowers(facts: Facts) -> str:
    if not facts.text("planting") and not facts.names("plantings"):
        return CLOSINGS["open_flowers"](facts)
    return f"Flowers are open on {_who(facts)}, and this product spares them."


def _warm(facts: Facts) -> str:
    warm, better = _degrees(facts, "warmest_c"), _degrees(facts, "better_c")
    gets = f"It gets {warm}; below {better}" if warm and better else "A cooler day"
    return f"{gets} is kinder to the leaves."


def _bees(facts: Facts) -> str:
    who = facts.text("planting")
    open_on = f"Flowers are open on {who}: spray" if who else "Spray"
    return f"{open_on} only when bees are home, and never onto open flowers."


def _last_of_its_code(facts: Facts) -> str:
    return f"This is the last of {_code(facts)} in a row; the next spraying takes another kind."


def _last_of_the_year(facts: Facts) -> str:
    return f"This is the last one that the label allows on {_who(facts)}{_within(facts)}."


def _wait_before_eating(facts: Facts) -> str:
    return f"Nothing of {_who(facts)} is picked to be eaten for {_days(facts, 'days', 'the days on the label')}."


def _beware(facts: Facts) -> str:
    of = facts.text("of") or "what its label says"
    return f"{_cap(_bottle(facts))}: mind {_OF.get(of, of.replace('_', ' '))}."


#: what a product may harm
_OF = {
    "fish": "fish and water animals",
    "bees": "bees",
    "heat": "heat, which makes it burn leaves",
    "drought": "thirsty plants",
    "soil_build_up": "the soil, in which it gathers",
    "waxy_leaves": "waxy leaves, which lose their bloom",
    "not_with_sulfur": "sulfur, which must lie weeks apart",
    "not_with_oil": "oil, which must lie weeks apart",
    "not_with_acids": "anything acid in the same tank",
    "cold_and_wet": "cold, wet days, on which it burns leaves",
    "growth_check": "young growth, which it may hold back",
    "hard_water": "hard water, in which it clots",
    "resistance_reported": "that some rusts have learned to live with it",
    "sensitive_plants": "kinds of plant that do not bear it; try a few leaves first",
    "skin_and_eyes": "skin and eyes",
    "weak_on_rust": "that it does little against rust",
    "withdrawn_in_places": "that it is no longer allowed everywhere",
}


def _bottle(facts: Facts) -> str:
    return facts.text("bottle") or "this bottle"


def _who(facts: Facts) -> str:
    return listed(facts.names("plantings"), most=6) or facts.text("planting") or "these plants"


def _code(facts: Facts) -> str:
    code = facts.text("code")
    return f"kind {code}" if code else "this kind"


def _names(facts: Facts, name: str) -> str:
    told = listed(facts.names(name))
    return f"; it names {told}" if told else ""


def _between(facts: Facts) -> str:
    other, on = facts.text("other") or "something like it", facts.day("on")
    far = _days(facts, "days", "Too few days")
    verb = "lies" if far.startswith("1 ") else "lie"
    return f"{far} {verb} between this and {other} on {_who(facts)}{f' ({day_words(on)})' if on else ''}"


def _within(facts: Facts) -> str:
    over = facts.number("over_d")
    return f" in {counted(over, 'day', 'days')}" if over is not None else ""


def _most(facts: Facts, name: str) -> str:
    found, most = facts.number(name), facts.number("most")
    return f" ({found:.3g}, and {most:.3g} is the most)" if found is not None and most is not None else ""


def _of_year(facts: Facts) -> str:
    turns, of = facts.number("turns"), facts.number("of")
    return f" ({turns:.0f} of {of:.0f})" if turns is not None and of is not None else ""


def _days(facts: Facts, name: str, otherwise: str) -> str:
    days = facts.number(name)
    return counted(days, "day", "days") if days is not None else otherwise


def _degrees(facts: Facts, name: str) -> str:
    warm = facts.number(name)
    return temperature_words(warm, facts.units) if warm is not None else ""


def _distance(facts: Facts, name: str, otherwise: str) -> str:
    length = facts.number(name)
    return length_words(length, facts.units) if length is not None else otherwise


def _cap(text: str) -> str:
    return text[0].upper() + text[1:]


def _filled(template: str) -> Callable[[Facts], str]:
    return lambda facts: template.format(bottle=_bottle(facts), Bottle=_cap(_bottle(facts)), who=_who(facts))


def _of_bottle(sentence: Callable[[Facts], str]) -> Callable[[Facts], str]:
    """The sentence with the bottle before it, where it is told which and the sentence does not."""

    def told(facts: Facts) -> str:
        said, bottle = sentence(facts), facts.text("bottle")
        return said if not bottle or bottle in said else f"{_cap(bottle)}: {said[0].lower()}{said[1:]}"

    return told


#: reasons against, and what to think about
REFUSED = {
    kind: _of_bottle(sentence)
    for kind, sentence in {
        **{kind: _filled(template) for kind, template in _PLAIN.items()},
        "label_incomplete": _label_incomplete, "active_unknown": _active_unknown, "expired": _expired,
        "too_little_left": _too_little_left, "site_not_named": _site_not_named, "site_excepted": _site_excepted,
        "crop_not_named": _crop_not_named, "pest_not_named": _pest_not_named, "too_hot": _too_hot,
        "too_cold": _too_cold, "open_flowers": _open_flowers, "water_not_asked": _water_not_asked,
        "water_too_near": _water_too_near, "too_much_at_once": _too_much_at_once,
        "too_much_in_a_year": _too_much_in_a_year, "too_often_in_a_year": _too_often_in_a_year, "too_soon": _too_soon,
        "closed": _closed, "too_near_another": _too_near_another, "never_together": _never_together,
        "too_many_running": _too_many_running, "too_much_alone": _too_much_alone,
        "too_much_of_a_code": _too_much_of_a_code, "warm": _warm, "bees": _bees, "better_apart": _better_apart,
        "last_of_its_code": _last_of_its_code, "last_of_the_year": _last_of_the_year,
        "wait_before_eating": _wait_before_eating, "beware": _beware,
    }.items()
}  # fmt: skip

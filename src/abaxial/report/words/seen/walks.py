"""Where the next minutes are worth most: why each stop of a walk is there, and what finding nothing would mean."""

from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.headlines import shows_between
from abaxial.report.words.quantities import counted, listed, share_words
from abaxial.report.words.seen.shares import about_percent

PARTS = {
    "lower": "low leaves",
    "upper": "high leaves",
    "stem": "stems",
    "any": "low and high leaves",
}


def part_words(part: str) -> str:
    """A part of a plant in plain words: "lower" is "low leaves"."""
    return PARTS.get(part, part.replace("_", " "))


def turn_words_for(part: str, leaves: int, plants: int) -> str:
    """How many leaves on how many plants: "turn 30 low leaves, spread over 10 plants"."""
    if part == "stem":
        return f"look at the stems of {counted(plants or leaves, 'plant', 'plants')}"
    many = "leaf" if leaves == 1 else "leaves"
    what = many if part == "any" else part_words(part).replace("leaves", many)
    over = f", spread over {counted(plants, 'plant', 'plants')}" if plants > 1 else " of one plant" if plants else ""
    return f"turn {leaves} {what}{over}"


def _plan(facts: Facts) -> str:
    stops, minutes, leaves = facts.number("stops"), facts.number("minutes"), facts.number("leaves")
    where = counted(stops, "stop", "stops") if stops is not None else "a few stops"
    time = f"About {counted(minutes, 'minute', 'minutes')} today" if minutes is not None else "A short walk today"
    turned = f", {counted(leaves, 'leaf', 'leaves')} to turn" if leaves is not None else ""
    return f"{time}: {where}{turned}, in this order."


def _nothing(_: Facts) -> str:
    return "There is nothing to walk for today: a look would change little of what we think. Enjoy the leaves."


def _uncertain(facts: Facts) -> str:
    who, latent, gain = facts.text("planting") or "this planting", facts.band("latent"), facts.number("gain_frac")
    hidden = f"{about_percent(latent, 'of the leaf area')} may be hiding rust" if latent else "we know little"
    tell = f"; a look would take away {share_words(gain)} of that doubt" if gain is not None else ""
    return f"In {who} {hidden}{tell}."


def _due(facts: Facts) -> str:
    night, first, last = facts.day("night"), facts.day("first"), facts.day("last")
    wet = f"what the night of {day_words(night)} let in" if night else "what a wet night let in"
    when = f": {shows_between(first, last, facts.today)}" if first and last else " about now"
    return f"In {facts.text('planting') or 'this planting'}, {wet} is due to show{when}."


def _clean_first(facts: Facts) -> str:
    who = facts.text("planting")
    begin = f"Begin with {who}" if who else "Begin here"
    return f"{begin}, which is likely clean, and go to the rusty beds last, so that hands and sleeves carry nothing in."


def _fewer_than(facts: Facts) -> str:
    turned, one_in = facts.number("turned"), facts.number("one_in")
    leaves = counted(turned, "leaf", "leaves") if turned is not None else "the leaves"
    share = f"fewer than 1 leaf in {one_in:.0f}" if one_in is not None else "few leaves, if any,"
    return f"If none of {leaves} has rust, {share} can be expected to show it."


def not_worth_words(names: tuple[str, ...]) -> str:
    """The plantings where a look would tell little today."""
    return f"A look would tell little today in {listed(names, most=6)}."


WALKS = {
    "walk_plan": _plan,
    "walk_nothing": _nothing,
    "walk_stop_uncertain": _uncertain,
    "walk_stop_due": _due,
    "walk_stop_clean_first": _clean_first,
    "if_none_fewer_than": _fewer_than,
}

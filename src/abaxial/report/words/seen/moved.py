"""What moved an estimate, what speaks against it, and the headlines that rest on one."""

from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.headlines import shows_between, turn_on
from abaxial.report.words.likelihood import likelihood_with_number
from abaxial.report.words.quantities import counted, share_words
from abaxial.report.words.seen.shares import about_percent, percent_cell, plain_percent, rarely_words


def _by_walk(facts: Facts) -> str:
    on, before, after = facts.day("on"), facts.band("before"), facts.band("after")
    walk = f"The walk of {day_words(on)}" if on else "A walk"
    found = found_words(facts)
    if before is None or after is None:
        return f"{walk}{f' ({found})' if found else ''} moved the estimate."
    moved = (
        f"moved what we think is rusted, hidden or showing, from {percent_cell(before)} to {percent_cell(after)} "
        "of the leaf area"
    )
    return f"{walk}{f' ({found})' if found else ''} {moved}."


def _by_night(facts: Facts) -> str:
    night, share = facts.day("night"), facts.number("share_frac")
    when = f"the night of {day_words(night)}" if night else "one wet night"
    much = share_words(share) if share is not None else "much"
    return f"{much[0].upper()}{much[1:]} of what is hidden now came in on {when}."


def _disagrees(facts: Facts) -> str:
    on, expected, tail = facts.day("on"), facts.band("expected"), facts.number("tail_frac")
    turned, rusted, judged = facts.number("turned"), facts.number("rusted"), facts.number("severity_frac")
    area = facts.band("expected_area") if judged is not None else None
    when = f"On {day_words(on)}" if on else "On one walk"
    found = f", what was seen in {_who(facts)} was far from what we expected"
    if turned is not None and rusted is not None:
        over = f", {plain_percent(judged)} of their area" if judged is not None else ""
        found = f" {rusted:.0f} of {counted(turned, 'leaf', 'leaves')} of {_who(facts)} had rust{over}"
    rusty = f" of the leaves, and {about_percent(area, 'of the leaf area')} rusted" if area else ""
    awaited = f"; the weather and the other walks led us to expect {about_percent(expected)}{rusty}" if expected else ""
    rare = f". So far off comes {rarely_words(tail)}" if tail is not None else ""
    return f"{when}{found}{awaited}{rare}. A second look there would tell which of the two is off."


def _contradicted(facts: Facts) -> str:
    looks, of, tail = facts.number("looks"), facts.number("of"), facts.number("tail_frac")
    many = counted(looks, "look", "looks") if looks is not None else "Some looks"
    total = f" of {of:.0f}" if of else ""
    rare = f" (it comes {rarely_words(tail)})" if tail is not None else ""
    return (
        f"{many}{total} found what our reckoning hardly allows{rare}. Read its shares as a guide until another walk "
        "shows which is right; the reasons of each planting name those looks."
    )


def _few_versions(facts: Facts) -> str:
    left = facts.number("effective")
    few = f"about {counted(left, 'of them is', 'of them are')} left to speak" if left is not None else "few are left"
    return (
        f"What was seen fits only a few of our possible gardens: {few}, so the numbers in brackets are rougher than they "
        "look. Another walk would tell more."
    )


def _nobody_looked(_: Facts) -> str:
    return (
        "No walk has been written down, so what shows and what hides is what the weather alone allows. "
        "Twenty low leaves turned in each bed, and the count written down, would tell most of it."
    )


def _stray(facts: Facts) -> str:
    who, count = facts.text("planting"), facts.number("count")
    many = counted(count, "look", "looks") if count is not None else "Some looks"
    name = f"“{who}”" if who else "a planting"
    verb = "is" if count is not None and round(count) == 1 else "are"
    return f"{many} {verb} written down for {name}, which does not stand in this garden; nothing was made of it."


def _older(facts: Facts) -> str:
    count = facts.number("count")
    many = counted(count, "look", "looks") if count is not None else "Some looks"
    verb = "is" if count is not None and round(count) == 1 else "are"
    return (
        f"{many} {verb} from before the days we look back on, or from when by our reckoning there were no leaves; "
        "nothing was made of them."
    )


def _growing_rust(facts: Facts) -> str:
    return f"{turn_growing(facts)} {grows_because(facts)}"


def turn_growing(facts: Facts) -> str:
    """That rust grows, and which leaves to turn when."""
    first = facts.day("look_first") or facts.day("look_last")
    turn = f": turn its low leaves {turn_on(facts)}" if first else ""
    return f"Rust is growing in {_who(facts)}{turn}."


def _standing_rust(facts: Facts) -> str:
    return f"{turn_standing(facts)} {grows_because(facts)}"


def turn_standing(facts: Facts) -> str:
    """That rust is there and grows no further just now, and which leaves to turn when."""
    first = facts.day("look_first") or facts.day("look_last")
    turn = f": turn its low leaves {turn_on(facts)}" if first else ""
    return f"Rust is in {_who(facts)}, and is not likely to grow just now{turn}."


def grows_because(facts: Facts) -> str:
    """How much shows and how much hides."""
    showing, latent = facts.band("showing"), facts.band("latent")
    shows = f"{about_percent(showing, 'of the leaf area')} shows it" if showing else ""
    hides = f"{about_percent(latent)} is hidden in the leaf" if latent else ""
    told = "; ".join(part for part in (shows, hides) if part) or "we cannot say how much shows or is hidden"
    return f"{told[0].upper()}{told[1:]}."


def _hidden_rust(facts: Facts) -> str:
    return f"{hides_first(facts)} {hides_because(facts)}"


def hides_first(facts: Facts) -> str:
    """That nothing shows and rust may hide all the same, and what to do about it."""
    look = f" Turn its low leaves {turn_on(facts)}." if facts.day("look_first") else ""
    return f"Next to nothing shows in {_who(facts)}, and rust may well be hidden in it.{look}"


def hides_because(facts: Facts) -> str:
    """How likely, how much, and when it would show."""
    chance, latent = facts.number("any_rust_frac"), facts.band("latent")
    first, last = facts.day("first"), facts.day("last")
    sure = f"That it has rust at all is {likelihood_with_number(chance)}" if chance is not None else "We cannot be sure"
    much = f"; {about_percent(latent, 'of the leaf area')} is likely to be hiding it" if latent else ""
    when = f"; {shows_between(first, last, facts.today)}" if first and last else ""
    return f"{sure}{much}{when}."


def found_words(facts: Facts) -> str:
    """What a look found: "9 of 60 leaves with rust"; "some rust, not counted"; nothing where it does not say."""
    turned, rusted = facts.number("turned"), facts.number("rusted")
    if turned is not None and rusted is not None:
        return f"{rusted:.0f} of {counted(turned, 'leaf', 'leaves')} with rust"
    return AMOUNTS.get(facts.text("amount") or "", "")


def _who(facts: Facts) -> str:
    return facts.text("planting") or "this planting"


#: what a look that was not counted found
AMOUNTS = {
    "none": "no rust found",
    "some": "some rust, not counted",
    "many": "rust on many leaves, not counted",
    "first": "the first open blisters",
}

MOVED = {
    "moved_by_walk": _by_walk,
    "moved_by_night": _by_night,
    "look_disagrees": _disagrees,
    "estimate_contradicted": _contradicted,
    "few_versions": _few_versions,
    "nobody_looked": _nobody_looked,
    "stray_sightings": _stray,
    "older_looks": _older,
    "growing_rust": _growing_rust,
    "standing_rust": _standing_rust,
    "hidden_rust": _hidden_rust,
}

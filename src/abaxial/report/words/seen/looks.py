"""What was seen at one planting on a walk, as it is said back to whoever wrote it down."""

from abaxial.report.words.facts import Facts
from abaxial.report.words.quantities import counted
from abaxial.report.words.seen.walks import part_words

_AMOUNTS = {
    "none": "no rust",
    "some": "some rust",
    "many": "much rust",
    "first": "the first rust of the season to open",
}


def look_words(facts: Facts) -> str:
    """One look: "Quay cannas: 14 low leaves turned, 2 with rust". facts : fields of a sighting by name."""
    part = facts.text("part") or "any"
    said = [each for each in (_count(facts, part), _amount(facts, part), _share(facts, part), _blisters(facts)) if each]
    by, note = facts.text("by"), facts.text("note")
    said += [f"seen by {by}"] if by else []
    return f"{facts.text('planting') or 'A planting'}: {', '.join(said)}{f' ({note})' if note else ''}"


def _count(facts: Facts, part: str) -> str:
    turned, rusted = facts.number("turned"), facts.number("rusted")
    if turned is None:
        return ""
    found = f"{rusted:.0f} with rust" if rusted else "none with rust"
    if facts.text("unit") == "plant":
        on = "" if part == "any" else f" ({part_words(part)})"
        return f"{counted(turned, 'plant', 'plants')} looked at{on}, {found}"
    if part == "stem":
        return f"{counted(turned, 'stem', 'stems')} looked at, {found}"
    what = "leaves" if part == "any" else part_words(part)
    return f"{turned:.0f} {what if turned != 1 else what.replace('leaves', 'leaf')} turned, {found}"


def _amount(facts: Facts, part: str) -> str:
    amount = facts.text("amount") or "counted"
    on = "" if part == "any" or facts.number("turned") is not None else f" on the {part_words(part)}"
    return f"{_AMOUNTS[amount]}{on}" if amount in _AMOUNTS else ""


def _share(facts: Facts, part: str) -> str:
    low, high = facts.number("severity_low_frac"), facts.number("severity_high_frac")
    if low is None or high is None:
        return ""
    span = _percent(low) if low == high else f"{_percent(low)} to {_percent(high)}"
    of = " of leaves with rust" if facts.text("severity_of") == "rusted" else ""
    alone = facts.number("turned") is None and part != "any"
    return f"rust on {span} % of the leaf area{of}{f' ({part_words(part)})' if alone else ''}"


def _percent(share: float) -> str:
    return f"{round(100 * share, 2):g}"


def _blisters(facts: Facts) -> str:
    blisters = facts.number("pustules_per_leaf")
    return "" if blisters is None else f"{blisters:.3g} blisters a leaf"

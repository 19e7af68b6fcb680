"""One look: its cells become a sighting, shares become counts and scores become limits."""

import math
import re

from abaxial.errors import InputError
from abaxial.scouting import scales
from abaxial.scouting.reading.line import Line, shown
from abaxial.scouting.sightings import MOST_PUSTULES, MOST_TURNED, Sighting, broken_rule

_RANGE = re.compile(r"(?<=[\d.,%])\s*(?:-|–|to)\s*(?=[\d.,])")


def sighting_of(line: Line) -> Sighting:
    """The sighting of a line. Raises ScoutingError naming place, field, rule and value."""
    if line.value("planting") is None:
        line.refuse("planting", "it is missing", "Write the planting's name as in the garden description.")
    low, high, scale = _severity(line)
    turned, rusted = _counts(line)
    amount = line.word("amount", "counted")
    if amount == "none" and rusted is None and turned is not None:
        rusted = 0
    result = Sighting(
        planting=line.text("planting"),
        on=line.day("on"),
        part=line.word("part", "any"),
        amount=_amount(amount, rusted),
        turned=turned,
        rusted=rusted,
        unit=line.word("unit", "leaf"),
        severity_low_frac=low,
        severity_high_frac=high,
        severity_of=line.word("severity_of", "all"),
        scale=scale,
        pustules_per_leaf=line.number("pustules_per_leaf", 0.0, MOST_PUSTULES),
        by=line.text("by"),
        note=line.text("note"),
    )
    broken = broken_rule(result)
    if broken:
        line.refuse("severity_percent" if broken.field == "severity" else broken.field, broken.rule, broken.remedy)
    return result


def _amount(amount: str, rusted: int | None) -> str:
    """A word beside a count that agrees with it adds nothing; "first" does."""
    agrees = rusted is not None and (rusted == 0 if amount == "none" else rusted > 0)
    return "counted" if amount in ("none", "some", "many") and agrees else amount


def _counts(line: Line) -> tuple[int | None, int | None]:
    """Leaves turned and leaves rusted; a share is turned into the nearest whole number of leaves."""
    turned, rusted = line.whole("turned", 1, MOST_TURNED), line.whole("rusted", 0, MOST_TURNED)
    share = line.share("incidence")
    if share is None:
        return turned, rusted
    name = "incidence_frac" if line.value("incidence_percent") is None else "incidence_percent"
    if turned is None:
        line.refuse(name, "it does not say of how many leaves", "Say how many were turned.")
    if rusted is None:
        return turned, math.floor(share * turned + 0.5)
    if abs(rusted / turned - share) > 0.01:
        line.refuse(
            name, f"it is {share:.3g}, and {rusted} of {turned} is {rusted / turned:.3g}", "Leave one of them out."
        )
    return turned, rusted


def _severity(line: Line) -> tuple[float | None, float | None, str]:
    """Limits of the severity, and the scale's key."""
    score, key = line.value("score"), line.text("scale")
    percent, share = line.value("severity_percent"), line.value("severity_frac")
    given = [name for name in ("score", "severity_percent", "severity_frac") if line.value(name) is not None]
    if len(given) > 1:
        line.refuse(given[1], f"the severity is given by {given[0]} too", "Leave one of them out.")
    if score is None:
        if key:
            line.refuse(
                "score", f"the scale {key} is named without a score", "Write the score, or leave the scale out."
            )
        name, top, value = ("severity_percent", 100.0, percent) if share is None else ("severity_frac", 1.0, share)
        ends = _RANGE.split(value.strip()) if isinstance(value, str) else value if isinstance(value, list) else [value]
        if len(ends) > 2 or not ends:
            line.refuse(name, f"it is {shown(value)}; two limits are the most", "Write one number, or the two limits.")
        limits = [line.number(name, 0.0, top, each) for each in (ends[0], ends[-1])]
        low, high = (None if each is None else each / top for each in limits)
        return low, high, ""
    if not key:
        line.refuse("scale", f"a score of {shown(score)} says nothing without its scale", "Name the scale.")
    try:
        low, high = scales.limits_frac(line.scale(key), score)
    except InputError as error:
        line.refuse("score", error.message.rstrip("."), error.remedy)
    return low, high, key

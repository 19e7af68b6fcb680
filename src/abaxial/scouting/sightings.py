"""A sighting: one thing seen at one planting on a walk, and what makes it impossible."""

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

PARTS = ("lower", "upper", "stem", "any")
AMOUNTS = ("counted", "none", "some", "many", "first")
UNITS = ("leaf", "plant")
SEVERITY_OF = ("all", "rusted")
MOST_TURNED = 1_000_000
MOST_PUSTULES = 1_000_000.0


@dataclass(frozen=True)
class Sighting:
    """One thing seen at one planting on a walk.

    planting : its name. on : date of the walk on the garden's clock. part : of PARTS. amount : of AMOUNTS; "first" says
    that the first pustules of the season were open on that day and not a week before. turned, rusted : leaves turned
    and those of them with rust that shows (plants, where unit is "plant"); None where nobody counted.
    severity_low_frac, severity_high_frac : limits between which the judged share of leaf area lies, 0 to 1, equal for
    a plain estimate. severity_of : "all" leaves looked at, or "rusted" ones only. scale : key of the scale used, "" for
    a plain estimate. pustules_per_leaf : mean over the leaves looked at. by : who looked.
    """

    planting: str
    on: date
    part: str = "any"
    amount: str = "counted"
    turned: int | None = None
    rusted: int | None = None
    unit: str = "leaf"
    severity_low_frac: float | None = None
    severity_high_frac: float | None = None
    severity_of: str = "all"
    scale: str = ""
    pustules_per_leaf: float | None = None
    by: str = ""
    note: str = ""


class Broken(NamedTuple):
    """A rule that a sighting breaks: the field, what is wrong with it, and what to do."""

    field: str
    rule: str
    remedy: str


def broken_rule(sighting: Sighting) -> Broken | None:
    """The first rule that a sighting breaks; None where it can be true."""
    return _words(sighting) or _counts(sighting) or _judged(sighting) or _together(sighting)


def _words(sighting: Sighting) -> Broken | None:
    if not sighting.planting.strip():
        return Broken("planting", "it names no planting", "Write the planting's name as in the garden description.")
    for field, known in (("part", PARTS), ("amount", AMOUNTS), ("unit", UNITS), ("severity_of", SEVERITY_OF)):
        value = getattr(sighting, field)
        if value not in known:
            return Broken(field, f"it is {value!r}", f"Write one of {', '.join(known)}.")
    return None


def _counts(sighting: Sighting) -> Broken | None:
    turned, rusted = sighting.turned, sighting.rusted
    if turned is None:
        if rusted is None:
            return None
        return Broken("turned", f"{rusted} were rusted, and it does not say of how many", "Say how many were turned.")
    if not 1 <= turned <= MOST_TURNED:
        return Broken(
            "turned", f"it is {turned}; it must lie between 1 and {MOST_TURNED}", "Leave out what was not seen."
        )
    if rusted is None:
        return Broken("rusted", f"{turned} were turned, and it does not say how many had rust", "Write 0 if none had.")
    if rusted < 0:
        return Broken("rusted", f"it is {rusted}; it cannot be less than 0", "Correct the count.")
    if rusted > turned:
        return Broken("rusted", f"it is {rusted}, more than the {turned} turned", "Perhaps the two are exchanged.")
    return None


def _judged(sighting: Sighting) -> Broken | None:
    low, high, pustules = sighting.severity_low_frac, sighting.severity_high_frac, sighting.pustules_per_leaf
    if (low is None) != (high is None):
        return Broken("severity", "it has one limit only", "Give both limits, or the same number twice.")
    if low is not None and high is not None and not 0.0 <= low <= high <= 1.0:
        return Broken(
            "severity", f"it runs from {low:.4%} to {high:.4%}; it must rise within 0 to 100 %", "Correct the limits."
        )
    if pustules is not None and not 0.0 <= pustules <= MOST_PUSTULES:
        rule = f"it is {pustules:g}; it must lie between 0 and {MOST_PUSTULES:g}"
        return Broken("pustules_per_leaf", rule, "Correct the count.")
    return None


def _together(sighting: Sighting) -> Broken | None:
    amount, some = sighting.amount, max(sighting.severity_low_frac or 0.0, sighting.pustules_per_leaf or 0.0) > 0.0
    silent = sighting.turned is None and sighting.severity_low_frac is None and sighting.pustules_per_leaf is None
    if amount == "counted" and silent:
        return Broken(
            "amount", "nothing was seen", 'Give counts, a severity or pustules, or an amount such as "none" or "some".'
        )
    if amount == "none" and (sighting.rusted or some):
        return Broken("amount", 'it is "none", and rust was written down', "Leave one of them out.")
    if sighting.rusted == 0 and (some or amount not in ("counted", "none")):
        return Broken("rusted", "it is 0, and rust was written down", "Leave one of them out.")
    return None

"""This garden's own numbers, in plain words: what each is, and whether the walks said anything of it."""

import math

from abaxial.report.answers.week import Band, Learned, PastForecasts
from abaxial.report.words.quantities import counted

_NAMES = {
    "outside_spores": "spores that blow in from outside",
    "spread_m": "how far spores travel",
    "wet_stretch": "how long leaves stay wet, against what we work out",
    "detection_frac": "rust on a turned leaf that is noticed",
    "rater_factor": "rusted area as judged, against as it is",
    "local_infection_per_d": "new rust from each part that shows, on the best of days",
    "arrival_per_d": "spores that blow in from outside",
    "latent_factor": "days hidden in the leaf, against the usual",
    "infectious_period_d": "how long a blister gives spores",
    "lesion_frac": "share of a leaf that one patch takes",
    "clumping": "how evenly patches lie on the leaves (low: on few leaves)",
    "burst": "one great arrival from outside",
    "burst_day": "the day of that arrival, counted from the first we look back on",
    "start_frac": "rusted already when we begin to look back",
    "vigour": "how readily it takes rust",
}
_UNITS = {"": "", "d": "days", "m": "m", "m2": "m²", "h": "hours", "c": "°C", "per_d": "a day", "km": "km", "mm": "mm"}
#: below this a number is told in millionths
_SMALL = 0.001
#: a band that is still at least so wide, and whose middle moved by less than such a share of its width, says nothing new
_AS_WIDE, _UNMOVED = 0.9, 0.1


def unknown_words(learned: Learned) -> str:
    """What is learned, and of which rust or planting."""
    name = _NAMES.get(learned.name) or _without_unit(learned).replace("_", " ")
    return f"{name}, {learned.of}" if learned.of else name


def _without_unit(learned: Learned) -> str:
    for unit in (learned.unit, "frac", "factor"):
        if unit and learned.name.endswith(f"_{unit}"):
            return learned.name.removesuffix(f"_{unit}")
    return learned.name


def value_words(band: Band, unit: str) -> str:
    """A value with its doubt and unit for a table: "3 m (1 to 9)"."""
    small = 0.0 < abs(band.mid) < _SMALL
    numbers = [each * 1e6 if small else each for each in (band.low, band.mid, band.high)]
    low, mid, high = (f"{each:.2g}" if abs(each) < 100 else f"{each:.0f}" for each in numbers)
    wears = " ".join(word for word in ("millionths" if small else "", _UNITS.get(unit, unit.replace("_", " "))) if word)
    return f"{mid}{f' {wears}' if wears else ''} ({low} to {high})"


def said_words(learned: Learned) -> str:
    """What the walks said of it: "nothing yet", "more", "less", "much the same, more surely"."""
    before, after = _on_one_scale(learned)
    wide, moved = before.high - before.low, after.mid - before.mid
    if said_nothing(learned):
        return "nothing yet"
    if wide > 0 and abs(moved) >= _UNMOVED * wide:
        return "more than thought" if moved > 0 else "less than thought"
    return "as thought, more surely" if after.high - after.low < wide else "as thought, less surely"


def past_words(past: PastForecasts) -> str:
    """How far off what was expected before each walk has been."""
    told = (
        f"What {counted(past.looks, 'look', 'looks')} would find was worked out before each was made, and was off by "
        f"{_off(past.crps_frac)} leaves in a hundred on average."
    )
    if not past.compared:
        return told
    return (
        f"{told} Where there was an earlier look: off by {_off(past.compared_crps_frac)}; to take the look before for "
        f"the next would have been off by {_off(past.last_look_frac)}."
    )


def _off(error_frac: float) -> str:
    return f"{100.0 * error_frac:.0f}"


def said_nothing(learned: Learned) -> bool:
    """True where before and after are alike, so that the walks have not told anything of it."""
    before, after = _on_one_scale(learned)
    if before.high <= before.low:
        return after == before
    return _AS_WIDE <= narrowed_factor(learned) <= 1 / _AS_WIDE and (
        abs(after.mid - before.mid) < _UNMOVED * (before.high - before.low)
    )


def narrowed_factor(learned: Learned) -> float:
    """How wide the band is after the walks, as a multiple of what it was before."""
    before, after = _on_one_scale(learned)
    return (after.high - after.low) / (before.high - before.low) if before.high > before.low else 1.0


def _on_one_scale(learned: Learned) -> tuple[Band, Band]:
    """Before and after; in logarithms where both are above 0, since such numbers are unknown by factors."""
    both = learned.prior, learned.posterior
    if min(each.low for each in both) <= 0.0:
        return both
    before, after = (Band(math.log(each.low), math.log(each.mid), math.log(each.high)) for each in both)
    return before, after

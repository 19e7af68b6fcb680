"""What things are worth to the person who gardens, as the plan reckons with them."""

from abaxial.report.words.quantities import money_words
from abaxial.report.words.seen.shares import plain_percent

_NAMES = {
    "leaf_money_m2_d": "a square metre of healthy leaf, for a day",
    "flower_money": "a flower",
    "clump_money": "a clump",
    "hour_money": "an hour of your work",
    "given_money": "spores kept from the other beds, one measure of them",
    "code_money": "a kind of fungicide that goes on working",
    "harm_money": "what one spraying may do besides, for each thing to mind",
    "near_water_factor": "that, near water, so many times",
    "tail_frac": "how much of what may come counts as bad luck",
    "tail_share_frac": "how much bad luck weighs, for what cannot be bought again",
    "lost_most_frac": "clumps lost where all leaf is rusted",
    "lost_half_frac": "rusted leaf at which half of them would be",
    "lost_steepness": "how suddenly that comes",
    "stem_factor": "that, where the stem is attacked, so many times",
    "stem_lost_frac": "clumps lost whose attacked stem is left standing",
}


def value_words(name: str) -> str:
    """What a value is of."""
    return _NAMES.get(name, name.replace("_", " "))


def value_cell(name: str, value: float) -> str:
    """A value for a table: money to two figures, small ones in full, shares in per cent."""
    if name.endswith("_frac"):
        return plain_percent(value)
    return f"{value:g}" if value < 1 or name.endswith(("_factor", "_steepness")) else money_words(value)

"""A mix told: how much of what into how much water, step by step, or what stands in its way."""

from abaxial.report.answers.plan import Mix
from abaxial.report.words.facts import Facts, always
from abaxial.report.words.quantities import Units, listed, product_words, volume_words


def mix_words(mix: Mix, units: Units) -> str:
    """The whole mix in two lines at most."""
    doses = tuple(f"{product_words(each.per_tankful, each.unit, units)} of {each.bottle}" for each in mix.doses)
    tank = volume_words(mix.tankful_l, units)
    over = (
        f" {volume_words(mix.left_over_l, units)} of it is left over; it goes on the same bed."
        if mix.left_over_l > 0
        else ""
    )
    if mix.tankfuls == 1:
        return f"Mix one tankful of {tank}, with {listed(doses, most=9)}.{over}"
    whole = tuple(f"{product_words(each.whole, each.unit, units)} of {each.bottle}" for each in mix.doses)
    return (
        f"Mix {mix.tankfuls} tankfuls of {tank}, each with {listed(doses, most=9)}: "
        f"{volume_words(mix.whole_l, units)} and {listed(whole, most=9)} in all.{over}"
    )


def _tankfuls(facts: Facts) -> str:
    number = facts.number("number")
    if number is None or round(number) == 1:
        return "Mix one tankful."
    return f"Mix {number:.0f} tankfuls alike, one after the other: do the next steps for each."


def _first_water(facts: Facts) -> str:
    return f"Pour {_volume(facts, 'the first half')} of water into the sprayer."


def _measure_and_add(facts: Facts) -> str:
    return f"Measure {_amount(facts)} of {_bottle(facts)} and pour it in."


def _paste_and_add(facts: Facts) -> str:
    return f"Weigh {_amount(facts)} of {_bottle(facts)}, stir it to a smooth paste with a little water, and pour it in."


def _jar_test(facts: Facts) -> str:
    wait = facts.number("wait_min")
    minutes = f" for {wait:.0f} minutes" if wait else " for a while"
    return (
        f"Try the mix in a small glass jar first and let it stand{minutes}; where it clots or gets warm, do not mix it."
    )


def _rinse_container(facts: Facts) -> str:
    times = facts.number("times")
    how = f"{times:.0f} times" if times else "three times"
    water = _volume(facts, "a little water")
    return f"{_bottle(facts, 'The bottle')} is empty now: rinse it {how} with {water}, each time into the tank."


def _fill_up(facts: Facts) -> str:
    return f"Fill up with water to {_volume(facts, 'the amount of the tankful')}."


def _rinse_sprayer(facts: Facts) -> str:
    times = facts.number("times")
    how = f"{times:.0f} times" if times else "three times"
    return f"Rinse the sprayer {how} with {_volume(facts, 'a tenth of its size')} of clean water, and spray each out through the nozzle."


def _too_small(facts: Facts) -> str:
    if facts.number("amount") is None or facts.number("smallest") is None:
        return "So little product cannot be measured."
    amount, smallest = (_amount(facts, name) for name in ("amount", "smallest"))
    enough = facts.number("enough_for_l")
    least = f" It could be measured for {volume_words(enough, facts.units)} of spray." if enough else ""
    names = facts.names("plantings") or facts.names("planting")
    who = f"{' or less' if len(names) > 1 else ''} for {listed(names, most=6)}" if names else ""
    return f"{amount} of {_bottle(facts)}{who} is too little to measure; {smallest} is the least.{least}"


def _too_little_water(facts: Facts) -> str:
    who = listed(facts.names("plantings") or facts.names("planting"), most=6)
    return f"So little spray{f' for {who}' if who else ''} cannot be measured out; spray this bed together with another that needs the same."


def _too_little_to_wet(facts: Facts) -> str:
    allowed, least = facts.number("allowed_l"), facts.number("least_l")
    if allowed is None or least is None:
        return "The label allows less spray than wets the leaves of this bed."
    return (
        f"The label allows {volume_words(allowed, facts.units)} here, and the leaves need at least "
        f"{volume_words(least, facts.units)} to be wetted."
    )


def _labels_disagree(facts: Facts) -> str:
    least, most = facts.number("least_l"), facts.number("most_l")
    if least is None or most is None:
        return "The labels ask for different amounts of spray, so these cannot share a tank."
    return (
        f"One label asks for at least {volume_words(least, facts.units)} of spray here, another allows "
        f"{volume_words(most, facts.units)} at most; these cannot share a tank."
    )


def _not_enough_left(facts: Facts) -> str:
    if facts.number("left") is None or facts.number("needed") is None:
        return "Too little of it is left for this mix."
    return f"{_amount(facts, 'left')} of {_bottle(facts)} is left, and this takes {_amount(facts, 'needed')}."


def _bottle(facts: Facts, otherwise: str = "it") -> str:
    return facts.text("bottle") or otherwise


def _amount(facts: Facts, name: str = "amount") -> str:
    amount = facts.number(name)
    return product_words(amount, facts.text("unit") or "ml", facts.units) if amount is not None else "the right amount"


def _volume(facts: Facts, otherwise: str) -> str:
    volume = facts.number("volume_l")
    return volume_words(volume, facts.units) if volume is not None else otherwise


#: what to do, in the order of the card; then what is to be known of its volume
STEPS = {
    **always({
        "read_label": "Read the label of each bottle again; what it says stands above this card.",
        "dress": "Put on what the label asks for, long sleeves, gloves and shoes before all.",
        "try_with_water": "Try the sprayer with clean water first: no drips, an even spray.",
        "stir": "Stir, or close it and shake gently.",
        "spray_all_on_bed": "Spray all of it on this bed, the undersides of the leaves too.",
        "rinsings_on_bed": "The rinsing water goes on the same bed, never down a drain.",
        "wash": "Wash hands and face, and the clothes apart from others.",
        "write_down": "Write it down: what, how much, where, from when to when.",
        "held_by_area": "The label counts by ground, so the leaves get less spray than they could hold.",
        "raised_by_label": "The label asks for more spray than the leaves need; that is what is reckoned.",
        "runs_off": "That is more than the leaves hold: some of it will run off.",
    }),
    "tankfuls": _tankfuls,
    "first_water": _first_water,
    "measure_and_add": _measure_and_add,
    "paste_and_add": _paste_and_add,
    "jar_test": _jar_test,
    "rinse_container": _rinse_container,
    "fill_up": _fill_up,
    "rinse_sprayer": _rinse_sprayer,
}  # fmt: skip
#: what stands in the way of a mix
HINDERED = {
    "too_small": _too_small,
    "too_little_water": _too_little_water,
    "too_little_to_wet": _too_little_to_wet,
    "labels_disagree": _labels_disagree,
    "not_enough_left": _not_enough_left,
}

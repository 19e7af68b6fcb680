"""What keeps whoever does a work, and all around, from harm; short, so that it is read."""

from abaxial.report.words.facts import Facts, always
from abaxial.report.words.quantities import counted, hours_words, length_words, listed, temperature_words


def _licensed_practice(facts: Facts) -> str:
    if facts.yes("needed"):
        return "This product is only for people with a licence."
    return "Where a licence is needed for this work, somebody who has one does it."


def _gear(facts: Facts) -> str:
    gear = facts.names("gear")
    return f"By the label, wear {listed(gear, most=9)}." if gear else "Wear whatever else the label asks for."


def _keep_out(facts: Facts) -> str:
    hours = facts.number("reentry_h")
    if hours and not facts.yes("when_dry"):
        return f"Nobody, and no animal, goes in again for {hours_words(hours)}."
    return "Nobody, and no animal, goes in again before the leaves are dry, nor sooner than the label says."


def _water_and_drains(facts: Facts) -> str:
    apart = facts.number("buffer_m")
    if apart:
        return f"Stay {length_words(apart, facts.units)} from ponds, ditches and streams; nothing goes down a drain."
    return "Keep it out of ponds, ditches, streams and drains."


def _not_in_heat(facts: Facts) -> str:
    most = facts.number("most_c")
    above = f" above {temperature_words(most, facts.units)}" if most is not None else " in heat"
    return f"Never{above}, nor in full sun."


def _not_near_sulfur(facts: Facts) -> str:
    least, better = facts.number("least_d"), facts.number("better_d")
    far = counted(least, "day", "days") if least else "the label’s days"
    kinder = f", better {better:.0f}" if least and better and better > least else ""
    return f"Sulfur stays {far} away from it{kinder}, before and after."


def _fresh_solution(facts: Facts) -> str:
    most = facts.number("most_h")
    return f"Mix it fresh and use it within {hours_words(most) if most else 'the hour'}."


#: said of every work that can hurt, then of each kind of it
PRECAUTIONS = {
    **always({
        "label_first": "The product’s label and the law where you live come first.",
        "local_law": "Where the two differ, the stricter counts.",
        "long_sleeves_gloves_and_shoes": "Long sleeves, long trousers, gloves and closed shoes.",
        "goggles_while_mixing": "Goggles while mixing.",
        "nobody_near": "Nobody else near, and no animals.",
        "no_eating_or_smoking": "Do not eat, drink or smoke meanwhile.",
        "no_wind_and_no_still_air": "Stop when wind comes up, or when the air goes quite still.",
        "wash_yourself_and_clothes": "Wash yourself afterwards, and the clothes by themselves.",
        "rest_never_poured_away": "What is left is sprayed on the same bed, never poured away.",
        "own_container_locked": "It stays in its own container, locked up.",
        "poison_help": "If somebody swallows it or feels unwell, call poison help, label in hand.",
        "not_on_thirsty_plants": "Water thirsty plants the day before; oil burns dry leaves.",
        "try_a_few_leaves": "Try a few leaves first and look after two days.",
        "never_with_acid_ammonia_or_alcohol": "Bleach meets cold water only: never acid, ammonia, alcohol or anything sprayed.",
        "gloves_and_goggles": "Gloves and goggles.",
        "fresh_air": "Work in fresh air.",
        "rinse_tools": "Rinse metal afterwards; bleach eats it.",
        "no_flame": "No flame and no spark near it.",
        "cut_away_from_yourself": "Cut away from yourself.",
        "gloves_and_shoes": "Firm gloves and closed shoes.",
        "closed_when_carried": "Blades are closed when carried.",
        "burns": "Hot things and steam burn; wear dry gloves.",
        "fire_rules": "Fire only where and when the law allows it, with water at hand.",
        # what lies around a bed
        "animals_away_until_dry": "Keep pets and poultry away until it is dry.",
        "bowls_and_feed_in": "Take their bowls and feed in.",
        "children_away_until_dry": "Keep children away until it is dry.",
        "toys_in": "Take toys in.",
        "washing_in": "Take the washing in.",
        "inlet_of_tank_off": "Take the inlet off the rainwater tank until the roof is rinsed.",
        "tell_beekeeper": "Tell the beekeeper two days before.",
        "cover_pond": "Cover the pond while spraying.",
        # measuring and mixing
        "measure_outdoors": "Measure out of doors.",
        "kitchen_things_never": "Measures for it never go back to the kitchen.",
        "never_stronger": "Never make it stronger than the label says.",
        "mix_only_for_today": "Mix only what is sprayed today.",
    }),
    "licensed_practice": _licensed_practice,
    "gear_of_the_label": _gear,
    "keep_out": _keep_out,
    "water_and_drains": _water_and_drains,
    "not_in_heat": _not_in_heat,
    "not_near_sulfur": _not_near_sulfur,
    "fresh_solution": _fresh_solution,
}  # fmt: skip

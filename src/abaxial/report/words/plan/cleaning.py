"""What becomes of what was cut, how blades are cleaned, in which order to work, what a heap or a bag in the sun is worth."""

from math import isfinite

from abaxial.report.answers.disposal import BagJudged, Dilution, Shortfall
from abaxial.report.words.facts import Facts, always
from abaxial.report.words.quantities import Units, counted, listed, product_words
from abaxial.report.words.seen.shares import plain_percent

_WAYS = {
    "bag_and_bin": "Bag it and put it in the bin with household waste",
    "solarise_then_bury": "Leave it in closed bags in full sun, then bury it away from the beds",
    "burn": "Burn it, where the law allows that",
    "hot_compost": "Put it on a heap whose log has passed",
    "green_waste": "Green waste",
    "cold_compost": "The ordinary heap",
    "left_lying": "Leaving it where it fell",
}
_REFUSED = {
    "no_refuse_collection": "no household waste is fetched here",
    "wet_with_disinfectant": "it is wet with bleach or alcohol",
    "not_known_to_be_legal": "nobody said whether the law allows fire here",
    "not_legal": "the law does not allow fire here",
    "outlives_the_ground": "what it has outlasts the ground",
    "no_ground_known": "nobody named ground away from the beds",
    "outlives_the_heap": "what it has outlasts any heap",
    "no_log_that_passed": "no log of a heap here has been hot enough",
    "spreads_it_to_others": "open bins and lorries carry it to others",
    "too_cool": "it stays too cool to kill rust",
    "spreads_it_here": "spores live on dead leaves for weeks",
}
_BAG = {
    "ready": "Its time is up: it may be buried, closed as it is, under 30 cm of ground away from the beds. Wash hands and tools afterwards.",
    "time": "It has not lain long enough; it stays closed, in full sun.",
    "heat": "It was not warm enough for long enough, whatever its days; it stays closed, in full sun.",
    "outlives_the_sun": "Virus and bud rot outlast the sun and the ground; such leaves go into the bin.",
}
#: each caution about disposal and disinfecting
CAUTIONS = {
    "bag_inside_the_bed": "Bend leaves into the bag before you cut them, inside the bed.",
    "double_bag": "Put that bag into a second one and tie both.",
    "dry_day": "Work on a dry, calm day.",
    "pick_up_fallen_leaves": "Pick up what has fallen, too.",
    "full_sun": "The bags lie in full sun.",
    "keep_closed": "They stay closed until the time is up.",
    "local_law": "The law where you live comes first.",
    "fire": "Stay with the fire, with water at hand.",
    "smoke": "Stand out of the smoke, and think of the neighbours.",
    "never_when_disinfected": "Never burn what is wet with bleach or alcohol.",
    "log_every_day": "Write the heap’s temperature down every day.",
    "turn_outside_in": "Turn the outside in, so that all of it gets hot.",
    "label_first": "The product’s label comes first.",
    "fresh_air": "Work in fresh air.",
    "gloves_and_goggles": "Gloves and goggles.",
    "never_mix": "Never mix it with anything but cold water; with acid, ammonia or alcohol it makes poisonous gas.",
    "children_and_animals": "Keep it from children and animals.",
    "corrodes_metal": "It eats metal: rinse, dry and oil blades.",
    "old_bleach": "Old bleach is weak; take a fresh bottle.",
    "keep_off_leaves_and_drains": "Keep it off plants that grow, ponds and drains.",
    "no_flame_or_spark": "No flame and no spark near it.",
}
_ASKED = {
    "refuse_collection": "Is household waste fetched where you live?",
    "burning_legal": "Does the law where you live let you burn leaves now?",
    "own_ground": "Is there ground of your own, away from the beds, to bury it in?",
}
_STEPS = {
    "wash_off_soil_and_sap": "wash soil and sap off",
    "soak": "leave it in the mix",
    "rinse": "rinse",
    "dry": "dry",
    "oil": "oil the blades",
    "wash_off_soil": "wash the soil off",
    "take_off_leaf_bases": "take old leaf bases off",
    "dry_cut_surfaces": "let the cut faces dry",
    "chop": "chop it up",
    "wet_through": "wet it through",
    "wait": "wait",
    "bag": "bag it",
    "bin": "into the bin with it",
    "dip_or_wipe": "dip or wipe",
    "let_dry": "let it dry by itself",
}
_BEFORE = {
    "wait_until_dry": "wait until the leaves are dry",
    "clean_clothes": "put clean clothes on",
    "clean_blades": "begin with clean blades",
    "change_clothes": "change clothes",
    "wash_hands": "wash your hands",
    "disinfect_blades": "clean the blades with alcohol or bleach",
}
_FOR = {"tools": "blades and tools", "division": "divisions, before they are planted", "cut_material": "cut leaves"}
_HEAP = {
    "passed": "The log passes: what came of the heap may be used.",
    "nothing_against_it": "Nothing speaks against using it.",
    "no_log": "There is no log of the heap, so it counts as not hot enough.",
    "too_cool_or_too_short": "The heap was too cool, or not hot for long enough, to be sure of rust.",
    "never_virus": "Leaves with virus never go through a heap at home.",
    "never_bud_rot": "Leaves with bud rot never go through a heap at home.",
}


def way_words(way: str) -> str:
    """A way of disposal as an instruction or a name."""
    return _WAYS.get(way, _plain(way).capitalize())


def refused_words(kind: str) -> str:
    """Why a way is not open."""
    return _REFUSED.get(kind, _plain(kind))


def caution_words(kind: str) -> str:
    """A caution about disposal or disinfecting, as a sentence."""
    return CAUTIONS.get(kind, f"{_plain(kind).capitalize()}.")


def asked_words(kind: str) -> str:
    """A question about what can be done here."""
    return _ASKED.get(kind, f"{_plain(kind).capitalize()}?")


def before_words(acts: tuple[str, ...]) -> str:
    """What to do before the next planting."""
    return listed(tuple(_BEFORE.get(each, _plain(each)) for each in acts), most=len(acts) + 1)


def purpose_words(purpose: str) -> str:
    """What is disinfected."""
    return _FOR.get(purpose, _plain(purpose))


def dilution_words(mix: Dilution, units: Units) -> str:
    """How much of what, and how long: "52.5 ml of bleach of 5 % into 447.5 ml of cold water"."""
    pour = product_words(mix.product_ml, "ml", units)
    if mix.water_ml < 0.5:
        poured = f"{pour} of {mix.disinfectant}, as it is"
    else:
        water = product_words(mix.water_ml, "ml", units)
        poured = f"{pour} of {mix.disinfectant} of {plain_percent(mix.bought_frac)} into {water} of cold water"
    return f"{poured}: {plain_percent(mix.strength_frac)} in it, used within {mix.use_within_h:g} hours"


def dilution_steps(mix: Dilution) -> str:
    """What to do with it, in order."""
    told = []
    for step in mix.steps:
        words = _STEPS.get(step, _plain(step))
        told.append(f"{words} for {_minutes(mix.contact_min)}" if step in ("soak", "wait", "dip_or_wipe") else words)
    said = ", ".join(told)
    return f"{said[0].upper()}{said[1:]}." if said else ""


def heap_words(kind: str) -> str:
    """What became of a judged heap."""
    return _HEAP.get(kind, f"{_plain(kind).capitalize()}.")


def bag_words(bag: BagJudged) -> tuple[str, ...]:
    """How far a bag in the sun has come, and what that means."""
    told = [_BAG.get(each, f"{_plain(each).capitalize()}.") for each in bag.reasons]
    told.append(f"Days in full sun: {bag.days:g} of {bag.needed_d:g}.")
    if bag.doses is not None:
        hot = f"; {counted(bag.hot_h, 'hour', 'hours')} were hot" if bag.hot_h else ""
        told.append(f"Heat that leaves no rust: {bag.doses:.1f} times of {bag.needed_doses:g}{hot}.")
    return tuple(told)


def shortfall_words(lack: Shortfall, units: Units) -> str:
    """What a log lacks for a standard."""
    found = lack.found if lack.found is not None and isfinite(lack.found) else None
    if lack.kind == "moisture":
        return (
            f"moisture {plain_percent(found)} of {plain_percent(lack.needed)}"
            if found is not None
            else "no moisture measured"
        )
    name = {
        "hot_days": "hot days",
        "turnings": "turnings",
        "time": "days in all",
        "hot_again": "hot days after turning",
    }
    return f"{name.get(lack.kind, _plain(lack.kind))} {found or 0:.0f} of {lack.needed:.0f}"


def dividing_too_soon(facts: Facts) -> str:
    """That a clump has not stood free of rust for long enough to be divided."""
    needed, found = facts.number("needed"), facts.number("found")
    told = f" ({found:.1f} of {needed:.1f} times as long as it takes to show)" if needed and found is not None else ""
    return f"It has not stood long enough without rust to be divided{told}."


def _rain_too_young(facts: Facts) -> str:
    needed, found = facts.number("needed"), facts.number("found")
    told = f" ({found:.1f} of {needed:.1f} times as long as that takes)" if needed and found is not None else ""
    return f"What the last wet spell let in would not show yet{told}."


def _too_few_leaves(facts: Facts) -> str:
    needed, found = facts.number("needed"), facts.number("found")
    told = f": {found:.0f} of {needed:.0f}" if needed is not None and found is not None else ""
    return f"Too few of its leaves were turned since then{told}."


def _chance_of_rust(facts: Facts) -> str:
    needed, found = facts.number("needed"), facts.number("found")
    told = (
        f" ({plain_percent(found)}, and {plain_percent(needed)} is the most)"
        if needed is not None and found is not None
        else ""
    )
    return f"The chance that rust hides in it is still too high{told}."


#: why a clump may not be divided yet; that it is too soon is told with the refusals of that name
DIVIDING = {
    "rain_too_young": _rain_too_young,
    "too_few_leaves": _too_few_leaves,
    "chance_of_rust": _chance_of_rust,
    **always({
        "lasting_disease": "It, or what it came from, has virus or bud rot; that does not go away, so it is never divided.",
        "rust_seen": "Rust was seen on it.",
        "no_rain_since": "There was no wet spell since then to bring out what might hide; a clump is not clean because it was dry.",
        "no_estimate": "Nothing is reckoned of it yet, so looks alone would have to do, and they do not.",
    }),
}  # fmt: skip


def _minutes(minutes: float) -> str:
    return counted(minutes, "minute", "minutes") if minutes >= 1 else f"{60 * minutes:.0f} seconds"


def _plain(kind: str) -> str:
    return kind.replace("_", " ")

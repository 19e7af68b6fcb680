"""What has to be asked: what a label says and nobody wrote down, and what lies around a bed."""

from abaxial.report.words.facts import Facts, always
from abaxial.report.words.quantities import listed

#: fields of a label as the container calls them
_FIELDS = {
    "label": "its whole label",
    "actives": "the active ingredients and how much of each",
    "rate": "how much to a litre, a tank or a square metre",
    "sites": "the plants it is for",
    "pests": "what it is against",
    "interval_d": "the days between two sprayings",
    "most_applications": "how often in a year",
    "most_product": "how much in a year",
    "reentry_h": "when one may go in again",
    "rain_fast_h": "how soon it is safe from rain",
    "protective": "what to wear",
    "registration": "the registration number",
    "harvest_d": "the days before anything is picked to be eaten",
}
#: what is asked about a bed
_AROUND = {
    "hives_m": "how far the nearest beehive is",
    "fish_m": "how far the nearest pond, ditch or stream is",
    "animals": "whether pets, poultry or other animals come there",
    "children": "whether children come there",
    "washing": "whether washing hangs near it",
    "roof_water_tank": "whether rain from a roof near it is kept in a tank",
}


def field_words(name: str) -> str:
    """A field of a label, in plain words."""
    return _FIELDS.get(name, name.replace("_", " "))


def fields_words(names: tuple[str, ...]) -> str:
    """Several of them, all named."""
    return listed(tuple(field_words(each) for each in names), most=len(names) + 1)


def _label_asked(facts: Facts) -> str:
    bottle, fields = facts.text("bottle") or "one bottle", facts.names("fields") or ("label",)
    return f"Please look on the container of {bottle} and write down {fields_words(fields)}; it is not used before."


def _bed_asked(facts: Facts) -> str:
    bed, asked = facts.text("bed") or "a bed", facts.names("questions") or tuple(_AROUND)
    told = listed(tuple(_AROUND.get(each, each.replace("_", " ")) for each in asked), most=len(_AROUND))
    return f"Please tell once, before anything is sprayed on {bed}, {told}."


def _flowers_asked(facts: Facts) -> str:
    names = facts.names("plantings")
    where, under = listed(names, most=len(names)) or "the bed", "it" if len(names) <= 1 else "them"
    return (
        f"Are flowers open in {where}, or weeds in flower under {under}? Please look, and write it down with abaxial note "
        "flowering_seen (open=false where there are none); what harms bees is not sprayed there before."
    )


def _no_bottle_fits(facts: Facts) -> str:
    who, rust = facts.text("planting"), facts.text("rust") or "rust"
    where = f" on {who}" if who else " on these plants"
    return f"No bottle on the shelf is labelled for {rust}{where}, so nothing is sprayed there."


ASKS = {
    "label_asked": _label_asked,
    "bed_asked": _bed_asked,
    "flowers_asked": _flowers_asked,
    "no_bottle_fits": _no_bottle_fits,
    **always(
        {
            "shelf_empty": "There is no bottle on the shelf, so the plan does without. Write one down and ask again.",
            "no_minutes": "You gave no minutes for this week, so nothing is planned. Say how many you have and ask again.",
            "values_asked": "We guessed what a leaf, a clump and an hour are worth to you; your own numbers may change the plan.",
        }
    ),
}

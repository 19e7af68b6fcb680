"""Bottles, sites and histories for tests of what is allowed: plain ones by hand, and any number drawn by lot."""

from datetime import date, timedelta
from functools import cache
from random import Random
from typing import Any

from abaxial.label.bottle import Bottle
from abaxial.label.reading import NOT_PRINTED, read_bottle
from abaxial.label.rules import Done, Site, done_of
from abaxial.remedy.material import Material, material_keys, read_material

START = date(2026, 1, 1)
SITE = Site("reds", ("canna",), area_m2=6.0)
PRINTED: dict[str, Any] = {
    "form": "liquid", "actives": {"azoxystrobin": "250 g/l"}, "rate": "1 ml/l", "sites": ["ornamentals"], "pests": ["rust"],
    "interval_d": 7, "most_applications": NOT_PRINTED, "most_product": NOT_PRINTED, "reentry_h": 4, "rain_fast_h": 2,
    "protective": ["gloves"], "registration": NOT_PRINTED,
}  # fmt: skip
ACTIVES = (
    "azoxystrobin", "trifloxystrobin", "myclobutanil", "propiconazole", "tebuconazole", "boscalid", "chlorothalonil",
    "mancozeb", "sulfur", "mineral_oil", "clarified_neem_extract", "bacillus", "potassium_bicarbonate", "fixed_copper",
)  # fmt: skip


@cache
def materials() -> dict[str, Material]:
    """All materials there are."""
    return {key: read_material(key) for key in material_keys()}


def body(name: str = "blue", **label: Any) -> dict[str, Any]:
    """A whole bottle as a table, some fields of its label changed; None leaves a field out."""
    return {"name": name, "label": {key: value for key, value in {**PRINTED, **label}.items() if value is not None}}


def bottle(*actives: str, name: str = "", **label: Any) -> Bottle:
    """A sound bottle of some actives."""
    strengths = {"actives": dict.fromkeys(actives, "100 g/l")} if actives else {}
    return read_bottle(body(name or "+".join(actives) or "blue", **strengths, **label), where="bottle")


def done(*actives: str, day: int, planting: str = "reds", **label: Any) -> Done:
    """A sound bottle of some actives put on a planting, days after the start."""
    site = SITE._replace(planting=planting)
    return done_of(bottle(*actives, **label), site, START + timedelta(day), materials())


def any_bottle(lot: Random) -> Bottle:
    """A bottle by lot, with one active or two and any limits."""
    actives = lot.sample(ACTIVES, lot.choice((1, 1, 1, 2)))
    label = {
        "actives": dict.fromkeys(actives, "100 g/l"),
        "rate": lot.choice(("1 ml/l", "0.5 %", "2 tbsp/gal", "1 fl oz/1000 ft2", "5 ml/10 m2")),
        "sites": lot.choice((["ornamentals"], ["ornamentals"], ["Roses and cannas"], ["roses"], ["tomatoes"])),
        "pests": lot.choice((["rusts", "powdery mildew"], ["rust"], ["rust"], ["black spot"])),
        "interval_d": lot.choice((3, 7, 10, 14, 21)),
        "most_applications": lot.choice((NOT_PRINTED, NOT_PRINTED, 1, 2, 4)),
        "most_product": lot.choice((NOT_PRINTED, NOT_PRINTED, "10 ml/m2", "5 l/ha")),
        "most_over_d": lot.choice((365, 365, 180)),
        "reentry_h": lot.choice((4, 12, 48, "until dry")),
        "registration": lot.choice((NOT_PRINTED, NOT_PRINTED, "A-1", "B-2")),
        "spare_open_flowers": lot.random() < 0.1,
        **({"temperature_most_c": lot.choice((25, 28, 35))} if lot.random() < 0.3 else {}),
        **({"buffer_m": 5} if lot.random() < 0.2 else {}),
    }
    whole = body(f"bottle {lot.randrange(6)}", **label)
    if lot.random() < 0.1:
        whole["left"] = lot.choice(("0 ml", "3 ml", "400 ml"))
    return read_bottle(whole, where="drawn")


def any_site(lot: Random) -> Site:
    """A site by lot, most of them at ease."""
    return Site(
        lot.choice(("reds", "golds", "whites")),
        ("canna",),
        edible=lot.random() < 0.05,
        area_m2=lot.choice((2.0, 6.0)),
        product_ml=lot.choice((0.0, 1.0, 3.0, 10.0)),
        flowers_open=lot.random() < 0.2,
        wilted=lot.random() < 0.05,
        stressed=lot.random() < 0.1,
        newly_planted=lot.random() < 0.1,
        warmest_c=lot.choice((None, 20.0, 26.0, 29.5, 33.0)),
        water_m=lot.choice((None, 2.0, 30.0)),
    )


def any_history(lot: Random, bottles: list[Bottle] | None = None) -> list[Done]:
    """What was done over a year and a half, by lot, from bottles at hand or from new ones."""
    drawn = [(lot.choice(bottles) if bottles else any_bottle(lot), any_site(lot)) for _ in range(lot.randrange(14))]
    return [done_of(each, site, START + timedelta(lot.randrange(540)), materials()) for each, site in drawn]

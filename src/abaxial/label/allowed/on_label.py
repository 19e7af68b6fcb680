"""What the label says of bottle, plants, weather and amount, and what the materials say where it is silent."""

import re
from collections.abc import Iterator
from functools import lru_cache

from abaxial.label.allowed.case import Case, Refusal, refuse
from abaxial.label.bottle import missing
from abaxial.label.contents import Contents
from abaxial.label.limits import Rules

#: what labels call plants that nobody eats; they cover every planting of them
ORNAMENTALS = (
    "ornamentals", "ornamental plants", "ornamental plants outdoors", "outdoor ornamentals", "landscape ornamentals",
    "herbaceous ornamentals", "herbaceous perennials", "perennials", "flowers", "flowering plants", "garden flowers",
    "flower beds", "bedding plants",
)  # fmt: skip
#: what labels call any leaf rust
RUSTS = ("rust", "rusts", "leaf rust", "rust disease", "rust diseases", "rust fungi")
#: what is never put on plants that lack water or were moved
HARD_ON_PLANTS = ("oil", "soap")
#: amounts agree to this share
_NEARLY = 1.0 + 1e-9
_PARTS = re.compile(r"[,;/&]|\band other\b|\band\b|\bor\b")


def named(words: tuple[str, ...], printed: tuple[str, ...]) -> bool:
    """Whether a label's own words hold one of these; capitals, spaces and plurals make no difference."""
    wanted = {_plain(each) for each in words} - {""}
    return any(wanted & _phrases(text) for text in printed)


def heat_stop_c(contents: Contents, rules: Rules, most_c: float | None) -> float | None:
    """The temperature above which nobody sprays it, the lowest that label, material or rule gives; None if none does.

    most_c : of the label [°C].
    """
    stops = {"oil": rules.oil_stop_c, "sulfur": rules.sulfur_stop_c, "soap": rules.soap_stop_c}
    given = [most_c, contents.heat_stop_c, *(stops.get(kind) for kind in contents.kinds)]
    return min((each for each in given if each is not None), default=None)


def bottle(case: Case) -> Iterator[Refusal]:
    """Whether the bottle can be used at all."""
    key, label = case.bottle.key, case.label
    fields = (*missing(case.bottle), *(("harvest_d",) if case.site.edible and label.harvest_d is None else ()))
    if fields:
        yield refuse("label_incomplete", bottle=key, fields=fields)
    if case.contents.unknown:
        yield refuse("active_unknown", bottle=key, actives=case.contents.unknown)
    if label.actives and not case.contents.acts:
        yield refuse("not_a_fungicide", bottle=key)
    if case.bottle.use_before is not None and case.on >= case.bottle.use_before:
        yield refuse("expired", bottle=key, use_before=case.bottle.use_before)
    left, needed = case.bottle.left, case.site.product_ml
    if left is not None and left <= 0.0:
        yield refuse("empty", bottle=key)
    elif left is not None and needed > left * _NEARLY:
        yield refuse("too_little_left", bottle=key, left=left, needed=needed)
    if label.licensed_only and not case.site.licensed:
        yield refuse("licensed_only", bottle=key)


def plants(case: Case) -> Iterator[Refusal]:
    """Whether the label names these plants and this rust; what is eaten has to be named itself."""
    label, site = case.label, case.site
    if site.edible:
        if not named(site.names, label.sites):
            yield refuse("crop_not_named", planting=site.planting, sites=label.sites)
    elif not named((*site.names, *ORNAMENTALS), label.sites):
        yield refuse("site_not_named", planting=site.planting, sites=label.sites)
    general = () if site.edible else ORNAMENTALS
    if named((*site.names, *general), label.sites_not):
        yield refuse("site_excepted", planting=site.planting, sites=label.sites_not)
    if not named((*site.pests, *RUSTS), label.pests):
        yield refuse("pest_not_named", pests=site.pests, named=label.pests)


def day(case: Case) -> Iterator[Refusal]:
    """Whether weather, plants, flowers and water allow it."""
    label, site = case.label, case.site
    most_c = heat_stop_c(case.contents, case.rules, label.temperature_most_c)
    if site.warmest_c is not None and most_c is not None and site.warmest_c > most_c:
        yield refuse("too_hot", warmest_c=site.warmest_c, most_c=most_c)
    least_c = label.temperature_least_c
    if site.coldest_c is not None and least_c is not None and site.coldest_c < least_c:
        yield refuse("too_cold", coldest_c=site.coldest_c, least_c=least_c)
    if site.wilted:
        yield refuse("wilted", planting=site.planting)
    if is_hard_on_plants(case.contents):
        if site.stressed:
            yield refuse("stressed", planting=site.planting)
        if site.newly_planted:
            yield refuse("newly_planted", planting=site.planting)
    if site.flowers_open and (label.spare_open_flowers or "bees" in case.contents.cautions):
        yield refuse("open_flowers", planting=site.planting)
    if label.buffer_m:
        if site.water_m is None:
            yield refuse("water_not_asked", planting=site.planting, buffer_m=label.buffer_m)
        elif site.water_m < label.buffer_m:
            yield refuse("water_too_near", planting=site.planting, water_m=site.water_m, buffer_m=label.buffer_m)


def amount(case: Case) -> Iterator[Refusal]:
    """Whether a rate for the area is kept."""
    rate, site = case.label.rate, case.site
    by_area = rate is not None and rate.unit.endswith("_per_m2")
    if site.product_ml <= 0.0 or not (by_area or case.label.most_product_per_m2 is not None):
        return
    if site.area_m2 <= 0.0:
        yield refuse("area_not_known", planting=site.planting)
    elif by_area and rate is not None and site.product_ml > rate.amount * site.area_m2 * _NEARLY:
        yield refuse(
            "too_much_at_once", planting=site.planting, amount=site.product_ml, most=rate.amount * site.area_m2
        )


def is_hard_on_plants(contents: Contents) -> bool:
    """Whether plants that lack water or were just moved should not get it."""
    return "drought" in contents.cautions or any(kind in HARD_ON_PLANTS for kind in contents.kinds)


@lru_cache(maxsize=4096)
def _phrases(text: str) -> frozenset[str]:
    """A text as printed and its parts, each written plainly."""
    return frozenset(_plain(each) for each in (text, *_PARTS.split(text)))


@lru_cache(maxsize=4096)
def _plain(text: str) -> str:
    words = text.casefold().replace("-", " ").split()
    return " ".join(word.removesuffix("s") for word in words)

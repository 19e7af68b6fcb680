"""What is printed of amounts, "2 tbsp/gal" or "0.5-1 %", as numbers in the units of the house."""

import math
import re
from functools import lru_cache
from typing import NamedTuple

from abaxial import units
from abaxial.errors import InputError, LabelError
from abaxial.garden.section import shown
from abaxial.label.bottle import Rate

#: beyond these a rate is not one for spraying, whatever stands on the container
MOST_PER_L, MOST_PER_M2 = 200.0, 50.0
#: densest that a plant protection product is, and lightest [g/ml]
DENSITY_G_PER_ML = (0.3, 3.0)
#: a tank that a person can carry or pull
TANK_L = (0.1, 1000.0)

_NUMBER = r"\d+\s+\d+/\d+|\d+/\d+|\d*[.,]?\d+"
_WRITTEN = re.compile(
    rf"(?P<least>{_NUMBER})(?:\s*(?:-|–|to)\s*(?P<most>{_NUMBER}))?\s*(?P<unit>%|[a-zA-Z°²][a-zA-Z0-9²³^. ]*?)"
    rf"(?:\s*(?:/|\bper\b)\s*(?P<each>{_NUMBER})?\s*(?P<under>[a-zA-Z][a-zA-Z0-9²³^. ]*))?",
)
_EXAMPLES = 'Write it as printed, such as "5 ml/l", "0.5-1 %", "2 tbsp/gal", "1 fl oz/1000 ft2" or "10 g/tank".'


class Written(NamedTuple):
    """An amount as printed. least, most : equal where it is one number. unit : of it. each, under : what it is for, ""
    where it stands alone."""

    least: float
    most: float
    unit: str
    each: float
    under: str


class Stuff(NamedTuple):
    """What a rate is a rate of. form : "liquid" or "powder". density_g_per_ml : None where nobody knows it."""

    form: str
    density_g_per_ml: float | None = None


def written(text: object) -> Written:
    """An amount read from a text. Raises LabelError where it is not one."""
    found = _WRITTEN.fullmatch(text.strip()) if isinstance(text, str) and len(text) <= 80 else None
    if found is None:
        raise LabelError(f"{shown(text)} is not an amount with its unit.", remedy=_EXAMPLES)
    least = _number(found["least"])
    most = least if found["most"] is None else _number(found["most"])
    each = 1.0 if found["each"] is None else _number(found["each"])
    if not least <= most < math.inf or not 0.0 < each < math.inf:
        raise LabelError(f"{shown(text)} is impossible: a range rises, and nothing is for nought.", remedy=_EXAMPLES)
    return Written(least, most, found["unit"].strip(), each, (found["under"] or "").strip())


def rate_of(text: object, stuff: Stuff, *, tank_l: float | None = None) -> Rate:
    """A rate as printed, per litre of spray or per square metre of ground.

    stuff : decides between millilitres and grams. tank_l : the tank meant by "per tank" [L].
    Raises LabelError where text and stuff do not fit, and where no label can mean it: above 20 % of the spray, or above
    50 ml or g on a square metre.
    """
    said = _some(text)
    measure = "ml" if stuff.form == "liquid" else "g"
    if said.unit == "%":
        if said.under:
            raise LabelError(f"{shown(text)}: a share of the spray stands for itself.", remedy='Write it as "0.5 %".')
        factor, per = 10.0, "l"
    else:
        factor, per = _under(text, said, tank_l)
        factor *= _product(text, said.unit, stuff)
    least, most = said.least * factor, said.most * factor
    ceiling = MOST_PER_L if per == "l" else MOST_PER_M2
    if most > ceiling * (1.0 + 1e-9):
        raise LabelError(
            f"{shown(text)} is {most:g} {measure}/{per}; no spray takes more than {ceiling:g} {measure}/{per}.",
            remedy="Look again at number and unit on the label.",
        )
    return Rate(most, f"{measure}_per_{per}", least, tank_l)


def per_m2(text: object, stuff: Stuff) -> float:
    """The most product on a square metre [ml/m² or g/m²]. Raises LabelError as `rate_of` does, and for other rates."""
    said = _some(text)
    kind = _kind(said.under) if said.under else ""
    if kind != "area":
        raise LabelError(f"{shown(text)} is not an amount on an area.", remedy='Write such as "10 ml/m2" or "2 l/ha".')
    return said.most * _product(text, said.unit, stuff) / (said.each * _inside(said.under, "area"))


def amount(text: object, stuff: Stuff | None) -> float:
    """An amount of product, 0 too [ml or g]; where nobody knows what it is of, in the one it is written in.

    Raises LabelError where the text is not one amount.
    """
    said = written(text)
    kind = _kind(said.unit)
    if said.under or said.least != said.most or kind == "area":
        raise LabelError(f"{shown(text)} is not one amount.", remedy='Write such as "450 ml" or "8 oz".')
    return said.most * (_inside(said.unit, kind) if stuff is None else _product(text, said.unit, stuff))


def litres(text: object) -> float:
    """A volume [L]. Raises LabelError where the text is not one."""
    if _kind(_some(text).unit) != "volume":
        raise LabelError(f"{shown(text)} is not a volume.", remedy='Write such as "5 l" or "2 gal".')
    return amount(text, Stuff("liquid")) / 1000.0


def density_g_per_ml(text: object) -> float:
    """How heavy the product is [g/ml]. Raises LabelError where the text does not say it, or says what cannot be."""
    said = _some(text)
    low, high = DENSITY_G_PER_ML
    if said.least == said.most and said.under and (_kind(said.unit), _kind(said.under)) == ("mass", "volume"):
        density = said.most * _inside(said.unit, "mass") / (said.each * _inside(said.under, "volume"))
        if low <= density <= high:
            return density
    raise LabelError(
        f"{shown(text)} is not a density from {low:g} to {high:g} kg/l.", remedy='Write such as "1.05 kg/l".'
    )


def water_l_per_m2(text: object) -> tuple[float, float]:
    """Least and most water on the ground treated [L/m²]. Raises LabelError where the text does not say that."""
    said = _some(text)
    if _kind(said.unit) != "volume" or not said.under or _kind(said.under) != "area":
        raise LabelError(f"{shown(text)} is not water on an area.", remedy='Write such as "1-2 l/10 m2".')
    factor = _inside(said.unit, "volume") / 1000.0 / (said.each * _inside(said.under, "area"))
    return said.least * factor, said.most * factor


def strength_of(text: object, stuff: Stuff) -> tuple[float, str]:
    """Active ingredient in the product and its unit, "g_per_ml" of a liquid or "g_per_g" of anything weighed.

    A percentage is by weight; of a liquid of known density it becomes grams in a millilitre.
    Raises LabelError where the text is not a strength, or is more than there can be.
    """
    said = _some(text)
    if said.least != said.most:
        raise LabelError(f"{shown(text)} is a range; a strength is one number.", remedy='Write such as "250 g/l".')
    strength, unit = said.most / 100.0, "g_per_g"
    if said.unit != "%" or said.under:
        above, below = _kind(said.unit), _kind(said.under) if said.under else ""
        if above != "mass" or below not in ("mass", "volume"):
            raise LabelError(
                f"{shown(text)} is not a strength.", remedy='Write such as "250 g/l", "50 %" or "4 lb/gal".'
            )
        strength = said.most * _inside(said.unit, "mass") / (said.each * _inside(said.under, below))
        unit = "g_per_g" if below == "mass" else "g_per_ml"
    if unit == "g_per_ml" and stuff.form == "powder":
        raise LabelError(f"{shown(text)}: a powder holds grams in a kilogram, or %.", remedy="Look at the form again.")
    if strength > 1.0 and (unit == "g_per_g" or strength > DENSITY_G_PER_ML[1]):
        raise LabelError(f"{shown(text)} is more than the whole product.", remedy="Look at number and unit again.")
    if unit == "g_per_g" and stuff.form == "liquid" and stuff.density_g_per_ml is not None:
        return strength * stuff.density_g_per_ml, "g_per_ml"
    return strength, unit


def _some(text: object) -> Written:
    """An amount that is not nothing."""
    said = written(text)
    if said.least <= 0.0:
        raise LabelError(f"{shown(text)} is impossible: it must be above 0.", remedy=_EXAMPLES)
    return said


def _under(text: object, said: Written, tank_l: float | None) -> tuple[float, str]:
    """What one unit of product is divided by, as a factor, and whether that is litres or square metres."""
    if said.under.lower() in ("tank", "tankful"):
        if tank_l is None:
            raise LabelError(f"{shown(text)}: a tank of what size?", remedy='Write it as well, such as tank = "5 l".')
        return 1.0 / (said.each * tank_l), "l"
    if not said.under:
        raise LabelError(f"{shown(text)} does not say in how much spray or on how much ground.", remedy=_EXAMPLES)
    kind = _kind(said.under)
    if kind == "volume":
        return 1000.0 / (said.each * _inside(said.under, "volume")), "l"
    if kind == "area":
        return 1.0 / (said.each * _inside(said.under, "area")), "m2"
    raise LabelError(f"{shown(text)}: product is not given per weight.", remedy=_EXAMPLES)


def _product(text: object, unit: str, stuff: Stuff) -> float:
    """One unit of product in millilitres of a liquid or grams of a powder."""
    kind = _kind(unit)
    if kind == "area":
        raise LabelError(f"{shown(text)} begins with an area, not with an amount of product.", remedy=_EXAMPLES)
    inside = _inside(unit, kind)
    if (kind == "volume") == (stuff.form == "liquid"):
        return inside
    if unit.lower().startswith(("oz", "ounce")) and stuff.form == "liquid":
        raise LabelError(
            f"{shown(text)}: ounces of a liquid may be of volume or of weight.",
            remedy='Write "fl oz" for volume; for weight give the density too.',
        )
    if stuff.density_g_per_ml is None:
        have, need = ("volume", "powder") if kind == "volume" else ("weight", "liquid")
        raise LabelError(
            f"{shown(text)} gives a {have}, and the product is a {need} of unknown density.",
            remedy='Look on the label for the density and write it, such as density = "1.05 kg/l".',
        )
    return inside * stuff.density_g_per_ml if kind == "volume" else inside / stuff.density_g_per_ml


@lru_cache(maxsize=256)
def _kind(unit: str) -> str:
    for kind in ("volume", "mass", "area"):
        try:
            units.canonical(kind, unit)
        except InputError:
            continue
        return kind
    known = ", ".join(each for kind in ("volume", "mass", "area") for each in units.names(kind))
    raise LabelError(f"{shown(unit)} is not a unit of product, spray or ground.", remedy=f"Known are {known}.")


@lru_cache(maxsize=256)
def _inside(unit: str, kind: str) -> float:
    return float(units.convert(1.0, kind, unit))


def _number(text: str) -> float:
    if re.search(r"\d,\d{3}$", text) and not text.startswith("0"):
        raise LabelError(f"{text} may be read in two ways.", remedy="Write thousands without a comma.")
    whole, _, part = text.strip().rpartition(" ")
    if "/" in part:
        above, below = (float(each) for each in part.split("/"))
        if below == 0.0:
            raise LabelError(f"{text} divides by nothing.", remedy=_EXAMPLES)
        return (float(whole) if whole else 0.0) + above / below
    return float(text.replace(",", "."))

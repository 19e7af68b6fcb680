"""How strong a mix with water is, and what a ratio such as 1:10 may mean."""

import math
import re
from typing import NamedTuple

from abaxial.errors import RequestError

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_PER_CENT = re.compile(rf"{_NUMBER}\s*%")
_RATIO = re.compile(rf"{_NUMBER}\s*(?:parts?\s*)?(:|/|\+|in|to|and|plus)\s*{_NUMBER}(?:\s*parts?)?")
#: how the second number is meant: the water alone, the whole, or either
_ADDED, _WHOLE = ("+", "and", "plus"), ("in",)


class Reading(NamedTuple):
    """One way to understand a ratio. product_parts, water_parts : what goes in."""

    product_parts: float
    water_parts: float


def ratio_readings(text: str) -> tuple[Reading, ...]:
    """Every way to understand a ratio of product to water, the stronger first.

    text : "1+9", "1 in 10" and "10 %" have one meaning; "1:10", "1 to 10" and "1/10" have two, one part in ten or one
    part and ten of water. Raises RequestError where it is no ratio or leaves no product.
    """
    plain = text.strip().lower()
    if share := _PER_CENT.fullmatch(plain):
        return (_whole(_value(share.group(1)), 100.0, text),)
    found = _RATIO.fullmatch(plain)
    if found is None:
        raise RequestError(f"{text!r} is not a ratio.", remedy='Write it as "1+9", "1 in 10" or "10 %".')
    product, said, other = _value(found.group(1)), found.group(2), _value(found.group(3))
    if product <= 0.0:
        raise RequestError(f"{text!r} holds no product.", remedy="Give its part first, such as 1+9.")
    if said in _ADDED:
        return (Reading(product, other),)
    if said in _WHOLE:
        return (_whole(product, other, text),)
    added = Reading(product, other)
    return (_whole(product, other, text), added) if other > product else (added,)


def diluted_frac(strength_frac: float, product_parts: float, water_parts: float) -> float:
    """Strength after water is added [0 to 1], by volume.

    strength_frac : of the product as bought, above 0, to 1. product_parts : above 0. water_parts : 0 or more.
    """
    _share(strength_frac, "strength")
    if not (product_parts > 0.0 and 0.0 <= water_parts < math.inf):
        raise RequestError(
            f"{product_parts:g} parts of product and {water_parts:g} of water make no mix.",
            remedy="Give product above 0 and water of 0 or more.",
        )
    return strength_frac * product_parts / (product_parts + water_parts)


def ratio_strengths_frac(text: str, strength_frac: float) -> tuple[float, ...]:
    """Strength of the mix by every way to understand a ratio, the stronger first [0 to 1]; arguments as in ratio_readings and
    diluted_frac."""
    return tuple(diluted_frac(strength_frac, *reading) for reading in ratio_readings(text))


def parts_per_million(strength_frac: float) -> float:
    """The same strength in parts of active substance in a million parts of mix [ppm]."""
    return _share(strength_frac, "strength") * 1e6


def product_needed_ml(strength_frac: float, wanted_frac: float, total_ml: float) -> float:
    """Product to pour for a mix of a wanted strength and size [ml]; the rest is water.

    strength_frac : as bought. wanted_frac : above 0, at most strength_frac. total_ml : above 0. What is in the mix is
    what came with the product: C₁V₁ = C₂V₂. That alcohol and water shrink a little when poured together is left out.
    """
    _share(strength_frac, "strength")
    if not 0.0 < wanted_frac <= strength_frac:
        raise RequestError(
            f"A mix of {100 * wanted_frac:g} % cannot be made from {100 * strength_frac:g} %.",
            remedy="Water only weakens: buy a stronger one, or read the strength on the bottle again.",
        )
    if not 0.0 < total_ml < math.inf:
        raise RequestError(f"{total_ml:g} ml is no amount to mix.", remedy="Give an amount above 0.")
    return total_ml * wanted_frac / strength_frac


def water_parts(strength_frac: float, wanted_frac: float) -> float:
    """Parts of water for one part of product [parts]; arguments as in product_needed_ml."""
    return 1.0 / product_needed_ml(strength_frac, wanted_frac, 1.0) - 1.0


def _whole(product: float, whole: float, text: str) -> Reading:
    if not 0.0 < product <= whole:
        raise RequestError(f"{text!r}: the product must be part of the whole.", remedy="Exchange the two numbers.")
    return Reading(product, whole - product)


def _value(text: str) -> float:
    return float(text.replace(",", "."))


def _share(value: float, name: str) -> float:
    if not 0.0 < value <= 1.0:
        raise RequestError(
            f"The {name} is {value:g}; it must lie above 0, up to 1.", remedy="Read it on the bottle; 5 % is 0.05."
        )
    return value

"""Units: numbers in whatever unit a file holds, brought to the one each quantity has inside the house.

Inside: temperature °C, fraction 0 to 1, speed m/s, depth mm, irradiance W/m² (mean of the hour), pressure kPa, length m, volume ml,
mass g, area m².
"""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import InputError

_INCH_MM = 25.4
_MILE_M = 1609.344
_NAUTICAL_MILE_M = 1852.0
_HOUR_S = 3600.0
_FL_OZ_ML = 29.5735295625  # US; a teaspoon is a sixth of it, a gallon 128
_IMPERIAL_GALLON_ML = 4546.09
_POUND_G = 453.59237

#: quantity to unit to (factor, offset): inside = factor * value + offset
_UNITS: Mapping[str, Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "temperature": {
            "°C": (1.0, 0.0),
            "°F": (5.0 / 9.0, -160.0 / 9.0),
            "K": (1.0, -273.15),
            "0.1 °C": (0.1, 0.0),
        },
        "fraction": {
            "fraction": (1.0, 0.0),
            "percent": (0.01, 0.0),
            "tenths": (0.1, 0.0),
            "okta": (0.125, 0.0),
        },
        "speed": {
            "m/s": (1.0, 0.0),
            "km/h": (1000.0 / _HOUR_S, 0.0),
            "mph": (_MILE_M / _HOUR_S, 0.0),
            "kt": (_NAUTICAL_MILE_M / _HOUR_S, 0.0),
            "0.1 m/s": (0.1, 0.0),
        },
        "depth": {
            "mm": (1.0, 0.0),
            "0.1 mm": (0.1, 0.0),
            "cm": (10.0, 0.0),
            "in": (_INCH_MM, 0.0),
            "0.01 in": (0.01 * _INCH_MM, 0.0),
        },
        "irradiance": {
            "W/m²": (1.0, 0.0),
            "kW/m²": (1000.0, 0.0),
            "Wh/m²": (1.0, 0.0),
            "kJ/m²": (1000.0 / _HOUR_S, 0.0),
            "MJ/m²": (1.0e6 / _HOUR_S, 0.0),
            "J/cm²": (1.0e4 / _HOUR_S, 0.0),
        },
        "pressure": {
            "kPa": (1.0, 0.0),
            "hPa": (0.1, 0.0),
            "mbar": (0.1, 0.0),
            "Pa": (0.001, 0.0),
            "mmHg": (0.133322387415, 0.0),
            "inHg": (3.386389, 0.0),
        },
        "length": {"m": (1.0, 0.0), "cm": (0.01, 0.0), "ft": (0.3048, 0.0), "in": (_INCH_MM / 1000.0, 0.0)},
        "volume": {
            "ml": (1.0, 0.0),
            "l": (1000.0, 0.0),
            "tsp": (_FL_OZ_ML / 6.0, 0.0),
            "tbsp": (_FL_OZ_ML / 2.0, 0.0),
            "fl oz": (_FL_OZ_ML, 0.0),
            "cup": (8.0 * _FL_OZ_ML, 0.0),
            "pt": (16.0 * _FL_OZ_ML, 0.0),
            "qt": (32.0 * _FL_OZ_ML, 0.0),
            "gal": (128.0 * _FL_OZ_ML, 0.0),
            "imp fl oz": (_IMPERIAL_GALLON_ML / 160.0, 0.0),
            "imp gal": (_IMPERIAL_GALLON_ML, 0.0),
        },
        "mass": {
            "g": (1.0, 0.0),
            "kg": (1000.0, 0.0),
            "mg": (0.001, 0.0),
            "oz": (_POUND_G / 16.0, 0.0),
            "lb": (_POUND_G, 0.0),
        },
        "area": {"m²": (1.0, 0.0), "ha": (10_000.0, 0.0), "ft²": (0.3048**2, 0.0), "ac": (43_560.0 * 0.3048**2, 0.0)},
    }
)

_OTHER_SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        "c": "°C",
        "degc": "°C",
        "celsius": "°C",
        "f": "°F",
        "degf": "°F",
        "fahrenheit": "°F",
        "k": "K",
        "kelvin": "K",
        "%": "percent",
        "pct": "percent",
        "0-1": "fraction",
        "1": "fraction",
        "1/10": "tenths",
        "1/8": "okta",
        "oktas": "okta",
        "eighths": "okta",
        "ms": "m/s",
        "mps": "m/s",
        "m s-1": "m/s",
        "kmh": "km/h",
        "kph": "km/h",
        "mi/h": "mph",
        "mp/h": "mph",
        "kn": "kt",
        "kts": "kt",
        "knots": "kt",
        "knot": "kt",
        "inch": "in",
        "inches": "in",
        '"': "in",
        "millimetre": "mm",
        "w/m2": "W/m²",
        "w/m^2": "W/m²",
        "wm-2": "W/m²",
        "kw/m2": "kW/m²",
        "wh/m2": "Wh/m²",
        "kj/m2": "kJ/m²",
        "mj/m2": "MJ/m²",
        "mj/m2/h": "MJ/m²",
        "j/cm2": "J/cm²",
        "millibar": "mbar",
        "millilitre": "ml",
        "millilitres": "ml",
        "milliliter": "ml",
        "milliliters": "ml",
        "cc": "ml",
        "litre": "l",
        "litres": "l",
        "liter": "l",
        "liters": "l",
        "teaspoon": "tsp",
        "teaspoons": "tsp",
        "tablespoon": "tbsp",
        "tablespoons": "tbsp",
        "tbs": "tbsp",
        "fl. oz": "fl oz",
        "fl. oz.": "fl oz",
        "floz": "fl oz",
        "fluid ounce": "fl oz",
        "fluid ounces": "fl oz",
        "cups": "cup",
        "pint": "pt",
        "pints": "pt",
        "quart": "qt",
        "quarts": "qt",
        "gallon": "gal",
        "gallons": "gal",
        "gals": "gal",
        "imperial gallon": "imp gal",
        "imperial gallons": "imp gal",
        "gram": "g",
        "grams": "g",
        "gramme": "g",
        "grammes": "g",
        "kilogram": "kg",
        "kilograms": "kg",
        "ounce": "oz",
        "ounces": "oz",
        "pound": "lb",
        "pounds": "lb",
        "lbs": "lb",
        "sq m": "m²",
        "sqm": "m²",
        "square metre": "m²",
        "square metres": "m²",
        "hectare": "ha",
        "hectares": "ha",
        "sq ft": "ft²",
        "sqft": "ft²",
        "square foot": "ft²",
        "square feet": "ft²",
        "acre": "ac",
        "acres": "ac",
    }
)


def names(quantity: str) -> tuple[str, ...]:
    """The units a quantity may be given in. Raises InputError if there is no such quantity."""
    if quantity not in _UNITS:
        raise InputError(
            f"There is no quantity called {quantity!r}.", remedy=f"The quantities are {', '.join(_UNITS)}."
        )
    return tuple(_UNITS[quantity])


def canonical(quantity: str, unit: str) -> str:
    """Our spelling of a unit, so that "degF", "°f" and "Fahrenheit" are all "°F".

    Raises InputError, naming the unit and the list, if the quantity has no such unit.
    """
    known = names(quantity)
    stripped = unit.strip().replace("º", "°")
    plain = {name.lower().replace("²", "2").replace("°", ""): name for name in known}
    key = stripped.lower().replace("²", "2").replace("°", "")
    found = plain.get(key) or _OTHER_SPELLINGS.get(key, "")
    if stripped in known:
        return stripped
    if found not in known:
        raise InputError(
            f"{unit!r} is not a unit of {quantity} that we know.",
            remedy=f"For {quantity}, write one of: {', '.join(known)}.",
        )
    return found


def convert(values: ArrayLike, quantity: str, unit: str) -> NDArray[np.float64]:
    """Values in the unit the house uses for the quantity, any shape; NaN stays NaN.

    quantity : temperature, fraction, speed, depth, irradiance, pressure, length, volume, mass or area. unit : see `names`.
    Energy per square metre is taken as that of one hour. Raises InputError if quantity or unit is unknown.
    """
    name = canonical(quantity, unit)
    factor, offset = _UNITS[quantity][name]
    return np.asarray(values, dtype=np.float64) * factor + offset

"""Units are brought to the one the house uses."""

import numpy as np
import pytest

from abaxial import units
from abaxial.errors import InputError


@pytest.mark.parametrize(
    ("quantity", "unit", "value", "inside"),
    [
        ("temperature", "°F", 212.0, 100.0),
        ("temperature", "K", 273.15, 0.0),
        ("speed", "kt", 1.0, 0.514444),
        ("speed", "mph", 10.0, 4.4704),
        ("speed", "km/h", 36.0, 10.0),
        ("depth", "in", 1.0, 25.4),
        ("depth", "0.1 mm", 25.0, 2.5),
        ("fraction", "percent", 85.0, 0.85),
        ("fraction", "okta", 4.0, 0.5),
        ("fraction", "tenths", 10.0, 1.0),
        ("irradiance", "MJ/m²", 3.6, 1000.0),
        ("irradiance", "kJ/m²", 3600.0, 1000.0),
        ("pressure", "hPa", 1013.25, 101.325),
        ("pressure", "inHg", 29.9213, 101.325),
        ("length", "ft", 10.0, 3.048),
    ],
)
def test_a_known_unit_becomes_the_house_unit(quantity, unit, value, inside):
    converted = units.convert([value, np.nan], quantity, unit)

    assert converted[0] == pytest.approx(inside, rel=2e-5, abs=1e-9)
    assert np.isnan(converted[1])


@pytest.mark.parametrize("spelling", ["degF", "F", "fahrenheit", "°f", "ºF"])
def test_a_unit_may_be_spelled_as_people_spell_it(spelling):
    assert units.canonical("temperature", spelling) == "°F"


def test_an_unknown_unit_is_named_with_the_list_of_those_we_know():
    with pytest.raises(InputError) as caught:
        units.convert([1.0], "speed", "furlongs per fortnight")

    assert "furlongs per fortnight" in str(caught.value)
    assert "km/h" in caught.value.remedy


def test_a_unit_of_another_quantity_is_refused():
    with pytest.raises(InputError, match="mm"):
        units.convert([1.0], "temperature", "mm")


def test_an_unknown_quantity_is_refused():
    with pytest.raises(InputError, match="mood"):
        units.convert([1.0], "mood", "°C")

"""How rust learns to live with a fungicide, and what a spray costs in that."""

import numpy as np
import pytest

from abaxial.errors import FaultError
from abaxial.remedy import effect, resistance
from abaxial.remedy.application import Application
from abaxial.remedy.checks import trials
from abaxial.remedy.material import cross_resistant, material_keys, read_material

ALL = {key: read_material(key) for key in material_keys()}
STAND = effect.stand(np.zeros((1, 42)), np.full((2, 42), 0.03))


def learned(*tanks: str) -> dict[str, float]:
    uses = [Application(14 * row, tuple(tank.split("+")), 1.0, 1.0, 1.0) for row, tank in enumerate(tanks)]
    (shift,) = resistance.selections([uses], ALL, STAND, latent_d=12.0, growth_per_d=0.15)
    return shift


def test_a_code_that_is_not_sprayed_learns_nothing():
    assert set(learned("azoxystrobin", "azoxystrobin")) == {"11"}
    assert learned() == {}


def test_a_tank_of_two_counts_for_each_code_in_it():
    assert set(learned("azoxystrobin+mancozeb")) == {"11", "M03"}


def test_three_bottles_of_one_code_teach_as_much_as_three_of_one_bottle():
    same, names = learned(*["myclobutanil"] * 3), learned("myclobutanil", "tebuconazole", "triadimefon")

    assert names["3"] == pytest.approx(same["3"], rel=0.1)


def test_taking_turns_and_a_partner_both_teach_less():
    alone = learned(*["azoxystrobin"] * 3)["11"]

    assert learned("azoxystrobin", "mancozeb", "azoxystrobin")["11"] < alone
    assert learned(*["azoxystrobin+mancozeb"] * 3)["11"] < alone


def test_half_a_dose_teaches_less_but_more_than_half_as_much():
    full, half = (
        resistance.selections(
            [[Application(0, ("mancozeb",), dose, 1.0, 1.0)]], ALL, STAND, latent_d=12.0, growth_per_d=0.15
        )[0]["M03"]
        for dose in (1.0, 0.5)
    )

    assert 0.5 * full < half < full


def test_what_does_nothing_to_rust_teaches_it_nothing():
    assert learned("azadirachtin", "fatty_acid_soap") == {}


def test_codes_fail_in_the_order_of_their_risk():
    chances = [resistance.failing_chance_frac(risk, 6.0) for risk in ("none", "low", "medium", "high")]

    assert chances[0] == 0.0
    assert sorted(set(chances)) == chances


def test_a_season_of_one_high_risk_code_alone_is_likely_to_cost_it_and_turns_are_not():
    alone = resistance.failing_chance_frac("high", trials.selection_of_sprays("11", ["azoxystrobin"] * 9, 14))
    turns = trials.selection_of_sprays("11", ["azoxystrobin", "mancozeb", "sulfur"] * 3, 14)

    assert alone > 0.8
    assert resistance.failing_chance_frac("high", turns) < 0.7 * alone


def test_the_price_of_a_spray_is_what_it_adds_to_the_chance_of_failing():
    price = resistance.price_frac("high", 2.0, 2.5)

    assert price == pytest.approx(
        resistance.failing_chance_frac("high", 4.5) - resistance.failing_chance_frac("high", 2.0)
    )
    assert price > 0.0
    assert resistance.price_frac("high", 2.0, 0.0) == 0.0


def test_the_risk_of_a_code_is_the_highest_of_its_materials():
    assert resistance.risk_of("7", ALL) == "high"
    assert resistance.risk_of("3", ALL) == "medium"
    with pytest.raises(FaultError, match="99"):
        resistance.risk_of("99", ALL)


def test_materials_are_the_same_to_a_rust_by_code_and_not_by_name():
    assert cross_resistant(ALL["triforine"], ALL["myclobutanil"])
    assert not cross_resistant(ALL["azoxystrobin"], ALL["myclobutanil"])
    assert not cross_resistant(ALL["mineral_oil"], ALL["fatty_acid_soap"])

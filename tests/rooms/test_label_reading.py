"""A bottle is read as it is printed, and what cannot be is refused with reasons."""

from datetime import date

import pytest
from tests.label_cases import PRINTED, body

from abaxial.errors import LabelError
from abaxial.label.bottle import ASKED, missing
from abaxial.label.rates import Stuff, amount, litres, per_m2, rate_of, strength_of, water_l_per_m2
from abaxial.label.reading import read_bottle

LIQUID, POWDER = Stuff("liquid"), Stuff("powder")


@pytest.mark.parametrize(
    ("printed", "stuff", "most", "unit"),
    [
        ("5 ml/l", LIQUID, 5.0, "ml_per_l"),
        ("0,5 %", LIQUID, 5.0, "ml_per_l"),
        ("1.5 %", POWDER, 15.0, "g_per_l"),
        ("1/2 oz per gallon", POWDER, 3.744576, "g_per_l"),
        ("1 1/2 tsp/gal", LIQUID, 1.953125, "ml_per_l"),
        ("20 ml/10 m2", LIQUID, 2.0, "ml_per_m2"),
        ("2 kg/ha", POWDER, 0.2, "g_per_m2"),
        ("5.25 g/l", Stuff("liquid", 1.05), 5.0, "ml_per_l"),
        ("10 ml/l", Stuff("powder", 0.5), 5.0, "g_per_l"),
        ("3 imp fl oz/imp gal", LIQUID, 18.75, "ml_per_l"),
    ],
)
def test_a_rate_is_brought_to_litres_and_square_metres(printed, stuff, most, unit):
    rate = rate_of(printed, stuff)

    assert rate.amount == pytest.approx(most, rel=1e-6)
    assert rate.unit == unit


def test_a_rate_for_a_tank_is_one_for_its_litres():
    assert rate_of("10 g/tank", POWDER, tank_l=5.0).amount == pytest.approx(2.0)


def test_a_range_of_rates_keeps_both_ends():
    rate = rate_of("0.5-1 %", LIQUID)

    assert (rate.least_amount, rate.amount) == (5.0, 10.0)


@pytest.mark.parametrize(
    ("printed", "stuff", "said"),
    [
        ("0 ml/l", LIQUID, "above 0"),
        ("-1 ml/l", LIQUID, "not an amount"),
        ("25 %", LIQUID, "no spray takes more"),
        ("60 g/m2", POWDER, "no spray takes more"),
        ("5 g/l", LIQUID, "unknown density"),
        ("2 tsp/gal", POWDER, "unknown density"),
        ("1 oz/gal", LIQUID, "volume or of weight"),
        ("10 g/tank", POWDER, "what size"),
        ("5 ml", LIQUID, "how much spray"),
        ("5 ml/kg", LIQUID, "per weight"),
        ("3 furlongs/l", LIQUID, "not a unit"),
        ("2-1 ml/l", LIQUID, "impossible"),
        ("1 oz/1,000 ft2", POWDER, "two ways"),
        ("5 ml/0 l", LIQUID, "impossible"),
        ("1/0 ml/l", LIQUID, "divides by nothing"),
        ("5 m2/l", LIQUID, "begins with an area"),
        ("5 %/l", LIQUID, "stands for itself"),
        (None, LIQUID, "not an amount"),
        (5.0, LIQUID, "not an amount"),
    ],
)
def test_an_impossible_rate_is_refused_with_its_reason(printed, stuff, said):
    with pytest.raises(LabelError, match=said) as told:
        rate_of(printed, stuff)

    assert told.value.remedy


@pytest.mark.parametrize(
    ("printed", "stuff", "strength", "unit"),
    [
        ("250 g/l", LIQUID, 0.25, "g_per_ml"),
        ("22.9 %", LIQUID, 0.229, "g_per_g"),
        ("22.9 %", Stuff("liquid", 1.09), 0.24961, "g_per_ml"),
        ("4 lb/gal", LIQUID, 0.479306, "g_per_ml"),
        ("750 g/kg", POWDER, 0.75, "g_per_g"),
    ],
)
def test_a_strength_is_grams_in_a_gram_or_a_millilitre(printed, stuff, strength, unit):
    assert strength_of(printed, stuff) == (pytest.approx(strength, rel=1e-5), unit)


@pytest.mark.parametrize("printed", ["120 %", "2 kg/kg", "9 kg/l", "5-6 %", "3 ml/l", "0 %"])
def test_a_strength_that_cannot_be_is_refused(printed):
    with pytest.raises(LabelError):
        strength_of(printed, LIQUID)


def test_other_amounts_are_read_from_their_units():
    assert per_m2("2 l/ha", LIQUID) == pytest.approx(0.2)
    assert amount("8 fl oz", LIQUID) == pytest.approx(236.588, rel=1e-5)
    assert amount("0 ml", LIQUID) == 0.0
    assert litres("2 gal") == pytest.approx(7.5708, rel=1e-4)
    assert water_l_per_m2("1-2 l/10 m2") == pytest.approx((0.1, 0.2))


def test_a_whole_bottle_is_read_with_everything_in_the_units_of_the_house():
    table = body(rate="1-2 ml/l", water="1 l/10 m2", most_product="1 l/ha", temperature_most_f=86, wind_most_mph=10,
                 buffer_ft=30, codes=["11"], apart_d={"sulfur": 21}, signal="warning")  # fmt: skip
    read = read_bottle(
        {**table, "left": "450 ml", "bought_on": "2026-03-01", "use_before": date(2028, 1, 1)}, where="blue"
    )
    label = read.label

    assert (read.key, read.left, read.bought_on) == ("blue", 450.0, date(2026, 3, 1))
    assert label.rate[:3] == (2.0, "ml_per_l", 1.0)
    assert label.rate.most_l_per_m2 == pytest.approx(0.1)
    assert label.most_product_per_m2 == pytest.approx(0.1)
    assert label.temperature_most_c == pytest.approx(30.0)
    assert label.wind_most_m_s == pytest.approx(4.4704)
    assert label.buffer_m == pytest.approx(9.144)
    assert missing(read) == ()


def test_fields_of_the_label_that_are_missing_are_asked_for_and_not_guessed():
    read = read_bottle({"name": "blue", "label": {"form": "liquid"}}, where="blue")

    assert missing(read) == ASKED
    assert read.label.interval_d is None
    assert read.label.rate is None


def test_a_label_known_to_be_silent_is_not_asked_again():
    read = read_bottle(body(interval_d="not printed"), where="blue")

    assert missing(read) == ()
    assert read.label.interval_d is None


@pytest.mark.parametrize("field", ["rate", "sites", "pests", "reentry_h", "actives"])
def test_no_label_is_silent_about_what_every_label_says(field):
    with pytest.raises(LabelError) as told:
        read_bottle(body(**{field: "not printed"}), where="blue")

    assert "always is" in told.value.remedy


def test_until_dry_is_a_way_to_say_when_one_may_go_in_again():
    label = read_bottle(body(reentry_h="until dry"), where="blue").label

    assert (label.reentry_h, label.reentry_when_dry) == (0.0, True)


def test_a_bottle_without_label_says_so():
    assert missing(read_bottle({"name": "brown one"}, where="brown")) == ("label",)


def test_a_home_brew_has_no_label_and_is_asked_nothing():
    assert missing(read_bottle({"name": "garlic", "kind": "home_brew"}, where="garlic")) == ()
    with pytest.raises(LabelError, match="no label"):
        read_bottle(body() | {"kind": "home_brew"}, where="garlic")


def test_all_mistakes_are_told_at_once():
    with pytest.raises(LabelError) as told:
        read_bottle(body(rate="0 ml/l", interval_d=-3, sites=[], reentry_h="soon", pest=["rust"]), where="shelf, blue")

    assert told.value.exit_code == 2
    assert "5 mistakes" in told.value.message
    for said in ("above 0", "interval_d is -3", "sites is []", "'soon'", "Did you mean pests?"):
        assert said in told.value.message


def test_an_exception_among_the_sites_is_not_overlooked():
    with pytest.raises(LabelError, match="an exception") as told:
        read_bottle(body(sites=["ornamentals, except cannas"]), where="blue")

    assert "sites_not" in told.value.remedy


def test_strengths_may_not_add_up_to_more_than_the_product():
    with pytest.raises(LabelError, match="120%"):
        read_bottle(body(form="powder", rate="1 g/l", actives={"sulfur": "80 %", "mancozeb": "40 %"}), where="blue")


def test_what_every_bottle_is_asked_for_stands_on_a_whole_label():
    assert set(ASKED) <= set(PRINTED)

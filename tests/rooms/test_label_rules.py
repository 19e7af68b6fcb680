"""What may be put on which plants on which day."""

from datetime import UTC, date, datetime, timedelta

import pytest
from tests.label_cases import SITE, START, body, bottle, done, materials

from abaxial.errors import LabelError
from abaxial.label import rules
from abaxial.label.bottle import Bottle
from abaxial.label.done import most_in_a_window, open_again, reentry_ends
from abaxial.label.limits import printed
from abaxial.label.reading import read_bottle
from abaxial.label.rotation import is_exempt, run_length

USUAL = rules.usual_rules()


def kinds(used, *, site=SITE, day=0, history=(), hard=USUAL):
    """Kinds of the reasons against a bottle on a day after the start."""
    found = rules.refusals(used, site, START + timedelta(day), history, hard, materials())
    return [each.kind for each in found]


def warned(used, *, site=SITE, day=0, history=()):
    """Kinds of what there is to think about."""
    found = rules.warnings(used, site, START + timedelta(day), history, USUAL, materials())
    return [each.kind for each in found]


def test_a_sound_bottle_may_be_put_on_what_its_label_names():
    assert kinds(bottle()) == []


@pytest.mark.parametrize(
    ("label", "site", "kind"),
    [
        ({"sites": ["roses"]}, {}, "site_not_named"),
        ({"sites": ["tomatoes", "ornamentals"], "sites_not": ["Cannas"]}, {}, "site_excepted"),
        ({"pests": ["black spot", "powdery mildew"]}, {}, "pest_not_named"),
        ({"harvest_d": 7}, {"edible": True}, "crop_not_named"),
        ({"temperature_most_c": 28}, {"warmest_c": 28.5}, "too_hot"),
        ({"temperature_least_f": 50}, {"coldest_c": 8.0}, "too_cold"),
        ({}, {"wilted": True}, "wilted"),
        ({"spare_open_flowers": True}, {"flowers_open": True}, "open_flowers"),
        ({"buffer_m": 5}, {}, "water_not_asked"),
        ({"buffer_m": 5}, {"water_m": 4.9}, "water_too_near"),
        ({"rate": "1 ml/m2"}, {"product_ml": 6.1}, "too_much_at_once"),
        ({"rate": "1 ml/m2"}, {"product_ml": 6.1, "area_m2": 0.0}, "area_not_known"),
        ({"most_product": "1 ml/m2"}, {"product_ml": 6.1}, "too_much_in_a_year"),
        ({"licensed_only": True}, {}, "licensed_only"),
        ({"interval_d": None}, {}, "label_incomplete"),
        ({"actives": {"unheard_of": "10 g/l"}}, {}, "active_unknown"),
        ({"actives": {"azadirachtin": "10 g/l"}}, {}, "not_a_fungicide"),
    ],
)
def test_one_thing_wrong_is_one_reason(label, site, kind):
    assert kinds(read_bottle(body(**label), where="blue"), site=SITE._replace(**site)) == [kind]


def test_plants_that_are_eaten_need_a_label_that_names_the_crop_and_the_days_before_harvest():
    ginger = SITE._replace(names=("ginger",), edible=True)

    assert kinds(bottle(), site=ginger) == ["label_incomplete", "crop_not_named"]
    assert kinds(bottle(sites=["ginger"], harvest_d=14), site=ginger) == []
    assert warned(bottle(sites=["ginger"], harvest_d=14), site=ginger)[0] == "wait_before_eating"


def test_capitals_plurals_and_lists_on_a_label_make_no_difference():
    assert kinds(bottle(sites=["Roses, Cannas and other perennials"], pests=["Rusts"])) == []


def test_a_bottle_without_label_and_a_home_brew_are_refused_with_the_reason():
    assert kinds(Bottle("brown one", "bottle", None)) == ["no_label"]
    assert kinds(Bottle("garlic", "home_brew", None)) == ["home_brew"]


def test_a_home_brew_ends_no_run_and_takes_no_share():
    brew = rules.done_of(Bottle("garlic", "home_brew", None), SITE, START + timedelta(20), materials())
    history = [done("myclobutanil", day=0), done("propiconazole", day=14), brew]

    assert brew.codes == ()
    assert kinds(bottle("tebuconazole"), day=40, history=history) == ["too_many_running"]


def test_what_is_left_in_the_bottle_must_be_enough():
    def left(text):
        return read_bottle({**body(), "left": text}, where="blue")

    assert kinds(left("0 ml")) == ["empty"]
    assert kinds(left("5 ml"), site=SITE._replace(product_ml=5.1)) == ["too_little_left"]
    assert kinds(left("5 ml"), site=SITE._replace(product_ml=5.0)) == []


def test_a_bottle_is_not_used_from_its_last_date_on():
    old = read_bottle({**body(), "use_before": "2026-01-10"}, where="blue")

    assert kinds(old, day=8) == []
    assert kinds(old, day=9) == ["expired"]


@pytest.mark.parametrize(("days", "told"), [(6, ["too_soon"]), (7, [])])
def test_the_interval_counts_for_every_bottle_of_one_active(days, told):
    other = done("azoxystrobin", day=0, registration="X-9")

    assert kinds(bottle(registration="Y-1"), day=days, history=[other]) == told


def test_two_of_one_code_do_not_share_a_tank():
    assert kinds(bottle("tebuconazole"), history=[done("propiconazole", day=0)]) == ["too_soon"]


def test_an_interval_that_the_label_leaves_open_is_that_of_the_material():
    silent = bottle("azoxystrobin", interval_d="not printed")
    usual_d = int(materials()["azoxystrobin"]["interval_d"])

    assert kinds(silent, day=usual_d - 1, history=[done("azoxystrobin", day=0)]) == ["too_soon"]
    assert kinds(silent, day=usual_d, history=[done("azoxystrobin", day=0)]) == []


@pytest.mark.parametrize(("days", "told"), [(364, ["too_often_in_a_year"]), (365, [])])
def test_the_most_applications_are_those_of_any_twelve_months(days, told):
    twice = [done("chlorothalonil", day=0), done("chlorothalonil", day=100)]

    assert kinds(bottle("chlorothalonil", most_applications=2), day=days, history=twice) == told


def test_a_second_bottle_of_the_same_active_does_not_lengthen_the_year_of_the_first():
    first = [done("chlorothalonil", day=day, most_applications=2) for day in (0, 30)]

    assert kinds(bottle("chlorothalonil", most_applications=9), day=60, history=first) == ["too_often_in_a_year"]
    assert kinds(bottle("chlorothalonil", most_applications=9), day=395, history=first) == []


def test_a_spray_entered_late_is_counted_with_those_after_it():
    later = [done("chlorothalonil", day=day) for day in (20, 40)]

    assert kinds(bottle("chlorothalonil", most_applications=2), day=0, history=later) == ["too_often_in_a_year"]


def test_the_fullest_stretch_is_counted_on_both_sides():
    days = [START + timedelta(each) for each in (0, 10, 11)]

    assert most_in_a_window(days, [1.0, 2.0, 4.0], START + timedelta(10), 11) == 7.0 - 1.0
    assert most_in_a_window(days, [1.0, 2.0, 4.0], START + timedelta(10), 12) == 7.0


@pytest.mark.parametrize(("hours", "day", "told"), [(48, 1, ["closed"]), (48, 2, ["closed"]), (48, 3, []), (12, 1, [])])
def test_nobody_sprays_among_plants_that_are_closed(hours, day, told):
    assert kinds(bottle("myclobutanil"), day=day, history=[done("chlorothalonil", day=0, reentry_h=hours)]) == told


def test_the_clock_of_re_entry_runs_from_the_end_of_spraying():
    ended = datetime(2026, 7, 2, 18, 30, tzinfo=UTC)

    assert reentry_ends(ended, 24.0) == datetime(2026, 7, 3, 18, 30, tzinfo=UTC)
    assert open_again(done("sulfur", day=0, reentry_h=4)._replace(ended=ended)) == ended + timedelta(hours=4)


@pytest.mark.parametrize(("on", "refused", "warning"), [(13, True, True), (14, False, True), (30, False, False)])
def test_oil_and_sulfur_lie_two_weeks_apart_and_better_a_month(on, refused, warning):
    oil = [done("mineral_oil", day=0)]

    assert ("too_near_another" in kinds(bottle("sulfur"), day=on, history=oil)) is refused
    assert ("better_apart" in warned(bottle("sulfur"), day=on, history=oil)) is warning


def test_the_label_may_ask_for_more_days_between():
    strict = bottle("sulfur", apart_d={"oil": 40})

    assert kinds(strict, day=39, history=[done("mineral_oil", day=0)]) == ["too_near_another"]


def test_captan_and_oil_lie_two_weeks_apart_though_captan_has_no_file():
    captan = bottle("captan", codes=["M04"])

    assert kinds(captan, day=13, history=[done("mineral_oil", day=0)]) == ["too_near_another"]


def test_copper_and_bicarbonate_share_no_tank():
    assert kinds(bottle("fixed_copper"), history=[done("potassium_bicarbonate", day=0)]) == ["never_together"]


@pytest.mark.parametrize(("active", "stop_c"), [("mineral_oil", 30.0), ("sulfur", 29.0), ("fatty_acid_soap", 32.0)])
def test_nothing_that_burns_is_sprayed_in_heat(active, stop_c):
    assert "too_hot" not in kinds(bottle(active), site=SITE._replace(warmest_c=stop_c))
    assert "too_hot" in kinds(bottle(active), site=SITE._replace(warmest_c=stop_c + 0.1))


def test_soap_is_no_spray_against_rust():
    assert kinds(bottle("fatty_acid_soap")) == ["not_a_fungicide"]


def test_oil_is_not_for_plants_under_stress_and_others_come_with_a_warning():
    site = SITE._replace(stressed=True, newly_planted=True)

    assert kinds(bottle("clarified_neem_extract"), site=site) == ["stressed", "newly_planted"]
    assert kinds(bottle("myclobutanil"), site=site) == []
    assert "plants_not_at_ease" in warned(bottle("myclobutanil"), site=site)


def test_oil_is_not_for_open_flowers_and_others_come_with_a_warning():
    site = SITE._replace(flowers_open=True)

    assert kinds(bottle("mineral_oil"), site=site) == ["open_flowers"]
    assert "bees" in warned(bottle("myclobutanil"), site=site)


def test_three_bottles_of_one_group_are_one_group_in_the_whole_garden():
    history = [done("myclobutanil", day=0, planting="golds"), done("propiconazole", day=14, planting="whites")]

    assert kinds(bottle("tebuconazole"), day=28, history=history) == ["too_many_running"]


def test_one_round_of_the_garden_is_one_turn():
    history = [
        done("myclobutanil", day=day, planting=name) for day, name in ((0, "golds"), (2, "whites"), (14, "golds"))
    ]

    assert kinds(bottle("tebuconazole"), day=16, history=history) == []


@pytest.mark.parametrize(("day", "told"), [(20, []), (21, ["too_many_running"])])
def test_a_round_lasts_a_week(day, told):
    history = [done("myclobutanil", day=0, planting="golds"), done("myclobutanil", day=14, planting="golds")]

    assert kinds(bottle("propiconazole"), day=day, history=history) == told


def test_a_planting_sprayed_again_begins_a_round_and_leaves_the_others_in_theirs():
    history = [done("myclobutanil", day=0, planting="golds"), done("myclobutanil", day=3, planting="whites")]
    again = [*history, done("sulfur", day=3, planting="golds")]

    assert "last_of_its_code" in warned(bottle("tebuconazole"), day=30, history=history)
    assert "last_of_its_code" not in warned(bottle("tebuconazole"), day=30, history=again)


def test_another_code_ends_a_run_and_an_oil_does_not():
    twice = [done("myclobutanil", day=0), done("propiconazole", day=14)]

    assert kinds(bottle("tebuconazole"), day=42, history=[*twice, done("chlorothalonil", day=28)]) == []
    assert kinds(bottle("tebuconazole"), day=42, history=[*twice, done("mineral_oil", day=28)]) == ["too_many_running"]


@pytest.mark.parametrize(("gap", "told"), [(120, ["too_many_running"]), (121, [])])
def test_a_run_is_forgotten_after_four_months_without(gap, told):
    twice = [done("myclobutanil", day=0), done("propiconazole", day=14)]

    assert kinds(bottle("tebuconazole"), day=14 + gap, history=twice) == told


def test_what_acts_at_several_sites_and_what_is_unclassified_may_run_on():
    assert [code for code in ("M01", "M05", "NC", "11", "BM02", "P05", "3") if is_exempt(code)] == ["M01", "M05", "NC"]
    assert kinds(bottle("chlorothalonil"), day=70, history=[done("chlorothalonil", day=14 * d) for d in range(5)]) == []


def test_a_strobilurin_alone_takes_a_third_of_the_year_and_with_a_partner_half():
    history = [done("azoxystrobin", day=0), done("chlorothalonil", day=14), done("myclobutanil", day=28)]
    partner = done("chlorothalonil", day=42)

    assert kinds(bottle("azoxystrobin"), day=42, history=history) == ["too_much_alone"]
    assert kinds(bottle("azoxystrobin"), day=42, history=[*history, partner]) == []


def test_the_last_turn_that_is_allowed_comes_with_a_warning():
    assert "last_of_its_code" in warned(bottle("propiconazole"), day=14, history=[done("myclobutanil", day=0)])
    assert "last_of_the_year" in warned(bottle("sulfur", most_applications=1))


def test_a_run_is_counted_to_both_sides_of_a_place():
    assert run_length([["3"], ["3", "M05"], ["NC"], ["3"], ["11"]], 1, "3") == 3
    assert run_length([["3"], ["11"]], 1, "3") == 0


def test_rules_can_be_made_tighter():
    tight = rules.rules_from({"most_running": 1, "oil_sulfur_d": 20, "least_interval_d": 10}, where="values")

    assert kinds(bottle(), day=9, history=[done(day=0)], hard=tight) == ["too_soon", "too_many_running"]
    assert kinds(bottle("sulfur"), day=19, history=[done("mineral_oil", day=0)], hard=tight) == ["too_near_another"]


def test_rules_cannot_be_made_looser_and_all_wishes_are_answered_at_once():
    with pytest.raises(LabelError) as told:
        rules.rules_from({"most_running": 4, "oil_sulfur_d": 7, "oil_stop_c": "hot", "luck": 1}, where="values")

    assert told.value.exit_code == 2
    for said in ("most_running is 4", "no looser than 3", "no looser than 14", "'hot'", "called 'luck'"):
        assert said in told.value.message


def test_every_rule_stands_between_its_strictest_and_its_limit():
    assert all(each.low <= getattr(USUAL, name) <= each.high for name, (each, _) in printed().items())


def test_a_sale_date_in_words_is_no_date():
    with pytest.raises(LabelError, match="must be a date"):
        read_bottle({**body(), "use_before": "next year"}, where="blue")
    assert date(2026, 1, 1) == START

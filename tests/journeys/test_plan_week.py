"""What a week advises in small invented gardens: from a severe attack to an empty shelf, from a torn label to beans."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests import invented_climates as climates
from tests import steady_weather
from tests.steady_weather import STATION

from abaxial.garden import description
from abaxial.plan.programmes.step import SPRAYS
from abaxial.report.answers.plan import Choice, Plan
from abaxial.season import week as season_week
from abaxial.season.present import told_by

AT = datetime(2026, 4, 20, 7, tzinfo=UTC)
SITE = climates.EQUATOR
NEAR = (
    'near = { hives_m = "none", fish_m = "none", animals = false, children = false, washing = false, '
    "roof_water_tank = false }\n"
)
PRINTED = {
    "form": '"liquid"', "rate": '"20 ml/l"', "sites": '["ornamentals"]', "pests": '["rust"]', "interval_d": "14",
    "most_applications": "6", "most_product": '"not printed"', "reentry_h": "12", "rain_fast_h": "2",
    "protective": '["gloves"]', "registration": '"not printed"',
}  # fmt: skip


@pytest.fixture(scope="module")
def wet_months(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the weather of two wet months, which ends now."""
    folder = tmp_path_factory.mktemp("wet months")
    now = AT.replace(tzinfo=None)
    weather = climates.lived(climates.weather_of(SITE, now - timedelta(days=60), 60), now)
    climates.write_station(folder, climates.replace(weather, rain_mm=3.0 * weather.rain_mm))
    return folder


def bed(name: str = "Quay", *, east_m: float = 0.0, near: str = NEAR) -> str:
    return f'\n[[bed]]\nname = "{name}"\narea_m2 = 8\neast_m = {east_m}\n{near}'


def planting(name: str = "Reds", bed: str = "Quay", *, host: str = "canna", clumps: int = 4, **more: object) -> str:
    words = {"name": f'"{name}"', "bed": f'"{bed}"', "since": "2026-01-05", **more}
    return steady_weather.planting(host=host, clumps=clumps, spacing_m=0.7, **words)  # type: ignore[arg-type]


def bottle(name: str, active: str = "azoxystrobin", **label: str) -> str:
    printed = {"actives": f'{{ {active} = "250 g/l" }}', **PRINTED, **label}
    lines = "".join(f"{key} = {value}\n" for key, value in printed.items() if value)
    return f'\n[[bottle]]\nname = "{name}"\nleft = "500 ml"\n[bottle.label]\n{lines}'


def walk(on: str, *seen: tuple[str, str, int, int, float]) -> str:
    looks = ", ".join(
        f'{{ planting = "{name}", part = "{part}", turned = {turned}, rusted = {rusted}'
        + (f", severity_percent = {severity:g} }}" if severity else " }")
        for name, part, turned, rusted, severity in seen
    )
    return f"\n[[walk]]\non = {on}\nseen = [{looks}]\n"


def plan_of(folder: Path, *parts: str, at: datetime = AT, minutes: int = 90) -> Plan:
    text = SITE.toml + f"\n[gardener]\nminutes = {minutes}\n" + "".join(parts) + STATION
    garden = description.garden_from_text(text, where="garden.toml", folder=folder)
    plan = season_week.week(garden, at=at, told=told_by(garden, at), draws=128).plan
    assert plan is not None
    return plan


def choice(plan: Plan, planting: str = "Reds") -> Choice:
    return next(each for each in plan.choices if each.planting == planting)


def sprayed(plan: Plan) -> Sequence[str]:
    return [step.bottle for each in plan.choices for step in each.steps if step.kind in SPRAYS]


def kinds(plan: Plan) -> set[str]:
    return {each.kind for each in (*plan.not_to_do, *plan.asks, *plan.no_hours)}


SEVERE = (
    walk("2026-04-05", ("Reds", "lower", 20, 15, 15.0)),
    walk("2026-04-12", ("Reds", "lower", 20, 18, 25.0), ("Reds", "upper", 20, 14, 12.0)),
    walk("2026-04-19", ("Reds", "lower", 20, 19, 40.0), ("Reds", "upper", 20, 17, 25.0), ("Reds", "stem", 4, 4, 0.0)),
)
LIGHT = walk("2026-04-19", ("Reds", "lower", 30, 2, 0.5), ("Reds", "upper", 30, 0, 0.0))
CLEAN = (
    walk("2026-04-12", ("Reds", "lower", 40, 0, 0.0), ("Reds", "upper", 40, 0, 0.0)),
    walk("2026-04-19", ("Reds", "lower", 40, 0, 0.0), ("Reds", "upper", 40, 0, 0.0)),
)
RARE = (
    bed("Wall", east_m=6.0),
    planting("Rare", "Wall", worth_factor=8, replaceable="false"),
    walk("2026-04-18", ("Rare", "lower", 20, 0, 0.0), ("Rare", "upper", 20, 0, 0.0)),
)
OIL = bottle("Oil", "clarified_neem_extract")
CAN = bottle("Can")


# ------------------------------------------------------------------ what is advised


def test_a_severe_attack_of_the_stems_beside_a_clean_rare_planting_is_cut_out_and_binned(wet_months: Path):
    plan = plan_of(wet_months, bed(), planting(), *RARE, OIL, CAN, *SEVERE)

    cut = next(each for each in plan.tasks if each.kind in ("cut_down", "destroy"))
    assert cut.plantings == ("Reds",)
    assert cut.disposal == "bag_and_bin"
    assert cut.precautions
    assert choice(plan, "Rare").steps == ()
    assert "never_compost" in kinds(plan)


def test_a_light_attack_does_not_lead_to_a_systemic_or_to_an_end(wet_months: Path):
    plan = plan_of(wet_months, bed(), planting(), OIL, CAN, LIGHT)

    assert {step.kind for step in choice(plan).steps} <= {
        "look", "rusted_leaves_off", "low_leaves_off", "water_at_the_foot", "thin", "oil"
    }  # fmt: skip


def test_a_light_attack_on_what_somebody_treasures_is_met_with_leaves_off_and_oil_and_no_systemic(wet_months: Path):
    dear = "\n[values]\nhour_money = 2\n"
    light = walk("2026-04-19", ("Reds", "lower", 30, 2, 2.0), ("Reds", "upper", 30, 1, 0.5))
    plan = plan_of(wet_months, dear, bed(), planting(worth_factor=20, replaceable="false"), OIL, CAN, light)

    done = {step.kind for step in choice(plan).steps}
    assert {"rusted_leaves_off", "oil"} <= done
    assert not done & {"fungicide", "cut_down", "destroy"}


def test_a_garden_with_nothing_wrong_is_left_alone(wet_months: Path):
    plan = plan_of(wet_months, bed(), planting(), OIL, CAN, *CLEAN)

    assert choice(plan).steps == ()
    assert plan.gap_frac <= 0.01


def test_three_bottles_of_one_group_are_one_group(wet_months: Path):
    treatments = "".join(
        f'\n[[treatment]]\non = {on}\nremedy = "fungicide"\nplantings = ["Reds"]\nmaterial = "{name}"\n'
        for on, name in (("2026-03-08", "One"), ("2026-03-28", "Two"))
    )
    names = (("One", "azoxystrobin"), ("Two", "trifloxystrobin"), ("Three", "azoxystrobin"))
    shelf = [bottle(name, active, registration=f'"invented {name}"') for name, active in names]
    plan = plan_of(wet_months, bed(), planting(worth_factor=100), *shelf, treatments, LIGHT)

    assert sprayed(plan) == []
    assert "too_many_running" in kinds(plan)


# ------------------------------------------------------------------ what there is not


def test_with_an_empty_shelf_only_hands_and_blades_are_left(wet_months: Path):
    plan = plan_of(wet_months, bed(), planting(worth_factor=100), *SEVERE)

    assert sprayed(plan) == []
    assert choice(plan).steps


def test_with_no_minutes_nothing_is_asked(wet_months: Path):
    plan = plan_of(wet_months, bed(), planting(worth_factor=100), OIL, CAN, *SEVERE, minutes=0)

    assert choice(plan).steps == ()
    assert {each.details["rule"] for each in choice(plan).binding} >= {"minutes"}


def test_flowers_that_somebody_expects_make_rust_dearer_by_no_more_than_they_are_worth(wet_months: Path):
    bare, full = (
        plan_of(wet_months, bed(), planting(flower_stems_per_week=stems), *SEVERE, minutes=0) for stems in (0, 14)
    )

    assert 0.0 < full.cost - bare.cost < full.values["flower_money"] * 14 * 6


def test_a_plan_asked_for_in_the_past_knows_nothing_of_what_was_seen_later(wet_months: Path):
    then = AT - timedelta(days=10)
    garden = (bed(), planting(), OIL, CAN, *SEVERE[:1])
    before, after = (plan_of(wet_months, *garden, *more, at=then) for more in ((), SEVERE[1:]))

    assert before.choices == after.choices
    assert all(day >= then.date() for each in after.tasks for day in each.days)


def test_where_the_weather_ends_no_hour_is_promised_for_a_spray(wet_months: Path):
    plan = plan_of(wet_months, bed(), planting(worth_factor=100), OIL, CAN, *SEVERE)

    assert not any(step.week == 0 and step.kind in SPRAYS for step in choice(plan).steps)
    assert all(not each.bottle for each in plan.tasks)
    assert [each.kind for each in plan.no_hours] == ["no_forecast"]


# ------------------------------------------------------------------ what may not be


@pytest.mark.parametrize(
    ("shelf", "reason"),
    [
        (bottle("Can", sites='["roses"]'), "no_bottle_fits"),
        (bottle("Can", pests='["black spot"]'), "no_bottle_fits"),
        (bottle("Can", rate="", interval_d=""), "label_asked"),
        (bottle("Can", licensed_only="true"), "licensed_only"),
    ],
    ids=["another site", "another pest", "a torn label", "for others"],
)
def test_a_bottle_that_may_not_be_used_is_not_advised_and_said_to_be_so(wet_months: Path, shelf: str, reason: str):
    plan = plan_of(wet_months, bed(), planting(worth_factor=100), shelf, *SEVERE)

    assert sprayed(plan) == []
    assert reason in kinds(plan)


def test_a_home_brew_is_never_advised(wet_months: Path):
    brew = '\n[[bottle]]\nname = "Garlic water"\nkind = "home_brew"\n'
    plan = plan_of(wet_months, bed(), planting(worth_factor=100), brew, *SEVERE)

    assert sprayed(plan) == []


@pytest.mark.parametrize(("host", "crop"), [("bean", "beans"), ("mint", "mint")])
def test_what_is_eaten_gets_nothing_unless_its_own_crop_is_on_the_label(wet_months: Path, host: str, crop: str):
    eaten = planting("Reds", host=host, worth_factor=1000, clumps=12)
    rusty = walk("2026-04-19", ("Reds", "lower", 20, 12, 5.0), ("Reds", "upper", 20, 6, 2.0))
    named = bottle("Named", "sulfur", sites=f'["{crop}", "ornamentals"]', harvest_d="1", most_applications="8")
    general = bottle("General", "sulfur")
    alone, both = (plan_of(wet_months, bed(), eaten, *shelf, rusty) for shelf in ((general,), (general, named)))

    assert "no_bottle_fits" in kinds(alone)
    assert sprayed(alone) == []
    assert "no_bottle_fits" not in kinds(both)
    assert "General" not in sprayed(both)


def test_a_bed_that_nobody_was_asked_about_gets_no_spray_and_is_asked_about(wet_months: Path):
    plan = plan_of(wet_months, bed(near=""), planting(worth_factor=100), OIL, CAN, LIGHT)

    asked = next(each for each in plan.asks if "bed" in each.details)
    assert asked.details["bed"] == "Quay"
    assert "hives_m" in asked.details["questions"]
    assert sprayed(plan) == []
    assert all(not each.bottle for each in plan.tasks)

"""From a walk that somebody wrote down to what the week says is there."""

import json
import math
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from tests import invented_climates as climates
from tests import steady_weather
from tests.steady_weather import STATION

from abaxial import host
from abaxial.errors import GardenError, ScoutingError
from abaxial.garden import description
from abaxial.report import render, schema
from abaxial.report.answers.week import PlantingWeek, WeekAnswer
from abaxial.scouting.sightings import Sighting
from abaxial.season import week as season_week

AT = datetime(2026, 4, 20, 7)  # ten in the morning of that day in Kampala
TODAY = date(2026, 4, 20)
SITE = climates.EQUATOR
BED = steady_weather.bed()
LILIES = steady_weather.planting(clumps=12, spacing_m=0.4, since="2026-01-05")


@cache
def weather():
    return climates.lived(climates.weather_of(SITE, AT - timedelta(days=60), 60), AT)


def week_with(folder: Path, *parts: str, at: datetime = AT) -> WeekAnswer:
    """The week of a garden under invented weather; parts : of its description."""
    climates.write_station(folder, weather())
    return steady_weather.week_of(folder, SITE.toml + "".join((BED, LILIES, *parts)) + STATION, at=at, draws=256)


def looked(*rusted: int, turned: int = 20, until: date = TODAY, planting: str = "Lilies") -> str:
    """Walks a week apart, the last on a date, each with so many of its leaves rusted."""
    days = [until - timedelta(days=7 * back) for back in reversed(range(len(rusted)))]
    return "".join(
        f'\n[[walk]]\non = {day}\nseen = [{{ planting = "{planting}", turned = {turned}, rusted = {found} }}]\n'
        for day, found in zip(days, rusted, strict=True)
    )


def kinds(answer: WeekAnswer) -> list[str]:
    return [each.kind for each in answer.unknown]


def only(answer: WeekAnswer) -> PlantingWeek:
    return steady_weather.only_planting(answer)


def test_leaves_found_rusted_make_more_likely_than_leaves_found_clean(tmp_path: Path):
    many, none, unseen = (only(week_with(tmp_path, walks)) for walks in (looked(6, 9, 14), looked(0, 0, 0), ""))

    for share in ("showing_frac", "latent_frac"):
        found, clean, weather_alone = (getattr(each.estimate, share) for each in (many, none, unseen))
        assert clean.high < found.low
        assert clean.high < weather_alone.high
    assert none.estimate.any_rust_frac < unseen.estimate.any_rust_frac
    assert (many.headline.kind, many.card.kind) == ("growing_rust", "card_growing")
    assert none.card.kind == "card_clean"
    assert unseen.card.kind == "card_unlooked"


def test_a_longer_look_that_finds_nothing_leaves_less_room_for_rust(tmp_path: Path):
    few, many = (only(week_with(tmp_path, looked(0, 0, turned=turned))).estimate for turned in (4, 60))

    assert many.any_rust_frac < few.any_rust_frac


def test_growing_rust_is_looked_at_on_two_of_the_gardeners_days(tmp_path: Path):
    page = only(week_with(tmp_path, looked(6, 9, 14, until=TODAY - timedelta(days=5))))

    first, second = page.look_days
    assert first >= TODAY
    assert second >= first + timedelta(days=3)


def test_leaves_turned_today_are_not_asked_for_again_tomorrow(tmp_path: Path):
    page = only(week_with(tmp_path, looked(6, 9, 14)))

    assert page.look_days[0] >= TODAY + timedelta(days=3)


def test_a_walk_after_the_moment_asked_about_is_not_looked_at(tmp_path: Path):
    before = only(week_with(tmp_path, looked(2, 5)))
    with_later = only(week_with(tmp_path, looked(2, 5), looked(20, until=TODAY + timedelta(days=1))))

    assert with_later == before


def test_a_walk_of_the_same_morning_is_looked_at(tmp_path: Path):
    page = only(week_with(tmp_path, looked(3)))

    assert [(each.on, each.rusted) for each in page.estimate.looks] == [(TODAY, 3)]


def test_a_walk_after_midnight_and_before_dawn_counts_for_the_day_it_is_written_to(tmp_path: Path):
    at = datetime(2026, 4, 19, 22)  # one in the morning of the 20th in Kampala
    page = only(week_with(tmp_path, looked(3), at=at))

    assert [each.on for each in page.estimate.looks] == [TODAY]


def test_looks_say_what_they_would_say_alone(tmp_path: Path):
    seen = '\n[[walk]]\non = 2026-04-18\nseen = [{ planting = "Lilies", turned = 40, rusted = 10, severity_percent = 4 }]\n'
    [look] = only(week_with(tmp_path, seen)).estimate.looks

    assert look.incidence.low < 0.25 < look.incidence.high
    assert look.severity_frac == pytest.approx(0.04)


def test_plants_and_blisters_are_told_as_some_or_none(tmp_path: Path):
    seen = (
        '\n[[walk]]\non = 2026-04-18\nseen = [{ planting = "Lilies", unit = "plant", turned = 6, rusted = 2 },'
        ' { planting = "Lilies", part = "lower", pustules_per_leaf = 0 }]\n'
    )
    looks = only(week_with(tmp_path, seen)).estimate.looks

    assert [(each.amount, each.turned, each.incidence) for each in looks] == [
        ("some", None, None),
        ("none", None, None),
    ]


def test_a_walk_that_names_a_planting_that_is_not_there_is_refused_by_name(tmp_path: Path):
    with pytest.raises(GardenError, match=r"'Lilacs', which is not there") as refused:
        week_with(tmp_path, looked(3, planting="Lilacs"))

    assert "Lilies" in refused.value.remedy


def test_a_walk_that_cannot_be_read_is_refused_with_its_place(tmp_path: Path):
    with pytest.raises(ScoutingError, match="walk 1, seen 1, rusted"):
        week_with(tmp_path, looked(30))


def test_sightings_of_a_planting_that_is_gone_are_told_and_not_used(tmp_path: Path):
    climates.write_station(tmp_path, weather())
    garden = description.garden_from_text(SITE.toml + BED + LILIES + STATION, where="garden.toml", folder=tmp_path)
    gone = Sighting("Old hedge", date(2026, 4, 1), turned=10, rusted=4)
    answer, plain = (
        season_week.week(garden, at=AT.replace(tzinfo=UTC), told=season_week.Told(sightings=seen), draws=256)
        for seen in ((gone,), ())
    )

    [stray] = [each for each in answer.unknown if each.kind == "stray_sightings"]
    assert stray.details == {"planting": "Old hedge", "count": 1}
    assert answer.plantings == plain.plantings


def test_looks_from_before_the_leaves_or_the_record_are_counted_and_left_out(tmp_path: Path):
    early = looked(3, 4, until=date(2025, 10, 1)) + looked(2)
    answer = week_with(tmp_path, early)

    asked = [each for each in answer.unknown if each.kind == "planting_not_yet_there"]
    assert len(asked) == 2
    assert len(only(answer).estimate.looks) == 1


def test_where_nobody_looked_that_is_said_once(tmp_path: Path):
    two = steady_weather.planting(host="canna", clumps=5, spacing_m=0.6, since="2026-01-02", name='"Cannas"')
    answer = week_with(tmp_path, two)

    assert kinds(answer).count("nobody_looked") == 1
    assert {each.card.kind for each in answer.plantings} == {"card_unlooked"}
    assert "nobody_looked" not in kinds(week_with(tmp_path, two, looked(1)))


def test_walks_teach_something_of_the_gardens_own_numbers(tmp_path: Path):
    learned = {(each.name, each.of): each for each in week_with(tmp_path, looked(4, 8, 15)).learned}

    assert {"", "daylily rust", "Lilies"} <= {of for _, of in learned}
    for each in learned.values():
        assert each.prior.low <= each.prior.mid <= each.prior.high
    start = learned["local_infection_per_d", "daylily rust"]
    assert start.posterior.mid > start.prior.low


def test_the_walk_that_changed_most_is_named_first(tmp_path: Path):
    moved = only(week_with(tmp_path, looked(6, 9, 14))).estimate.moved

    walks = [each.details for each in moved if each.kind == "moved_by_walk"]
    steps = [abs(math.log(each["after"].mid / each["before"].mid)) for each in walks]
    assert {each.kind for each in moved} <= {"moved_by_walk", "moved_by_night"}
    assert steps == sorted(steps, reverse=True)
    last = next(each for each in walks if each["on"] == TODAY)
    assert last["after"].mid > last["before"].mid


def test_rust_found_where_none_was_to_be_expected_asks_for_a_second_look_before_all_else(tmp_path: Path):
    page = only(week_with(tmp_path, looked(0, 0, 12)))

    assert page.headline.kind == "look_disagrees"
    assert page.headline.details["rusted"] == 12
    assert page.look_days[0] == TODAY + timedelta(days=1)


def test_a_look_far_from_what_was_to_be_expected_is_named(tmp_path: Path):
    against = only(
        week_with(tmp_path, looked(0, 0, 0, turned=60) + looked(60, turned=60, until=TODAY - timedelta(1)))
    ).estimate

    assert [each.kind for each in against.against][:1] == ["look_disagrees"]
    assert all(each.details["tail_frac"] < 0.02 for each in against.against)


# ------------------------------------------------------------------ gardens with little in them


def test_plants_cut_to_the_ground_yesterday_have_no_leaves_and_show_no_rust(tmp_path: Path):
    cut = LILIES + "cut_down = [2026-04-19]\n"
    climates.write_station(tmp_path, weather())
    answer = steady_weather.week_of(
        tmp_path, SITE.toml + BED + cut + looked(9, until=date(2026, 4, 15)) + STATION, at=AT
    )

    page = only(answer)
    assert (page.headline.kind, page.card.kind) == ("no_leaves", "card_gone")
    assert page.estimate.showing_frac.high == page.estimate.any_rust_frac == 0.0
    assert page.look_days is None


def test_a_planting_of_no_clumps_has_nothing_to_be_rusted(tmp_path: Path):
    none = steady_weather.planting(clumps=0, spacing_m=0.5, since="2026-01-05", name='"Gap"')
    pages = {each.planting: each for each in week_with(tmp_path, none, looked(4)).plantings}

    assert pages["Gap"].card.kind == "card_gone"
    assert pages["Gap"].estimate.any_rust_frac == 0.0
    assert pages["Lilies"].estimate.any_rust_frac > 0.9


def test_a_planting_whose_rust_nobody_knows_is_left_out_with_its_walks(tmp_path: Path):
    installed = Path(host.__file__).parent / "species" / "daylily.toml"
    (tmp_path / "hosts").mkdir()
    text = re.sub(r"(?m)^rust = .*$", 'rust = ""', installed.read_text(encoding="utf-8"))
    (tmp_path / "hosts" / "kniphofia.toml").write_text(text, encoding="utf-8")
    climates.write_station(tmp_path, weather())
    pokers = steady_weather.planting(host="kniphofia", clumps=4, spacing_m=0.5, since="2026-01-05", name='"Pokers"')
    answer = steady_weather.week_of(tmp_path, SITE.toml + BED + pokers + looked(3, planting="Pokers") + STATION, at=AT)

    assert answer.plantings == ()
    assert "no_rust_known" in kinds(answer)


def test_a_garden_without_plants_has_no_estimate_and_no_error(tmp_path: Path):
    climates.write_station(tmp_path, weather())
    answer = steady_weather.week_of(tmp_path, SITE.toml + BED + STATION, at=AT)

    assert answer.headline.kind == "empty_garden"
    assert answer.learned == ()


# ------------------------------------------------------------------ the answer as a file


def test_forecasts_by_date_and_quantile_stand_in_the_answer_of_every_planting(tmp_path: Path):
    two = steady_weather.planting(host="canna", clumps=5, spacing_m=0.6, since="2026-01-02", name='"Cannas"')
    told = json.loads(render.json_text(week_with(tmp_path, two, looked(2, 6))))

    committed = Path(schema.__file__).parent / "schemas" / "week.json"
    validator = Draft202012Validator(json.loads(committed.read_text(encoding="utf-8")))
    assert [error.message for error in validator.iter_errors(told)] == []
    for page in told["answer"]["plantings"]:
        forecasts = page["estimate"]["forecasts"]
        assert {each["day"] for each in forecasts} == {str(TODAY + timedelta(days=7 * week)) for week in range(7)}
        assert {each["part"] for each in forecasts} == {"all", "lower", "upper"}
        for each in forecasts:
            values = [each["quantiles"][share] for share in ("0.05", "0.1", "0.25", "0.5", "0.75", "0.9", "0.95")]
            assert values == sorted(values)
            assert 0.0 <= values[0] <= values[-1] <= 1.0


def test_the_days_of_an_estimate_run_from_four_weeks_back_to_six_ahead(tmp_path: Path):
    days = only(week_with(tmp_path, looked(2))).estimate.days

    assert [each.day for each in days] == [TODAY + timedelta(days=offset) for offset in range(-28, 43)]
    assert [each.ahead for each in days] == [offset > 0 for offset in range(-28, 43)]


def test_the_same_walks_and_seed_give_the_same_estimate(tmp_path: Path):
    walks = looked(2, 5)

    assert week_with(tmp_path, walks) == week_with(tmp_path, walks)


def test_the_order_in_which_walks_are_written_does_not_matter(tmp_path: Path):
    one, two = looked(2, until=TODAY - timedelta(days=9)), looked(6, until=TODAY - timedelta(days=2))

    assert replace(week_with(tmp_path, one, two), passport=None) == replace(
        week_with(tmp_path, two, one), passport=None
    )

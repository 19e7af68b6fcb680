"""The invented garden: always the same, whole, and labelled as invented."""

import json
from datetime import date, datetime
from pathlib import Path

import pytest

from abaxial import hours
from abaxial.garden import description, flowers
from abaxial.host import species
from abaxial.season import demo, record


@pytest.fixture(scope="module")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo.lay_out(tmp_path_factory.mktemp("demo"))


def test_it_says_that_it_is_invented_wherever_it_can(laid_out: Path):
    garden = description.read_garden(laid_out)
    forecast = json.loads((laid_out.parent / "forecast.json").read_text(encoding="utf-8"))

    assert garden.invented
    assert "invented" in garden.name
    assert forecast["invented"] is True


def test_it_has_contrasting_beds_several_hosts_and_one_with_cannas(laid_out: Path):
    garden = description.read_garden(laid_out)

    assert 6 <= len(garden.beds) <= 10
    assert {each.watering.manner for each in garden.beds} == {"none", "overhead", "soil"}
    assert {each.host for each in garden.plantings} >= {"canna", "maranta", "daylily", "pelargonium", "bean"}
    assert all(species.read_species(each.host).key == each.host for each in garden.plantings)


def test_of_every_planting_somebody_has_looked_for_open_flowers(laid_out: Path):
    garden = description.read_garden(laid_out)
    known = {flowers.flowers_open(each, date.fromisoformat(demo.TODAY[:10])) for each in garden.plantings}

    assert known == {True, False}


def test_laid_out_twice_it_is_the_same(laid_out: Path, tmp_path: Path):
    again = demo.lay_out(tmp_path)

    for name in ("garden.toml", "weather.csv", "forecast.json"):
        assert (again.parent / name).read_bytes() == (laid_out.parent / name).read_bytes()


def test_nothing_else_is_left_in_its_folder(laid_out: Path):
    assert {each.name for each in laid_out.parent.iterdir()} == {"garden.toml", "weather.csv", "forecast.json"}


def test_its_weather_reaches_to_its_own_morning_and_its_forecast_a_week_beyond(laid_out: Path):
    garden = description.read_garden(laid_out)
    now = hours.hour_of(datetime.fromisoformat(demo.TODAY).replace(tzinfo=hours.zone_named(garden.place.zone)))
    known = record.weather_of(garden, now)

    assert known.nothing is None
    assert known.until_hour == now
    assert known.rain_unknown_days == 0
    assert max(each.end_hour for each in known.forecasts) == pytest.approx(now + 24 * 7, abs=2)


def test_its_weather_is_that_of_no_desert_and_no_flood(laid_out: Path):
    garden = description.read_garden(laid_out)
    lived = record.weather_of(garden, record.END_OF_TIME).lived
    days = lived.hours / 24

    assert 2.0 < lived.rain_mm.sum() / days < 6.0
    assert 5.0 < lived.temperature_c.min() < lived.temperature_c.max() < 38.0

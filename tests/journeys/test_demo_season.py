"""The invented garden's season: what was sprayed there was allowed, at an hour that was open, and is a complete record."""

import csv
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from abaxial import hours
from abaxial.cli import main
from abaxial.garden.description import read_garden
from abaxial.journal.body.details import WEATHER
from abaxial.journal.shelf.treatment import Treatment
from abaxial.season import demo
from abaxial.season.opening import open_garden
from abaxial.season.present import told_of
from abaxial.season.tending import doing, mixing, spray_hours

ZONE = hours.zone_named("Pacific/Norfolk")
TODAY = datetime.fromisoformat(demo.TODAY).replace(tzinfo=ZONE)


@pytest.fixture(scope="module")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo.lay_out(tmp_path_factory.mktemp("demo"))


def sprayings(path: Path) -> Iterator[Treatment]:
    return (each for each in open_garden(path, at=TODAY).done if each.is_application)


def test_a_season_of_work_stands_in_its_journal(laid_out: Path):
    opened = open_garden(laid_out, at=TODAY)

    assert {each.remedy for each in opened.done} == {
        "cut_down", "fungicide", "litter_cleared", "low_leaves_off", "oil", "rusted_leaves_off", "tools_cleaned",
    }  # fmt: skip
    assert {each.task for each in opened.declined} == {"water_at_the_foot"}
    assert opened.questions == ()
    cut = [each for each in opened.done if each.remedy in ("cut_down", "low_leaves_off", "rusted_leaves_off")]
    assert {each.disposal for each in cut} == {"bag_and_bin"}


def test_every_spraying_was_mixed_as_its_label_allows_and_went_on_at_an_open_hour(laid_out: Path, tmp_path: Path):
    for each in sprayings(laid_out):
        morning = datetime.combine(each.on, datetime.min.time(), ZONE) + timedelta(hours=6, minutes=30)
        there = read_garden(demo.lay_out(tmp_path, moment=morning.replace(tzinfo=None).isoformat()))
        before = tuple(one for one in there.treatments if one.options["on"] < each.on)  # type: ignore[operator]
        garden = replace(there, treatments=before)

        card = mixing.mixing(garden, at=morning, bottles=[each.bottle], plantings=each.plantings)
        assert card.mix is not None, (each.on, card.refusals, card.hindrances)
        assert card.mix.whole_l == pytest.approx(each.water_l)
        assert card.mix.doses[0].whole == pytest.approx(each.product_ml)
        [bed] = spray_hours.spray_hours(garden, at=morning, bottle=each.bottle, bed=card.bed).beds
        assert each.started is not None
        assert each.ended is not None
        begun, over = each.started, each.ended
        assert any(one.start <= begun and over <= one.end for one in bed.open), (each.on, bed.open)


def test_the_weather_of_each_spraying_is_that_of_its_hour(laid_out: Path):
    opened = open_garden(laid_out, at=TODAY)
    garden, told = opened.garden, told_of(opened)
    where = {each.name: garden.bed_of(each) for each in garden.plantings}

    for each in sprayings(laid_out):
        assert each.started is not None
        bed = where[each.plantings[0]]
        known = doing.weather_of_hour(garden, bed, hour=each.started, at=TODAY, told=told)
        assert each.said["weather"] == pytest.approx(known)


def test_the_record_of_its_sprayings_is_complete(laid_out: Path, folder: Path):
    demo.lay_out(folder)
    assert main.run(["garden", "import", "garden.toml", "home.abaxial", "--at", demo.TODAY]) == 0
    assert main.run(["garden", "export", "home.abaxial", "--out", "tables.csv"]) == 0

    with (folder / "tables.csv" / "spray_record.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == len(list(sprayings(laid_out)))
    for row in rows:
        assert row["missing"] == ""
        needed = ("started", "ended", "product_ml", "water_l", "area_m2", "rate", "registration", "codes", *WEATHER)
        assert [name for name in needed if not row[name]] == []

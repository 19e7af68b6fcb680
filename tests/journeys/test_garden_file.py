"""A garden's way through its file: the same week as its description's, weather as it came, and what was known when."""

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests import invented_climates as climates
from tests import steady_weather
from tests.rooms.invented_batches import NOON, batch, forecast
from tests.steady_weather import STATION

from abaxial import hours
from abaxial.assimilation import sampler
from abaxial.cli import main
from abaxial.garden.description import read_garden
from abaxial.records.weather_batches import WeatherBatch, in_standing, lived_series
from abaxial.season import demo, record
from abaxial.season.opening import Opened, open_garden
from abaxial.weather import series
from abaxial.weather.series import VARIABLES, Mark

AT = datetime(2026, 4, 20, 7, tzinfo=UTC)
NOW = ("--at", "2026-04-20T07:00Z")
FORECAST = '\n[[weather]]\nfile = "garden_forecast.json"\nform = "forecast_json"\n'
NOTEBOOK = '\n[[weather]]\nfile = "book.csv"\nform = "notebook"\nread_at = 7\n'
LILIES = steady_weather.planting(clumps=12, spacing_m=0.4, since="2026-01-05")
WALK = '\n[[walk]]\non = 2026-04-16\nseen = [{ planting = "Lilies", part = "lower", turned = 20, rusted = 3 }]\n'


def run(*words: str) -> None:
    assert main.run([*words]) == 0


def week(capsys: pytest.CaptureFixture[str], *words: str) -> Mapping[str, Any]:
    """The week as JSON, without its passport."""
    capsys.readouterr()
    run("week", *words, "--json", "--draws", "64")
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    told.pop("passport")
    told["answer"].pop("passport")
    return told


def describe(folder: Path, *more: str) -> Path:
    """A description with a station's file beside it, sixty days long."""
    climates.write_station(
        folder, climates.lived(climates.weather_of(climates.EQUATOR, AT - timedelta(days=60), 60), AT)
    )
    path = folder / "garden.toml"
    path.write_text(climates.EQUATOR.toml + steady_weather.bed() + LILIES + STATION + "".join(more))
    return path


def silent(arrived: WeatherBatch) -> WeatherBatch:
    """A batch of which the reader had nothing to say."""
    return replace(arrived, members=tuple(replace(each, findings=()) for each in arrived.members))


def known(opened: Opened, at: datetime = AT) -> record.Known:
    return record.weather_of(opened.garden, hours.hour_of(at), opened.batches)


# ------------------------------------------------------------------ the same week


def test_the_invented_garden_has_the_same_week_in_a_file(folder: Path, capsys: pytest.CaptureFixture[str]):
    path = demo.lay_out(folder)
    run("garden", "import", path.name, "home.abaxial", "--at", demo.TODAY)

    described, kept = (week(capsys, name, "--at", demo.TODAY) for name in (path.name, "home.abaxial"))
    assert described == kept


def test_walks_notes_and_all_forms_of_weather_come_along(folder: Path, capsys: pytest.CaptureFixture[str]):
    note = '\n[[noted]]\nleaves = "dripping"\nat = "2026-04-18 07:00"\n'
    path = describe(folder, FORECAST, NOTEBOOK, WALK, note)
    (folder / "book.csv").write_text(
        "date,min_c,max_c,rain_mm\n2026-04-18,15,27,4\n2026-04-19,16,26,\n2026-04-20,15,25,9\n"
    )
    ahead = climates.weather_of(climates.EQUATOR, AT - timedelta(days=10), 17)
    climates.write_forecast(folder, ahead, read_garden(path).place)
    run("garden", "import", "garden.toml", "home.abaxial", *NOW)

    described, kept = (week(capsys, name, *NOW) for name in ("garden.toml", "home.abaxial"))
    assert described == kept
    kinds = [each.kind for each in open_garden(folder / "home.abaxial", at=AT).batches or ()]
    assert kinds == ["station", "notebook", "forecast"]


def test_a_described_garden_goes_out_and_in_again_with_the_same_week(folder: Path, capsys: pytest.CaptureFixture[str]):
    describe(folder, WALK)
    run("garden", "import", "garden.toml", "home.abaxial", *NOW)
    (folder / "out").mkdir()
    run("garden", "export", "home.abaxial", "--out", "out/garden.toml")

    described, again = (week(capsys, name, *NOW) for name in ("garden.toml", "out/garden.toml"))
    assert described == again


# ------------------------------------------------------------------ weather as it comes


def test_a_station_that_has_grown_is_added_again(folder: Path):
    path = describe(folder)
    whole = (folder / "station.csv").read_text()
    lines = whole.splitlines()
    (folder / "station.csv").write_text("\n".join(lines[: -24 * 5]))
    run("garden", "import", "garden.toml", "home.abaxial", "--at", "2026-04-15T07:00Z")
    (folder / "station.csv").write_text(whole)
    layout = STATION.replace("[[weather]]\n", "").replace('file = "station.csv"\n', "")
    (folder / "layout.toml").write_text(layout)
    for _ in range(2):
        run("weather", "add", "station.csv", "home.abaxial", "--form", "delimited", "--layout", "layout.toml", *NOW)

    described, kept = (known(open_garden(each, at=AT)).lived for each in (path, folder / "home.abaxial"))
    assert len(open_garden(folder / "home.abaxial", at=AT).batches or ()) == 2
    for name in VARIABLES:
        np.testing.assert_array_equal(described.variable(name), kept.variable(name))
    early = open_garden(folder / "home.abaxial", at=AT - timedelta(days=2))
    assert known(early).until_hour == hours.hour_of(AT - timedelta(days=5))


def test_an_old_forecast_added_again_is_not_taken_for_what_happened(folder: Path, capsys: pytest.CaptureFixture[str]):
    path = describe(folder)
    ahead = climates.weather_of(climates.EQUATOR, AT - timedelta(days=3), 10)
    climates.write_forecast(folder, ahead, read_garden(path).place)
    run("garden", "import", "garden.toml", "home.abaxial", *NOW)
    add = ("weather", "add", "garden_forecast.json", "home.abaxial", "--form", "forecast_json", "--at")
    run(*add, "2026-04-20T08:00Z")
    run(*add, "2026-04-26T08:00Z")

    assert "lies there already, as number 2" in capsys.readouterr().out
    [_, told] = open_garden(folder / "home.abaxial", at=None).batches or ()
    later = hours.hour_of(AT) + 24 - told.members[0].first_hour
    assert told.members[0].marks["temperature_c"][later] & Mark.FORECAST


def test_weather_of_a_garden_file_is_shown_checked_and_made_wetness(folder: Path, capsys: pytest.CaptureFixture[str]):
    describe(folder)
    run("garden", "import", "garden.toml", "home.abaxial", *NOW)
    capsys.readouterr()

    run("weather", "show", "home.abaxial")
    run("weather", "check", "home.abaxial", "--json")
    shown = capsys.readouterr().out
    assert "station.csv: 1440 hours" in shown
    assert '"schema": "abaxial/weather-check/1"' in shown
    assert str(folder) not in shown

    run("weather", "wet", "home.abaxial", *NOW)
    kept = capsys.readouterr().out
    run("weather", "wet", "garden.toml", *NOW)
    assert capsys.readouterr().out == kept
    assert len(kept.splitlines()) > 1000


# ------------------------------------------------------------------ which is believed


def test_batches_are_joined_by_the_stores_own_rule(folder: Path):
    garden = read_garden(describe(folder))
    came = forecast(NOON, members=3), batch(), forecast(NOON + timedelta(days=1), members=1)
    batches = [silent(each) for each in came]
    until = hours.hour_of(NOON + timedelta(days=2))

    joined = record.weather_of(garden, until, in_standing(batches)).lived
    wanted = lived_series(batches, until)
    both = np.isfinite(wanted.temperature_c)
    np.testing.assert_array_equal(joined.temperature_c[both], wanted.temperature_c[both])
    assert (joined.first_hour, joined.end_hour) == (wanted.first_hour, wanted.end_hour)


def test_of_forecasts_the_newest_counts_and_an_ensemble_before_a_single_one_of_its_day(folder: Path):
    garden = read_garden(describe(folder))

    def chosen(*given: tuple[int, int]) -> int:
        """Members of the forecast that is gone by. given : for each, hours before now it was issued, and its members."""
        batches = [silent(forecast(NOON - timedelta(hours=age), members=count)) for age, count in given]
        return len(record.weather_of(garden, hours.hour_of(NOON), in_standing(batches)).forecasts)

    assert chosen((0, 1), (3, 5)) == 5
    assert chosen((0, 1), (30, 5)) == 1
    assert chosen((0, 3), (2, 5)) == 3
    assert chosen() == 0


def test_a_forecast_that_was_overtaken_is_not_observed(folder: Path):
    garden = read_garden(describe(folder))
    told = silent(forecast(NOON, members=1))
    later = hours.hour_of(NOON) + 12

    lived = record.weather_of(garden, later, (told,)).lived
    here = series.between(lived, later - 6, later)
    assert (here.marks["temperature_c"] & Mark.FORECAST).all()


# ------------------------------------------------------------------ what was known when


def test_a_note_written_later_does_not_change_what_was_said_before(folder: Path, capsys: pytest.CaptureFixture[str]):
    describe(folder)
    run("garden", "import", "garden.toml", "home.abaxial", *NOW)
    before = week(capsys, "home.abaxial", *NOW)
    later = ("--at", "2026-04-20T09:00Z")
    run("walk", "home.abaxial", "--seen", "Lilies: 20 low, 9 rusted", "--on", "2026-04-18", *later)
    run("note", "home.abaxial", "cut_down", "planting=Lilies", "--on", "2026-04-19", *later)

    assert week(capsys, "home.abaxial", *NOW) == before
    assert week(capsys, "home.abaxial", *later)["answer"] != before["answer"]


def test_what_the_journal_asks_stands_on_the_page_of_the_week(folder: Path, capsys: pytest.CaptureFixture[str]):
    describe(folder)
    run("garden", "import", "garden.toml", "home.abaxial", *NOW)
    run("note", "home.abaxial", "destroyed", "planting=Lilies", "clumps=20", *NOW)

    told = week(capsys, "home.abaxial", *NOW)
    assert "fewer_clumps_than_taken" in [each["kind"] for each in told["questions"]]


def test_what_was_kept_is_taken_up_again_until_something_that_bears_on_it_changes(folder: Path):
    describe(folder)
    run("garden", "import", "garden.toml", "home.abaxial", *NOW)
    shelf = open_garden(folder / "home.abaxial", at=AT + timedelta(minutes=45)).shelf
    assert shelf is not None
    today = hours.day_of(AT.date())
    shelf.keep("estimate", today, {"seed": "1"}, b"versions")

    assert shelf.take("estimate", today, {"seed": "1"}) == b"versions"
    assert shelf.take("estimate", today, {"seed": "2"}) is None
    run("note", "home.abaxial", "rain_noted", "rain_mm=3", "--on", "2026-04-19", "--at", "2026-04-20T07:30Z")
    assert shelf.take("estimate", today, {"seed": "1"}) is None
    assert open_garden(folder / "garden.toml", at=AT).shelf is None


def test_the_week_takes_up_the_versions_of_an_earlier_week(folder: Path, monkeypatch: pytest.MonkeyPatch):
    describe(folder)
    run("garden", "import", "garden.toml", "home.abaxial", *NOW)
    run("walk", "home.abaxial", "--seen", "Lilies: 14 low, 2 rusted", *NOW)
    told = []
    look = sampler.look

    def counted(*each: Any) -> Any:
        told.append(each[2])
        return look(*each)

    monkeypatch.setattr(sampler, "look", counted)
    run("week", "home.abaxial", "--draws", "64", "--out", "first.json", *NOW)
    once = len(told)
    run("week", "home.abaxial", "--draws", "64", "--out", "second.json", *NOW)

    assert once >= 1
    assert len(told) == once

"""The hourly table of wet leaves."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests import steady_weather
from tests.steady_weather import EQUATOR, STATION, Hour

from abaxial.errors import RequestError, WeatherError
from abaxial.garden import description
from abaxial.season import wet
from abaxial.season.wet import WetTable

AT = datetime(2026, 3, 22, 12)


def table(folder: Path, *, plantings: str = "", only: str | None = None, station: str = STATION) -> WetTable:
    """Two beds; rain on the last day from three to five in the morning."""

    def hour_of(moment: datetime) -> Hour:
        raining = moment.day == 22 and 3 <= moment.hour < 5
        return Hour(20.0, 0.97 if raining else 0.5, rain_mm=2.0 if raining else 0.0)

    steady_weather.write_station(folder, hour_of, at=AT, days=4)
    text = EQUATOR + steady_weather.bed() + steady_weather.bed(name="Pier") + plantings + station
    garden = description.garden_from_text(text, where="garden.toml", folder=folder)
    return wet.wet_table(garden, bed=only, at=AT.replace(tzinfo=UTC))


def rows(seen: WetTable, hour: int) -> list[dict]:
    """The rows of one hour of the last day."""
    told = [dict(zip(seen.header, row, strict=True)) for row in seen.rows]
    return [each for each in told if each["utc"] == f"2026-03-22T{hour:02}:00Z"]


def test_every_hour_stands_in_the_table_once_for_each_leaf(tmp_path: Path):
    seen = table(tmp_path, plantings=steady_weather.planting())

    # two levels of the lilies, one leaf over the bare bed
    assert len(seen.rows) == 4 * 24 * 3
    assert [(each["bed"], each["level"]) for each in rows(seen, 4)] == [
        ("Quay", "lower"),
        ("Quay", "upper"),
        ("Pier", "open"),
    ]


def test_leaves_are_wet_in_the_rain_and_dry_at_noon(tmp_path: Path):
    seen = table(tmp_path)

    assert {each["wet"] for each in rows(seen, 4)} == {1}
    assert {each["wet"] for each in rows(seen, 11)} == {0}
    assert all(each["film_mm"] > 0.05 for each in rows(seen, 4))


def test_no_film_and_no_share_is_ever_outside_what_can_be(tmp_path: Path):
    for row in table(tmp_path).rows:
        told = dict(zip(wet.HEADER, row, strict=True))
        assert 0.0 <= told["wet_frac"] <= 1.0
        assert told["film_mm"] >= 0.0


def test_one_bed_can_be_asked_for(tmp_path: Path):
    assert {each["bed"] for each in rows(table(tmp_path, only="Pier"), 4)} == {"Pier"}


def test_a_bed_that_is_not_there_is_refused_with_those_that_are(tmp_path: Path):
    with pytest.raises(RequestError) as told:
        table(tmp_path, only="Peer")

    assert "Quay, Pier" in str(told.value.remedy)


def test_without_any_weather_no_hour_is_made_up(tmp_path: Path):
    with pytest.raises(WeatherError):
        table(tmp_path, station="")

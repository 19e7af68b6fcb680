"""What was known of a garden's weather at a moment, and no more."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from tests import invented_climates as climates
from tests import steady_weather
from tests.steady_weather import EQUATOR, STATION, Hour

from abaxial import hours
from abaxial.errors import AbaxialError
from abaxial.garden import description
from abaxial.garden.parts import Garden
from abaxial.season import record
from abaxial.season.record import Known

AT = datetime(2026, 3, 22, 12)
NOW = hours.hour_of(AT.replace(tzinfo=UTC))
FORECAST = '\n[[weather]]\nfile = "garden_forecast.json"\nform = "forecast_json"\n'


def station(folder: Path, *, until: datetime = AT, days: int = 40, temperature_c: float = 20.0) -> None:
    steady_weather.write_station(
        folder,
        lambda moment: Hour(temperature_c + moment.hour % 5, 0.6 + 0.01 * (moment.hour % 7)),
        at=until,
        days=days,
    )


def garden(folder: Path, *parts: str) -> Garden:
    return description.garden_from_text(EQUATOR + "".join(parts), where="garden.toml", folder=folder)


def known(folder: Path, *parts: str, at: int = NOW) -> Known:
    return record.weather_of(garden(folder, *(parts or (STATION,))), at)


def noted(**note: str) -> str:
    return "\n[[noted]]\n" + "".join(f'{key} = "{value}"\n' for key, value in note.items())


def kinds(seen: Known) -> list[str]:
    return [each.kind for each in seen.findings]


def test_hours_after_now_are_not_looked_at(tmp_path: Path):
    station(tmp_path)
    seen = known(tmp_path, at=NOW - 48)

    assert seen.lived.end_hour == NOW - 48
    assert seen.until_hour == NOW - 48


def test_notes_written_after_now_are_not_heard(tmp_path: Path):
    station(tmp_path)
    lines = noted(rain="last night", at="2026-03-22 07:00") + noted(leaves="dry", at="2026-03-22 07:00")

    heard, before = (known(tmp_path, STATION, lines, at=hour).notes for hour in (NOW, NOW - 24))
    assert (len(heard.rain), len(heard.wetness)) == (1, 1)
    assert (len(before.rain), len(before.wetness)) == (0, 0)


def test_a_record_up_to_now_is_enough_and_not_stale(tmp_path: Path):
    station(tmp_path)
    seen = known(tmp_path)

    assert seen.nothing is None
    assert "record_stale" not in kinds(seen)
    assert seen.rain_unknown_days == 0


def test_a_record_that_ended_two_days_ago_says_so_and_is_used(tmp_path: Path):
    station(tmp_path, until=AT - timedelta(days=2))
    seen = known(tmp_path)

    [stale] = [each for each in seen.findings if each.kind == "record_stale"]
    assert stale.details["days"] == 2
    assert seen.nothing is None


def test_a_record_that_ended_last_month_cannot_speak_of_now(tmp_path: Path):
    station(tmp_path, until=AT - timedelta(days=30))

    assert known(tmp_path).nothing is not None


def test_one_line_of_rain_is_enough_to_begin_with(tmp_path: Path):
    assert known(tmp_path, noted(rain="last night", at="2026-03-22 07:00")).nothing is None
    assert known(tmp_path, noted(rain="last night", at="2026-02-01 07:00")).nothing is not None


def test_of_two_files_the_first_is_believed_where_both_speak(tmp_path: Path):
    station(tmp_path, temperature_c=25.0, days=20)
    (tmp_path / "station.csv").rename(tmp_path / "other.csv")
    station(tmp_path, temperature_c=10.0, days=10)
    seen = known(tmp_path, STATION, STATION.replace("station.csv", "other.csv"))

    assert seen.lived.hours == 20 * 24
    assert np.nanmean(seen.lived.temperature_c[-24:]) == pytest.approx(12.0, abs=0.5)
    assert np.nanmean(seen.lived.temperature_c[:24]) == pytest.approx(27.0, abs=0.5)
    assert set(seen.digests) == {"station.csv", "other.csv"}


def test_days_without_gauge_or_note_are_counted(tmp_path: Path):
    weather = climates.lived(climates.weather_of(climates.EQUATOR, AT - timedelta(days=40), 40), AT)
    climates.write_station(tmp_path, climates.without(weather, "rain_mm", NOW - 24 * 5, NOW))
    line = '\n[[noted]]\nrain_mm = 4\nsince = "2026-03-20 12:00"\nat = "2026-03-22 12:00"\n'

    assert known(tmp_path).rain_unknown_days == 5
    assert known(tmp_path, STATION, line).rain_unknown_days == 3


def test_a_forecast_is_not_lived_weather(tmp_path: Path):
    weather = climates.weather_of(climates.EQUATOR, AT - timedelta(days=40), 47)
    climates.write_forecast(tmp_path, weather, garden(tmp_path).place)
    seen = known(tmp_path, FORECAST)
    ensemble = record.ensemble_of(seen, garden(tmp_path, FORECAST), NOW, 14, 16, 1)

    assert seen.lived.end_hour == NOW
    assert ensemble.forecast_end_hour == pytest.approx(NOW + 24 * 7, abs=2)


def test_members_begin_and_end_with_whole_garden_days(tmp_path: Path):
    station(tmp_path)
    here = garden(tmp_path, STATION)
    ensemble = record.ensemble_of(known(tmp_path), here, NOW, 14, 16, 1)

    for hour in (ensemble.first_hour, ensemble.first_hour + ensemble.hours):
        assert hour == hours.first_hour_of(hours.garden_day(hour, "UTC"), "UTC")
    assert ensemble.now_hour == NOW


def test_no_member_has_a_gap(tmp_path: Path):
    weather = climates.lived(climates.weather_of(climates.EQUATOR, AT - timedelta(days=40), 40), AT)
    for name in ("temperature_c", "rain_mm", "wind_speed_m_s"):
        weather = climates.without(weather, name, NOW - 24 * 9, NOW - 24 * 2)
    climates.write_station(tmp_path, weather)
    ensemble = record.ensemble_of(known(tmp_path), garden(tmp_path, STATION), NOW, 14, 16, 1)

    for name in climates.series.VARIABLES:
        assert np.isfinite(getattr(ensemble, name)).all(), name


def test_a_file_that_is_missing_is_named(tmp_path: Path):
    with pytest.raises(AbaxialError, match=r"station\.csv"):
        known(tmp_path)


def test_the_season_looks_back_far_enough_and_no_further_than_it_must(tmp_path: Path):
    weather = climates.weather_of(climates.EQUATOR, AT - timedelta(days=400), 400)
    climates.write_station(tmp_path, weather)
    ensemble = record.ensemble_of(known(tmp_path), garden(tmp_path, STATION), NOW, 14, 16, 1)

    assert record.HISTORY_DAYS - 1 <= (NOW - ensemble.first_hour) / 24 <= record.HISTORY_DAYS + record.ANCHOR_DAYS


def test_the_first_day_looked_at_stays_for_four_weeks_and_then_moves_on_by_four(tmp_path: Path):
    weather = climates.weather_of(climates.EQUATOR, AT - timedelta(days=400), 400)
    climates.write_station(tmp_path, weather)
    here = garden(tmp_path, STATION)
    heard, days = known(tmp_path, at=NOW - 24 * 60), range(-60, -16, 4)
    firsts = [record.ensemble_of(heard, here, NOW + 24 * day, 0, 1, 1).first_hour for day in days]

    steps = [(after - before) / 24 for before, after in pairwise(firsts)]
    assert set(steps) == {0.0, 28.0}
    assert steps.count(28.0) <= 2


def test_nothing_in_the_answer_depends_on_the_order_of_notes(tmp_path: Path):
    station(tmp_path)
    one, two = noted(leaves="dry", at="2026-03-20 07:00"), noted(leaves="dripping", at="2026-03-21 07:00")

    assert known(tmp_path, STATION, one, two).notes == known(tmp_path, STATION, two, one).notes


def test_a_history_named_after_the_forecast_does_not_hide_it(tmp_path: Path):
    place = garden(tmp_path).place
    history = climates.weather_of(climates.EQUATOR, AT - timedelta(days=30), 28)
    climates.write_forecast(tmp_path, history, place, "garden_history.json")
    climates.write_forecast(tmp_path, climates.weather_of(climates.EQUATOR, AT - timedelta(days=30), 37), place)

    seen = known(tmp_path, FORECAST, FORECAST.replace("garden_forecast", "garden_history"))

    assert [each.end_hour > NOW for each in seen.forecasts] == [True]


def test_a_station_named_after_a_fetched_cell_is_what_counts(tmp_path: Path):
    station(tmp_path, temperature_c=31.0)
    climates.write_forecast(
        tmp_path, climates.weather_of(climates.EQUATOR, AT - timedelta(days=30), 37), garden(tmp_path).place
    )

    cell_first, station_first = (known(tmp_path, *order) for order in ((FORECAST, STATION), (STATION, FORECAST)))

    np.testing.assert_array_equal(cell_first.lived.temperature_c, station_first.lived.temperature_c)
    assert np.nanmin(cell_first.lived.temperature_c[-24:]) >= 31.0

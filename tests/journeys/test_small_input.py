"""The smallest input is already useful: a place, a fetched forecast, one line about rain or wet leaves."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests import invented_climates as climates
from tests import steady_weather
from tests.steady_weather import STATION

from abaxial import hours
from abaxial.cli import main
from abaxial.errors import GardenError
from abaxial.report.answers.week import PlantingWeek, WeekAnswer
from abaxial.weather.series import Weather

# nights far enough from saturation that it is rain which makes leaves wet
SITE = climates.EQUATOR._replace(climate=replace(climates.EQUATOR.climate, dew_point_below_min_k=5.0))
AT = datetime(2026, 4, 20, 7)  # a Monday; ten in the morning in Kampala
GARDEN = (
    SITE.toml
    + steady_weather.bed()
    + steady_weather.planting(clumps=8, spacing_m=0.5, since="2026-01-05", name='"Lilies"')
)
FETCHED = '\n[[weather]]\nfile = "garden_forecast.json"\nform = "forecast_json"\n'


def noted(**note: str) -> str:
    return "\n[[noted]]\n" + "".join(f'{key} = "{value}"\n' for key, value in note.items())


def measured(days: int = 70) -> Weather:
    return climates.lived(climates.weather_of(SITE, AT - timedelta(days=days), days + 10), AT)


def with_gap(days_back: float, name: str = "rain_mm") -> Weather:
    """A record in which nobody wrote rain down for some days before now."""
    now = hours.hour_of(AT.replace(tzinfo=UTC))
    return climates.without(measured(), name, now - int(24 * days_back), now)


def asked(folder: Path, weather: Weather, *lines: str) -> WeekAnswer:
    climates.write_station(folder, weather)
    return steady_weather.week_of(folder, GARDEN + STATION + "".join(lines), at=AT)


def wet_h(answer: WeekAnswer, nights: int = 1) -> float:
    """Hours wet on the low leaves in the last nights, in the middle."""
    return sum(each.wet_h_lower.mid for each in lived(answer)[-nights:])


def lived(answer: WeekAnswer) -> list[Any]:
    return [each for each in steady_weather.only_planting(answer).nights if not each.ahead]


def kinds(answer: WeekAnswer) -> set[str]:
    return {each.kind for each in answer.unknown}


# ------------------------------------------------------------------ a place alone


def test_a_place_with_fetched_hours_is_enough(tmp_path: Path):
    climates.write_forecast(tmp_path, climates.weather_of(SITE, AT - timedelta(days=60), 67), SITE.place)

    answer = steady_weather.week_of(tmp_path, GARDEN + FETCHED, at=AT)

    assert {"grid_weather", "forecast_ends"} <= kinds(answer)
    assert steady_weather.only_planting(answer).infections


def test_a_grid_cell_leaves_more_doubt_than_a_station_in_the_garden(tmp_path: Path):
    weather = climates.weather_of(SITE, AT - timedelta(days=60), 67)
    climates.write_forecast(tmp_path, weather, SITE.place)
    by_grid = steady_weather.week_of(tmp_path, GARDEN + FETCHED, at=AT)
    by_station = asked(tmp_path, climates.lived(weather, AT))

    def doubt_h(answer: WeekAnswer) -> float:
        return float(np.mean([each.wet_h_lower.high - each.wet_h_lower.low for each in lived(answer)]))

    assert doubt_h(by_grid) > 1.2 * doubt_h(by_station)


def test_a_place_with_neither_network_nor_record_is_told_what_one_line_would_change(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    path = tmp_path / "garden.toml"
    path.write_text(GARDEN, encoding="utf-8")

    code = main.run(["week", str(path), "--at", "2026-04-20", "--json"])

    answer = json.loads(capsys.readouterr().out)["answer"]
    assert code == 0
    assert answer["headline"]["kind"] == "cannot_know"
    assert [each["kind"] for each in answer["tasks"]] == ["write_down_rain"]
    assert answer["plantings"] == []


def test_the_page_without_anything_known_says_the_one_line_to_write(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = tmp_path / "garden.toml"
    path.write_text(GARDEN, encoding="utf-8")

    code = main.run(["week", str(path), "--at", "2026-04-20"])

    told = capsys.readouterr().out
    assert code == 0
    assert "one line" in told
    assert "Write down the rain" in told


@pytest.mark.parametrize(
    "line",
    [
        noted(rain="last night", at="2026-04-20 07:00"),
        noted(leaves="dripping", at="2026-04-20 07:00"),
        '\n[[noted]]\nrain_mm = 30\nsince = "Sunday"\nat = "2026-04-20 07:00"\n',
    ],
    ids=["it rained last night", "leaves dripping at seven", "30 mm since Sunday"],
)
def test_one_line_of_notes_and_nothing_else_is_answered(tmp_path: Path, line: str):
    answer = steady_weather.week_of(tmp_path, GARDEN + line, at=AT)

    assert answer.headline.kind != "cannot_know"
    assert len(answer.plantings) == 1
    assert {"no_history", "weather_unknown"} & kinds(answer)


# ------------------------------------------------------------------ one line about rain


def rain_mm(answer: WeekAnswer, nights: int) -> tuple[float, float]:
    """Low and high end of the rain of the last nights, added up."""
    last = lived(answer)[-nights:]
    return sum(each.rain_mm.low for each in last), sum(each.rain_mm.high for each in last)


def test_rain_nobody_wrote_down_is_not_taken_for_a_dry_week(tmp_path: Path):
    unwritten = asked(tmp_path, with_gap(7))

    assert "rain_unknown" in kinds(unwritten)
    assert rain_mm(unwritten, 7)[1] > 10.0
    assert "write_down_rain" in {each.kind for each in unwritten.tasks}


def test_unwritten_rain_leaves_more_doubt_than_a_gauge_that_showed_nothing(tmp_path: Path):
    zero = '\n[[noted]]\nrain_mm = 0\nsince = "2026-04-13 10:00"\nat = "2026-04-20 10:00"\n'
    unwritten, none = asked(tmp_path, with_gap(7)), asked(tmp_path, with_gap(7), zero)

    def doubt_h(answer: WeekAnswer) -> float:
        return sum(each.wet_h_lower.high - each.wet_h_lower.low for each in lived(answer)[-6:])

    assert doubt_h(unwritten) > doubt_h(none)
    assert rain_mm(none, 6)[1] == 0.0


def test_thirty_millimetres_since_sunday_are_spread_over_the_hours_since_sunday(tmp_path: Path):
    # at a Monday morning, Sunday began 34 hours ago
    line = '\n[[noted]]\nrain_mm = 30\nsince = "Sunday"\nat = "2026-04-20 10:00"\n'
    answer = asked(tmp_path, with_gap(2), line)

    low, high = rain_mm(answer, 2)
    assert low < 30.0 < high + 12.0
    assert sum(each.rain_mm.mid for each in lived(answer)[-2:]) > 10.0


@pytest.mark.parametrize(
    "line",
    [
        noted(rain="last night", at="2026-04-20 07:00"),
        '\n[[noted]]\nrain_mm = 12\nsince = "2026-04-19 18:00"\nat = "2026-04-20 07:00"\n',
    ],
    ids=["in words", "by gauge"],
)
def test_rain_noted_last_night_never_makes_the_night_drier(tmp_path: Path, line: str):
    noted_dry = noted(rain="none last night", at="2026-04-20 07:00")
    unknown, rained, dry = (asked(tmp_path, with_gap(1), each) for each in ("", line, noted_dry))

    assert wet_h(rained) >= wet_h(unknown) >= wet_h(dry)
    assert wet_h(rained) > wet_h(dry)


def test_rain_noted_last_night_lets_no_less_in(tmp_path: Path):
    def let_in(answer: WeekAnswer) -> float:
        return float(lived(answer)[-1].infection_frac.mid)

    line = noted(rain="last night", at="2026-04-20 07:00")

    assert let_in(asked(tmp_path, with_gap(1), line)) >= let_in(asked(tmp_path, with_gap(1)))


# ------------------------------------------------------------------ one line about wet leaves


def looked(folder: Path, state: str, **more: str) -> PlantingWeek:
    line = noted(leaves=state, at="2026-04-20 07:00", **more) if state else ""
    return steady_weather.only_planting(asked(folder, with_gap(1), line))


def last_wet_h(page: PlantingWeek) -> float:
    return [each for each in page.nights if not each.ahead][-1].wet_h_lower.mid


def test_leaves_dripping_at_seven_make_a_wetter_night_than_dry_ones(tmp_path: Path):
    dripping, dry = (looked(tmp_path, state) for state in ("dripping", "dry"))

    assert last_wet_h(dripping) > last_wet_h(dry) + 1.0


def test_dry_leaves_at_seven_make_a_night_no_wetter_than_saying_nothing(tmp_path: Path):
    assert last_wet_h(looked(tmp_path, "dry")) <= last_wet_h(looked(tmp_path, ""))


def test_dripping_leaves_at_seven_make_a_night_no_drier_than_saying_nothing(tmp_path: Path):
    assert last_wet_h(looked(tmp_path, "dripping")) >= last_wet_h(looked(tmp_path, ""))


def test_a_note_of_a_bed_that_is_not_there_is_refused_with_the_beds_there_are(tmp_path: Path):
    with pytest.raises(GardenError, match="Elsewhere") as refused:
        looked(tmp_path, "dry", bed="Elsewhere")

    assert "The beds are" in refused.value.remedy

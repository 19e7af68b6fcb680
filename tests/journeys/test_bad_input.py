"""Bad input on its whole way through the command: told with file, line or bed, rule, value and remedy; nothing written.

What is only odd, such as zero wind or a bed without plants, is answered.
"""

import json
import math
import re
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.trial_garden import BED, PLANTING, SITE

from abaxial import infection
from abaxial.cli import main

TODAY = datetime(2026, 3, 12)
DAYS = 40
WEATHER = """
[[weather]]
file = "station.csv"
form = "delimited"
time = ["time"]
time_format = "%Y-%m-%d %H:%M"
clock = "utc"
labels = "start"
wind_height_m = 2
[weather.columns]
temperature = { heading = "temp", unit = "C" }
humidity = { heading = "rh", unit = "percent" }
wind = { heading = "wind", unit = "m/s" }
rain = { heading = "rain", unit = "mm" }
"""
GARDEN = SITE + BED + PLANTING + WEATHER


def rows(*, days: int = DAYS, wind: float = 1.2) -> list[str]:
    """An ordinary station file: cool moist nights, warm days, a shower every fourth evening."""
    lines = ["time,temp,rh,wind,rain"]
    first = TODAY - timedelta(days=days)
    for hour in range(24 * days):
        moment = first + timedelta(hours=hour)
        sun = math.sin((moment.hour - 5) * math.pi / 12)
        rain = 2.4 if moment.hour == 15 and moment.day % 4 == 0 else 0.0
        breeze = wind * (1 + 0.3 * math.sin(hour))
        lines.append(
            f"{moment:%Y-%m-%d %H:%M},{18 + 6 * sun + 0.1 * (hour % 7):.1f},{80 - 18 * sun:.0f},{breeze:.2f},{rain}"
        )
    return lines


def lay_out(folder: Path, *, garden: str = GARDEN, station: list[str] | None = None) -> Path:
    path = folder / "garden.toml"
    path.write_text(garden, encoding="utf-8")
    lines = rows() if station is None else station
    (folder / "station.csv").write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
    return path


def asked(path: Path, *, at: str = "2026-03-12") -> list[str]:
    return ["week", str(path), "--at", at, "--draws", "16", "--out", str(path.parent / "week.json")]


def refused(path: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """What is told; after making sure that it is the person's input, and that nothing was written."""
    before = sorted(path.parent.rglob("*"))

    code = main.run(asked(path))

    told = capsys.readouterr().err
    assert code == 2, told
    assert sorted(path.parent.rglob("*")) == before
    assert "What to do: " in told
    return told


def answered(path: Path, capsys: pytest.CaptureFixture[str], *, at: str = "2026-03-12") -> Any:
    code = main.run(asked(path, at=at))

    assert code == 0, capsys.readouterr().err
    page = json.loads((path.parent / "week.json").read_text(encoding="utf-8"))
    assert page["ok"] is True
    return page["answer"]


def changed(lines: list[str], number: int, pattern: str, new: str) -> list[str]:
    """The same file with one thing changed in one line; lines count from 1, the heading."""
    mended = re.sub(pattern, new, lines[number - 1], count=1)
    assert mended != lines[number - 1]
    return [*lines[: number - 1], mended, *lines[number:]]


# ------------------------------------------------------------------ the weather file


def test_a_humidity_of_850_names_line_and_value(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    station = changed(rows(), 50, r"^([^,]+,[^,]+),\d+", r"\g<1>,850")

    told = refused(lay_out(tmp_path, station=station), capsys)

    assert [words for words in ("station.csv", "50", "850") if words not in told] == []


def test_text_in_a_number_names_line_and_value(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    station = changed(rows(), 77, r",[\d.]+,", ",warm,")

    told = refused(lay_out(tmp_path, station=station), capsys)

    assert [words for words in ("station.csv", "77", "warm") if words not in told] == []


def test_two_different_rows_of_one_hour_name_their_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    lines = rows()
    station = [*lines[:60], *changed(lines, 60, r",[\d.]+,", ",3.3,")[59:60], *lines[60:]]

    told = refused(lay_out(tmp_path, station=station), capsys)

    assert "station.csv" in told
    assert re.search(r"\b6[01]\b", told)


def test_a_row_written_twice_counts_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    lines = rows()

    answer = answered(lay_out(tmp_path, station=[*lines[:60], lines[59], *lines[60:]]), capsys)

    assert len(answer["plantings"]) == 1


def test_missing_hours_are_answered(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    lines = rows()

    answer = answered(lay_out(tmp_path, station=[*lines[:100], *lines[130:]]), capsys)

    assert len(answer["plantings"]) == 1


@pytest.mark.parametrize("station", [[], ["time,temp,rh,wind,rain"]])
def test_an_empty_file_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str], station: list[str]):
    told = refused(lay_out(tmp_path, station=station), capsys)

    assert "station.csv" in told


def test_a_file_of_one_hour_is_refused_or_said_to_be_too_little(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = lay_out(tmp_path, station=rows()[:2])

    code = main.run(asked(path))

    told = capsys.readouterr()
    if code == 2:
        assert "station.csv" in told.err
    else:
        page = json.loads((tmp_path / "week.json").read_text(encoding="utf-8"))
        assert page["answer"]["unknown"]
        assert code == 0


def test_a_file_that_is_not_there_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = lay_out(tmp_path)
    (tmp_path / "station.csv").unlink()

    assert "station.csv" in refused(path, capsys)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('unit = "C"', 'unit = "Rankles"', ["Rankles", "temperature"]),
        ('clock = "utc"', 'clock = "Atlantis/Capital"', ["Atlantis/Capital"]),
        ('heading = "rh"', 'heading = "hygro"', ["station.csv", "hygro"]),
        ('labels = "start"', "", ["labels"]),
        ('form = "delimited"', 'form = "scroll"', ["scroll"]),
        ("wind_height_m = 2", "wind_height_m = -2", ["wind_height_m", "-2"]),
    ],
)
def test_a_wrong_declaration_of_the_file_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], old: str, new: str, said: list[str]
):
    told = refused(lay_out(tmp_path, garden=GARDEN.replace(old, new, 1)), capsys)

    assert [words for words in said if words not in told] == []


# ------------------------------------------------------------------ the description


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("latitude_deg = -1.3", "latitude_deg = 95", ["garden.toml", "latitude_deg is 95", "-90 and 90"]),
        ("Africa/Nairobi", "Africa/Nairoby", ["garden.toml", "Africa/Nairoby"]),
        ("spacing_m = 0.6", "spacing_m = 0", ["garden.toml", "Cannas", "spacing_m is 0"]),
        ('host = "canna"', 'host = "triffid"', ["triffid", "canna"]),
        ('bed = "Quay"', 'bed = "Pier"', ["garden.toml", "Cannas", "Pier"]),
        ("[[planting]]", "[[planting]", ["garden.toml", "line"]),
    ],
)
def test_a_wrong_description_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], old: str, new: str, said: list[str]
):
    told = refused(lay_out(tmp_path, garden=GARDEN.replace(old, new, 1)), capsys)

    assert [words for words in said if words not in told] == []


def test_a_bed_without_plants_is_answered(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    bare = BED.replace("Quay", "Bare")

    answer = answered(lay_out(tmp_path, garden=SITE + BED + PLANTING + bare + WEATHER), capsys)

    assert [each["bed"] for each in answer["plantings"]] == ["Quay"]


def test_a_garden_without_plants_is_answered(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    answer = answered(lay_out(tmp_path, garden=SITE + WEATHER), capsys)

    assert answer["headline"]["kind"] == "empty_garden"


def test_a_planting_of_no_plants_lets_nothing_in(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    answer = answered(lay_out(tmp_path, garden=GARDEN.replace("clumps = 6", "clumps = 0")), capsys)

    assert [each for each in answer["plantings"] if each["latent_nights"]["high"] > 0] == []
    assert answer["tasks"] == []


def test_two_hundred_beds_are_answered(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    many = "".join((BED + PLANTING).replace("Quay", f"Bed {n}").replace("Cannas", f"C {n}") for n in range(200))

    answer = answered(lay_out(tmp_path, garden=SITE + many + WEATHER), capsys)

    assert len(answer["plantings"]) == 200


# ------------------------------------------------------------------ places and weather at the edge


@pytest.mark.parametrize(("latitude_deg", "sky"), [("78.2", "polar night"), ("-78.2", "polar day")])
def test_a_garden_beyond_the_polar_circle_is_answered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], latitude_deg: str, sky: str
):
    text = GARDEN.replace("latitude_deg = -1.3", f"latitude_deg = {latitude_deg}")
    shift = TODAY - datetime(2026, 1, 5)
    early = [re.sub(r"^[^,]+", lambda m: _earlier(m[0], shift), line) for line in rows()[1:]]
    path = lay_out(tmp_path, garden=text.replace("2026-01-10", "2025-11-20"), station=[rows()[0], *early])

    answer = answered(path, capsys, at="2026-01-05")

    assert len(answer["plantings"]) == 1, sky


def _earlier(stamp: str, shift: timedelta) -> str:
    return f"{datetime.strptime(stamp, '%Y-%m-%d %H:%M') - shift:%Y-%m-%d %H:%M}"


def test_weather_without_any_wind_is_answered(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    answer = answered(lay_out(tmp_path, station=rows(wind=0.0)), capsys)

    assert len(answer["plantings"]) == 1


# ------------------------------------------------------------------ the rust


def test_a_rust_file_with_a_value_outside_its_range_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = lay_out(tmp_path)
    installed = Path(infection.__file__).parent / "pathogens" / "canna_rust.toml"
    own = tmp_path / "rusts" / "canna_rust.toml"
    own.parent.mkdir()
    text = installed.read_text(encoding="utf-8")
    own.write_text(re.sub(r"value = [\d.]+, range", "value = 987654, range", text, count=1), encoding="utf-8")
    assert own.read_text(encoding="utf-8") != text

    told = refused(path, capsys)

    assert [words for words in ("canna_rust.toml", "987654", "range") if words not in told] == []

"""Weather at the command line: which file, of what form, from where; added to a garden, checked and shown."""

import json
import time
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread

import pytest
from tests.trial_garden import SITE as GARDEN

from abaxial.cli import main
from abaxial.garden.description import read_garden
from abaxial.season.opening import open_garden

LAYOUT = """
form = "delimited"
time = "time"
time_format = "%Y-%m-%d %H:%M"
clock = "utc"
labels = "start"
[columns]
temperature = { heading = "temp_c", unit = "C" }
humidity = { heading = "rh", unit = "percent" }
rain = { heading = "rain", unit = "mm" }
"""


def station(folder: Path) -> None:
    lines = [f"2026-03-0{day} {hour:02}:00,{15 + hour / 10},80,0.{day}" for day in (1, 2, 3) for hour in range(24)]
    (folder / "station.csv").write_text("\n".join(["time,temp_c,rh,rain", *lines]))
    (folder / "layout.toml").write_text(LAYOUT)


def test_a_file_that_does_not_say_its_form_is_asked_for_it(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "station.csv").write_text("time,temp\n")

    assert main.run(["weather", "wet", "station.csv"]) == 2
    assert "Say it: --form delimited" in capsys.readouterr().err


def test_a_file_that_does_not_say_its_place_is_asked_for_it(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "notes.csv").write_text("date,min_c,max_c,rain_mm\n")

    assert main.run(["weather", "wet", "notes.csv", "--form", "notebook", "--lat", "3"]) == 2
    assert "Add --lon, --elevation, --zone." in capsys.readouterr().err


def test_a_weather_file_that_is_not_there_is_named(folder: Path, capsys: pytest.CaptureFixture[str]):
    assert main.run(["weather", "check", "gone.epw"]) == 2
    assert "There is no file gone.epw" in capsys.readouterr().err


def test_a_bed_that_is_not_there_is_answered_with_those_that_are(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "garden.toml").write_text(GARDEN + '[[bed]]\nname = "Quay"\narea_m2 = 3\n')

    assert main.run(["weather", "wet", "--bed", "Pier"]) == 2
    assert "Beds here: 'Quay'" in capsys.readouterr().err


def test_a_table_without_a_layout_gets_a_proposal_and_no_answer(folder: Path, capsys: pytest.CaptureFixture[str]):
    lines = [f"2026-03-0{day} {hour:02}:00,{15 + hour / 10},80" for day in (1, 2) for hour in range(24)]
    (folder / "station.csv").write_text("\n".join(["time,temp_c,rh", *lines]))

    code = main.run(["weather", "check", "station.csv", "--form", "delimited"])

    told = capsys.readouterr()
    assert code == 2
    assert told.out == ""
    assert "temp_c" in told.err
    assert "--layout layout.toml" in told.err


def test_a_weather_file_is_added_below_what_the_person_wrote(folder: Path):
    station(folder)
    (folder / "garden.toml").write_text(GARDEN + "# my own remark\n")

    code = main.run(["weather", "add", "station.csv", "--form", "delimited", "--layout", "layout.toml"])

    assert code == 0
    assert (folder / "garden.toml").read_text().startswith(GARDEN + "# my own remark\n")
    [source] = read_garden(folder / "garden.toml").weather
    assert (source.path, source.form, source.options["clock"]) == ("station.csv", "delimited", "utc")


def test_a_weather_file_that_cannot_be_read_is_not_added(folder: Path):
    station(folder)
    (folder / "garden.toml").write_text(GARDEN)
    (folder / "station.csv").write_text("time,temp_c,rh,rain\n2026-03-01 00:00,warm,80,0\n")

    code = main.run(["weather", "add", "station.csv", "--form", "delimited", "--layout", "layout.toml"])

    assert code == 2
    assert (folder / "garden.toml").read_text() == GARDEN


def test_weather_is_shown_month_by_month(folder: Path, capsys: pytest.CaptureFixture[str]):
    station(folder)
    (folder / "garden.toml").write_text(GARDEN)
    main.run(["weather", "add", "station.csv", "--form", "delimited", "--layout", "layout.toml"])
    capsys.readouterr()

    assert main.run(["weather", "show"]) == 0

    [month] = [line.split() for line in capsys.readouterr().out.splitlines() if line.startswith("2026-03")]
    assert month[:5] == ["2026-03", "72", "15.0", "17.3", "14.4"]


def test_weather_is_checked_as_json_with_its_findings(folder: Path, capsys: pytest.CaptureFixture[str]):
    station(folder)
    place = ["--lat", "-1.3", "--lon", "36.8", "--elevation", "1660", "--zone", "Africa/Nairobi"]

    code = main.run(
        ["weather", "check", "station.csv", "--form", "delimited", "--layout", "layout.toml", *place, "--json"]
    )

    told = json.loads(capsys.readouterr().out)
    assert code == 0
    assert (told["schema"], told["answer"][0]["hours"]) == ("abaxial/weather-check/1", 72)
    assert isinstance(told["answer"][0]["findings"], list)


@pytest.fixture
def service(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[list[str]]:
    """A weather service on this machine; the paths it was asked for."""
    asked: list[str] = []
    stamps = [f"2026-03-0{day}T{hour:02}:00" for day in (1, 2) for hour in range(24)]
    hourly = {"time": stamps, "temperature_2m": [18.0] * 48, "relative_humidity_2m": [90] * 48}
    hourly |= {"precipitation": [0.0] * 48, "wind_speed_10m": [1.5] * 48, "shortwave_radiation": [0.0] * 48}
    units = {"time": "iso8601", "temperature_2m": "°C", "relative_humidity_2m": "%", "precipitation": "mm"}
    units |= {"wind_speed_10m": "m/s", "shortwave_radiation": "W/m²"}
    place = {"latitude": -1.3, "longitude": 36.8, "elevation": 1660.0, "utc_offset_seconds": 0}
    answer = json.dumps({**place, "hourly_units": units, "hourly": hourly}).encode()

    class Answers(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.end_headers()
            self.wfile.write(answer)

        def log_message(self, *_: object) -> None:
            return

    server = HTTPServer(("127.0.0.1", 0), Answers)
    thread = Thread(target=server.serve_forever)
    thread.start()
    monkeypatch.setenv("ABAXIAL_FORECAST_URL", f"http://127.0.0.1:{server.server_port}/v1")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    yield asked
    server.shutdown()
    server.server_close()
    thread.join()


def test_fetched_weather_is_kept_beside_the_garden_and_named_once(folder: Path, service: list[str]):
    (folder / "garden.toml").write_text(GARDEN)

    codes = [main.run(["weather", "fetch"]), main.run(["weather", "fetch", "--since", "2025-12-01"])]

    assert codes == [0, 0]
    named = [source.path for source in read_garden(folder / "garden.toml").weather]
    assert named == ["garden_forecast.json", "garden_ensemble.json", "garden_history.json"]
    assert [name for name in named if not (folder / name).is_file()] == []
    assert any("start_date=2025-12-01" in path for path in service)


def test_fetched_weather_is_laid_into_a_garden_file_with_the_time_it_was_made(folder: Path, service: list[str]):
    (folder / "garden.toml").write_text(GARDEN)
    codes = [main.run(["garden", "import", "garden.toml", "home.abaxial"])]
    codes += [main.run(["weather", "fetch", "home.abaxial"]) for _ in range(2)]

    batches = open_garden(folder / "home.abaxial", at=None).batches or ()
    assert codes == [0, 0, 0]
    assert sorted(path.name for path in folder.iterdir()) == ["cache", "garden.toml", "home.abaxial"]
    # one answer was given for both questions, and it was kept once
    assert [(each.source, each.reader) for each in batches] == [("home_forecast.json", {"form": "forecast_json"})]
    assert [each.members[0].source for each in batches] == ["home_forecast.json"]
    assert batches[0].issued_at is not None


def test_without_a_network_the_garden_stays_as_it_was(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    (folder / "garden.toml").write_text(GARDEN)
    monkeypatch.setenv("ABAXIAL_FORECAST_URL", "http://127.0.0.1:9/v1")
    monkeypatch.setenv("XDG_CACHE_HOME", str(folder / "cache"))
    monkeypatch.setattr(time, "sleep", lambda _: None)

    assert main.run(["weather", "fetch"]) == 2
    assert (folder / "garden.toml").read_text() == GARDEN
    assert "could not be reached" in capsys.readouterr().err

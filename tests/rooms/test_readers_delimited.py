"""A delimited file becomes the series its layout declares, or a message that names the line and what to do."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from tests.clock import quickest_s

from abaxial.errors import InputError, WeatherError
from abaxial.place import Place
from abaxial.weather.readers import layout_from, read, read_delimited
from abaxial.weather.series import Mark

PLACE = Place(51.5, 0.0, 20.0, "Europe/London")
OPTIONS = {
    "columns": {
        "temperature": {"heading": "T", "unit": "°C"},
        "humidity": {"heading": "RH", "unit": "percent"},
        "rain": {"heading": "rain", "unit": "mm"},
    },
    "time": "when",
    "time_format": "%Y-%m-%d %H:%M",
    "clock": "utc",
    "labels": "start",
}
HEADINGS = "when,T,RH,rain"


def written(tmp_path, lines, headings=HEADINGS):
    path = tmp_path / "station.csv"
    path.write_text("\n".join([headings, *lines]) + "\n", encoding="utf-8")
    return path


def hours_of_text(count, begin=datetime(2025, 6, 1), step_minutes=60, rain="0.0"):
    return [
        f"{begin + timedelta(minutes=step_minutes * i):%Y-%m-%d %H:%M},{15 + i % 5},80,{rain}" for i in range(count)
    ]


def read_lines(tmp_path, lines, headings=HEADINGS, **changes):
    return read_delimited(written(tmp_path, lines, headings), layout_from({**OPTIONS, **changes}, where="here"), PLACE)


def refusal(tmp_path, lines, headings=HEADINGS, **changes):
    with pytest.raises(InputError) as caught:
        read_lines(tmp_path, lines, headings, **changes)
    assert caught.value.exit_code == 2
    assert caught.value.remedy
    return str(caught.value)


def kinds(weather):
    return {finding.kind for finding in weather.findings}


def hour(*parts):
    return int(datetime(*parts, tzinfo=UTC).timestamp()) // 3600


def test_a_plain_file_becomes_hours_in_house_units(tmp_path):
    weather = read_lines(tmp_path, ["2025-06-01 00:00,15.5,80,0.0", "2025-06-01 01:00,14.5,82,1.2"])

    assert weather.first_hour == hour(2025, 6, 1)
    assert weather.temperature_c.tolist() == [15.5, 14.5]
    assert weather.relative_humidity_frac.tolist() == pytest.approx([0.80, 0.82])
    assert weather.rain_mm.tolist() == [0.0, 1.2]
    assert np.isnan(weather.shortwave_w_m2).all()


def test_a_label_at_the_end_names_the_hour_before(tmp_path):
    weather = read_lines(tmp_path, hours_of_text(3), labels="end")

    assert weather.first_hour == hour(2025, 5, 31, 23)


def test_an_instant_on_the_full_hour_counts_for_both_sides_and_rain_for_the_hour_before(tmp_path):
    lines = ["2025-06-01 00:00,10,80,0", "2025-06-01 01:00,20,80,3", "2025-06-01 02:00,30,80,5"]
    weather = read_lines(tmp_path, lines, labels="instant")

    assert weather.temperature_c.tolist() == [10.0, 15.0, 25.0]
    assert weather.rain_mm.tolist() == [0.0, 3.0, 5.0]


def test_ten_minute_readings_are_averaged_and_their_rain_summed(tmp_path):
    weather = read_lines(tmp_path, hours_of_text(12, step_minutes=10, rain="0.2"))

    assert weather.hours == 2
    assert weather.temperature_c[0] == pytest.approx(np.mean([15, 16, 17, 18, 19, 15]))
    assert weather.rain_mm.tolist() == pytest.approx([1.2, 1.2])


def test_an_hour_that_lacks_a_reading_does_not_know_its_rain(tmp_path):
    lines = hours_of_text(18, step_minutes=10, rain="0.2")
    del lines[8]
    weather = read_lines(tmp_path, lines)

    assert np.isnan(weather.rain_mm[1])
    assert np.isfinite(weather.temperature_c[1])


def test_irregular_moments_fall_into_their_hours(tmp_path):
    lines = [
        "2025-06-01 00:03,10,80,0",
        "2025-06-01 00:41,20,80,1",
        "2025-06-01 01:17,30,80,0",
        "2025-06-01 03:55,9,80,0",
    ]
    weather = read_lines(tmp_path, lines)

    assert weather.temperature_c[:2].tolist() == [15.0, 30.0]
    assert np.isnan(weather.temperature_c[2])
    assert weather.rain_mm[0] == 1.0


def test_rain_read_every_three_hours_has_no_hour(tmp_path):
    said = refusal(tmp_path, hours_of_text(9, step_minutes=180, rain="1.0"))

    assert "3 h apart" in said


def test_semicolons_decimal_commas_and_split_dates_are_read(tmp_path):
    weather = read_lines(
        tmp_path,
        ["2025;6;1;23;15,5;80;0,2", "2025;6;1;24;14,5;81;0"],
        "y;m;d;h;T;RH;rain",
        separator=";",
        decimal=",",
        time=["y", "m", "d", "h"],
        time_format="%Y %m %d %H",
    )

    assert weather.temperature_c.tolist() == [15.5, 14.5]
    assert weather.first_hour == hour(2025, 6, 1, 23)


def test_a_file_without_headings_is_read_by_column_number(tmp_path):
    columns = {"temperature": {"heading": "2", "unit": "°F"}}
    weather = read_lines(
        tmp_path,
        ["2025-06-01 01:00,50"],
        "2025-06-01 00:00,212",
        columns=columns,
        time="1",
        header_line=0,
        impossible="mark",
    )

    assert weather.temperature_c.tolist() == pytest.approx([100.0, 10.0])
    assert weather.marks["temperature_c"].tolist() == [Mark.RANGE, 0]


def test_wind_is_brought_from_ten_metres_to_two(tmp_path):
    columns = {"wind": {"heading": "wind", "unit": "km/h"}}
    lines = ["2025-06-01 00:00,11.52", "2025-06-01 01:00,0"]
    weather = read_lines(tmp_path, lines, "when,wind", columns=columns, wind_height_m=10)

    assert weather.wind_speed_m_s[0] == pytest.approx(2.4, abs=0.05)  # 3.2 m/s at 10 m, allen1998 example 14


def test_humidity_is_made_from_dew_point_where_there_is_none(tmp_path):
    columns = {"temperature": {"heading": "T", "unit": "°C"}, "dew_point": {"heading": "Td", "unit": "°C"}}
    weather = read_lines(tmp_path, ["2025-06-01 00:00,20,20", "2025-06-01 01:00,20,10"], "when,T,Td", columns=columns)

    assert weather.relative_humidity_frac.tolist() == pytest.approx([1.0, 1.228 / 2.338], abs=2e-3)


def test_humidity_that_contradicts_the_dew_point_is_marked(tmp_path):
    columns = {**OPTIONS["columns"], "dew_point": {"heading": "Td", "unit": "°C"}}
    lines = ["2025-06-01 00:00,20,52,0,10", "2025-06-01 01:00,20,95,0,10"]
    weather = read_lines(tmp_path, lines, HEADINGS + ",Td", columns=columns)

    assert weather.marks["relative_humidity_frac"].tolist() == [0, Mark.CROSS]


def test_rows_written_twice_count_once(tmp_path):
    lines = hours_of_text(4)
    weather = read_lines(tmp_path, [lines[0], lines[1], lines[1], *lines[2:]])

    assert weather.hours == 4
    assert "doubled_rows" in kinds(weather)


def test_rows_of_one_moment_that_differ_are_refused_with_both_lines(tmp_path):
    said = refusal(tmp_path, ["2025-06-01 00:00,15,80,0", "2025-06-01 00:00,19,80,0", "2025-06-01 01:00,15,80,0"])

    assert "line 2" in said
    assert "line 3" in said


@pytest.mark.parametrize(("rule", "kept"), [("first", 15.0), ("last", 19.0), ("mean", 17.0)])
def test_rows_of_one_moment_that_differ_follow_the_declared_rule(tmp_path, rule, kept):
    lines = ["2025-06-01 00:00,15,80,0", "2025-06-01 00:00,19,80,0", "2025-06-01 01:00,12,80,0"]
    weather = read_lines(tmp_path, lines, doubled=rule)

    assert weather.temperature_c.tolist() == [kept, 12.0]


def test_a_file_that_runs_backwards_is_turned_round(tmp_path):
    forwards = read_lines(tmp_path, hours_of_text(30))
    backwards = read_lines(tmp_path, hours_of_text(30)[::-1])

    assert np.array_equal(forwards.temperature_c, backwards.temperature_c)


def test_one_station_is_read_out_of_a_file_of_many(tmp_path):
    lines = [f"{name},{line}" for line in hours_of_text(3) for name in ("north", "south")]
    weather = read_lines(tmp_path, lines, "who," + HEADINGS, only={"who": "south"})

    assert weather.hours == 3


def test_declared_missing_texts_are_missing_also_when_written_otherwise(tmp_path):
    lines = ["2025-06-01 00:00,-999.0,80,", "2025-06-01 01:00,15,-999,0", "2025-06-01 02:00,15,---,0"]
    weather = read_lines(tmp_path, lines, missing=["", "-999", "---"])

    assert np.isnan([weather.temperature_c[0], weather.rain_mm[0], *weather.relative_humidity_frac[1:]]).all()


def test_a_small_excess_of_humidity_is_saturation(tmp_path):
    weather = read_lines(tmp_path, ["2025-06-01 00:00,15,103,0", "2025-06-01 01:00,15,99,0"])

    assert weather.relative_humidity_frac.tolist() == [1.0, 0.99]
    assert "humidity_above_saturation" in kinds(weather)


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        ("2025-06-01 02:00,15,850,0", ["line 3", "850", "between 0 and 110 percent"]),
        ("2025-06-01 02:00,fifteen,80,0", ["line 3", "'fifteen'", "not a number"]),
        ("2025-06-01 02:00,nan,80,0", ["line 3", "'nan'", "not a number"]),
        ("2025-06-01 02:00,15,80,-3", ["line 3", "'-3'", "between 0 and 400 mm"]),
        ("2025-06-31 02:00,15,80,0", ["line 3", "2025-06-31", "exists"]),
        ("01.06.2025 02:00,15,80,0", ["line 3", "01.06.2025", "form"]),
        ("2025-06-01 25:00,15,80,0", ["line 3", "25:00", "exists"]),
        ("2025-06-01 02:00,15", ["line 3", "2 cells", "4"]),
    ],
)
def test_a_bad_line_is_named_with_its_rule_and_value(tmp_path, cell, words):
    said = refusal(tmp_path, ["2025-06-01 01:00,15,80,0", cell])

    assert all(word in said for word in ["station.csv", *words])


def test_an_impossible_value_may_stay_marked(tmp_path):
    lines = ["2025-06-01 00:00,15,850,0", "2025-06-01 01:00,15,80,0"]
    weather = read_lines(tmp_path, lines, impossible="mark")

    assert weather.relative_humidity_frac[0] == 8.5
    assert weather.marks["relative_humidity_frac"].tolist() == [Mark.RANGE, 0]


@pytest.mark.parametrize(
    ("text", "words"),
    [("", "empty"), (HEADINGS + "\n", "no rows"), (HEADINGS + "\n2025-06-01 00:00,15,80,0\n", "only one moment")],
)
def test_a_file_with_nothing_to_read_says_so(tmp_path, text, words):
    path = tmp_path / "station.csv"
    path.write_text(text, encoding="utf-8")

    with pytest.raises(WeatherError, match=words):
        read_delimited(path, layout_from(OPTIONS, where="here"), PLACE)


def test_a_file_that_is_not_there_says_so(tmp_path):
    with pytest.raises(WeatherError, match="cannot be read"):
        read({**OPTIONS, "form": "delimited", "file": "none.csv"}, tmp_path, PLACE)


def test_a_missing_column_is_named_with_those_there_are(tmp_path):
    with pytest.raises(WeatherError) as caught:
        read_lines(tmp_path, ["2025-06-01 00:00,15,80"], "when,T,humidity")

    assert "'RH'" in str(caught.value)
    assert "'humidity'" in caught.value.remedy


def test_an_unknown_unit_is_named_with_those_there_are(tmp_path):
    columns = {"temperature": {"heading": "T", "unit": "degrees of frost"}}
    with pytest.raises(WeatherError) as caught:
        read_lines(tmp_path, hours_of_text(2), columns=columns)

    assert "degrees of frost" in str(caught.value)
    assert "°F" in caught.value.remedy


def test_a_zone_that_does_not_exist_is_named(tmp_path):
    said = refusal(tmp_path, hours_of_text(3), clock="Europe/Atlantis")

    assert "Europe/Atlantis" in said


@pytest.mark.parametrize("lacking", ["columns", "time", "time_format", "clock", "labels"])
def test_nothing_needed_is_taken_for_granted(tmp_path, lacking):
    options = {name: value for name, value in OPTIONS.items() if name != lacking}

    with pytest.raises(WeatherError, match=lacking):
        layout_from(options, where="here")


def test_wind_without_the_height_of_its_sensor_is_refused(tmp_path):
    columns = {"wind": {"heading": "wind", "unit": "m/s"}}
    said = refusal(tmp_path, ["2025-06-01 00:00,1"], "when,wind", columns=columns)

    assert "wind_height_m" in said


def test_a_mistyped_year_does_not_make_a_thousand_years_of_hours(tmp_path):
    said = refusal(tmp_path, [*hours_of_text(5), "3025-06-01 05:00,15,80,0"])

    assert "mistyped year" in said or "years" in said


@pytest.mark.alone
def test_twenty_years_of_hours_are_read_in_under_three_seconds(tmp_path):
    path = written(tmp_path, hours_of_text(200_000, begin=datetime(2000, 1, 1)))
    layout = layout_from(OPTIONS, where="here")

    assert read_delimited(path, layout, PLACE).hours == 200_000
    assert quickest_s(lambda: read_delimited(path, layout, PLACE)) < 3.0

"""Stamps on any clock become hours of UTC, and a clock that cannot be is noticed."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from abaxial.errors import WeatherError
from abaxial.place import Place
from abaxial.weather.readers import clock, layout_from, read_delimited

PLACE = Place(50.0, 10.0, 100.0, "Europe/Berlin")
FORM = "%Y-%m-%d %H:%M"


def line_of(row):
    return f"line {row + 2}"


def local_stamps(zone, first_utc, hours, step_minutes=60):
    tz = ZoneInfo(zone)
    moments = [
        datetime(1970, 1, 1, tzinfo=ZoneInfo("UTC")) + timedelta(hours=first_utc, minutes=step_minutes * i)
        for i in range(hours)
    ]
    return [f"{moment.astimezone(tz):%Y-%m-%d %H:%M}" for moment in moments]


@settings(deadline=None, max_examples=25)
@given(
    zone=st.sampled_from(
        [
            "America/New_York",
            "Europe/Berlin",
            "Pacific/Auckland",
            "Australia/Lord_Howe",
            "Africa/Kampala",
            "America/St_Johns",
        ]
    ),
    first_utc=st.integers(350_000, 490_000),
    step_minutes=st.sampled_from([30, 60]),
)
def test_a_local_clock_read_in_order_gives_back_every_moment(zone, first_utc, step_minutes):
    tz = ZoneInfo(zone)
    first = (datetime(1970, 1, 1, tzinfo=ZoneInfo("UTC")) + timedelta(hours=first_utc)).astimezone(tz)
    assume(first.fold == 0)  # a file that begins inside the second showing of an hour cannot be told from the first
    stamps = local_stamps(zone, first_utc, 24 * 200, step_minutes)
    seconds, _ = clock.to_utc(clock.stamp_seconds(stamps, FORM, line_of), zone, line_of)

    assert np.array_equal(seconds, first_utc * 3600 + np.arange(len(stamps)) * step_minutes * 60)


def test_an_hour_the_clock_skipped_is_refused_and_the_fixed_offset_named():
    stamps = ["2025-03-30 01:00", "2025-03-30 02:00", "2025-03-30 03:00"]
    local = clock.stamp_seconds(stamps, FORM, line_of)

    with pytest.raises(WeatherError, match="line 3") as caught:
        clock.to_utc(local, "Europe/Berlin", line_of)
    assert '"+01:00"' in caught.value.remedy


def test_a_repeated_hour_that_is_written_once_is_counted():
    stamps = ["2025-10-26 01:00", "2025-10-26 02:00", "2025-10-26 03:00"]
    seconds, alone = clock.to_utc(clock.stamp_seconds(stamps, FORM, line_of), "Europe/Berlin", line_of)

    assert alone == 1
    assert np.diff(seconds).tolist() == [3600, 7200]


@pytest.mark.parametrize(
    ("text", "offset_s"), [("utc", 0), ("+05:30", 19800), ("-5", -18000), ("UTC+2", 7200), ("Europe/Paris", None)]
)
def test_a_fixed_offset_is_told_from_a_zone(text, offset_s):
    assert clock.fixed_offset_s(text) == offset_s


@pytest.mark.parametrize(
    ("stamp", "form", "hour"),
    [
        ("1 Jun 2025 12:30 AM", "%d %b %Y %I:%M %p", 0),
        ("6/1/25 13:00", "%m/%d/%y %H:%M", 13),
        ("2025060124", "%Y%m%d%H", 24),
    ],
)
def test_stamps_of_many_forms_are_read(stamp, form, hour):
    seconds = clock.stamp_seconds([stamp], form, line_of)

    assert seconds[0] // 3600 == int(datetime(2025, 6, 1, tzinfo=ZoneInfo("UTC")).timestamp()) // 3600 + hour


@pytest.mark.parametrize("form", ["%d.%m. %H:%M", "%Y-%m-%d", "%Y-%m-%d %Q"])
def test_a_form_without_year_or_hour_or_with_a_strange_code_is_refused(form):
    with pytest.raises(WeatherError):
        clock.pattern_of(form)


def station(tmp_path, lines):
    path = tmp_path / "moved.csv"
    path.write_text("when,T\n" + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def options(**changes):
    columns = {"temperature": {"heading": "T", "unit": "°C"}}
    return layout_from(
        {"columns": columns, "time": "when", "time_format": FORM, "clock": "-05:00", "labels": "start", **changes},
        where="here",
    )


def warm_afternoons(first, hours, clock_offset_h):
    """Hours on a clock, in a place five hours behind UTC where it is warmest at three in the afternoon."""
    lines = []
    for i in range(hours):
        utc = first + timedelta(hours=i)
        standard = utc - timedelta(hours=5)
        warmth = 15.0 + 6.0 * np.cos((standard.hour - 15) * np.pi / 12.0) + 0.3 * (i % 7)
        lines.append(f"{utc + timedelta(hours=clock_offset_h):%Y-%m-%d %H:%M},{warmth:.2f}")
    return lines


def test_a_station_moved_to_utc_in_mid_file_is_noticed_near_its_line(tmp_path):
    first = datetime(2025, 5, 1, 5)
    lines = warm_afternoons(first, 30 * 24, -5) + warm_afternoons(first + timedelta(days=30), 30 * 24, 0)
    weather = read_delimited(station(tmp_path, lines), options(), PLACE)

    found = next(finding for finding in weather.findings if finding.kind == "two_clocks")
    line = int(str(found.details["near"]).rsplit(" ", 1)[-1])
    assert abs(found.details["shift_h"]) == 5
    assert abs(line - 30 * 24) <= 48


def test_a_station_moved_back_from_utc_is_refused_because_hours_occur_twice(tmp_path):
    first = datetime(2025, 5, 1, 5)
    lines = warm_afternoons(first, 480, 0) + warm_afternoons(first + timedelta(hours=480), 480, -5)

    with pytest.raises(WeatherError, match="same moment") as caught:
        read_delimited(station(tmp_path, lines), options(clock="utc"), PLACE)
    assert "later_clocks" in caught.value.remedy


def test_declaring_the_later_clock_makes_one_true_series(tmp_path):
    first = datetime(2025, 5, 1, 5)
    lines = warm_afternoons(first, 480, 0) + warm_afternoons(first + timedelta(hours=480), 480, -5)
    weather = read_delimited(station(tmp_path, lines), options(clock="utc", later_clocks=[[482, "-05:00"]]), PLACE)

    assert weather.hours == 960
    assert not weather.findings


def test_a_station_that_kept_one_clock_is_left_in_peace(tmp_path):
    lines = warm_afternoons(datetime(2025, 5, 1, 5), 60 * 24, -5)
    weather = read_delimited(station(tmp_path, lines), options(), PLACE)

    assert not weather.findings

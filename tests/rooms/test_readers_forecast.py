"""The answer of a forecast service, in its documented shape, becomes hours that say they are a grid's and a forecast's."""

import json

import numpy as np
import pytest

from abaxial.errors import WeatherError
from abaxial.place import Place
from abaxial.weather.readers import parse_forecast
from abaxial.weather.series import Mark

PLACE = Place(52.52, 13.41, 38.0, "Europe/Berlin")
FIRST = 485_000  # hours since 1970
HOURS = 48


def answer(**changes):
    times = [str(np.datetime64((FIRST + 2 + i) * 3600, "s"))[:16] for i in range(HOURS)]
    whole = {
        "latitude": 52.52,
        "longitude": 13.42,
        "generationtime_ms": 0.3,
        "utc_offset_seconds": 7200,
        "timezone": "Europe/Berlin",
        "timezone_abbreviation": "CEST",
        "elevation": 38.0,
        "hourly_units": {
            "time": "iso8601",
            "temperature_2m": "°C",
            "relative_humidity_2m": "%",
            "precipitation": "mm",
            "wind_speed_10m": "km/h",
            "shortwave_radiation": "W/m²",
            "cloud_cover": "%",
        },
        "hourly": {
            "time": times,
            "temperature_2m": [10.0 + i for i in range(HOURS)],
            "relative_humidity_2m": [80] * HOURS,
            "precipitation": [0.1 * i for i in range(HOURS)],
            "wind_speed_10m": [11.52] * HOURS,
            "shortwave_radiation": [100.0 + i for i in range(HOURS)],
            "cloud_cover": [50] * HOURS,
        },
    }
    return whole | changes


def parsed(whole, now_hour=FIRST + 24, place=PLACE):
    return parse_forecast(json.dumps(whole), place, now_hour=now_hour)


def with_hourly(units=(), **changes):
    whole = answer()
    return whole | {"hourly": whole["hourly"] | changes, "hourly_units": whole["hourly_units"] | dict(units)}


def test_the_local_stamps_of_the_answer_are_brought_to_utc_and_their_rain_to_the_hour_before():
    weather = parsed(answer())[0]

    assert weather.first_hour == FIRST - 1
    assert weather.rain_mm[:3].tolist() == pytest.approx([0.0, 0.1, 0.2])
    assert weather.shortwave_w_m2[0] == 100.0


def test_what_is_read_at_the_stamp_is_taken_to_the_middle_of_the_hour():
    weather = parsed(answer())[0]

    assert weather.temperature_c[1] == 10.5  # between 10.0 at its start and 11.0 at its end


def test_everything_is_from_a_grid_and_only_what_is_to_come_is_a_forecast():
    weather = parsed(answer(), now_hour=FIRST + 24)[0]

    flags = weather.marks["temperature_c"]
    assert ((flags & Mark.GRID) > 0).all()
    assert np.array_equal((flags & Mark.FORECAST) > 0, np.arange(weather.first_hour, weather.end_hour) >= FIRST + 24)


def test_units_are_those_the_answer_names():
    fahrenheit = [50.0] * HOURS
    weather = parsed(
        with_hourly(
            {"temperature_2m": "°F", "precipitation": "inch", "wind_speed_10m": "mp/h"}, temperature_2m=fahrenheit
        )
    )[0]

    assert weather.temperature_c[5] == pytest.approx(10.0)
    assert weather.rain_mm[2] == pytest.approx(5.08)
    assert weather.wind_speed_m_s[0] == pytest.approx(11.52 * 0.44704 * 0.748, rel=1e-3)


def test_a_null_is_missing():
    temperatures = [None, None, None, *[12.0] * (HOURS - 3)]
    weather = parsed(with_hourly(temperature_2m=temperatures))[0]

    assert np.isnan(weather.temperature_c[:2]).all()
    assert np.isfinite(weather.temperature_c[4:]).all()


def test_a_garden_above_the_grid_is_colder_by_the_lapse_rate():
    high = Place(52.52, 13.41, 1038.0, "Europe/Berlin")
    weather, above = parsed(answer())[0], parsed(answer(), place=high)[0]

    assert np.allclose(above.temperature_c - weather.temperature_c, -6.5)
    assert np.array_equal(above.relative_humidity_frac, weather.relative_humidity_frac)


def test_unix_times_need_no_offset():
    whole = with_hourly({"time": "unixtime"}, time=[(FIRST + i) * 3600 for i in range(HOURS)])

    assert parsed(whole)[0].first_hour == parsed(answer())[0].first_hour


def test_an_older_spelling_of_the_names_is_read():
    whole = answer()
    for old, new in (("relativehumidity_2m", "relative_humidity_2m"), ("windspeed_10m", "wind_speed_10m")):
        whole["hourly"][old] = whole["hourly"].pop(new)
        whole["hourly_units"][old] = whole["hourly_units"].pop(new)

    assert parsed(whole)[0].relative_humidity_frac[0] == pytest.approx(0.8)


def ensemble(members=3, lacking=""):
    whole = answer()
    for key in [name for name in whole["hourly"] if name != "time"]:
        for member in range(1, members + 1):
            if f"{key}_member{member:02d}" != lacking:
                whole["hourly"][f"{key}_member{member:02d}"] = [value + member * 0.1 for value in whole["hourly"][key]]
                whole["hourly_units"][f"{key}_member{member:02d}"] = whole["hourly_units"][key]
    return whole


def test_each_member_of_an_ensemble_is_a_series_and_the_control_comes_first():
    weathers = parsed(ensemble())

    assert [round(w.temperature_c[1] - weathers[0].temperature_c[1], 6) for w in weathers] == [0.0, 0.1, 0.2, 0.3]


def test_a_member_that_lacks_a_variable_is_named():
    with pytest.raises(WeatherError, match="member02"):
        parsed(ensemble(lacking="precipitation_member02"))


@pytest.mark.parametrize(
    ("whole", "words"),
    [
        ({"error": True, "reason": "Latitude must be in range of -90 to 90"}, "Latitude must be in range"),
        ([answer(), answer()], "one place"),
        ({"hourly_units": {}}, "no hourly"),
        (answer(utc_offset_seconds="2h"), "utc_offset_seconds"),
        (with_hourly(temperature_2m=["warm"] * HOURS), "'warm'"),
        (with_hourly(temperature_2m=[1.0] * 7), "48 times and 7 values"),
        (with_hourly({"temperature_2m": "Réaumur"}), "Réaumur"),
        (with_hourly(relative_humidity_2m=[850] * HOURS), "humidity must lie"),
        (with_hourly(time=["2025-05-01T00:00", "2025-05-01T03:00"]), "not one hour"),
        (with_hourly({"time": "roman"}), "roman"),
    ],
)
def test_an_answer_of_another_shape_is_refused_with_what_is_wrong(whole, words):
    with pytest.raises(WeatherError, match=words):
        parsed(whole)


def test_an_answer_cut_off_in_the_middle_is_not_json():
    with pytest.raises(WeatherError, match="not JSON"):
        parse_forecast(json.dumps(answer())[:200], PLACE, now_hour=FIRST)

"""Numbers that cannot be in the unit their heading claims are noticed, and honest ones are left in peace."""

import tomllib
from datetime import datetime, timedelta

import numpy as np
import pytest

from abaxial.errors import WeatherError
from abaxial.place import Place
from abaxial.weather.readers import layout_from, propose_layout, read_delimited, suspicion
from abaxial.weather.series import Mark

PLACE = Place(51.5, 0.0, 20.0, "Europe/London")
WARM_DAYS = 20.0 + 8.0 * np.sin(np.arange(240) * np.pi / 12.0)
SUN = np.maximum(800.0 * np.sin(np.arange(240) * np.pi / 12.0), 0.0)


@pytest.mark.parametrize(
    ("name", "values", "declared", "looks"),
    [
        ("temperature", WARM_DAYS * 1.8 + 32.0, "°C", "°F"),
        ("temperature", WARM_DAYS + 273.15, "°C", "K"),
        ("humidity", np.linspace(0.003, 0.0099, 240), "percent", "fraction"),
        ("humidity", np.linspace(30.0, 99.0, 240), "fraction", "percent"),
        ("shortwave", SUN / 1000.0, "W/m²", "kW/m²"),
        ("shortwave", SUN * 3.6, "W/m²", "kJ/m²"),
    ],
)
def test_a_column_in_another_unit_than_declared_is_refused_with_what_it_looks_like(name, values, declared, looks):
    with pytest.raises(WeatherError) as caught:
        suspicion.refuse_hidden_unit(name, values, declared, where="station.csv, column 'x'")

    assert "station.csv" in str(caught.value)
    assert f"look like {looks}" in str(caught.value)


@pytest.mark.parametrize(
    ("name", "values", "declared"),
    [
        ("temperature", WARM_DAYS + 14.0, "°C"),
        ("temperature", WARM_DAYS - 40.0, "°C"),
        ("humidity", np.linspace(0.3, 0.99, 240), "percent"),
        ("shortwave", SUN, "W/m²"),
        ("shortwave", np.zeros(240), "W/m²"),
    ],
)
def test_a_hot_desert_a_polar_winter_and_a_dark_month_are_believed(name, values, declared):
    assert suspicion.refuse_hidden_unit(name, values, declared, where="here") is None


def year_of_rain(draw, share=0.05):
    dice = np.random.Generator(np.random.PCG64(5))
    wet = dice.random(8760) < share
    return np.where(wet, draw(dice, 8760), 0.0)


def test_whole_numbers_that_are_inches_times_25_are_tenths_of_millimetres():
    rain = year_of_rain(lambda dice, n: np.round(2.54 * (1 + dice.geometric(0.15, n))))
    found = suspicion.rain_unit(rain, "mm", rain.size)

    assert found.details["looks_like"] == "0.1 mm"


def test_hundredths_with_next_to_nothing_in_a_year_are_inches():
    rain = year_of_rain(lambda dice, n: 0.01 * dice.geometric(0.3, n))
    found = suspicion.rain_unit(rain, "mm", rain.size)

    assert found.details["looks_like"] == "in"


def test_a_year_wetter_than_any_on_earth_is_in_a_smaller_unit():
    rain = year_of_rain(lambda dice, n: 40.0 + 0.37 * dice.geometric(0.1, n))
    found = suspicion.rain_unit(rain, "mm", rain.size)

    assert found.details["looks_like"] == "a smaller unit"


@pytest.mark.parametrize("tip_mm", [0.1, 0.2, 0.254, 0.5, 1.0])
def test_an_honest_tipping_bucket_is_left_in_peace(tip_mm):
    rain = year_of_rain(lambda dice, n: tip_mm * dice.geometric(min(0.5 * tip_mm, 0.6), n))

    assert suspicion.rain_unit(rain, "mm", rain.size) is None


def test_an_honest_gauge_read_to_whole_millimetres_is_left_in_peace():
    rain = year_of_rain(lambda dice, n: dice.geometric(0.15, n))

    assert suspicion.rain_unit(rain, "mm", rain.size) is None


def test_suspicious_rain_in_a_station_file_is_kept_and_marked(tmp_path):
    rain = year_of_rain(lambda dice, n: np.minimum(np.round(2.54 * (1 + dice.geometric(0.15, n))), 300.0))[:2400]
    first = datetime(2025, 3, 1)
    lines = [f"{first + timedelta(hours=i):%Y-%m-%d %H:%M},{value:g}" for i, value in enumerate(rain)]
    path = tmp_path / "gauge.csv"
    path.write_text("when,rain\n" + "\n".join(lines) + "\n", encoding="utf-8")
    layout = layout_from(
        {
            "columns": {"rain": {"heading": "rain", "unit": "mm"}},
            "time": "when",
            "time_format": "%Y-%m-%d %H:%M",
            "clock": "utc",
            "labels": "start",
        },
        where="here",
    )
    weather = read_delimited(path, layout, PLACE)

    assert np.array_equal(weather.rain_mm, rain)
    assert np.array_equal((weather.marks["rain_mm"] & Mark.RANGE) > 0, rain > 0)


def test_a_proposal_guesses_what_a_file_tells_and_asks_for_what_it_cannot(tmp_path):
    path = tmp_path / "logger.csv"
    rows = "\n".join(f"{day:02d}.06.2025 12:00;{70 + day},5;0,{day}" for day in range(1, 29))
    path.write_text(f"Datum;Temp;Humidity\n{rows}\n", encoding="utf-8")
    proposal = propose_layout(path)

    assert 'separator = ";"' in proposal.toml
    assert 'decimal = ","' in proposal.toml
    assert 'time_format = "%d.%m.%Y %H:%M"' in proposal.toml
    assert 'heading = "Temp", unit = "°F"' in proposal.toml
    assert 'clock = "?"' in proposal.toml
    assert any("too warm" in reason for reason in proposal.reasons)


def test_a_proposal_pasted_without_a_look_is_refused(tmp_path):
    path = tmp_path / "logger.csv"
    path.write_text("time,temp\n" + "\n".join(f"2025-06-01 {h:02d}:00,15" for h in range(24)), encoding="utf-8")
    with pytest.raises(WeatherError, match="labels"):
        layout_from(tomllib.loads(propose_layout(path).toml), where="here")

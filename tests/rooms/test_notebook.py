"""The gardener's daily notebook."""

import numpy as np
import pytest

from abaxial.errors import WeatherError
from abaxial.place import Place
from abaxial.weather.notebook import rain_of_notebook, read_notebook
from abaxial.weather.series import Mark

PLACE = Place(-27.5, 153.0, 20.0, "Australia/Brisbane")
DAYS = "date,min_c,max_c,rain_mm\n2026-03-01,18,29,0\n2026-03-02,19,30,\n2026-03-03,17,27,22.5\n2026-03-04,16,28,0\n"


def written(tmp_path, text):
    path = tmp_path / "notebook.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_hours_reach_the_extremes_that_were_written_down(tmp_path):
    weather = read_notebook(written(tmp_path, DAYS), PLACE, {"read_at": 20})

    days = weather.temperature_c.reshape(-1, 24)
    assert days.min(axis=1) == pytest.approx([18, 19, 17, 16], abs=0.8)
    assert days.max(axis=1) == pytest.approx([29, 30, 27, 28], abs=0.3)


def test_every_hour_of_a_notebook_is_marked_as_derived(tmp_path):
    weather = read_notebook(written(tmp_path, DAYS), PLACE, {"read_at": 20})

    assert (weather.marks["relative_humidity_frac"] == Mark.DERIVED).all()


def test_a_thermometer_read_in_the_morning_tells_yesterdays_highest(tmp_path):
    weather = read_notebook(written(tmp_path, DAYS), PLACE, {"read_at": 8})

    third_of_march = weather.temperature_c.reshape(-1, 24)[3]
    assert third_of_march.max() == pytest.approx(28, abs=0.3)


def test_a_day_not_written_down_is_unknown_and_not_dry(tmp_path):
    weather = read_notebook(written(tmp_path, DAYS), PLACE)

    assert np.isnan(weather.rain_mm).all()


def test_a_gauge_not_read_for_a_day_holds_two_days_of_rain(tmp_path):
    readings = rain_of_notebook(written(tmp_path, DAYS), PLACE, {"read_at": 8})

    assert [each.end_hour - each.first_hour for each in readings] == [24, 48, 24]
    assert [each.amount_mm for each in readings] == [0.0, 22.5, 0.0]


def test_inches_and_fahrenheit_become_millimetres_and_celsius(tmp_path):
    path = written(tmp_path, "date,min_f,max_f,rain_in\n2026-03-01,50,68,1\n")

    assert rain_of_notebook(path, PLACE)[0].amount_mm == pytest.approx(25.4)
    assert read_notebook(path, PLACE, {"read_at": 20}).temperature_c.max() == pytest.approx(20.0, abs=0.3)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("date,min_c,max_c,rain_mm\n2026-03-01,18,88,0\n", "line 2: max is 88 °C"),
        ("date,min_c,max_c,rain_mm\n2026-03-01,18,warm,0\n", "line 2: max is 'warm'"),
        ("date,min_c,max_c,rain_mm\n2026-03-01,18,28,-1\n", "line 2: rain is -1 mm"),
        ("date,min_c,max_c,rain_mm\n01/03/2026,18,28,0\n", "is not a date"),
        ("date,min_c,max_c,rain_mm\n2026-03-02,1,2,0\n2026-03-01,1,2,0\n", "line 3"),
        ("date,low,max_c\n2026-03-02,1,2\n", "'low' is not known"),
        ("date,min_c,max_c,rain_mm\n", "no day in this notebook"),
        ("", "no day in this notebook"),
        ("date,min_c,max_c\n2026-03-01,20,10\n", "lies below its lowest"),
    ],
)
def test_a_line_that_cannot_be_believed_is_named(tmp_path, text, said):
    with pytest.raises(WeatherError, match=said):
        read_notebook(written(tmp_path, text), PLACE, {"read_at": 20})


def test_an_hour_of_reading_that_no_clock_has_is_refused(tmp_path):
    with pytest.raises(WeatherError, match="read_at is 25"):
        read_notebook(written(tmp_path, DAYS), PLACE, {"read_at": 25})

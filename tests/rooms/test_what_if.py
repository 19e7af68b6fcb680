"""What another habit would change."""

from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from tests import steady_weather
from tests.steady_weather import EQUATOR, STATION, Hour

from abaxial.report.answers.week import PlantingWeek, WhatIf

AT = datetime(2026, 3, 22, 12)
OVERHEAD = '{ manner = "overhead", local_hour = 19, amount_mm = 5, every_days = 1 }'
WALL = "[[bed.obstacle]]\nfrom_deg = 0\nto_deg = 180\nheight_m = 5\ndistance_m = 2\n"


def hour_of(moment: datetime) -> Hour:
    """Rain from three to six in every second night, under an even grey sky."""
    sine = float(np.sin(np.pi * (moment.hour + 0.5 - 6.0) / 12.0))
    raining = 3 <= moment.hour < 6 and moment.day % 2 == 0
    return Hour(20.0, 0.97 if raining else 0.8, 0.8, 2.0 if raining else 0.0, 0.9, max(350.0 * sine, 0.0))


def page(folder: Path, *, watering: str = "", obstacle: str = "", clumps: int = 12, spacing_m: float = 0.4):
    steady_weather.write_station(folder, hour_of, at=AT)
    garden = EQUATOR + steady_weather.bed(watering=watering, obstacle=obstacle)
    garden += steady_weather.planting(clumps=clumps, spacing_m=spacing_m, since="2026-01-05") + STATION
    return steady_weather.only_planting(steady_weather.week_of(folder, garden, at=AT))


def rows(seen: PlantingWeek) -> dict[str, WhatIf]:
    return {row.change: row for row in seen.what_if}


def test_todays_habit_stands_first_and_gains_nothing(tmp_path: Path):
    seen = page(tmp_path, watering=OVERHEAD, obstacle=WALL)

    assert [row.change for row in seen.what_if] == [
        "as_now",
        "water_at_dawn_on_soil",
        "low_leaves_off",
        "wider_spacing",
        "more_sun",
    ]
    assert rows(seen)["as_now"].gain_frac.low == rows(seen)["as_now"].gain_frac.high == 0.0


def test_what_is_so_already_is_not_tried(tmp_path: Path):
    seen = rows(page(tmp_path, clumps=1))

    for change in ("water_at_dawn_on_soil", "wider_spacing", "more_sun"):
        assert not seen[change].possible
        assert seen[change].wet_h_per_week == seen["as_now"].wet_h_per_week


def test_the_table_of_now_counts_the_hours_of_the_nights_shown(tmp_path: Path):
    seen = page(tmp_path)
    shown = [each for each in seen.nights if not each.ahead][-21:] + [each for each in seen.nights if each.ahead][:7]

    low, high = (
        7.0 * np.mean([getattr(each, level).mid for each in shown]) for level in ("wet_h_lower", "wet_h_upper")
    )
    assert min(low, high) * 0.9 <= rows(seen)["as_now"].wet_h_per_week.mid <= max(low, high) * 1.1


@pytest.mark.parametrize("change", ["water_at_dawn_on_soil", "low_leaves_off", "wider_spacing"])
def test_no_good_habit_adds_wet_hours_under_a_grey_sky(tmp_path: Path, change: str):
    seen = page(tmp_path, watering=OVERHEAD)

    assert steady_weather.gain(seen, change) >= -0.2
    assert rows(seen)[change].gain_frac.mid >= 0.0


def test_leaves_that_are_taken_off_take_nothing_in(tmp_path: Path):
    seen = rows(page(tmp_path, watering=OVERHEAD))

    # half of the leaf area less a tenth of it that stays
    assert seen["low_leaves_off"].gain_frac.mid > 0.25


def test_infections_and_hours_are_told_for_a_week_over_four(tmp_path: Path):
    for row in page(tmp_path, watering=OVERHEAD).what_if:
        assert row.window_days == 28
        assert 0.0 <= row.infection_per_week.low <= row.infection_per_week.high <= 7.0
        assert 0.0 <= row.wet_h_per_week.low <= row.wet_h_per_week.high <= 7 * 24.0

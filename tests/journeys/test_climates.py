"""Gardens all over the world: nothing assumes a winter, a spring or a north."""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from tests import invented_climates as climates
from tests import steady_weather
from tests.invented_climates import Site
from tests.steady_weather import STATION, Hour

from abaxial.report.answers.week import PlantingWeek, WeekAnswer

DAYS = 190


@cache
def week_at(site: Site, at: datetime, extra: str = "", host: str = "daylily") -> WeekAnswer:
    """The week of one bed under invented weather of the half year before."""
    weather = climates.lived(climates.weather_of(site, datetime(2025, 1, 1), 730), at)
    since = str((at - timedelta(days=150)).date())
    with TemporaryDirectory() as folder:
        climates.write_station(Path(folder), between_days(weather, DAYS))
        garden = site.toml + steady_weather.bed(obstacle=extra)
        garden += steady_weather.planting(host=host, clumps=9, spacing_m=0.5, since=since) + STATION
        return steady_weather.week_of(Path(folder), garden, at=at)


def between_days(weather: climates.Weather, days: int) -> climates.Weather:
    return climates.series.between(weather, max(weather.end_hour - 24 * days, weather.first_hour), weather.end_hour)


def page(site: Site, at: datetime, extra: str = "", host: str = "daylily") -> PlantingWeek:
    return steady_weather.only_planting(week_at(site, at, extra, host))


def mean_wet_h(seen: PlantingWeek) -> float:
    return float(np.mean([each.wet_h_lower.mid for each in seen.nights if not each.ahead]))


@pytest.mark.parametrize("month", [1, 4, 7, 10])
@pytest.mark.parametrize(
    "site",
    [climates.EQUATOR, climates.SOUTHERN, climates.COLD_WINTER, climates.POLAR],
    ids=["equator", "southern", "cold winter", "polar"],
)
def test_every_season_of_every_climate_is_answered(site: Site, month: int):
    answer = week_at(site, datetime(2026, month, 12, 5))
    seen = steady_weather.only_planting(answer)

    assert answer.headline.kind != "cannot_know"
    for night in seen.nights:
        assert 0.0 <= night.wet_h_lower.low <= night.wet_h_lower.mid <= night.wet_h_lower.high <= 24.0
        assert 0.0 <= night.infection_frac.low <= night.infection_frac.mid <= night.infection_frac.high <= 1.0
    for one in seen.infections:
        assert one.night <= one.first_showing.low <= one.first_showing.mid <= one.first_showing.high or (
            # three days of doubt reach back before a night of this week
            one.first_showing.mid >= one.night
        )
        assert one.first_showing.mid <= one.showing.mid


# ------------------------------------------------------------------ two rainy seasons


def test_on_the_equator_both_rainy_seasons_hide_more_than_the_dry_ones():
    april, august, november = (
        page(climates.EQUATOR, datetime(2026, month, 28, 5)).latent_nights.mid for month in (4, 8, 11)
    )

    assert april > 1.5 * august
    assert august < november


def test_on_the_equator_no_date_waits_for_a_spring():
    seen = page(climates.EQUATOR, datetime(2026, 11, 28, 5))

    lived = [each for each in seen.infections if each.night < date(2026, 11, 28)]
    assert lived
    assert max((each.showing.mid - each.night).days for each in lived) < 20


# ------------------------------------------------------------------ the other half of the earth

WALL = "[[bed.obstacle]]\nfrom_deg = {first}\nto_deg = {last}\nheight_m = 4\ndistance_m = 1.5\n"
NORTH, SOUTH = WALL.format(first=280, last=80), WALL.format(first=100, last=260)


def more_sun_gain_h(site: Site, at: datetime, wall: str) -> float:
    return steady_weather.gain(page(site, at, wall), "more_sun")


def test_a_wall_to_the_north_takes_the_sun_of_a_southern_garden():
    at = datetime(2026, 6, 20, 5)

    assert more_sun_gain_h(climates.SOUTHERN, at, NORTH) > more_sun_gain_h(climates.SOUTHERN, at, SOUTH)


def test_a_wall_to_the_south_takes_the_sun_of_a_northern_garden():
    at = datetime(2026, 9, 20, 5)

    assert more_sun_gain_h(climates.COLD_WINTER, at, SOUTH) > more_sun_gain_h(climates.COLD_WINTER, at, NORTH)


# ------------------------------------------------------------------ cold


def steady(folder: Path, temperature_of: Callable[[datetime], float], at: datetime) -> PlantingWeek:
    """One wet night in September, then dry; everything else is the temperature."""
    begin = datetime(2025, 9, 20, 18)

    def hour_of(moment: datetime) -> Hour:
        wet = begin <= moment < begin + timedelta(hours=12)
        return Hour(17.0 if wet else temperature_of(moment), 0.98 if wet else 0.4, rain_mm=1.0 if wet else 0.0)

    days = (at - begin).days + 20
    steady_weather.write_station(folder, hour_of, at=at, days=days)
    garden = steady_weather.EQUATOR + steady_weather.bed(obstacle=steady_weather.SHAFT)
    garden += steady_weather.planting(since="2025-06-01", host="pelargonium") + STATION
    return steady_weather.only_planting(steady_weather.week_of(folder, garden, at=at))


def of_that_night(seen: PlantingWeek):
    return next(each for each in seen.infections if each.night == date(2025, 9, 20))


def autumn_then(winter_c: float) -> Callable[[datetime], float]:
    def temperature_of(moment: datetime) -> float:
        wobble = 1.5 if moment.hour < 12 else -1.5
        return (12.0 if moment < datetime(2025, 9, 26) else winter_c) + wobble

    return temperature_of


def test_a_cold_winter_stalls_what_is_latent_and_never_resets_it(tmp_path: Path):
    first, later = (
        of_that_night(steady(tmp_path, autumn_then(-4.0), at))
        for at in (datetime(2025, 10, 10, 12), datetime(2026, 2, 20, 12))
    )

    # the bands of the two runs see the same hours; pelargonium rust ripens little at 12 °C and not at all below zero
    by_october, by_february = first.rise[19].mid, later.rise[152].mid
    assert 0.05 < by_october < 0.9
    assert by_february == pytest.approx(by_october, abs=0.03)
    assert later.latent_frac.mid > 0.9


def test_progress_never_goes_back(tmp_path: Path):
    seen = of_that_night(steady(tmp_path, autumn_then(-4.0), datetime(2026, 2, 20, 12)))

    assert (np.diff([each.mid for each in seen.rise]) >= 0.0).all()
    assert (np.diff([each.low for each in seen.rise]) >= 0.0).all()


def test_a_thaw_carries_on_where_the_frost_stopped(tmp_path: Path):
    def temperature_of(moment: datetime) -> float:
        return 15.0 if moment >= datetime(2026, 2, 10) else autumn_then(-4.0)(moment)

    seen = of_that_night(steady(tmp_path, temperature_of, datetime(2026, 2, 20, 12)))

    assert seen.rise[152].mid > seen.rise[142].mid + 0.3


def test_frozen_nights_let_nothing_in():
    seen = page(climates.COLD_WINTER, datetime(2026, 1, 25, 5))

    assert max(each.infection_frac.mid for each in seen.nights if not each.ahead) < 0.01


# ------------------------------------------------------------------ polar day and night


def test_under_the_midnight_sun_leaves_are_wet_for_fewer_hours_than_in_the_polar_night():
    summer, winter = (
        mean_wet_h(page(climates.POLAR, at)) for at in (datetime(2026, 6, 25, 5), datetime(2026, 12, 20, 5))
    )

    assert summer < winter


def test_the_polar_day_still_has_nights_by_date():
    seen = page(climates.POLAR, datetime(2026, 6, 25, 5))

    days = [each.day for each in seen.nights]
    assert days == [days[0] + timedelta(days=i) for i in range(len(days))]


@pytest.mark.parametrize(
    ("latitude_deg", "zone"), [(90.0, "Europe/Oslo"), (-90.0, "Europe/Oslo"), (69.6, "Pacific/Pago_Pago")]
)
def test_at_the_poles_and_on_a_strange_clock_invented_days_stay_within_their_climate(latitude_deg: float, zone: str):
    place = climates.replace(climates.POLAR.place, latitude_deg=latitude_deg, zone=zone)
    weather = climates.weather_of(climates.POLAR._replace(place=place), datetime(2026, 1, 1), 365)

    assert -40.0 < weather.temperature_c.min() < weather.temperature_c.max() < 30.0
    assert weather.relative_humidity_frac.min() > 0.05

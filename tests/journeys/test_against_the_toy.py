"""What a humidity threshold and one mean latent period could not do: answers that move by amounts worked out by hand.

Each test changes one obstacle, one watering hour or one number of a rust, in weather simple enough to reckon with, and
demands that the dates, the bands and the what-if table move by what the published formulas say.
"""

import math
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from tests import steady_weather
from tests.steady_weather import EQUATOR, SHAFT, STATION, Hour

from abaxial.report.answers.week import Infection, PlantingWeek

# ------------------------------------------------------------------ one temperature of a rust

AIR_C = 15.0
SHORTEST_D, SPAN_D, COLDEST_C, WARMEST_C = 8.0, 6.0, 0.0, 35.0
RIPENING = {
    "latent_minimum_c": COLDEST_C,
    "latent_maximum_c": WARMEST_C,
    "shortest_latent_d": SHORTEST_D,
    "showing_span_d": SPAN_D,
    "infection_minimum_c": 2.0,
    "infection_optimum_c": AIR_C,
    "infection_maximum_c": 30.0,
    "first_wet_h": 3.0,
    "full_wet_h": 8.0,
}
NOON = datetime(2026, 3, 20, 12)


def one_wet_night(folder: Path, *, evening: date, optimum_c: float, **ranges: tuple[float, float]) -> Infection:
    """What one night of rain let into leaves that have the temperature of the air, which is the same all the time."""
    begin = datetime.combine(evening, datetime.min.time()) + timedelta(hours=18)

    def hour_of(moment: datetime) -> Hour:
        wet = begin <= moment < begin + timedelta(hours=12)
        return Hour(AIR_C, 0.98 if wet else 0.4, rain_mm=1.0 if wet else 0.0)

    steady_weather.write_station(folder, hour_of, at=NOON)
    numbers = {**RIPENING, "latent_optimum_c": optimum_c}
    steady_weather.own_rust(folder, "daylily", "daylily_rust", central=numbers, ranges=ranges)
    garden = EQUATOR + steady_weather.bed(obstacle=SHAFT) + steady_weather.planting() + STATION
    page = steady_weather.only_planting(steady_weather.week_of(folder, garden, at=NOON))
    return next(each for each in page.infections if each.night == evening)


def speed_frac(optimum_c: float) -> float:
    """The beta function of magarey2005 at the temperature of the air."""
    fall = (WARMEST_C - AIR_C) / (WARMEST_C - optimum_c)
    rise = (AIR_C - COLDEST_C) / (optimum_c - COLDEST_C)
    return fall * rise ** ((optimum_c - COLDEST_C) / (WARMEST_C - optimum_c))


def latent_d(optimum_c: float) -> float:
    return SHORTEST_D / speed_frac(optimum_c)


def share_of_latent_period_at_first_tenth(span_d: float, latent_d: float) -> float:
    """The log-logistic curve through 1 % and 99 % open, `span_d` apart: 1/9 = x^shape."""
    shape = math.log(99.0) / math.asinh(span_d / (2.0 * latent_d))
    return (1.0 / 9.0) ** (1.0 / shape)


# rain from 18:00; at the optimum half of what will enter is inside some five hours later, eleven hours after noon
ENTERED_D = 11.0 / 24.0


@pytest.mark.parametrize("optimum_c", [AIR_C, 20.0, 25.0])
def test_the_first_date_is_the_night_plus_the_latent_period_at_that_temperature(tmp_path: Path, optimum_c: float):
    evening = NOON.date() - timedelta(days=10 if optimum_c > AIR_C else 6)
    seen = one_wet_night(tmp_path, evening=evening, optimum_c=optimum_c)

    # 8 d x (1, 1/0.908, 1/0.558) x 0.84 = 6.7, 7.4, 12.0 d
    by_hand_d = ENTERED_D + latent_d(optimum_c) * share_of_latent_period_at_first_tenth(SPAN_D, SHORTEST_D)
    assert abs((seen.first_showing.mid - evening).days - by_hand_d) < 1.3


def test_ripening_slows_in_the_ratio_of_two_optima(tmp_path: Path):
    evening = NOON.date() - timedelta(days=10)
    warm, cool = (one_wet_night(tmp_path, evening=evening, optimum_c=each) for each in (25.0, 20.0))

    # 0.558 / 0.908 = 0.614
    by_hand = speed_frac(25.0) / speed_frac(20.0)
    assert warm.rise[8].mid / cool.rise[8].mid == pytest.approx(by_hand, rel=0.03)


def test_latent_progress_is_days_over_latent_period(tmp_path: Path):
    seen = one_wet_night(tmp_path, evening=NOON.date() - timedelta(days=10), optimum_c=25.0)

    for day in (4, 6, 8):
        assert seen.rise[day].mid == pytest.approx((day - ENTERED_D) / latent_d(25.0), rel=0.03)


def test_a_rust_of_ones_own_under_another_name_goes_before_ours(tmp_path: Path):
    evening = NOON.date() - timedelta(days=10)
    one_wet_night(tmp_path, evening=evening, optimum_c=20.0)
    (tmp_path / "rusts" / "daylily_rust.toml").rename(tmp_path / "rusts" / "lily_rust_of_mine.toml")
    garden = EQUATOR + steady_weather.bed(obstacle=SHAFT) + steady_weather.planting() + STATION

    page = steady_weather.only_planting(steady_weather.week_of(tmp_path, garden, at=NOON))
    assert page.rust_name == "own rust"


# ------------------------------------------------------------------ one range of a rust


def quantile_of_triangle(value: float, low: float, high: float, share: float) -> float:
    """A triangle over value that holds nine in ten between low and high, as draws are spread."""
    reach = 1.0 / (1.0 - math.sqrt(0.1))
    side = (high - value) if share > 0.5 else (low - value)
    return value + side * reach * (1.0 - math.sqrt(2.0 * min(share, 1.0 - share)))


def test_a_band_is_as_wide_as_the_range_behind_it(tmp_path: Path):
    evening, low_d, high_d = NOON.date() - timedelta(days=6), 6.0, 12.0
    seen = one_wet_night(tmp_path, evening=evening, optimum_c=AIR_C, shortest_latent_d=(low_d, high_d))

    # in 5.5 days, 5.5/11.2 to 5.5/6.4 of the latent period
    slow_d, quick_d = (quantile_of_triangle(SHORTEST_D, low_d, high_d, share) for share in (0.9, 0.1))
    assert seen.rise[6].low == pytest.approx((6 - ENTERED_D) / slow_d, rel=0.04)
    assert seen.rise[6].high == pytest.approx((6 - ENTERED_D) / quick_d, rel=0.04)


def test_without_any_range_and_at_the_optimum_no_doubt_is_left(tmp_path: Path):
    seen = one_wet_night(tmp_path, evening=NOON.date() - timedelta(days=6), optimum_c=AIR_C)

    # a thermometer's half degree matters nowhere less than at the optimum
    assert (seen.rise[6].high - seen.rise[6].low) / seen.rise[6].mid < 0.02
    assert seen.infection_frac.high - seen.infection_frac.low < 0.02
    # the page never promises a date more narrowly than three days either way
    assert (seen.first_showing.high - seen.first_showing.low).days <= 6


def test_dates_spread_as_far_as_the_latent_period_may(tmp_path: Path):
    evening, low_d, high_d = NOON.date() - timedelta(days=6), 4.0, 16.0
    seen = one_wet_night(tmp_path, evening=evening, optimum_c=AIR_C, shortest_latent_d=(low_d, high_d))

    ends = [quantile_of_triangle(SHORTEST_D, low_d, high_d, share) for share in (0.1, 0.9)]
    early, late = (each * share_of_latent_period_at_first_tenth(SPAN_D, each) for each in ends)
    assert abs((seen.first_showing.low - evening).days - (ENTERED_D + early)) < 1.3
    assert abs((seen.first_showing.high - evening).days - (ENTERED_D + late)) < 1.8


# ------------------------------------------------------------------ one obstacle

EQUINOX = datetime(2026, 3, 22, 12)


def saturated_before(moment: datetime, first_h: int, air: Hour) -> Hour:
    """The first days end saturated, so that no lasting dryness is taken for a sensor that cannot reach 100 %."""
    return Hour(16.0 + 0.1 * (moment.hour % 3), 0.995) if (EQUINOX - moment).days >= first_h else air


def sun_w_m2(moment: datetime) -> float:
    """Clear sky at the equinox on the equator, where the sun climbs 15° an hour from due east. Haurwitz' formula."""
    sine = math.sin(math.radians((moment.hour + 0.5 - 6.0) * 15.0))
    return 1098.0 * sine * math.exp(-0.057 / sine) if sine > 0.0 and 6 <= moment.hour < 18 else 0.0


def behind_a_wall(folder: Path, elevation_deg: float) -> PlantingWeek:
    """A bed west of a long wall, in air so moist that only the sun's own beam dries the leaves."""
    height_m = 60.0 * math.tan(math.radians(elevation_deg))
    wall = f"[[bed.obstacle]]\nfrom_deg = 0\nto_deg = 180\nheight_m = {height_m:.2f}\ndistance_m = 60\n"
    steady_weather.write_station(
        folder, lambda moment: Hour(22.0, 0.97, 0.2, cloud_frac=0.0, sun_w_m2=sun_w_m2(moment)), at=EQUINOX
    )
    garden = EQUATOR + steady_weather.bed(obstacle=wall) + steady_weather.planting(since="2026-02-20") + STATION
    return steady_weather.only_planting(steady_weather.week_of(folder, garden, at=EQUINOX))


def last_night_wet_h(page: PlantingWeek) -> float:
    return [each for each in page.nights if not each.ahead][-1].wet_h_lower.mid


@pytest.mark.parametrize(("low_deg", "high_deg"), [(45.0, 60.0), (60.0, 75.0), (45.0, 75.0)])
def test_a_wall_keeps_leaves_wet_until_the_sun_has_climbed_over_it(tmp_path: Path, low_deg: float, high_deg: float):
    low, high = behind_a_wall(tmp_path, low_deg), behind_a_wall(tmp_path, high_deg)

    sun_hours = (high_deg - low_deg) / 15.0
    assert last_night_wet_h(high) - last_night_wet_h(low) == pytest.approx(sun_hours, abs=0.3)


def test_the_what_if_table_counts_the_hours_that_a_wall_hides(tmp_path: Path):
    low, high = (
        next(row for row in behind_a_wall(tmp_path, each).what_if if row.change == "as_now") for each in (45.0, 75.0)
    )

    # three weeks of such days, and one that nobody can know, where the sky may be clouded
    added_h = high.wet_h_per_week.mid - low.wet_h_per_week.mid
    assert 0.75 * 7 * 2.0 * 0.85 < added_h < 7 * 2.0 * 1.15


def test_half_the_light_through_the_wall_gains_what_the_hidden_beam_would_have_dried(tmp_path: Path):
    low, high = behind_a_wall(tmp_path, 5.0), behind_a_wall(tmp_path, 60.0)

    # nearly nothing is hidden by the one; the other hides until ten, of which half the beam of 8 to 10 dries as well
    assert abs(steady_weather.gain(low, "more_sun")) < 0.5
    assert 0.75 * 7 * 0.7 < steady_weather.gain(high, "more_sun") < 7 * 2.0


# ------------------------------------------------------------------ one watering hour

NIGHT_C, NIGHT_FRAC, DAY_C, DAY_FRAC = 8.0, 0.80, 26.0, 0.35
# on each face: water_storage_mm of the daylily
HELD_MM = 0.1
WATERED = '{{ manner = "{manner}", local_hour = {hour}, amount_mm = 5, every_days = 1 }}'


def watered(folder: Path, hour: int, manner: str = "overhead") -> PlantingWeek:
    """A bed without sun, sky or wind, where leaves dry by the air alone: fast by day, slowly by night."""

    def hour_of(moment: datetime) -> Hour:
        day = 8 <= moment.hour < 18
        return saturated_before(moment, 33, Hour(DAY_C if day else NIGHT_C, DAY_FRAC if day else NIGHT_FRAC, 0.0))

    steady_weather.write_station(folder, hour_of, at=EQUINOX)
    bed = steady_weather.bed(obstacle=SHAFT, watering=WATERED.format(manner=manner, hour=hour))
    garden = EQUATOR + bed + steady_weather.planting(since="2026-02-20") + STATION
    return steady_weather.only_planting(steady_weather.week_of(folder, garden, at=EQUINOX))


def drying_h(air_c: float, humidity_frac: float, leaf_width_m: float = 0.02) -> float:
    """Hours in which still air takes what a daylily leaf holds from each face of a leaf that has no sun and no sky.

    Exchange per face of campbell1998 out of doors, and 1.2 of it; saturation of allen1998; wet-bulb cooling against heat
    from the air and from surroundings at its temperature.
    """
    saturation = 0.6108 * math.exp(17.27 * air_c / (air_c + 237.3))
    slope = 4098.0 * saturation / (air_c + 237.3) ** 2
    heat = 1.2 * 1.4 * 0.135 * math.sqrt(0.05 / (0.72 * leaf_width_m))
    vapour = heat * 0.147 / 0.135
    radiated = 4.0 * 0.97 * 5.67e-8 * (air_c + 273.15) ** 3 / 29.3
    psychrometric = 29.3 * 101.3 / (2.45e6 * 0.018015) * (heat + radiated) / vapour
    deficit_at_leaf = saturation * (1.0 - humidity_frac) * psychrometric / (slope + psychrometric)
    return HELD_MM / (vapour * deficit_at_leaf / 101.3 * 0.018015 * 3600.0)


def wet_h_of_one_watering(air_c: float, humidity_frac: float) -> float:
    """The hour of watering itself, then as many as it takes; an hour begun wet counts, half an hour more on average."""
    return 1.0 + max(drying_h(air_c, humidity_frac) + 0.5, 1.0)


@pytest.mark.parametrize(
    ("hour", "by_hand_h"),
    [
        (10, wet_h_of_one_watering(DAY_C, DAY_FRAC)),
        (19, wet_h_of_one_watering(NIGHT_C, NIGHT_FRAC)),
        (1, wet_h_of_one_watering(NIGHT_C, NIGHT_FRAC)),
    ],
)
def test_water_on_leaves_stays_as_long_as_the_air_of_its_hour_takes_to_dry_it(
    tmp_path: Path, hour: int, by_hand_h: float
):
    # whole hours, and members of which one leaf holds twice what another does
    assert last_night_wet_h(watered(tmp_path, hour)) == pytest.approx(by_hand_h, rel=0.3)


def test_watering_the_soil_at_dawn_gains_more_for_those_who_water_leaves_at_dusk(tmp_path: Path):
    at_dusk, by_day = (steady_weather.gain(watered(tmp_path, hour), "water_at_dawn_on_soil") for hour in (19, 10))

    night_h, day_h = wet_h_of_one_watering(NIGHT_C, NIGHT_FRAC), wet_h_of_one_watering(DAY_C, DAY_FRAC)
    # three weeks of such days and one that is not known
    assert at_dusk == pytest.approx(7 * night_h, rel=0.25)
    assert by_day == pytest.approx(7 * day_h, rel=0.25)
    assert 0.7 * 7 * (night_h - day_h) < at_dusk - by_day < 1.25 * 7 * (night_h - day_h)


def test_the_hour_does_not_matter_for_water_given_at_the_foot(tmp_path: Path):
    assert last_night_wet_h(watered(tmp_path, 19, "soil")) == last_night_wet_h(watered(tmp_path, 10, "soil")) == 0.0


def test_days_alike_make_nights_alike(tmp_path: Path):
    nights = [each.wet_h_lower.mid for each in watered(tmp_path, 19).nights if not each.ahead][-7:]

    assert max(nights) - min(nights) < 0.05

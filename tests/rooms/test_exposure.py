"""How a leaf's place in its bed changes the open air."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from abaxial import hours
from abaxial.garden.parts import Bed, Obstacle, Watering
from abaxial.microclimate import exposure
from abaxial.microclimate.exposure import Canopy, Exposure
from abaxial.place import Place

PLACE = Place(0.0, 0.0, 0.0, "UTC")
DAYS = 6
WHEN = exposure.when_of(hours.hour_of(datetime(2026, 3, 20, 12, tzinfo=UTC)), 24 * DAYS, PLACE)
OPEN = Bed("Quay", 4.0)
MOIST_MOST_FRAC = 0.35


def canopy(area: float = 2.0) -> Canopy:
    half = np.full(DAYS, area / 2.0)
    return Canopy(half, half, np.full(DAYS, 1.0), leaf_width_m=0.1, extinction=0.5, storage_mm=0.1)


def levels(bed: Bed = OPEN, area: float = 2.0) -> tuple[Exposure, Exposure]:
    return exposure.exposures(bed, canopy(area), WHEN, np.full(DAYS, 1.0), MOIST_MOST_FRAC)


def watered(manner: str, hour: int, every_days: int = 1) -> Bed:
    return replace(OPEN, watering=Watering(manner, hour, 5.0, every_days))


def test_low_leaves_get_less_sun_sky_and_wind_than_high_ones():
    lower, upper = levels()

    assert (lower.sky_frac < upper.sky_frac).all()
    assert (lower.wind_frac < upper.wind_frac).all()
    assert lower.beam_frac.sum() < upper.beam_frac.sum()
    assert (lower.moist_frac > upper.moist_frac).all()


def test_light_falls_by_the_law_of_beer_from_one_level_to_the_next():
    lower, _ = levels(area=2.0)

    # under one layer of area 1 with extinction 0.5, and on average over another
    by_hand = np.exp(-0.5) * (1.0 - np.exp(-0.5)) / 0.5
    assert lower.sky_frac == pytest.approx(np.full(DAYS, by_hand))


def test_a_stand_without_leaves_hides_nothing():
    lower, upper = levels(area=0.0)

    assert lower.sky_frac == pytest.approx(np.ones(DAYS))
    assert upper.through_frac == pytest.approx(np.ones(DAYS))
    assert lower.moist_frac == pytest.approx(np.zeros(DAYS))


def test_a_wall_of_half_the_height_of_the_sky_hides_the_sun_for_three_hours():
    # on the equator at the equinox the sun climbs 15 degrees an hour from due east
    wall = Obstacle(0.0, 180.0, height_m=100.0, distance_m=100.0)
    behind, free = (levels(bed, 0.0)[0] for bed in (replace(OPEN, obstacles=(wall,)), OPEN))

    assert (free.beam_frac - behind.beam_frac).sum() == pytest.approx(3.0 * DAYS, abs=DAYS)


def test_a_wall_low_in_the_east_leaves_the_evening_sun():
    wall = Obstacle(0.0, 180.0, height_m=100.0, distance_m=100.0)
    behind = levels(replace(OPEN, obstacles=(wall,)), 0.0)[0]

    assert behind.beam_frac[WHEN.local_hour == 15] == pytest.approx(np.ones(DAYS))
    assert behind.beam_frac[WHEN.local_hour == 7] == pytest.approx(np.zeros(DAYS))


def test_overhead_water_falls_on_leaves_at_its_hour_and_soil_water_never():
    over, foot = (exposure.watering_mm(watered(manner, 19), WHEN) for manner in ("overhead", "soil"))

    assert set(WHEN.local_hour[over[0] > 0.0]) == {19}
    assert over[0].sum() == foot[1].sum() == 5.0 * DAYS
    assert over[1].sum() == foot[0].sum() == 0.0


def test_a_bed_watered_every_third_day_keeps_its_turn_in_another_run():
    bed = watered("overhead", 19, 3)
    later = exposure.when_of(int(WHEN.hours[24]), 24 * (DAYS - 1), PLACE)

    assert exposure.watering_mm(bed, later)[0].tolist() == exposure.watering_mm(bed, WHEN)[0][24:].tolist()
    assert (exposure.watering_mm(bed, WHEN)[0] > 0.0).sum() == DAYS // 3


def test_days_cut_out_of_a_run_are_the_same_hours():
    span, part = exposure.days_between(WHEN, 2, 4)

    assert part.hours.tolist() == WHEN.hours[48:96].tolist() == WHEN.hours[span].tolist()
    assert part.day.tolist() == [0] * 24 + [1] * 24
    assert part.first_day == WHEN.first_day + 2


def test_a_garden_day_begins_at_noon_and_is_named_by_its_evening():
    assert WHEN.local_hour[0] == 12
    assert hours.date_of(WHEN.first_day).isoformat() == "2026-03-20"


def test_wind_reaches_a_sheltered_bed_in_the_share_said():
    half = levels(replace(OPEN, shelter_frac=0.5))[1]

    assert half.wind_frac == pytest.approx(0.5 * levels()[1].wind_frac)

"""Water in a bed's soil."""

from dataclasses import replace

import numpy as np
from tests.rooms.test_exposure import DAYS, OPEN, WHEN, canopy, watered

from abaxial.microclimate import bed_soil
from abaxial.microclimate.bed_soil import BedSoil

NO_RAIN = np.zeros(24 * DAYS)
FIVE_MM = np.full(DAYS, 5.0)


def soil(bed=OPEN, rain=NO_RAIN, area: float = 3.0) -> BedSoil:
    return bed_soil.bed_soils([bed], [canopy(area)], rain, FIVE_MM, WHEN)[0]


def test_a_full_soil_loses_what_plants_drink():
    dry = soil()

    assert (np.diff(dry.available_frac) < 0.0).all()
    # at first nothing is lacking: five millimetres of grass, times what a stand of this cover drinks
    lost_mm = (1.0 - dry.available_frac[0]) * dry.capacity_mm
    assert 2.0 < lost_mm < 7.5


def test_water_at_the_foot_and_over_the_leaves_reaches_the_same_soil():
    assert soil(watered("soil", 6)).available_frac.tolist() == soil(watered("overhead", 6)).available_frac.tolist()
    assert soil(watered("soil", 6)).available_frac[-1] > soil().available_frac[-1]


def test_a_flood_fills_the_soil_and_no_more():
    rain = NO_RAIN.copy()
    rain[24 * 4] = 500.0

    assert soil(rain=rain).available_frac[4] <= 1.0
    assert soil(rain=rain).available_frac[4] > 0.9


def test_sand_holds_less_than_clay():
    sand, clay = (soil(replace(OPEN, soil=texture)) for texture in ("sand", "clay"))

    assert sand.capacity_mm < clay.capacity_mm
    assert sand.available_frac[-1] < clay.available_frac[-1]


def test_soil_under_dense_leaves_dries_more_slowly_at_its_surface():
    assert soil(area=5.0).topsoil_wet_frac[-1] > soil(area=0.5).topsoil_wet_frac[-1]


def test_thirst_is_counted_in_days_from_today():
    falling = BedSoil(np.array([0.9, 0.8, 0.7, 0.5, 0.3, 0.1]), 0.4, np.ones(6), 100.0)

    assert bed_soil.dry_in_days(falling, 1) == 3
    assert bed_soil.dry_in_days(falling, 1, at_most=2) is None
    assert bed_soil.dry_in_days(falling, 5) == 0


def test_every_texture_has_its_numbers():
    for texture in ("sand", "loam", "clay"):
        numbers = bed_soil.soil_numbers(texture)
        assert numbers["field_capacity_frac"] > numbers["wilting_point_frac"] > 0.0

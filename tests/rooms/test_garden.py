"""What a bed's obstacles hide of sky and sun."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from abaxial.garden import horizon
from abaxial.garden.parts import Bed, Obstacle


def bed_with(*obstacles: Obstacle) -> Bed:
    return Bed(name="Trial", area_m2=4.0, obstacles=obstacles)


def test_open_ground_sees_the_whole_sky():
    assert horizon.sky_view_frac(bed_with()) == 1.0


@pytest.mark.parametrize(("height_m", "distance_m", "expected"), [(2, 2, 0.8536), (2, 1, 0.7236), (2, 4, 0.9472)])
def test_an_endless_wall_hides_the_published_share_of_sky(height_m: float, distance_m: float, expected: float):
    bed = bed_with(Obstacle(90, 270, height_m, distance_m))

    assert horizon.sky_view_frac(bed) == pytest.approx(expected, abs=2e-4)


@pytest.mark.parametrize(("height_m", "width_m", "expected"), [(2, 4, 0.7071), (1, 4, 0.8944), (2, 2, 0.4472)])
def test_the_middle_between_two_hedges_sees_the_published_share_of_sky(
    height_m: float, width_m: float, expected: float
):
    bed = bed_with(Obstacle(0, 180, height_m, width_m / 2), Obstacle(180, 360, height_m, width_m / 2))

    assert horizon.sky_view_frac(bed) == pytest.approx(expected, abs=2e-4)


@pytest.mark.parametrize(("angle_deg", "expected"), [(10, 0.9698), (20, 0.8830), (30, 0.7500), (45, 0.5000)])
def test_a_round_clearing_sees_the_published_share_of_sky(angle_deg: float, expected: float):
    bed = bed_with(Obstacle(0, 360, 10.0 * np.tan(np.radians(angle_deg)), 10.0))

    assert horizon.sky_view_frac(bed) == pytest.approx(expected, abs=5e-5)


def test_a_crown_that_lets_a_third_through_leaves_a_third_of_what_it_covers():
    whole = horizon.sky_view_frac(bed_with(Obstacle(0, 360, 5.0, 2.0)))

    seen = horizon.sky_view_frac(bed_with(Obstacle(0, 360, 5.0, 2.0, transmission_frac=1 / 3)))

    assert seen == pytest.approx(whole + (1 - whole) / 3)


def test_a_lower_hedge_in_front_of_a_wall_hides_nothing_more():
    wall = Obstacle(90, 270, 4.0, 4.0)
    hedge = Obstacle(90, 270, 1.0, 2.0)

    assert horizon.sky_view_frac(bed_with(wall, hedge)) == pytest.approx(horizon.sky_view_frac(bed_with(wall)))


def test_light_through_two_thin_hedges_passes_both():
    one = Obstacle(0, 360, 3.0, 3.0, transmission_frac=0.5)

    seen = horizon.sky_view_frac(bed_with(one, one))

    assert seen == pytest.approx(0.5 + 0.5 * 0.25)


def test_a_leaf_above_the_hedge_sees_over_it():
    bed = bed_with(Obstacle(0, 360, 1.0, 1.0))

    views = [horizon.sky_view_frac(bed, height_m) for height_m in (0.0, 0.5, 1.0, 1.5)]

    assert views == sorted(views)
    assert views[-1] == 1.0


def test_a_sector_through_north_covers_both_sides_of_north():
    outline = horizon.horizon_deg(bed_with(Obstacle(350, 10, 2.0, 2.0)))

    assert np.flatnonzero(outline > 0).tolist() == [*range(10), *range(350, 360)]
    assert outline.max() == pytest.approx(45.0, abs=0.01)


def test_the_sun_is_hidden_below_the_wall_and_free_above_it():
    bed = bed_with(Obstacle(0, 180, 2.0, 2.0))

    passed = horizon.beam_transmission_frac(bed, [44.0, 46.0, 44.0, -1.0], [90.0, 90.0, 270.0, 270.0])

    assert passed.tolist() == [0.0, 1.0, 1.0, 0.0]


def test_the_sun_behind_two_crowns_is_dimmed_twice():
    crown = Obstacle(0, 360, 5.0, 1.0, transmission_frac=0.4)

    passed = horizon.beam_transmission_frac(bed_with(crown, crown), [50.0], [123.0])

    assert passed == pytest.approx([0.16])


anywhere = some.builds(
    Obstacle,
    some.floats(0, 359),
    some.floats(0, 359),
    some.floats(0.01, 50),
    some.floats(0.01, 50),
    some.floats(0, 1),
)


@given(some.lists(anywhere, max_size=4), anywhere, some.floats(0, 5))
def test_one_more_obstacle_never_shows_more_sky_or_sun(others: list[Obstacle], more: Obstacle, leaf_height_m: float):
    before, after = bed_with(*others), bed_with(*others, more)
    sun = ([5.0, 35.0, 70.0], [80.0, 350.0, 200.0])

    seen, seen_after = (horizon.sky_view_frac(bed, leaf_height_m) for bed in (before, after))
    shone, shone_after = (horizon.beam_transmission_frac(bed, *sun, leaf_height_m) for bed in (before, after))

    assert 0.0 <= seen_after <= seen + 1e-12 <= 1.0 + 2e-12
    assert np.all(shone_after <= shone)


@given(some.lists(anywhere, max_size=4), some.permutations(range(4)))
def test_the_order_of_obstacles_does_not_matter(obstacles: list[Obstacle], order: list[int]):
    shuffled = [obstacles[n] for n in order if n < len(obstacles)]

    assert horizon.sky_view_frac(bed_with(*shuffled)) == pytest.approx(horizon.sky_view_frac(bed_with(*obstacles)))


@given(anywhere, some.floats(0, 5))
def test_a_solid_obstacle_leaves_the_sky_above_its_horizon(obstacle: Obstacle, leaf_height_m: float):
    bed = bed_with(Obstacle(obstacle.from_deg, obstacle.to_deg, obstacle.height_m, obstacle.distance_m))

    open_sky = np.mean(np.cos(np.radians(horizon.horizon_deg(bed, leaf_height_m))) ** 2)

    assert horizon.sky_view_frac(bed, leaf_height_m) == pytest.approx(open_sky)

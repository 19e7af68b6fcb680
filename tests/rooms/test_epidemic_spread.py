"""Where spores come down: the gradient, the near ones and the cloud, the wind."""

import numpy as np
import pytest
from numpy.polynomial.legendre import leggauss
from tests.one_epidemic import Rust, go, planted, season_of, versions_of

from abaxial import chance
from abaxial.epidemic import dispersal
from abaxial.epidemic.day.rows import FIRST_STAGE, level_rows

EXPONENT, OFFSET_M = 2.6, 0.4
RUST = Rust(infection_per_d=0.0, latent_stages=2, showing_stages=1)


def _ground(count: int, *, rusts: int = 1, area_m2: float = 1.0, side_m: float = 20.0) -> dispersal.Ground:
    east, north = (side_m * chance.uniforms(1, f"test/{way}", 0, count) for way in ("east", "north"))
    return dispersal.Ground(east, north, np.full(count, area_m2), np.arange(count) % rusts)


def _spread(ground: dispersal.Ground, **how: object) -> dispersal.Spread:
    count = ground.east_m.size
    return dispersal.spread_of(ground, np.full(count, EXPONENT), np.full(count, OFFSET_M), **how)


def _landed(spread: dispersal.Spread, showing_frac: np.ndarray, *, own: bool = False) -> np.ndarray:
    """Spores that lie on the upper leaves of each planting after a dry day, where nothing dies; all that come are held."""
    count = showing_frac.size
    caught = np.zeros((count, 2, 1))
    caught[:, 1] = 1.0
    season = season_of(
        1, RUST, plantings=count, wet_reach_h=np.zeros((count, 2, 1, 1, 1)), alive_frac=np.ones((count, 2, 1, 1, 1)),
        own_frac=spread.own_frac if own else np.zeros(count), neighbour=spread.neighbour,
        neighbour_frac=spread.neighbour_frac, far_frac=spread.far_frac, rust=spread.rust, caught_frac=caught,
    )  # fmt: skip
    state = planted(season, showing_frac=showing_frac)
    go(season, versions_of(season, RUST), state, (0, 1))
    size = level_rows(state.shape[1])
    # both levels of a planting give as much
    return state[:, size + 1, 0] / 2.0


def _full(ground: dispersal.Ground) -> np.ndarray:
    """Every pair written out."""
    apart = np.hypot(np.subtract.outer(ground.east_m, ground.east_m), np.subtract.outer(ground.north_m, ground.north_m))
    nearest = np.sqrt(ground.area_m2 / np.pi)
    weight = ground.area_m2 * dispersal.deposit_per_m2(np.maximum(apart, nearest), EXPONENT, OFFSET_M)
    return np.where(np.eye(apart.shape[0], dtype=bool) | (ground.rust[:, None] != ground.rust), 0.0, weight)


@pytest.mark.parametrize(("exponent", "offset_m"), [(2.1, 0.2), (2.6, 0.4), (4.0, 3.0)])
def test_all_spores_come_down_somewhere(exponent, offset_m):
    # the integral over the plane, in the logarithm of the distance
    node, share = leggauss(200)
    low, high = np.log(1e-6), np.log(1e9)
    radius = np.exp(0.5 * (high - low) * node + 0.5 * (high + low))
    ring = dispersal.deposit_per_m2(radius, exponent, offset_m) * 2.0 * np.pi * radius**2
    tail = 1.0 - dispersal.within_frac(1e9, exponent, offset_m)

    assert 0.5 * (high - low) * (share @ ring) + tail == pytest.approx(1.0, abs=1e-6)
    assert dispersal.within_frac(0.0, exponent, offset_m) == pytest.approx(0.0, abs=1e-12)


def test_what_comes_down_within_a_distance_is_the_deposit_added_up():
    edges = np.linspace(0.0, 5.0, 200_001)
    middle = 0.5 * (edges[1:] + edges[:-1])
    rings = dispersal.deposit_per_m2(middle, EXPONENT, OFFSET_M) * 2.0 * np.pi * middle * np.diff(edges)

    within = np.cumsum(rings)[[1_999, 39_999, 199_999]]

    np.testing.assert_allclose(dispersal.within_frac(np.array([0.05, 1.0, 5.0]), EXPONENT, OFFSET_M), within, rtol=1e-6)


def test_new_infections_thin_out_as_the_deposit_does():
    east = np.array([0.0, 0.8, 1.6, 2.4, 4.0, 7.2, 12.0, 21.6])
    ground = dispersal.Ground(east, np.zeros(8), np.full(8, 0.25), np.zeros(8, np.int64))

    landed = _landed(_spread(ground, nearest=7), np.where(east == 0.0, 0.2, 0.0))

    np.testing.assert_allclose(
        landed[1:], 0.2 * 0.25 * dispersal.deposit_per_m2(east[1:], EXPONENT, OFFSET_M), rtol=1e-5
    )
    assert landed[0] == 0.0


def test_a_planting_keeps_what_falls_within_its_ground():
    ground = _ground(1, area_m2=2.0)

    kept = _landed(_spread(ground), np.array([0.3]), own=True)

    # with stay_frac 1 a level feeds itself alone
    assert 2.0 * kept[0] == pytest.approx(
        0.3 * dispersal.within_frac(np.sqrt(2.0 / np.pi), EXPONENT, OFFSET_M), rel=1e-5
    )


@pytest.mark.parametrize("nearest", [0, 1, 6, 11])
def test_near_ones_and_cloud_bring_as_much_as_every_pair_where_all_show_alike(nearest):
    ground = _ground(12)

    landed = _landed(_spread(ground, nearest=nearest), np.full(12, 0.1))

    np.testing.assert_allclose(landed, 0.1 * _full(ground).sum(axis=1), rtol=1e-5)


@pytest.mark.parametrize("nearest", [0, 2, 11])
def test_near_ones_and_cloud_are_every_pair_where_distances_are_alike(nearest):
    # so small a garden that all stand as near as plantings can
    ground = _ground(12, side_m=0.1)
    showing = 0.3 * chance.uniforms(1, "test/showing", 0, 12)

    np.testing.assert_allclose(_landed(_spread(ground, nearest=nearest), showing), _full(ground) @ showing, rtol=1e-4)


def test_with_all_neighbours_kept_nothing_is_left_to_the_cloud():
    ground, showing = _ground(12), 0.3 * chance.uniforms(1, "test/showing", 0, 12)
    spread = _spread(ground, nearest=11)

    assert (spread.far_frac == 0.0).all()
    np.testing.assert_allclose(_landed(spread, showing), _full(ground) @ showing, rtol=1e-5)


def test_six_near_ones_and_a_cloud_miss_little_of_what_thirty_plantings_send():
    ground, showing = _ground(30), 0.3 * chance.uniforms(1, "test/showing", 0, 30) ** 3

    found, exactly = _landed(_spread(ground), showing), _full(ground) @ showing

    assert found.sum() == pytest.approx(exactly.sum(), rel=0.1)
    assert np.abs(found / exactly - 1.0).max() < 0.35


def test_rusts_of_two_kinds_do_not_meet():
    ground = _ground(10, rusts=2)

    landed = _landed(_spread(ground, nearest=3), np.where(ground.rust == 0, 0.2, 0.0))

    assert (landed[ground.rust == 1] == 0.0).all()
    assert (landed[ground.rust == 0] > 0.0).all()


def _ring(count: int = 72) -> dispersal.Ground:
    """One planting in the middle of a ring of others."""
    angle = 2.0 * np.pi * np.arange(count) / count
    east, north = (np.concatenate([[0.0], 10.0 * way(angle)]) for way in (np.sin, np.cos))
    return dispersal.Ground(east, north, np.ones(count + 1), np.zeros(count + 1, np.int64))


def test_most_comes_down_where_the_wind_goes_and_as_much_in_all():
    ground = _ring()
    showing = np.where(np.arange(73) == 0, 0.2, 0.0)
    calm = _landed(_spread(ground, nearest=72), showing)[1:]
    # from the west: it goes east, which stands at a quarter of the ring
    windy = _landed(_spread(ground, nearest=72, wind=(270.0, 0.6)), showing)[1:]

    assert int(windy.argmax()) == 18
    assert int(windy.argmin()) == 54
    assert windy.max() == pytest.approx(1.6 * calm[0], rel=1e-4)
    assert windy.min() == pytest.approx(0.4 * calm[0], rel=1e-4)
    assert windy.sum() == pytest.approx(calm.sum(), rel=1e-4)


@pytest.mark.parametrize("from_deg", [0.0, 45.0, 200.0, 359.0])
def test_over_all_directions_wind_changes_nothing(from_deg):
    ground = _ring()

    towards = _spread(ground, nearest=72, wind=(from_deg, 0.8)).neighbour_frac[0].sum()

    assert towards == pytest.approx(_spread(ground, nearest=72).neighbour_frac[0].sum(), rel=1e-9)


def test_leaves_above_shade_leaves_below_from_what_comes_from_outside():
    spread = _spread(_ground(2), nearest=1)
    caught = np.full((2, 2, 1), 0.5)
    season = season_of(
        1, RUST, plantings=2, wet_reach_h=np.zeros((2, 2, 1, 1, 1)), alive_frac=np.ones((2, 2, 1, 1, 1)),
        own_frac=np.zeros(2), neighbour=spread.neighbour, neighbour_frac=spread.neighbour_frac, caught_frac=caught,
    )  # fmt: skip
    state = planted(season, showing_frac=np.array([0.2, 0.0]))
    go(season, versions_of(season, RUST), state, (0, 1))
    size = level_rows(state.shape[1])

    assert state[1, 1, 0] == pytest.approx(0.5 * state[1, size + 1, 0])
    assert state[1, 1, 0] > 0.0


def test_part_of_what_a_level_gives_falls_on_the_other():
    season = season_of(
        1, RUST, wet_reach_h=np.zeros((1, 2, 1, 1, 1)), alive_frac=np.ones((1, 2, 1, 1, 1)), stay_frac=0.7
    )
    state = planted(season)
    size = level_rows(state.shape[1])
    state[0, FIRST_STAGE + 2] = 0.4  # pustules below only
    go(season, versions_of(season, RUST), state, (0, 1))

    assert [state[0, 1, 0], state[0, size + 1, 0]] == pytest.approx([0.28, 0.12])

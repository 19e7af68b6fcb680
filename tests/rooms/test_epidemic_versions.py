"""A version's fate is its own: not its neighbours', nor that of the order, the filling up or the days at a time."""

import numpy as np
import pytest
from benchmarks import epidemic_twin
from tests.one_epidemic import Rust, go, planted, season_of, versions_of

from abaxial import chance
from abaxial.epidemic import simulate
from abaxial.epidemic.kernel import LANES, Span, Versions
from abaxial.epidemic.simulate import Season

DAYS, PLANTINGS, MEMBERS, DRAWS, COUNT = 120, 4, 3, 5, 2 * LANES
RUST = Rust(infection_per_d=1.0, latent_stages=7, showing_stages=3)


def _chance(name: str, *shape: int) -> np.ndarray:
    return chance.uniforms(3, f"test/{name}", 0, int(np.prod(shape))).reshape(shape)


def _season() -> Season:
    """Two rusts in four plantings, nights of all kinds, some ripening by more than two stages."""
    nights, levels = (PLANTINGS, 2, MEMBERS, DAYS, DRAWS), (PLANTINGS, 2, DAYS)
    reach = np.maximum(30.0 * _chance("reach", *nights) - 15.0, 0.0)
    infected = 1.0 - np.exp(-((np.maximum(reach - 6.0, 0.0) / 4.0) ** 2))
    ripening = 0.45 * _chance("ripening", *nights) ** 3
    progress = np.concatenate([np.zeros((PLANTINGS, 2, MEMBERS, 1, DRAWS)), np.cumsum(ripening, axis=3)], axis=3)
    neighbours = np.array([[2, -1], [3, -1], [0, -1], [1, -1]])
    return season_of(
        DAYS, RUST, plantings=PLANTINGS, infected_frac=infected, wet_reach_h=reach, progress=progress,
        alive_frac=_chance("alive", *nights), first_wet_h=np.full((2, MEMBERS, DRAWS), 6.0),
        spread_h=np.full((2, MEMBERS, DRAWS), 4.0), unfolded=0.04 * _chance("new", PLANTINGS, DAYS),
        sinking_frac=0.04 * _chance("sink", PLANTINGS, DAYS), fallen_frac=0.04 * _chance("fall", PLANTINGS, DAYS),
        caught_frac=0.3 + 0.5 * _chance("caught", *levels), first_leaf_day=np.zeros(PLANTINGS, int),
        own_frac=np.full(PLANTINGS, 0.5), far_frac=np.full(PLANTINGS, 0.01), neighbour=neighbours,
        neighbour_frac=np.full((PLANTINGS, 2), 0.05), rust=np.array([0, 1, 0, 1]), latent_stages=np.array([7, 4, 7, 4]),
        stay_frac=0.7, memory_frac=0.95,
    )  # fmt: skip


SEASON = _season()


def _versions() -> Versions:
    return versions_of(
        SEASON, RUST, count=COUNT,
        member=(_chance("member", COUNT) * MEMBERS).astype(int), draw=(_chance("draw", 2, COUNT) * DRAWS).astype(int),
        local_infection_per_d=3.0 * _chance("infection", 2, COUNT), arrival_per_d=1e-4 * _chance("arrival", 2, COUNT),
        latent_factor=0.7 + 0.6 * _chance("latent", 2, COUNT), giving_per_d=0.3 * _chance("giving", 2, COUNT),
        dead_fall_frac=0.05 * _chance("dead", 2, COUNT), burst=1e-2 * _chance("burst", 2, COUNT),
        burst_day=(_chance("burst day", 2, COUNT) * DAYS).astype(int), wet_stretch=0.7 + 0.6 * _chance("wet", COUNT),
        start_frac=0.02 * _chance("start", PLANTINGS, COUNT), vigour=0.5 + _chance("vigour", PLANTINGS, COUNT),
        luck=0.5 + _chance("luck", PLANTINGS, -(-DAYS // 7), COUNT),
        lesion_frac=0.001 + 0.05 * _chance("lesion", 2, COUNT), clumping=np.exp(40.0 * _chance("clumping", 2, COUNT) - 2.0),
        remedy_factor=0.3 + 1.4 * _chance("factor", COUNT),
    )  # fmt: skip


VERSIONS = _versions()
ALL_DAYS = list(range(DAYS))


def _run(versions: Versions, spans: tuple[tuple[int, int], ...] = ((0, DAYS),)) -> tuple[np.ndarray, np.ndarray]:
    state = simulate.clean(SEASON, versions.member.size)
    record = [go(SEASON, versions, state, span, list(range(*span))) for span in spans]
    return state, np.concatenate(record)


@pytest.fixture(scope="module")
def whole() -> tuple[np.ndarray, np.ndarray]:
    return _run(VERSIONS)


def _some(which: np.ndarray) -> Versions:
    return Versions._make(np.ascontiguousarray(each[..., which]) for each in VERSIONS)


def test_there_is_an_epidemic_in_it_of_all_sizes(whole):
    shows = whole[1][-1, ..., 1, :].mean(axis=1)

    assert np.quantile(shows, 0.1) < 0.05 < 0.3 < np.quantile(shows, 0.9)
    assert np.isfinite(whole[0]).all()
    assert (whole[0] >= 0.0).all()


@pytest.mark.parametrize("spans", [((0, 60), (60, 120)), ((0, 1), (1, 7), (7, 8), (8, 120)), ((0, 119), (119, 120))])
def test_days_in_pieces_are_the_days_in_one_go(whole, spans):
    state, record = _run(VERSIONS, spans)

    assert np.array_equal(state, whole[0])
    assert np.array_equal(record, whole[1])


def test_versions_in_another_order_come_out_in_that_order(whole):
    order = np.argsort(_chance("order", COUNT))
    state, record = _run(_some(order))

    assert np.array_equal(state, whole[0][..., order])
    assert np.array_equal(record, whole[1][..., order])


@pytest.mark.parametrize("one", [0, 17, 100])
def test_a_version_among_others_is_the_version_alone(whole, one):
    state, record = _run(_some(np.full(LANES, one)))

    assert np.array_equal(state, np.repeat(whole[0][..., one : one + 1], LANES, axis=-1))
    assert np.array_equal(record, np.repeat(whole[1][..., one : one + 1], LANES, axis=-1))


def test_versions_that_fill_up_the_lanes_change_nothing(whole):
    filled = np.concatenate([np.arange(70), np.zeros(simulate.whole_lanes(70) - 70, int)])
    state, record = _run(_some(filled))

    assert np.array_equal(state[..., :70], whole[0][..., :70])
    assert np.array_equal(record[..., :70], whole[1][..., :70])


def test_running_twice_is_the_same(whole):
    assert np.array_equal(_run(VERSIONS)[0], whole[0])


def test_one_threads_work_is_the_work_of_two(whole, monkeypatch):
    monkeypatch.setattr("abaxial.epidemic.kernel.in_pieces", lambda run_piece, size: run_piece(0, size))

    assert np.array_equal(_run(VERSIONS)[0], whole[0])


def test_a_planting_with_a_rust_of_its_own_does_not_feel_the_other_rust(whole):
    quiet = VERSIONS._replace(
        local_infection_per_d=VERSIONS.local_infection_per_d * np.array([[1.0], [0.0]], np.float32)
    )
    state, _ = _run(quiet)

    assert np.array_equal(state[[0, 2]], whole[0][[0, 2]])
    assert not np.array_equal(state[[1, 3]], whole[0][[1, 3]])


def _now_and_then(name: str, share: float, *shape: int) -> np.ndarray:
    """Nothing on most days, anything on some."""
    return np.where(_chance(f"{name} at all", *shape) < share, _chance(name, *shape), 0.0)


REMEDIES = {
    "shield": 2.0 * _now_and_then("shield", 0.5, PLANTINGS, 2, MEMBERS, DAYS),
    "cure": 2.0 * _now_and_then("cure", 0.1, PLANTINGS, DAYS),
    "reach_frac": 1.2 * _chance("reach of a cure", PLANTINGS, DAYS),
    "picked_frac": _now_and_then("picked", 0.1, PLANTINGS, 2, DAYS),
    "cut_frac": _now_and_then("cut", 0.05, PLANTINGS, 2, DAYS),
    "left_frac": _chance("left", PLANTINGS, DAYS),
}


@pytest.mark.parametrize("remedies", [(), *((each,) for each in REMEDIES), tuple(REMEDIES)])
def test_the_rules_written_for_arrays_say_the_same(whole, remedies):
    named = {name: REMEDIES[name] for name in (*remedies, "left_frac")}
    if remedies == ("cure",):
        named["reach_frac"] = np.ones((PLANTINGS, DAYS))
    acts = SEASON.drivers.acts._replace(**{name: each.astype(np.float32) for name, each in named.items()})
    acts = acts._replace(is_shielded=(acts.shield > 0.0).any(axis=(1, 2)))
    drivers = SEASON.drivers._replace(acts=acts)
    season = Season(drivers, DAYS, SEASON.by_strength)
    state, twin = simulate.clean(season, COUNT), simulate.clean(season, COUNT)
    record = go(season, VERSIONS, state, (0, DAYS), ALL_DAYS)

    twin_record = np.zeros_like(record)
    epidemic_twin.run_days(twin, twin_record, drivers, VERSIONS, Span(0, DAYS, np.arange(DAYS)))

    np.testing.assert_allclose(record, twin_record, atol=1e-4)
    np.testing.assert_allclose(state, twin, atol=1e-4, rtol=1e-3)
    changes_something = bool({"shield", "cure", "picked_frac", "cut_frac"} & set(remedies))
    assert np.array_equal(record, whole[1]) is not changes_something


def test_whole_lanes_are_enough_and_no_more():
    assert [simulate.whole_lanes(count) for count in (1, LANES, LANES + 1)] == [LANES, LANES, 2 * LANES]


def test_origins_are_shares_of_what_came(whole):
    came = simulate.origins(SEASON, whole[0])

    np.testing.assert_allclose(came.sum(axis=1), 1.0, atol=1e-5)
    assert (came >= 0.0).all()


def test_on_a_clean_planting_nothing_came_from_anywhere():
    rust = Rust(infection_per_d=0.0)
    season = season_of(3, rust)
    state = planted(season)
    go(season, versions_of(season, rust), state, (0, 3))

    assert (simulate.origins(season, state) == 0.0).all()

"""What holds for every epidemic: leaf area is neither made nor lost, shares stay shares, more rust makes more rust."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from tests.one_epidemic import Rust, go, planted, season_of, tissue, versions_of

from abaxial import chance
from abaxial.epidemic import dispersal, leaf_area, simulate
from abaxial.host import growth
from abaxial.host.species import read_species
from abaxial.infection.pathogen import read_pathogen

DAYS = 50
CANNA = read_species("canna")
seeds = st.integers(0, 10_000)
rusts = st.builds(
    Rust,
    infection_per_d=st.floats(0.0, 20.0),
    latent_d=st.floats(3.0, 40.0),
    infectious_d=st.floats(2.0, 60.0),
    latent_stages=st.integers(1, 16),
    showing_stages=st.integers(1, 6),
    step_d=st.just(1.0),
)
rows = st.lists(st.integers(-5, DAYS - 1), max_size=3)


def _grown(seed: int, cuts: tuple[list[int], list[int]], since_day: int) -> growth.Growth:
    temperature_c = 5.0 + 28.0 * chance.uniforms(seed, "test/temperature", 0, DAYS)
    return growth.grow(CANNA, temperature_c, since_day=since_day, clumps=4, spacing_m=0.6, cuts=cuts)


@given(seed=seeds, rust=rusts, cut=rows, low_off=rows, since_day=st.integers(-60, 20), start=st.floats(0.0, 0.8))
def test_leaf_area_is_that_of_the_plant_every_day_whatever_is_in_it(seed, rust, cut, low_off, since_day, start):
    grown = _grown(seed, (cut, low_off), since_day)
    days = leaf_area.leaf_days([grown], [0.6])
    first = np.array([days.unfolded[0].argmax() if days.unfolded.any() else -1])
    season = season_of(DAYS, rust, first_leaf_day=first, **days._asdict())
    versions, state = versions_of(season, rust, start_frac=start, arrival_per_d=0.01), simulate.clean(season, 64)
    found = []
    for day in range(DAYS):
        go(season, versions, state, (day, day + 1))
        found.append(simulate.leaf_area(season, state)[0, :, 0])
        assert np.isfinite(state).all()
        assert (state >= 0.0).all()

    expected = np.stack([grown.leaf_area_index_lower, grown.leaf_area_index_upper], axis=1)
    np.testing.assert_allclose(found, expected, atol=2e-4, rtol=2e-4)


@given(seed=seeds, cut=rows, low_off=rows, since_day=st.integers(-60, 20))
def test_what_unfolds_sinks_and_falls_is_a_share_of_what_is_there(seed, cut, low_off, since_day):
    days = leaf_area.leaf_days([_grown(seed, (cut, low_off), since_day)], [0.6])

    assert (days.unfolded >= -1e-9).all()
    for share in days[1:]:
        assert (share >= 0.0).all()
        assert (share <= 1.0).all()


@given(rust=rusts, start=st.floats(0.0, 1.0), dead_fall=st.floats(0.0, 1.0), wait=st.floats(0.0, 1.0))
def test_shares_stay_shares_and_only_dead_tissue_is_lost(rust, start, dead_fall, wait):
    season = season_of(DAYS, rust, alive_frac=np.full((1, 2, 1, DAYS, 1), wait))
    state = planted(season, showing_frac=start)
    area = [1.0]
    for day in range(0, DAYS, 10):
        versions = versions_of(season, rust, dead_fall_frac=dead_fall)
        record = go(season, versions, state, (day, day + 10))
        area.append(float(tissue(season, state)[:, 0].sum()))
        assert (record >= 0.0).all()
        assert (record.sum(axis=3) <= 1.0 + 1e-6).all()
        assert np.isfinite(state).all()

    assert (np.diff(area) < 1e-5).all()
    if dead_fall == 0.0:
        assert abs(area[-1] - 1.0) < 1e-4


@given(
    seed=seeds, rust=rusts, low_off=rows, start=st.floats(0.0, 0.8), lesion=st.floats(1e-4, 0.5),
    clumping_log=st.floats(-5.0, 25.0),
)  # fmt: skip
def test_what_hangs_and_what_was_picked_are_together_what_the_plant_made_but_for_the_cut(
    seed, rust, low_off, start, lesion, clumping_log
):
    grown = _grown(seed, ([], low_off), -30)
    picked, cut = (_some_days(seed, name) for name in ("picked", "cut"))
    days = leaf_area.cut(leaf_area.leaf_days([grown], [0.6], [low_off]), 0.5 * cut, [0.6])
    left = chance.uniforms(seed, "test/left", 0, DAYS)[np.newaxis]
    season = season_of(
        DAYS, rust, first_leaf_day=np.zeros(1, int), picked_frac=picked, left_frac=left, **days._asdict()
    )
    versions = versions_of(season, rust, start_frac=start, lesion_frac=lesion, clumping=np.exp(clumping_log))
    state, found = simulate.clean(season, 64), []
    for day in range(DAYS):
        go(season, versions, state, (day, day + 1))
        found.append((simulate.leaf_area(season, state) + simulate.picked_area(season, state))[0, :, 0])
        assert np.isfinite(state).all()
        assert (state >= 0.0).all()

    np.testing.assert_allclose(np.array(found).T, leaf_area.hanging(days)[0], atol=2e-4, rtol=2e-4)


def _some_days(seed: int, name: str) -> np.ndarray:
    """A share from 0 to 1 on one day in five, else nothing; (1, 2, days)."""
    how = chance.uniforms(seed, f"test/{name}", 0, 2 * DAYS).reshape(1, 2, DAYS)
    return np.where(how < 0.2, 5.0 * how, 0.0)


@given(seed=seeds, rust=rusts, low_off=rows, cut=rows)
def test_leaves_cut_where_a_plant_was_cut_are_the_leaves_it_lost(seed, rust, low_off, cut):
    grown = _grown(seed, (cut, low_off), -30)
    fallen, taken = leaf_area.leaf_days([grown], [0.6]), leaf_area.leaf_days([grown], [0.6], [[*cut, *low_off]])

    np.testing.assert_allclose(leaf_area.hanging(taken), leaf_area.hanging(fallen), atol=1e-9)
    np.testing.assert_allclose(leaf_area.hanging(fallen)[0, 0], grown.leaf_area_index_lower, atol=1e-9)
    np.testing.assert_allclose(leaf_area.hanging(fallen)[0, 1], grown.leaf_area_index_upper, atol=1e-9)


@given(seed=seeds, rust=rusts, more=st.floats(1.0, 3.0), start=st.floats(1e-3, 0.3))
def test_a_stronger_shield_and_a_further_cure_never_leave_more_rust(seed, rust, more, start):
    # while all else stands still: healed tissue can be infected again, and would then be younger
    shield, cure = _some_days(seed, "shield")[:, :, np.newaxis], _some_days(seed, "cure")[:, 0]
    sick = []
    for factor in (1.0, more):
        season = season_of(DAYS, rust, shield=factor * shield, cure=factor * cure, reach_frac=np.full((1, DAYS), 1.0))
        state = planted(season, latent_frac=start)
        go(season, versions_of(season, rust), state, (0, DAYS))
        sick.append(float(tissue(season, state)[1:, 0].sum()))

    assert sick[1] <= sick[0] * (1.0 + 1e-3) + 1e-6


@given(rust=rusts, start=st.floats(1e-3, 0.3), left=st.floats(0.0, 1.0))
def test_no_more_lies_about_than_was_left_and_what_is_binned_is_gone(rust, start, left):
    off = np.zeros((1, 2, DAYS))
    off[..., ::9] = 0.5
    lies, gone = [], []
    for share in (left, 0.0):
        season = season_of(DAYS, rust, cut_frac=off, left_frac=np.full((1, DAYS), share), litter_frac=1.0)
        state = planted(season, showing_frac=start)
        before = simulate.leaf_area(season, state).sum()
        go(season, versions_of(season, rust), state, (0, DAYS))
        lies.append(float(simulate.litter(season, state).sum()))
        gone.append(float(before - simulate.leaf_area(season, state).sum()))

    assert lies[1] == 0.0
    assert lies[0] <= left * gone[0] * (1.0 + 1e-4)


@given(rust=rusts, start=st.floats(1e-4, 0.3), more=st.floats(1.0, 3.0))
def test_more_rust_at_the_start_is_never_less_later(rust, start, more):
    season = season_of(DAYS, rust)
    versions = versions_of(season, rust)
    healthy = []
    for share in (start, min(more * start, 1.0)):
        state = planted(season, showing_frac=share)
        go(season, versions, state, (0, DAYS))
        healthy.append(float(tissue(season, state)[0, 0]))

    assert healthy[1] <= healthy[0] + 1e-6


@given(rust=rusts, factor=st.floats(1.0, 4.0))
def test_a_longer_latent_period_never_brings_rust_forward(rust, factor):
    season = season_of(DAYS, rust)
    ever = []
    for each in (1.0, factor):
        state = planted(season, latent_frac=0.01)
        go(season, versions_of(season, rust, latent_factor=each), state, (0, DAYS))
        ever.append(float(tissue(season, state)[2:, 0].sum()))

    assert ever[1] <= ever[0] * (1.0 + 1e-3) + 1e-6


@given(seed=seeds, count=st.integers(2, 20), nearest=st.integers(0, 8), steady=st.floats(0.0, 1.0))
def test_no_more_comes_down_in_a_garden_than_was_given(seed, count, nearest, steady):
    east, north = (12.0 * chance.uniforms(seed, f"test/{way}", 0, count) for way in ("east", "north"))
    ground = dispersal.Ground(east, north, np.full(count, 0.3), np.zeros(count, np.int64))
    rust = read_pathogen("canna_rust").epidemic

    def both(nearest: int) -> dispersal.Spread:
        exponent, offset_m = (np.full(count, rust[f"gradient_{each}"].value) for each in ("exponent", "offset_m"))
        return dispersal.spread_of(ground, exponent, offset_m, wind=(30.0, steady), nearest=nearest)

    spread, every = both(nearest), both(count - 1)
    kept = np.where(spread.neighbour >= 0, spread.neighbour_frac, 0.0).sum(axis=1)
    others = count - 1 - min(nearest, count - 1)

    assert (spread.neighbour_frac >= 0.0).all()
    assert (spread.own_frac > 0.0).all()
    assert (spread.own_frac < 1.0).all()
    np.testing.assert_allclose(kept + others * spread.far_frac, every.neighbour_frac.sum(axis=1), rtol=1e-9)

"""What people who live with rust know of it: most of it hides, low leaves go first, taking off what shows is not enough."""

import numpy as np
import pytest
from tests.one_epidemic import Rust, go, planted, season_of, tissue, versions_of

from abaxial.epidemic import leaf_area, simulate, theory
from abaxial.epidemic.day.rows import FIRST_STAGE, level_rows
from abaxial.host import growth
from abaxial.host.species import read_species

RUST = Rust(infection_per_d=0.8, latent_d=10.0, infectious_d=20.0, latent_stages=16, showing_stages=4)
SLOW = RUST._replace(infection_per_d=0.5)
DAYS = 150
SHOWS = 1


def _plant(low_off: tuple[int, ...] = (), cut: tuple[int, ...] = ()) -> growth.Growth:
    warm = np.full(DAYS, 22.0)
    return growth.grow(
        read_species("canna"), warm, since_day=-90, clumps=6, spacing_m=0.6, cuts=(list(cut), list(low_off))
    )


def _grown(low_off: tuple[int, ...] = (), cut: tuple[int, ...] = ()) -> leaf_area.LeafDays:
    return leaf_area.leaf_days([_plant(low_off, cut)], [0.6])


def _season_of_leaves(leaves: leaf_area.LeafDays, rust: Rust = RUST, **changes: object) -> simulate.Season:
    # most of what a level gives falls on the same level
    fields = {"first_leaf_day": np.array([0]), "own_frac": np.array([0.6]), "stay_frac": 0.7, **leaves._asdict()}
    return season_of(DAYS, rust, **{**fields, **changes})


def _shown(season: simulate.Season, rust: Rust = RUST, **changes: object) -> np.ndarray:
    """Shares of leaf area latent and showing at the end of every day, (days, levels, 2)."""
    state = simulate.clean(season, 64)
    versions = versions_of(season, rust, start_frac=0.002, **changes)
    return go(season, versions, state, (0, DAYS), list(range(DAYS)))[:, 0, :, :, 0]


def test_while_it_grows_little_of_it_shows_and_as_much_as_theory_says():
    rust = RUST._replace(step_d=0.25)
    season = season_of(400, rust)
    state = planted(season, latent_frac=1e-8)
    go(season, versions_of(season, rust), state, (0, 240))
    before = tissue(season, state)[1:, 0].sum()
    go(season, versions_of(season, rust), state, (240, 320))
    _, latent, showing, dead = tissue(season, state)[:, 0]

    rate = np.log((latent + showing + dead) / before) / 20.0
    visible = (showing + dead) / (latent + showing + dead)
    assert 0.1 < visible < 0.25
    # the chain's own e^(−rp): 16 stages
    assert visible == pytest.approx((1.0 + rate * 10.0 / 16.0) ** -16, rel=0.04)
    assert visible == pytest.approx(1.0 - theory.hidden_frac(rate, 10.0), abs=0.03)


def test_low_leaves_show_it_first_and_most():
    shown = _shown(_season_of_leaves(_grown()))[..., SHOWS]
    early = [int((shown[:, level] > 0.03).argmax()) for level in (0, 1)]

    assert early[0] < early[1]
    assert (shown[60:, 0] > shown[60:, 1]).all()


def test_low_leaves_taken_off_take_rust_away_and_it_comes_back_within_a_fortnight():
    leave, take = (
        _shown(_season_of_leaves(_grown(low_off), SLOW), SLOW)[..., SHOWS].mean(axis=1) for low_off in ((), (70,))
    )

    assert take[71] < 0.8 * leave[71]
    bought_d = int((take > 0.3).argmax()) - int((leave > 0.3).argmax())
    assert 3 <= bought_d <= 14


def test_a_plant_cut_down_is_clean_until_spores_come_from_elsewhere():
    season = _season_of_leaves(_grown(cut=(70,)))
    alone, near = (_shown(season, arrival_per_d=each).sum(axis=2) for each in (0.0, 1e-3))

    assert (alone[:70] > 0.0).all()
    assert (alone[85:] == 0.0).all()
    assert near[149].max() > 0.01


def test_to_take_off_all_that_shows_and_nothing_else_does_not_stop_it():
    season = season_of(DAYS, RUST)
    versions = versions_of(season, RUST)
    ever = {}
    for every in (0, 7):
        state = planted(season, latent_frac=1e-4)
        for day in range(DAYS):
            go(season, versions, state, (day, day + 1))
            if every and day % every == every - 1:
                # each patch that shows goes, to the last; what is taken counts as dead leaf
                size = level_rows(state.shape[1])
                for base in (0, size):
                    state[:, base + FIRST_STAGE + 16 : base + FIRST_STAGE + 20] = 0.0
        ever[every] = 1.0 - float(tissue(season, state)[0, 0])

    # a week is long enough for a patch to give, and every patch taken was one of five
    assert ever[7] > 0.5 * ever[0]
    assert ever[7] > 1000 * 1e-4


def test_rusted_leaves_picked_once_and_nothing_after_ends_in_a_severe_outbreak():
    once = np.zeros((1, 2, DAYS))
    once[..., 60] = 0.95
    leave, pick = (
        _shown(_season_of_leaves(_grown(), picked_frac=each))[..., SHOWS].mean(axis=1) for each in (0.0 * once, once)
    )

    assert pick[60] < 0.4 * leave[60]
    assert pick[61:].max() > 0.8 * leave[61:].max()


def test_rusted_leaves_picked_every_week_cost_most_of_the_leaves_and_do_not_end_it():
    wet, weekly = RUST._replace(infection_per_d=2.5), np.zeros((1, 2, DAYS))
    weekly[..., 28::7] = 0.7
    season = _season_of_leaves(_grown(), wet, picked_frac=weekly)
    state, versions = simulate.clean(season, 64), versions_of(season, wet, start_frac=0.002)
    end = go(season, versions, state, (0, DAYS))[0, 0, 2, :, 0]
    hangs, picked = (each(season, state).sum() for each in (simulate.leaf_area, simulate.picked_area))

    assert hangs < 0.4 * (hangs + picked)
    # twice as much is under way as shows, and it is there still
    assert end[0] > 2.0 * end[SHOWS] > 0.02


def test_what_was_cut_down_and_left_lying_rusts_the_new_shoots_and_what_was_binned_does_not():
    leaves = leaf_area.leaf_days([_plant(cut=(70,))], [0.6], [[70]])
    lying, binned = (
        _shown(_season_of_leaves(leaves, left_frac=np.full((1, DAYS), share), litter_frac=0.9))[85:].sum(axis=(1, 2))
        for share in (0.5, 0.0)
    )

    assert (binned == 0.0).all()
    assert lying.max() > 0.1


def test_rust_moves_between_two_kinds_of_plant_that_share_it_and_only_those():
    season = season_of(
        80, RUST, plantings=3, rust=np.array([0, 0, 1]), caught_frac=np.full((3, 2, 80), 0.7), far_frac=np.full(3, 0.02),
        neighbour=np.array([[1], [0], [-1]]), neighbour_frac=np.full((3, 1), 0.02),
    )  # fmt: skip
    state = planted(season, showing_frac=np.array([0.01, 0.0, 0.0]))
    go(season, versions_of(season, RUST), state, (0, 80))
    shows = [float(tissue(season, state, planting, 1)[2:, 0].sum()) for planting in range(3)]
    came = simulate.origins(season, state)

    assert shows[0] > 0.1
    assert shows[1] > 0.01
    assert shows[2] == 0.0
    assert came[1, 1, 0] > 0.01


def test_dry_air_over_the_leaves_is_worth_more_than_a_spray_that_holds_half():
    leaves = _grown()
    half = np.full((1, 2, 1, DAYS), np.log(2.0))
    dry = np.zeros((1, 2, 1, DAYS, 1))
    dry[:, :, :, ::4] = 1.0
    nights = {"infected_frac": dry, "wet_reach_h": 24.0 * dry}
    plain, held, dried = (_shown(_season_of_leaves(leaves, **how))[100].sum() for how in ({}, {"shield": half}, nights))

    assert dried < held < plain


def test_a_fortnight_of_shelter_is_worth_more_early_than_late():
    leaves = _grown()

    def after(first: int) -> float:
        held = np.zeros((1, 2, 1, DAYS))
        held[..., first : first + 14] = np.log(10.0)
        return float(_shown(_season_of_leaves(leaves, SLOW, shield=held), SLOW)[100].sum())

    assert after(25) < after(75) < after(98)


def test_a_cure_reaches_below_the_line_and_a_shield_does_not():
    leaves = _grown()
    shield, cure = np.zeros((1, 2, 1, DAYS)), np.zeros((1, DAYS))
    shield[..., 60] = 20.0
    cure[:, 60] = 20.0
    plain = _shown(_season_of_leaves(leaves))
    shielded, cured = (_shown(_season_of_leaves(leaves, **how)) for how in ({"shield": shield}, {"cure": cure}))

    assert shielded[60, 0, 0] > 0.7 * plain[60, 0, 0]
    assert cured[60, 0, 0] < 0.3 * plain[60, 0, 0]
    np.testing.assert_allclose(shielded[60, :, 1], plain[60, :, 1], rtol=1e-5)

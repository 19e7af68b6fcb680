"""What happens in one planting's leaves in a day: ripening, opening, giving, dying, healing."""

import numpy as np
import pytest
from scipy import stats
from tests.one_epidemic import Rust, go, planted, season_of, tissue, versions_of

from abaxial import chance
from abaxial.assimilation import likelihood
from abaxial.assimilation.likelihood import Predicted
from abaxial.epidemic import simulate, stages
from abaxial.epidemic.day.rows import DEAD, FIRST_STAGE, HEALTHY, WAITING

RUST = Rust(infection_per_d=0.0, latent_stages=16, showing_stages=4)
RIPENINGS = {
    "one day in ten": np.full(40, 0.1),
    "warm and cold": np.tile([0.02, 0.11, 0.0, 0.0, 0.07], 20),
    "more than two stages a day": np.full(16, 0.19),
    "five stages a day": np.full(10, 0.3),
    "a long frost": np.concatenate([np.full(6, 0.1), np.zeros(60), np.full(15, 0.1)]),
    "by chance": chance.uniforms(1, "test/ripening", 0, 40) * 0.15,
}


def _opened(ripening: np.ndarray, stages_of: int, **changes: object) -> np.ndarray:
    """Share of a pulse of infections that has opened at the end of each day; open pustules live for ever."""
    rust = RUST._replace(latent_stages=stages_of)
    season = season_of(len(ripening), rust, ripening=ripening)
    versions, state = versions_of(season, rust, **{"giving_per_d": 0.0, **changes}), planted(season, latent_frac=1.0)
    found = []
    for day in range(len(ripening)):
        go(season, versions, state, (day, day + 1))
        found.append(tissue(season, state)[2, 0])
    return np.array(found)


@pytest.mark.parametrize("name", list(RIPENINGS))
@pytest.mark.parametrize("stages_of", [1, 5, 16])
def test_what_came_in_one_night_opens_after_so_many_stages_whatever_the_days_were_like(name, stages_of):
    progress = np.cumsum(RIPENINGS[name])

    exactly = stats.gamma.cdf(progress * stages_of, stages_of)

    np.testing.assert_allclose(_opened(RIPENINGS[name], stages_of), exactly, atol=2e-3)


@pytest.mark.parametrize("stages_of", [1, 4, 16])
def test_a_pulse_opens_one_latent_period_later_and_varies_by_one_over_the_root_of_the_stages(stages_of):
    ripening = np.full(4000 if stages_of == 1 else 1200, 0.005)
    opened = _opened(ripening, stages_of)
    share, middle = np.diff(opened, prepend=0.0), np.cumsum(ripening) - 0.0025

    mean = (share * middle).sum()
    varies = np.sqrt((share * (middle - mean) ** 2).sum()) / mean

    assert opened[-1] == pytest.approx(1.0, abs=1e-4)
    assert mean == pytest.approx(1.0, rel=0.002)
    assert varies == pytest.approx(stages_of**-0.5, rel=0.01)


def test_nothing_ripens_in_the_cold():
    state_after = _opened(np.concatenate([np.full(4, 0.1), np.zeros(50)]), 16)

    assert (state_after[4:] == state_after[3]).all()


def test_a_longer_latent_period_is_slower_ripening():
    slow = _opened(np.full(30, 0.1), 16, latent_factor=1.25)

    np.testing.assert_allclose(slow, _opened(np.full(30, 0.08), 16), atol=1e-4)


def test_a_pustule_gives_for_its_period_and_leaves_dead_tissue():
    rust = RUST._replace(infectious_d=14.0)
    season = season_of(60, rust)
    state, giving = planted(season, showing_frac=1.0), []
    for day in range(60):
        go(season, versions_of(season, rust), state, (day, day + 1))
        giving.append(tissue(season, state)[2, 0])

    # given again each day: the day it opened counts whole
    assert 1.0 + sum(giving) - 0.5 == pytest.approx(14.0, rel=0.01)
    assert tissue(season, state)[3, 0] == pytest.approx(1.0, abs=1e-3)


def test_dead_tissue_falls_by_its_share_a_day():
    season = season_of(1, RUST)
    state = planted(season)
    state[:, DEAD] = 0.5
    go(season, versions_of(season, RUST, dead_fall_frac=0.04), state, (0, 1))

    np.testing.assert_allclose(state[0, DEAD], 0.48)


def test_what_stays_on_the_leaf_waits_or_dies():
    season = season_of(2, RUST, infected_frac=np.full((1, 2, 1, 2, 1), 0.25), alive_frac=np.full((1, 2, 1, 2, 1), 0.8))
    state = planted(season, showing_frac=0.4)
    versions = versions_of(season, RUST, giving_per_d=0.0)
    go(season, versions, state, (0, 1))
    once = state[0, 1, 0]
    go(season, versions, state, (1, 2))

    assert once == pytest.approx(0.4 * 0.75 * 0.8)
    assert state[0, 1, 0] == pytest.approx((once + 0.4) * 0.75 * 0.8)


def test_a_day_without_a_wet_hour_lets_nothing_in():
    rust = RUST._replace(infection_per_d=5.0)
    dry = season_of(3, rust, wet_reach_h=np.zeros((1, 2, 1, 3, 1)))
    state = planted(dry, showing_frac=0.5)
    go(dry, versions_of(dry, rust, wet_stretch=3.0), state, (0, 3))

    assert tissue(dry, state)[0, 0] == 0.5


def test_longer_wet_spells_let_in_what_the_curve_says():
    rust = Rust(infection_per_d=0.1, latent_stages=4, showing_stages=1)
    reach = 8.0
    got = 1.0 - np.exp(-(((reach - 6.0) / 4.0) ** 2))
    nights = {"infected_frac": np.full((1, 2, 1, 1, 1), got), "wet_reach_h": np.full((1, 2, 1, 1, 1), reach)}
    season = season_of(1, rust, **nights)

    def infected(stretch: float) -> float:
        state = planted(season, showing_frac=1e-3)
        go(season, versions_of(season, rust, wet_stretch=stretch), state, (0, 1))
        return float(tissue(season, state)[1, 0]) / (1e-3 * 0.1 * (1.0 - 1e-3))

    assert infected(1.0) == pytest.approx(got, rel=1e-3)
    assert infected(1.5) == pytest.approx(1.0 - np.exp(-(1.5**2)), rel=1e-3)
    assert infected(0.7) == 0.0


def test_spores_that_enter_one_place_make_one_patch():
    rust = Rust(infection_per_d=40.0)
    season = season_of(1, rust)
    state = planted(season, showing_frac=0.1)
    go(season, versions_of(season, rust), state, (0, 1))

    assert tissue(season, state)[0, 0] == pytest.approx(0.9 * np.exp(-4.0), rel=1e-4)


def test_a_remedy_holds_back_its_share_of_infections():
    rust = Rust(infection_per_d=0.2)
    shield = np.zeros((1, 2, 1, 1))
    shield[0, 1] = -np.log(0.25)
    season = season_of(1, rust, shield=shield)
    state = planted(season, showing_frac=1e-3)
    go(season, versions_of(season, rust), state, (0, 1))
    lower, upper = tissue(season, state)[1, 0], tissue(season, state, level=1)[1, 0]

    assert upper == pytest.approx(0.25 * lower, rel=1e-3)
    assert lower > 0.0


def test_a_cure_heals_its_share_of_what_is_latent_and_nothing_that_shows():
    cure = np.zeros((1, 2))
    cure[0, 1] = -np.log(0.4)
    season = season_of(2, RUST, cure=cure, ripening=np.array([0.1, 0.0]))
    versions, state = versions_of(season, RUST, giving_per_d=0.0), planted(season, latent_frac=0.3, showing_frac=0.1)
    go(season, versions, state, (0, 1))
    before = tissue(season, state)[:, 0]
    go(season, versions, state, (1, 2))
    after = tissue(season, state)[:, 0]

    assert after == pytest.approx([before[0] + 0.6 * before[1], 0.4 * before[1], before[2], 0.0], rel=1e-5)


def test_a_cure_heals_what_is_young_and_passes_over_what_is_old():
    cure, reach = np.full((1, 1), 30.0), np.full((1, 1), 5.5 / 16.0)
    season = season_of(1, RUST, cure=cure, reach_frac=reach, ripening=np.zeros(1))
    state = planted(season)
    state[:, FIRST_STAGE : FIRST_STAGE + 16] = 0.01
    go(season, versions_of(season, RUST), state, (0, 1))

    left = [0.0] * 5 + [0.005] + [0.01] * 10
    np.testing.assert_allclose(state[0, FIRST_STAGE : FIRST_STAGE + 16, 0], left, atol=1e-7)
    assert tissue(season, state)[0, 0] == pytest.approx(1.0 + 0.055, rel=1e-5)


def test_where_remedies_work_better_they_shield_and_cure_more():
    rust = RUST._replace(infection_per_d=0.2)
    shield, factor = np.full((1, 2, 1, 1), 0.5), np.repeat([0.0, 1.0, 2.0, 4.0], 16)
    season = season_of(1, rust, shield=shield, cure=np.full((1, 1), 0.3), ripening=np.zeros(1))
    state = planted(season, showing_frac=1e-3)
    state[:, FIRST_STAGE + 3] = 0.01
    go(season, versions_of(season, rust, remedy_factor=factor), state, (0, 1))
    new, old = state[0, FIRST_STAGE, ::16], state[0, FIRST_STAGE + 3, ::16]

    # where more is cured there is a little more to infect
    np.testing.assert_allclose(new / new[0], np.exp(-0.5 * factor[::16]), rtol=0.01)
    np.testing.assert_allclose(old, 0.01 * np.exp(-0.3 * factor[::16]), rtol=1e-5)


def test_each_weather_has_its_own_residue():
    rust, shield = RUST._replace(infection_per_d=0.2), np.zeros((1, 2, 2, 1))
    shield[:, :, 1] = 1.5
    nights = {"infected_frac": np.ones((1, 2, 2, 1, 1)), "wet_reach_h": np.full((1, 2, 2, 1, 1), 24.0)}
    nights |= {"alive_frac": np.zeros((1, 2, 2, 1, 1)), "progress": np.zeros((1, 2, 2, 2, 1))}
    water = {"first_wet_h": np.full((1, 2, 1), 6.0), "spread_h": np.full((1, 2, 1), 4.0)}
    season = season_of(1, rust, shield=shield, **nights, **water)
    state = planted(season, showing_frac=1e-3)
    go(season, versions_of(season, rust, member=np.repeat([0, 1], 32)), state, (0, 1))
    new = state[0, FIRST_STAGE]

    assert new[40] / new[0] == pytest.approx(np.exp(-1.5), rel=1e-4)


def test_rusted_leaves_picked_take_their_share_of_everything_along():
    found, shows, hides = 0.75, 0.03, 0.1
    season = season_of(1, RUST, picked_frac=np.full((1, 2, 1), found), left_frac=np.ones((1, 1)), ripening=np.zeros(1))
    state = planted(season, latent_frac=hides, showing_frac=shows)
    versions = versions_of(season, RUST, lesion_frac=0.02, clumping=0.8, giving_per_d=0.0)
    go(season, versions, state, (0, 1))
    healthy, latent, showing, dead = tissue(season, state)[:, 0]
    leaves = likelihood.incidence_frac(
        Predicted(*(np.array([each]) for each in (shows, 0.02, 0.8, 1.0, 0.0)))  # as a look would meet them
    )[0]

    off = found * (leaves - shows) / (1.0 - shows)
    assert 0.5 < leaves < 0.9
    assert [healthy, latent, showing, dead] == pytest.approx(
        [(1.0 - hides - shows) * (1.0 - off), hides * (1.0 - off), shows * (1.0 - found), 0.0], rel=1e-4
    )
    # leaf area goes as leaves go
    assert simulate.picked_area(season, state)[0, 0, 0] == pytest.approx(found * leaves, rel=1e-4)
    assert simulate.litter(season, state)[0, 0] == pytest.approx(2.0 * found * shows, rel=1e-4)


def test_after_picking_the_leaves_that_hang_catch_no_more_spores_each():
    rust = RUST._replace(infection_per_d=0.05)
    new = []
    for found in (0.0, 0.9):
        season = season_of(1, rust, picked_frac=np.full((1, 2, 1), found), ripening=np.zeros(1))
        state = planted(season, showing_frac=0.05)
        go(season, versions_of(season, rust), state, (0, 1))
        new.append(float(state[0, FIRST_STAGE, 0] / (state[0, FIRST_STAGE, 0] + state[0, HEALTHY, 0])))

    assert new[1] == pytest.approx(new[0], rel=1e-3)


def test_leaves_cut_go_with_all_that_is_in_them_and_give_on_where_they_lie():
    rust = RUST._replace(infection_per_d=0.0)
    cut, left = np.zeros((1, 2, 6)), np.full((1, 6), 0.5)
    cut[:, 0, 0], cut[:, 1, 0] = 0.6, 1.0
    season = season_of(
        6, rust, cut_frac=cut, left_frac=left, litter_frac=0.8, ripening=np.zeros(6), wet_reach_h=np.zeros((1, 2, 1, 6, 1)),
        alive_frac=np.ones((1, 2, 1, 6, 1)),
    )  # fmt: skip
    versions, state = versions_of(season, rust, giving_per_d=0.0), planted(season, latent_frac=0.3, showing_frac=0.1)
    go(season, versions, state, (0, 1))

    np.testing.assert_allclose(tissue(season, state)[:, 0], [0.24, 0.12, 0.04, 0.0], rtol=1e-5)
    assert (tissue(season, state, level=1) == 0.0).all()
    assert simulate.litter(season, state)[0, 0] == pytest.approx(0.5 * (0.06 + 0.1), rel=1e-5)
    waiting = float(state[0, WAITING, 0])
    go(season, versions, state, (1, 2))
    # what hangs below, and what lies below it
    assert state[0, WAITING, 0] - waiting == pytest.approx(0.04 + 0.08, rel=1e-4)
    go(season, versions, state, (2, 6))
    assert simulate.litter(season, state)[0, 0] == pytest.approx(0.08 * 0.8**5, rel=1e-4)


def test_rust_that_was_there_before_the_record_is_spread_over_all_ages():
    first = np.array([2])
    season = season_of(3, RUST, first_leaf_day=first, ripening=np.zeros(3))
    state = planted(season)
    go(season, versions_of(season, RUST, start_frac=0.3, giving_per_d=0.0), state, (0, 3))

    assert tissue(season, state)[:, 0] == pytest.approx([0.7, 0.3 * 0.67, 0.3 * 0.33, 0.0], rel=1e-4)
    np.testing.assert_allclose(state[0, FIRST_STAGE : FIRST_STAGE + 16, 0], 0.3 * 0.67 / 16, rtol=1e-4)


def test_one_great_arrival_comes_on_its_day_and_counts_as_from_outside():
    rust = Rust(infection_per_d=0.5)
    season = season_of(6, rust)
    state, healthy = planted(season), []
    versions = versions_of(season, rust, burst=0.1, burst_day=3)
    for day in range(6):
        go(season, versions, state, (day, day + 1))
        healthy.append(tissue(season, state)[0, 0])
    came = simulate.origins(season, state)[0, :, 0]

    assert healthy[:3] == [1.0] * 3
    assert healthy[3] == pytest.approx(np.exp(-0.05), rel=1e-4)
    assert came[2] > 0.9
    assert came.sum() == pytest.approx(1.0)


def test_more_stages_make_a_night_open_more_together():
    assert stages.latent_stages(4.652695748081682 * 8.0 / 4.0, 8.0) == 16
    assert stages.latent_stages(10.0, 8.0) < stages.latent_stages(6.0, 8.0)
    assert stages.latent_stages(1e3, 8.0) == 1
    assert stages.latent_stages(0.1, 8.0) == stages.MOST_LATENT

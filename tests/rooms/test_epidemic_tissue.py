"""What happens in one planting's leaves in a day: ripening, opening, giving, dying, healing."""

import numpy as np
import pytest
from scipy import stats
from tests.one_epidemic import Rust, go, planted, season_of, tissue, versions_of

from abaxial import chance
from abaxial.epidemic import simulate, stages

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
    state[:, 2] = 0.5
    go(season, versions_of(season, RUST, dead_fall_frac=0.04), state, (0, 1))

    np.testing.assert_allclose(state[0, 2], 0.48)


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
    held = np.zeros((1, 2, 1))
    held[0, 1] = 0.75
    season = season_of(1, rust, held_frac=held)
    state = planted(season, showing_frac=1e-3)
    go(season, versions_of(season, rust), state, (0, 1))
    lower, upper = tissue(season, state)[1, 0], tissue(season, state, level=1)[1, 0]

    assert upper == pytest.approx(0.25 * lower, rel=1e-3)
    assert lower > 0.0


def test_a_cure_heals_its_share_of_what_is_latent_and_nothing_that_shows():
    cured = np.zeros((1, 2))
    cured[0, 1] = 0.6
    season = season_of(2, RUST, cured_frac=cured, ripening=np.array([0.1, 0.0]))
    versions, state = versions_of(season, RUST, giving_per_d=0.0), planted(season, latent_frac=0.3, showing_frac=0.1)
    go(season, versions, state, (0, 1))
    before = tissue(season, state)[:, 0]
    go(season, versions, state, (1, 2))
    after = tissue(season, state)[:, 0]

    assert after == pytest.approx([before[0] + 0.6 * before[1], 0.4 * before[1], before[2], 0.0], rel=1e-5)


def test_rust_that_was_there_before_the_record_is_spread_over_all_ages():
    first = np.array([2])
    season = season_of(3, RUST, first_leaf_day=first, ripening=np.zeros(3))
    state = planted(season)
    go(season, versions_of(season, RUST, start_frac=0.3, giving_per_d=0.0), state, (0, 3))

    assert tissue(season, state)[:, 0] == pytest.approx([0.7, 0.3 * 0.67, 0.3 * 0.33, 0.0], rel=1e-4)
    np.testing.assert_allclose(state[0, 3:19, 0], 0.3 * 0.67 / 16, rtol=1e-4)


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

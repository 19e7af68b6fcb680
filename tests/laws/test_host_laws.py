"""What must be true of the leaves of any host in any weather."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from abaxial.host import growth, species

HOSTS = st.sampled_from(species.species_keys())
days = st.lists(st.integers(0, 119), max_size=4)


def grown(host: str, seed: int, cuts: tuple[list[int], list[int]], clumps: int = 3) -> growth.Growth:
    """Four months of any weather."""
    weather = np.random.default_rng(seed).uniform(-5.0, 45.0, 120)
    return growth.grow(species.read_species(host), weather, since_day=5, clumps=clumps, spacing_m=0.4, cuts=cuts)


@given(HOSTS, st.integers(0, 9999), days, days)
def test_every_leaf_that_came_hangs_has_fallen_or_was_taken(host, seed, cut_down, low_off):
    leaves = grown(host, seed, (cut_down, low_off))

    np.testing.assert_allclose(
        leaves.emerged_leaves, leaves.open_leaves + leaves.fallen_leaves + leaves.removed_leaves, atol=1e-9
    )
    for each in (leaves.open_leaves, leaves.fallen_leaves, leaves.removed_leaves):
        assert (each >= -1e-9).all()


@given(HOSTS, st.integers(0, 9999), days, days)
def test_leaf_area_is_that_of_the_leaves_that_hang(host, seed, cut_down, low_off):
    leaves, kind = grown(host, seed, (cut_down, low_off)), species.read_species(host)

    area = leaves.open_leaves * kind["leaf_area_m2"] * kind["shoots_per_clump"] / 0.4**2

    np.testing.assert_allclose(leaves.leaf_area_index_lower + leaves.leaf_area_index_upper, area, atol=1e-9)


@given(HOSTS, st.integers(0, 9999), days)
def test_no_plants_have_no_leaves(host, seed, cut_down):
    leaves = grown(host, seed, (cut_down, []), clumps=0)

    assert leaves.emerged_leaves.max() == leaves.leaf_area_index_upper.max() == leaves.height_m.max() == 0.0


@given(HOSTS, st.integers(0, 9999))
def test_leaves_never_grow_back_into_the_bud(host, seed):
    leaves = grown(host, seed, ([60], [30]))

    assert (np.diff(leaves.emerged_leaves) >= 0.0).all()
    assert (np.diff(leaves.oldest_leaf) >= -1e-12).all()


@given(HOSTS, st.integers(0, 9999), st.integers(1, 119))
def test_a_share_kept_is_a_share(host, seed, today):
    kept = growth.kept_frac(grown(host, seed, ([60], [30])), today)

    assert (kept >= 0.0).all()
    assert (kept <= 1.0).all()


@given(HOSTS, st.integers(0, 9999), st.integers(0, 119), st.integers(0, 119))
def test_leaves_to_turn_are_counted_from_the_top_and_hang_today(host, seed, one, other):
    leaves = grown(host, seed, ([60], [30]))
    day, today = sorted((one, other))

    ranks = growth.leaf_ranks_open_on(leaves, day, today)

    assert ranks is None or 1 <= ranks[0] <= ranks[1] <= np.floor(leaves.open_leaves[today]) + 1


def test_growth_stands_still_in_frost_and_in_killing_heat():
    for host in species.species_keys():
        assert growth.growing_degrees_k(species.read_species(host), np.array([-10.0, 47.0])).max() == 0.0

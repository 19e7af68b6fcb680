"""What must be true of any spray, on any leaves, in any rain."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from abaxial.remedy import effect, residue, resistance
from abaxial.remedy.application import Application
from abaxial.remedy.material import material_keys, read_material

ALL = {key: read_material(key) for key in material_keys()}
PROTECTANTS = tuple(key for key, each in ALL.items() if each.protectant)
DAYS = 20
shares = st.floats(0.0, 1.0)
keys = st.sampled_from(PROTECTANTS)
uses = st.builds(
    Application,
    st.integers(0, DAYS - 1),
    st.lists(keys, min_size=1, max_size=2, unique=True).map(tuple),
    shares,
    shares,
    shares,
    st.one_of(st.none(), shares),
)
courses = st.lists(uses, max_size=4)
rains = st.lists(st.floats(0.0, 60.0), min_size=DAYS, max_size=DAYS).map(lambda each: np.array([each]))
leaves = st.integers(0, 10_000).map(lambda seed: np.random.default_rng(seed).uniform(0.0, 0.3, (2, DAYS)))


def shield(course, rain, new):
    return effect.protection(course, ALL, rain, new, 12.0).shield


@given(courses, rains, leaves, st.floats(2.0, 60.0))
def test_a_shield_and_a_cure_are_never_negative_nor_endless(course, rain, new, latent_d):
    done = effect.protection(course, ALL, rain, new, latent_d)

    for part in done:
        assert np.isfinite(part).all()
        assert (part >= 0.0).all()
    assert (done.reach_frac <= 1.0).all()


@given(uses, rains, leaves)
def test_a_shield_falls_from_its_day_on(use, rain, new):
    even = use._replace(cover_upper_frac=use.cover_lower_frac)

    assert (np.diff(shield([even], rain, new)[:, :, use.day :], axis=2) <= 1e-9).all()


@given(courses, rains, leaves, st.integers(0, DAYS - 1), st.floats(0.1, 50.0))
def test_more_rain_never_leaves_more(course, rain, new, day, more_mm):
    wetter = rain.copy()
    wetter[0, day] += more_mm

    assert (shield(course, wetter, new) <= shield(course, rain, new) + 1e-12).all()


@given(courses, rains, leaves, st.integers(0, DAYS - 1), shares)
def test_more_new_leaves_never_protect_the_high_ones_more(course, rain, new, day, more):
    leafier = new.copy()
    leafier[1, day] += (1.0 - new[1, day]) * more

    assert (shield(course, rain, leafier)[1] <= shield(course, rain, new)[1] + 1e-9).all()


@given(courses, rains, leaves, uses)
def test_one_more_spray_never_protects_less(course, rain, new, another):
    assert (shield([*course, another], rain, new) >= shield(course, rain, new) - 1e-9).all()


@given(uses, rains, leaves, shares)
def test_more_of_it_never_protects_less(use, rain, new, less):
    weaker = use._replace(dose_frac=use.dose_frac * less)
    thinner = use._replace(cover_lower_frac=use.cover_lower_frac * less, cover_upper_frac=use.cover_upper_frac * less)
    full = shield([use], rain, new)

    assert (shield([weaker], rain, new) <= full + 1e-12).all()
    assert (shield([thinner], rain, new) <= full + 1e-12).all()


@given(keys, keys, rains, leaves, shares, st.integers(0, DAYS - 1))
def test_shields_of_different_materials_add_up(one, other, rain, new, dose, day):
    first, second = Application(0, (one,), dose, 0.8, 0.9), Application(day, (other,), 1.0, 0.7, 0.6)
    together = shield([first, second], rain, new)
    apart = shield([first], rain, new) + shield([second], rain, new)

    if one == other:
        # residues of one material add up instead, and cannot pass its best
        assert (together <= -np.log1p(-ALL[one]["protect_most_frac"]) + 1e-9).all()
    else:
        assert np.allclose(together, apart, rtol=0.0, atol=1e-9)


@given(st.lists(st.builds(Application, st.integers(0, DAYS - 1), st.just(()), shares, shares, shares)), rains, leaves)
def test_nothing_in_the_tank_is_nothing_on_the_leaf(course, rain, new):
    assert not shield(course, rain, new).any()


@given(leaves, shares)
def test_leaves_that_come_and_sink_neither_make_nor_multiply_a_film(new, to_new_frac):
    spread = residue.carry(new, to_new_frac)

    assert all((part >= 0.0).all() for part in spread)
    assert (spread.upper_frac <= 1.0).all()
    assert (spread.lower_frac + spread.sunk_frac <= 1.0 + 1e-12).all()


@given(courses, rains, leaves, st.floats(0.01, 0.5))
def test_selection_is_never_negative_and_never_beyond_rust_that_grows_unhindered(course, rain, new, growth_per_d):
    (shift,) = resistance.selections([course], ALL, effect.stand(rain, new), latent_d=12.0, growth_per_d=growth_per_d)
    healed = effect.protection(course, ALL, rain, new, 12.0).cure.sum()

    assert all(0.0 < each <= growth_per_d * DAYS + healed + 1e-9 for each in shift.values())


@given(st.floats(1e-9, 0.5), st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_selection_adds_up_whatever_the_order(start_frac, first, second):
    one_way = resistance.resistant_after_frac(resistance.resistant_after_frac(start_frac, first), second)

    assert np.isclose(one_way, resistance.resistant_after_frac(start_frac, first + second), rtol=1e-6)


@given(st.sampled_from(("low", "medium", "high", "none")), st.floats(0.0, 30.0), st.floats(0.0, 10.0))
def test_a_spray_never_makes_a_code_less_likely_to_fail(risk, before, added):
    price = resistance.price_frac(risk, before, added)

    assert -1e-12 <= price <= 1.0

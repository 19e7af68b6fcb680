"""What sprays do to rust, day by day, on leaves that come and sink and in rain."""

import numpy as np
import pytest

from abaxial.errors import FaultError
from abaxial.remedy import effect, residue
from abaxial.remedy.application import Application
from abaxial.remedy.material import material_keys, read_material

ALL = {key: read_material(key) for key in material_keys()}
DRY = np.zeros((2, 30))
STILL = np.zeros((2, 30))
GROWING = np.full((2, 30), 0.04)


def sprayed(*keys: str, day: int = 0, dose: float = 1.0, lower: float = 1.0, upper: float = 1.0) -> Application:
    return Application(day, keys, dose, lower, upper)


def shield(*uses: Application, rain=DRY, new=STILL) -> np.ndarray:
    return effect.protection(uses, ALL, rain, new, 12.0).shield


def test_nothing_applied_protects_from_nothing():
    nothing = effect.protection((), ALL, DRY, STILL, 12.0)

    assert not nothing.shield.any()
    assert not nothing.cure.any()
    assert not nothing.reach_frac.any()


def test_a_spray_protects_from_its_own_day_on_and_not_before():
    each = shield(sprayed("chlorothalonil", day=5))

    assert not each[:, :, :5].any()
    assert (each[:, :, 5:] > 0.0).all()


def test_a_fresh_spray_on_every_face_keeps_out_what_its_file_says():
    let_in = np.exp(-shield(sprayed("chlorothalonil"))[0, 0, 0])

    sure = ALL["chlorothalonil"]
    assert 1.0 - let_in == pytest.approx(sure["protect_most_frac"] * (1.0 - np.exp(-sure["protect_per_dose"])))


def test_only_the_level_that_was_wetted_is_protected():
    lower, upper = shield(sprayed("chlorothalonil", upper=0.0))

    assert (lower > 0.0).all()
    assert not upper.any()


def test_half_the_leaves_bare_let_in_half_however_thick_it_lies_on_the_others():
    thin, thick = (shield(sprayed("mancozeb", dose=dose, lower=0.5))[0, 0, 0] for dose in (1.0, 50.0))

    assert thick > thin
    assert np.exp(-thick) == pytest.approx(1.0 - 0.5 * ALL["mancozeb"]["protect_most_frac"])


def test_leaves_that_unroll_later_are_bare_of_a_contact_film_and_not_quite_of_what_moves():
    films = [shield(sprayed(key, lower=0.0), new=GROWING)[1, 0] for key in ("chlorothalonil", "azoxystrobin")]
    still = [shield(sprayed(key, lower=0.0))[1, 0] for key in ("chlorothalonil", "azoxystrobin")]
    share = [-np.expm1(-film[20]) / -np.expm1(-kept[20]) for film, kept in zip(films, still, strict=True)]

    assert share[0] == pytest.approx(0.96**20)
    assert share[1] > share[0]


def test_leaves_that_sink_take_their_film_along():
    lower, upper = shield(sprayed("chlorothalonil", lower=0.0), new=GROWING)

    assert not lower[:, 0].any()
    assert (np.diff(lower[0, :8]) > 0.0).all()
    assert (lower[:, 1:8] < upper[:, 1:8]).all()


def test_low_leaves_lose_their_film_as_bare_ones_sink_among_them():
    new = np.stack([np.full(30, 0.1), np.zeros(30)])
    lower, _ = shield(sprayed("chlorothalonil", upper=0.0), new=new)
    still, _ = shield(sprayed("chlorothalonil", upper=0.0))

    assert (-np.expm1(-lower[0, 10])) / (-np.expm1(-still[0, 10])) == pytest.approx(0.9**10)


def test_two_sprays_of_one_material_never_do_more_than_its_best():
    let_in = np.exp(-shield(*[sprayed("mancozeb", day=day) for day in range(10)])[:, :, 10])

    assert (1.0 - let_in <= ALL["mancozeb"]["protect_most_frac"] + 1e-12).all()


def test_members_with_more_rain_are_less_protected():
    rain = np.zeros((2, 30))
    rain[1, 3] = 25.7
    each = shield(sprayed("chlorothalonil"), rain=rain)

    assert (each[:, 0, :3] == each[:, 1, :3]).all()
    assert (each[:, 0, 3:] > each[:, 1, 3:]).all()


def test_rain_before_the_spray_washes_nothing():
    rain = np.zeros((2, 30))
    rain[:, :4] = 30.0

    assert (shield(sprayed("sulfur", day=4), rain=rain) == shield(sprayed("sulfur", day=4))).all()


def test_the_first_millimetres_take_most():
    left = residue.washed_left_frac([0.0, 10.0, 20.0, 30.0], 25.7)

    assert (np.diff(left) < 0.0).all()
    assert (np.diff(left, 2) > 0.0).all()


def test_rain_on_a_wet_deposit_takes_more_than_on_a_dry_one():
    rain = np.full((1, 5), 4.0)
    soon, unknown, late = (
        residue.left_frac(ALL["chlorothalonil"], sprayed("chlorothalonil")._replace(soon_frac=share), rain)[0, 0]
        for share in (1.0, None, 0.0)
    )

    assert soon < 0.5 * late
    assert soon < unknown < late


def test_a_film_on_one_face_serves_the_other_only_where_it_moves_through():
    assert residue.reached_frac(0.5, 0.0) == 0.5
    assert residue.reached_frac(0.5, 1.0) == 0.75
    assert residue.reached_frac([0.0, 1.0], 0.7) == pytest.approx([0.0, 1.0])


def test_a_curative_reaches_only_some_way_along_the_latent_path_and_on_its_day_alone():
    done = effect.protection([sprayed("azoxystrobin", day=6)], ALL, DRY, STILL, 12.0)

    assert np.flatnonzero(done.cure).tolist() == [6]
    assert done.reach_frac[6] == pytest.approx(ALL["azoxystrobin"]["reach_d"] / 12.0)
    assert 0.1 < 1.0 - np.exp(-done.cure[6]) < 0.5


def test_where_rust_ripens_fast_a_cure_reaches_all_of_it_and_heals_more_of_that():
    slow, fast = (effect.protection([sprayed("azoxystrobin")], ALL, DRY, STILL, days) for days in (12.0, 5.0))

    assert fast.reach_frac[0] == 1.0
    assert fast.cure[0] > slow.cure[0]


@pytest.mark.parametrize("key", [key for key, each in ALL.items() if not each.curative])
def test_what_is_not_curative_heals_nothing(key):
    done = effect.protection([sprayed(key)], ALL, DRY, STILL, 12.0)

    assert not done.cure.any()


@pytest.mark.parametrize("key", ["azadirachtin", "fatty_acid_soap"])
def test_what_is_no_spray_against_rust_does_nothing_to_it(key):
    assert not shield(sprayed(key)).any()


def test_a_bottle_of_two_does_what_its_two_do():
    both = shield(sprayed("azoxystrobin", "chlorothalonil"), new=GROWING)

    apart = shield(sprayed("azoxystrobin"), new=GROWING) + shield(sprayed("chlorothalonil"), new=GROWING)
    assert both == pytest.approx(apart)


def test_many_courses_at_once_are_each_as_they_are_alone():
    courses = [[], [sprayed("sulfur")], [sprayed("azoxystrobin", day=3), sprayed("azoxystrobin", day=17)]]
    many = effect.protections(courses, ALL, effect.stand(DRY, GROWING), latent_d=12.0)

    for row, course in enumerate(courses):
        alone = effect.protection(course, ALL, DRY, GROWING, 12.0)
        assert all((part[row] == mine).all() for part, mine in zip(many, alone, strict=True))


def test_leaves_in_the_same_rain_are_shielded_as_if_they_stood_alone():
    wet = np.full((2, 30), 4.0)
    courses = [[sprayed("azoxystrobin", day=3), sprayed("sulfur", day=3)], [sprayed("azoxystrobin", day=3)]]
    beside = effect.protections(courses, ALL, effect.stand(wet, STILL).under(GROWING), latent_d=12.0)

    alone = effect.protections(courses, ALL, effect.stand(wet, GROWING), latent_d=12.0)
    assert all((one == other).all() for one, other in zip(beside, alone, strict=True))


def test_a_spray_after_the_last_day_does_nothing_yet():
    assert not shield(sprayed("azoxystrobin", day=30)).any()


@pytest.mark.parametrize("use", [sprayed("azoxystrobin", day=-1), sprayed("moonshine")])
def test_a_spray_that_cannot_be_placed_is_our_own_fault(use):
    with pytest.raises(FaultError):
        shield(use)


def test_rain_and_leaves_of_different_days_are_our_own_fault():
    with pytest.raises(FaultError, match="do not go together"):
        effect.stand(DRY, np.zeros((2, 29)))

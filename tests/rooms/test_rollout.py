"""Courses of one planting against neighbours that go on as they would have: the same days, the same luck, other acts."""

import numpy as np
import pytest
from tests.one_epidemic import LANES, Rust, go, season_of, versions_of

from abaxial import chance
from abaxial.epidemic import rollout, simulate
from abaxial.epidemic.day.rows import FIRST_STAGE, level_rows
from abaxial.epidemic.kernel import LATENT_OUT, VISIBLE_OUT, WHOLE
from abaxial.epidemic.rollout import Courses
from abaxial.errors import FaultError
from abaxial.infection.kernel import Nights

DAYS, FIRST, END, PLANTINGS, MEMBERS, DRAWS, COUNT = 90, 40, 75, 4, 3, 5, 2 * LANES
RUST = Rust(infection_per_d=6.0, latent_d=9.0, infectious_d=14.0, latent_stages=6, showing_stages=3)


def _chance(name: str, *shape: int) -> np.ndarray:
    return chance.uniforms(5, f"test/{name}", 0, int(np.prod(shape))).reshape(shape)


def _season() -> simulate.Season:
    """Nights of all kinds; spores that fly from each planting to the others; a shield here and there already."""
    nights = (PLANTINGS, 2, MEMBERS, DAYS, DRAWS)
    ripening = 0.2 * _chance("ripening", *nights)
    progress = np.concatenate([np.zeros((PLANTINGS, 2, MEMBERS, 1, DRAWS)), np.cumsum(ripening, axis=3)], axis=3)
    return season_of(
        DAYS, RUST, plantings=PLANTINGS, infected_frac=0.5 * _chance("infected", *nights), progress=progress,
        wet_reach_h=np.full(nights, 10.0), alive_frac=0.5 * _chance("alive", *nights),
        first_wet_h=np.full((1, MEMBERS, DRAWS), 6.0), spread_h=np.full((1, MEMBERS, DRAWS), 4.0),
        unfolded=0.05 * _chance("new", PLANTINGS, DAYS), sinking_frac=np.full((PLANTINGS, DAYS), 0.02),
        fallen_frac=np.full((PLANTINGS, DAYS), 0.02), caught_frac=np.full((PLANTINGS, 2, DAYS), 0.6),
        shield=0.3 * _chance("shield", PLANTINGS, 2, MEMBERS, DAYS), own_frac=np.full(PLANTINGS, 0.5),
        far_frac=np.full(PLANTINGS, 0.01), neighbour=np.array([[1], [0], [3], [2]]), litter_frac=0.9,
        neighbour_frac=np.full((PLANTINGS, 1), 0.1), first_leaf_day=np.zeros(PLANTINGS, int), stay_frac=0.7,
    )  # fmt: skip


SEASON = _season()
VERSIONS = versions_of(
    SEASON, RUST, count=COUNT, member=(_chance("member", COUNT) * MEMBERS).astype(int),
    draw=(_chance("draw", 1, COUNT) * DRAWS).astype(int), start_frac=0.02 * _chance("start", PLANTINGS, COUNT),
    luck=0.5 + _chance("luck", PLANTINGS, -(-DAYS // 7), COUNT), vigour=0.5 + _chance("vigour", PLANTINGS, COUNT),
    remedy_factor=0.5 + _chance("factor", COUNT),
)  # fmt: skip


@pytest.fixture(scope="module")
def state() -> np.ndarray:
    begun = simulate.clean(SEASON, COUNT)
    go(SEASON, VERSIONS, begun, (0, FIRST))
    return begun


@pytest.fixture(scope="module")
def base(state) -> rollout.Base:
    return rollout.baseline(SEASON, VERSIONS, state, FIRST, END)


def _with(courses: Courses, **remedies: np.ndarray) -> Courses:
    return courses._replace(remedies=courses.remedies._replace(**remedies))


def _own_nights(planting: int) -> Nights:
    """The nights that a planting has already, as others are given."""
    drivers, days = SEASON.drivers, slice(FIRST, END)
    tables = {
        name: getattr(drivers, name)[planting : planting + 1] for name in ("infected_frac", "wet_reach_h", "alive_frac")
    }
    cut = {name: each[:, :, :, days] for name, each in tables.items()}
    progress = drivers.progress[planting : planting + 1, :, :, FIRST : END + 1]
    return Nights(progress=progress, progress_at_infection=progress[:, :, :, :-1], **cut)


def _hard_picking(base: rollout.Base, planting: int) -> Courses:
    courses = rollout.unchanged(base, planting)
    courses.remedies.picked_frac[...] = 1.0
    return courses


def test_a_course_that_changes_nothing_is_the_base_to_the_last_bit(base):
    for planting in range(PLANTINGS):
        found = rollout.roll_out(base, planting, rollout.unchanged(base, planting, 3))
        for each, expected in zip(found, base.outcome, strict=True):
            assert np.array_equal(each, np.repeat(expected[planting : planting + 1], 3, axis=0))


def test_every_planting_left_alone_together_is_the_base_to_the_last_bit(base):
    nothing = rollout.joined([rollout.unchanged(base, planting) for planting in range(PLANTINGS)], [0] * PLANTINGS)
    found = rollout.together(base, nothing)

    assert all(np.array_equal(each, expected) for each, expected in zip(found, base.outcome, strict=True))


def test_the_base_is_the_season_as_it_is_run_day_by_day(base, state):
    rows = state.copy()
    record = go(SEASON, VERSIONS, rows, (FIRST, END), list(range(FIRST, END)))
    shows = record[:, :, WHOLE, VISIBLE_OUT]

    np.testing.assert_allclose(base.outcome.rusted_frac_end, shows[-1], rtol=1e-5, atol=1e-9)
    np.testing.assert_allclose(base.outcome.worst_rusted_frac, shows.max(axis=0), rtol=1e-5, atol=1e-9)
    np.testing.assert_allclose(base.outcome.latent_frac_end, record[-1, :, WHOLE, LATENT_OUT], rtol=1e-5, atol=1e-9)


def test_sums_are_those_of_the_days_one_by_one(base, state):
    rows, healthy, given = state.copy(), 0.0, 0.0
    size, opened = level_rows(rows.shape[1]), FIRST_STAGE + RUST.latent_stages
    for day in range(FIRST, END):
        given = given + sum(rows[:, low + opened : low + opened + RUST.showing_stages].sum(axis=1) for low in (0, size))
        go(SEASON, VERSIONS, rows, (day, day + 1))
        healthy = healthy + rows[:, 0] + rows[:, size]

    np.testing.assert_allclose(base.outcome.healthy_area_d, healthy, rtol=1e-5)
    np.testing.assert_allclose(base.outcome.given, given, rtol=1e-5)


def test_the_state_that_is_given_is_left_as_it_was(state):
    before = state.copy()
    fresh = rollout.baseline(SEASON, VERSIONS, state, FIRST, END)
    rollout.roll_out(fresh, 1, _hard_picking(fresh, 1))

    assert np.array_equal(state, before)


def test_courses_among_others_are_the_courses_alone(base):
    shields = _chance("shields", 7, 2, MEMBERS, END - FIRST)
    many = _with(rollout.unchanged(base, 2, 7), shield=shields)
    found = rollout.roll_out(base, 2, many)
    for row in (0, 3, 6):
        one = rollout.roll_out(base, 2, _with(rollout.unchanged(base, 2), shield=shields[row : row + 1]))
        assert all(np.array_equal(each[0], among[row]) for each, among in zip(one, found, strict=True))


def test_one_course_together_with_untouched_neighbours_helps_its_own_planting_as_much_or_more(base):
    parts = [rollout.unchanged(base, planting) for planting in range(PLANTINGS)]
    parts[0] = _hard_picking(base, 0)
    alone, jointly = rollout.roll_out(base, 0, parts[0]), rollout.together(base, rollout.joined(parts, [0] * PLANTINGS))

    # what it spares its neighbours comes back to it
    assert jointly.rusted_area_d[0].mean() <= alone.rusted_area_d[0].mean()
    assert (jointly.rusted_area_d[1] <= base.outcome.rusted_area_d[1] * (1.0 + 1e-5)).all()
    assert jointly.rusted_area_d[1].mean() < base.outcome.rusted_area_d[1].mean()
    np.testing.assert_allclose(jointly.rusted_area_d[0], alone.rusted_area_d[0], rtol=0.2)


def test_own_nights_given_as_other_nights_change_nothing(base):
    courses = rollout.unchanged(base, 3, 2)._replace(nights=_own_nights(3), nights_of=np.array([-1, 0]))
    found = rollout.roll_out(base, 3, courses)

    assert all(np.array_equal(each[0], each[1]) for each in found)


def test_drier_nights_leave_less_rust_and_only_in_the_course_that_has_them(base):
    nights = _own_nights(3)
    drier = nights._replace(infected_frac=0.3 * nights.infected_frac)
    found = rollout.roll_out(base, 3, rollout.unchanged(base, 3, 2)._replace(nights=drier, nights_of=np.array([-1, 0])))

    assert (found.rusted_area_d[1] < found.rusted_area_d[0]).all()
    assert np.array_equal(found.rusted_area_d[0], base.outcome.rusted_area_d[3])


def test_chosen_courses_with_nights_of_their_own_keep_them_together(base):
    parts = [rollout.unchanged(base, planting) for planting in range(PLANTINGS)]
    dry = [_own_nights(planting) for planting in range(PLANTINGS)]
    for planting in (1, 3):
        nights = dry[planting]._replace(infected_frac=0.0 * dry[planting].infected_frac)
        parts[planting] = parts[planting]._replace(nights=nights, nights_of=np.array([0]))
    found = rollout.together(base, rollout.joined(parts, [0] * PLANTINGS))

    assert (found.latent_frac_end[[1, 3]] < 0.01 * base.outcome.latent_frac_end[[1, 3]]).all()
    assert (found.latent_frac_end[[0, 2]] > 0.1 * base.outcome.latent_frac_end[[0, 2]]).all()


def test_what_arrives_is_what_the_base_has_seen_arrive(base, state):
    weight = rollout.arriving(SEASON)
    size, opened = level_rows(state.shape[1]), FIRST_STAGE + RUST.latent_stages
    given = sum(state[:, low + opened : low + opened + RUST.showing_stages].sum(axis=1) for low in (0, size))

    np.testing.assert_allclose(base.near[:, 0], (weight @ given)[:, base.order], rtol=1e-5)


def test_no_courses_have_no_outcome(base):
    found = rollout.roll_out(base, 0, rollout.unchanged(base, 0, 0))

    assert found.given.shape == (0, COUNT)


@pytest.mark.parametrize("days", [(-1, 5), (5, 5), (0, DAYS + 1)])
def test_days_outside_the_season_are_refused(state, days):
    with pytest.raises(FaultError, match="do not lie in a season"):
        rollout.baseline(SEASON, VERSIONS, state, *days)


def test_courses_that_do_not_fit_are_refused(base, state):
    short = rollout.baseline(SEASON, VERSIONS, state, FIRST, FIRST + 3)
    own = rollout.unchanged(base, 0)
    with pytest.raises(FaultError, match="days do not go with"):
        rollout.roll_out(base, 0, rollout.unchanged(short, 0))
    with pytest.raises(FaultError, match="do not go with leaves"):
        rollout.roll_out(base, 0, _with(own, cure=np.zeros((1, 2))))
    with pytest.raises(FaultError, match="no planting number"):
        rollout.roll_out(base, PLANTINGS, own)
    with pytest.raises(FaultError, match="wants nights"):
        rollout.roll_out(base, 0, own._replace(nights=_own_nights(0), nights_of=np.array([1])))
    with pytest.raises(FaultError, match="not which course"):
        rollout.roll_out(base, 0, own._replace(nights=_own_nights(0)))
    with pytest.raises(FaultError, match="Nights of shape"):
        rollout.roll_out(short, 0, rollout.unchanged(short, 0)._replace(nights=_own_nights(0), nights_of=np.array([0])))
    with pytest.raises(FaultError, match="One course for each planting"):
        rollout.together(base, own)
    with pytest.raises(FaultError, match="state of shape"):
        rollout.baseline(SEASON, VERSIONS, state[:, :-1], FIRST, END)

"""Where twenty minutes are spent: what a look would tell, the order of beds, and the walk as a whole."""

from datetime import date
from itertools import pairwise, permutations, product

import numpy as np
import pytest
from tests.clock import quickest_s

from abaxial import chance
from abaxial.assimilation import counts
from abaxial.assimilation.likelihood import Predicted, log_likelihood, seen_frac
from abaxial.assimilation.looks import read_looks
from abaxial.errors import FaultError, RequestError
from abaxial.plan import doubt, gain, ground, route, steps
from abaxial.plan.ground import SIZES, Corner
from abaxial.plan.pace import read_pace
from abaxial.plan.walk import plan_walk, plants_for
from abaxial.scouting.sampling import none_found_limit_frac
from abaxial.scouting.sightings import Sighting

LOOKS, PACE = read_looks(), read_pace()
VERSIONS = 512


def normals(name, versions=VERSIONS):
    return chance.normals(7, f"test walk {name}", 0, versions)


def versions_of(showing_log, *, detection_frac=0.88):
    shape = np.shape(showing_log)
    showing = np.minimum(np.exp(showing_log), 0.9)
    return Predicted(showing, *(np.full(shape, each) for each in (0.01, 0.63, detection_frac, 0.0)))


def corner(name, part="lower", *, spread=1.0, shared=0.0, detection_frac=0.88, versions=VERSIONS, **said):
    """About 1 in 5 leaves rusted, give or take; `shared` of its doubt is the whole garden's."""
    own = shared * normals("weather", versions) + np.sqrt(1.0 - shared**2) * normals(name, versions)
    showing_log = -6.0 + spread * own
    rest = {
        "bed": f"bed of {name}",
        "predicted": versions_of(showing_log, detection_frac=detection_frac),
        "concern": showing_log + 0.5 * spread * normals(f"{name} to come", versions),
        "weight": 1.0,
        "due_frac": np.zeros(versions),
        "plants": 10,
        "leaves_per_plant": 12.0,
        "east_m": 0.0,
        "north_m": 0.0,
        "rusted_frac": 0.0025,
    }
    return Corner(name, part=part, **rest | said)


def garden(count, **said):
    def place(number):
        return {"east_m": 7.0 * (number % 6), "north_m": 5.0 * (number // 6)}

    return [
        corner(f"planting {number}", part, **place(number), **said)
        for number in range(count)
        for part in ("lower", "upper")
    ]


def walk(corners, minutes=20.0, **pace):
    return plan_walk(corners, minutes=minutes, pace=PACE._replace(**pace))


# what a look would tell


def sizes(here):
    return ground.sizes_of(here, LOOKS)


def told_variance(here):
    seen = seen_frac(here.predicted)
    return gain.prospect(seen, here.concern, sizes(here), blunder_frac=LOOKS.blunder_frac).told_variance


def every_count_frac(here, turned):
    """Chances of 0, 1, … rusted leaves in every version, blunders among them, (turned + 1, versions)."""
    among_frac = LOOKS.for_plants(counted(turned, 0), here.plants).among_frac
    honest = counts.every_count_frac(turned, seen_frac(here.predicted), among_frac)
    return (1.0 - LOOKS.blunder_frac) * honest + LOOKS.blunder_frac / (turned + 1)


def counted(turned, rusted):
    return Sighting("reds", date(2031, 5, 6), turned=turned, rusted=rusted)


def weighed_variance(concern, log_weights):
    """Variance of the concern under the weights of each column, (columns,)."""
    weights = np.exp(log_weights - log_weights.max(axis=0))
    weights /= weights.sum(axis=0)
    mean = concern @ weights
    return (concern**2) @ weights - mean**2


@pytest.mark.parametrize(("turned", "plants"), [(4, 10), (14, 10), (30, 10), (30, 3)])
def test_the_expected_variance_is_that_of_looks_really_made(turned, plants):
    here = corner("reds", spread=1.5, plants=plants)
    promised = told_variance(here)[SIZES.index(turned)]

    # every version is true a hundred times: leaves are turned in it, and all versions weighed by what was found
    luck = chance.uniforms(7, "test walk counts", turned, VERSIONS * 100).reshape(100, VERSIONS)
    found = (luck[None] > np.cumsum(every_count_frac(here, turned), axis=0)[:, None]).sum(axis=0)
    sightings = [counted(turned, rusted) for rusted in range(turned + 1)]
    left = weighed_variance(
        here.concern,
        np.stack(
            [log_likelihood(each, here.predicted, looks=LOOKS.for_plants(each, here.plants)) for each in sightings],
            axis=1,
        ),
    )

    assert here.concern.var() - left[found].mean() == pytest.approx(promised, rel=0.03)


def test_more_leaves_never_tell_less():
    told = told_variance(corner("reds"))

    assert (np.diff(told) > 0.0).all()


def test_a_small_look_believed_twice_is_the_large_look_seen_from_before():
    """E(c | few leaves) is the mean of E(c | more leaves): what makes the variance of the smaller their covariance."""
    here = corner("reds")
    few, many = 4, 6
    chances = {n: every_count_frac(here, n) for n in (few, many)}
    believed = {n: chances[n] @ here.concern / chances[n].sum(axis=1) for n in (few, many)}
    # of six leaves the first four, drawn without order
    ways = np.array(
        [[_choose(k, j) * _choose(many - k, few - j) / _choose(many, few) for k in range(many + 1)] for j in range(5)]
    )
    often = chances[many].mean(axis=1)

    assert ways @ (often * believed[many]) / (ways @ often) == pytest.approx(believed[few], rel=1e-9)


def _choose(of, some):
    return (
        0
        if not 0 <= some <= of
        else len(list(permutations(range(of), some))) / len(list(permutations(range(some), some)))
    )


def test_a_look_that_cannot_notice_tells_nothing():
    blind = corner("reds", detection_frac=0.0)

    assert told_variance(blind).tolist() == [0.0] * len(SIZES)
    assert walk([blind]).stops == ()


def test_the_chance_to_meet_a_leaf_is_one_less_that_of_meeting_none():
    rusting = np.array([0.0, 0.02, 0.3, 1.0])
    here = sizes(corner("reds", plants=3))
    each = [1.0 - counts.every_count_frac(size.leaves, rusting, size.among_frac)[0].mean() for size in here]

    assert gain.met_frac(rusting, here) == pytest.approx(each, rel=1e-9)


# what several looks tell together


def told_by(corners, *looks):
    """By how much the variance of the first concern is promised to fall after looks at (corner, leaves)."""
    ahead = ground.lay_out(corners, PACE, LOOKS).ahead
    left = doubt.before_looking(ahead)
    before = left.left_variance[0]
    for number, leaves in looks:
        left = doubt.after(left, int(np.flatnonzero((ahead.corner == number) & (ahead.leaves == leaves))[0]))
    return before - left.left_variance[0]


def exactly_told_by(corners, *looks):
    """The same by going through every pair of counts."""
    chances = [every_count_frac(corners[at], n) for at, n in looks]
    pairs = [np.prod(each, axis=0) for each in product(*chances)]
    left = [chance.mean() * weighed_variance(corners[0].concern, np.log(chance)[:, None])[0] for chance in pairs]
    return corners[0].concern.var() - sum(left)


def test_one_look_tells_exactly_what_it_promises():
    here = [corner("reds", shared=0.8), corner("golds", shared=0.8)]

    assert told_by(here, (0, 14)) == pytest.approx(exactly_told_by(here, (0, 14)), rel=1e-6)


@pytest.mark.parametrize("shared", [0.6, 0.9, 1.0])
def test_what_two_looks_promise_is_a_little_less_than_they_hold(shared):
    here = [corner("reds", shared=shared), corner("golds", shared=shared)]
    promised, held = told_by(here, (0, 10), (1, 10)), exactly_told_by(here, (0, 10), (1, 10))

    assert 0.97 * held < promised < 1.001 * held


def test_turning_leaves_in_two_steps_tells_what_turning_them_at_once_does():
    here = [corner("reds"), corner("golds")]

    assert told_by(here, (0, 4), (0, 14)) == pytest.approx(told_by(here, (0, 14)), rel=1e-9)


def test_a_look_tells_of_plantings_that_share_its_fate_and_of_no_others():
    alike, strange = [[corner("reds", shared=each), corner("golds", shared=each)] for each in (0.95, 0.0)]

    assert told_by(alike, (1, 14)) > 0.2 * alike[0].concern.var()
    assert told_by(strange, (1, 14)) == 0.0


def test_a_second_look_at_twins_is_worth_less_than_at_strangers():
    def second(shared):
        laid = ground.lay_out([corner("reds", shared=shared), corner("golds", shared=shared)], PACE, LOOKS)
        before = doubt.before_looking(laid.ahead)
        look = int(np.flatnonzero((laid.ahead.corner == 1) & (laid.ahead.leaves == 14))[0])
        return doubt.values(doubt.after(before, 4))[look] / doubt.values(before)[look]

    assert second(0.95) < 0.7 * second(0.0)


def test_looks_at_two_hundred_strangers_hardly_seem_to_tell_of_one_another():
    ahead = ground.lay_out([corner(f"stranger {number}") for number in range(200)], PACE, LOOKS).ahead
    own = ahead.worth[ahead.corner] * ahead.told_variance

    assert doubt.values(doubt.before_looking(ahead)).mean() < 1.03 * own.mean()


def step_by_step(laid, leaves):
    """The value of one choice of leaves for every corner."""
    left, value = doubt.before_looking(laid.ahead), 0.0
    for number, size in enumerate(leaves):
        if size > 0:
            look = int(np.flatnonzero((laid.ahead.corner == number) & (laid.ahead.leaves == size))[0])
            value += doubt.values(left)[look] + laid.due_value[look]
            left = doubt.after(left, look)
    return value


@pytest.mark.parametrize("minutes", [3.0, 5.0, 8.0])
def test_no_choice_of_leaves_is_worth_much_more_than_the_one_found_step_by_step(minutes):
    corners = [
        corner(f"bed {n}", shared=0.5, spread=0.7 + 0.4 * n, weight=3.0 - n, due_frac=np.full(VERSIONS, 0.002 * n))
        for n in range(3)
    ]
    laid = ground.lay_out(corners, PACE, LOOKS)
    seconds = {each: 6.0 * sum(each) + 75.0 * np.count_nonzero(each) for each in product((0, *SIZES), repeat=3)}
    most = max(step_by_step(laid, each) for each, took in seconds.items() if took <= 60.0 * minutes)

    assert steps.choose(laid, minutes).value > 0.97 * most


# the order of beds


def bruteforce_m(apart_m, ranks):
    ways = [way for way in permutations(range(len(ranks))) if [ranks[each] for each in way] == sorted(ranks)]
    return min(sum(apart_m[a, b] for a, b in pairwise(way)) for way in ways)


def places(count, seed=1):
    east, north = 50.0 * chance.uniforms(seed, "test route", count, 2 * count).reshape(2, -1)
    return route.distances_m(east, north)


@pytest.mark.parametrize("count", range(1, 8))
def test_no_way_round_seven_places_is_shorter(count):
    apart, ranks = places(count), [number % 2 for number in range(count)]

    assert route.shortest(apart, ranks).metres_m == pytest.approx(bruteforce_m(apart, ranks))


@pytest.mark.parametrize("seed", range(5))
def test_the_way_round_eight_places_is_near_the_shortest(seed):
    apart = places(8, seed)

    assert route.shortest(apart, [0] * 8).metres_m <= 1.1 * bruteforce_m(apart, [0] * 8)


def test_clean_plantings_come_before_speckled_and_rusty_ones_whatever_the_way():
    apart, ranks = places(30), [number % 3 for number in range(30)]
    way = route.shortest(apart, ranks)

    assert [ranks[each] for each in way.order] == sorted(ranks)
    assert sorted(way.order) == list(range(30))


def test_beds_along_a_line_are_walked_along_the_line():
    apart = route.distances_m([9.0, 2.0, 5.0, 0.0, 7.0, 1.0, 8.0, 3.0, 4.0, 6.0], [0.0] * 10)

    assert route.shortest(apart, [0] * 10).metres_m == pytest.approx(9.0)


def test_one_more_place_goes_where_it_adds_least_and_not_among_the_cleaner():
    apart = route.distances_m([0.0, 10.0, 20.0, 4.0, 4.0], [0.0] * 5)
    at, added = route.insertions(route.Route((0, 1, 2), 20.0), [3, 4], apart, [0, 0, 1, 0, 1])

    assert at.tolist() == [1, 2]
    assert added.tolist() == [0.0, 12.0]


def test_no_places_are_no_way():
    assert route.shortest(np.zeros((0, 0)), []) == route.Route((), 0.0)


# the walk


def test_a_walk_fits_into_the_minutes_and_uses_most_of_them():
    planned = walk(garden(12), 20.0)

    assert 17.0 < planned.minutes <= 20.0
    assert planned.minutes == pytest.approx(sum(stop.minutes for stop in planned.stops))


def test_the_minutes_are_those_of_leaves_writing_settling_and_walking():
    here = [corner("reds"), corner("reds", "upper"), corner("golds", east_m=21.0)]
    planned = walk(here, 60.0, least_gain_frac=1e-4)
    leaves = sum(stop.leaves for stop in planned.stops)

    assert [stop.planting for stop in planned.stops if stop.part == "lower"] != []
    assert len(planned.stops) == 3
    assert planned.minutes * 60.0 == pytest.approx(6.0 * leaves + 3 * 45.0 + 2 * 30.0 + 21.0 * 1.3 / 0.7)


def test_an_empty_garden_is_no_walk():
    assert walk([]) == ((), 0.0, (), (), 0.0)


def test_without_minutes_nobody_goes():
    planned = walk(garden(2), 0.0)

    assert planned.stops == ()
    assert planned.left_out == ("planting 0", "planting 1")
    assert planned.tells_little == ()


@pytest.mark.parametrize("minutes", [-1.0, float("nan"), float("inf")])
def test_minutes_that_are_none_are_refused(minutes):
    with pytest.raises(RequestError, match="cannot take"):
        walk(garden(1), minutes)


def test_a_concern_that_is_not_a_number_is_our_mistake():
    with pytest.raises(FaultError, match="reds"):
        walk([corner("reds", concern=np.full(VERSIONS, np.nan))])


@pytest.mark.parametrize("gone", [{"plants": 0}, {"leaves_per_plant": 0.0}, {"weight": 0.0}])
def test_a_planting_without_plants_or_leaves_or_weight_is_left_out(gone):
    planned = walk([corner("reds"), corner("golds", **gone)])

    assert {stop.planting for stop in planned.stops} == {"reds"}
    assert planned.tells_little == ("golds",)


def test_a_planting_of_which_all_is_known_is_not_proposed():
    planned = walk([corner("reds", spread=1e-3), corner("golds")])

    assert {stop.planting for stop in planned.stops} == {"golds"}
    assert planned.tells_little == ("reds",)


def test_no_more_leaves_are_turned_than_there_are():
    planned = walk(
        [corner("reds", plants=2, leaves_per_plant=3.5), corner("golds", plants=1, leaves_per_plant=2.2)], 60
    )

    assert {stop.planting: (stop.leaves, stop.plants) for stop in planned.stops} == {"reds": (7, 2), "golds": (2, 1)}


def equals(apart):
    """Two plantings alike in everything; their versions are the same ones, or as many places apart."""
    one = corner("reds")
    predicted = Predicted(*(np.roll(each, apart) for each in one.predicted))
    return [one, one._replace(planting="golds", predicted=predicted, concern=np.roll(one.concern, apart))]


@pytest.mark.parametrize("minutes", [6.5, 20.0, 60.0])
@pytest.mark.parametrize("apart", [0, 1])
def test_two_equal_plantings_get_equal_leaves_whether_or_not_they_share_their_fate(minutes, apart):
    first, second = walk(equals(apart), minutes).stops

    assert first.leaves == second.leaves


@pytest.mark.parametrize("apart", [0, 1])
def test_of_two_equal_plantings_one_gets_more_leaves_only_where_there_is_no_time_for_both(apart):
    uneven = 0
    for minutes in np.arange(5.0, 9.0, 0.1):
        planned = walk(equals(apart), float(minutes))
        more = abs(planned.stops[0].leaves - planned.stops[1].leaves)
        uneven += more > 0

        assert more == 0 or planned.minutes + more * PACE.leaf_s / 60.0 > minutes
    assert 0 < uneven < 35


def test_what_is_doubtful_is_looked_at_before_what_is_not_and_what_weighs_more_before_what_weighs_less():
    by_doubt = walk([corner("reds", spread=0.3), corner("golds", spread=1.5)], 3.0)
    by_weight = walk([corner("reds"), corner("golds", weight=5.0)], 3.0)

    assert [stop.planting for stop in by_doubt.stops] == ["golds"]
    assert [stop.planting for stop in by_weight.stops] == ["golds"]


def test_of_two_beds_that_tell_as_much_the_nearer_one_is_taken():
    near, far = (corner(name, east_m=east) for name, east in (("reds", 3.0), ("golds", 90.0)))
    equal = far._replace(predicted=near.predicted, concern=near.concern)
    here = corner("whites", weight=3.0)

    assert {stop.planting for stop in walk([here, equal, near], 6.0).stops} == {"whites", "reds"}


def test_clean_plantings_are_walked_first_and_upper_leaves_turned_before_lower_ones():
    shares = {"rusty": 0.05, "clean": 0.0, "speckled": 0.01}
    corners = [
        corner(name, part, rusted_frac=share, east_m=100.0 * share)
        for name, share in shares.items()
        for part in ("lower", "upper")
    ]
    planned = walk(corners, 90.0, least_gain_frac=1e-4)

    assert [(stop.planting, stop.part) for stop in planned.stops] == [
        (name, part) for name in ("clean", "speckled", "rusty") for part in ("upper", "lower")
    ]


def test_leaves_about_to_open_bring_somebody_to_a_planting_that_is_otherwise_known():
    soon = np.full(VERSIONS, 0.02)
    planned = walk([corner("reds", spread=1e-3, due_frac=soon), corner("golds", spread=1e-3)])

    assert [(stop.planting, stop.due) for stop in planned.stops] == [("reds", True)]


def test_a_stop_says_what_finding_nothing_on_it_would_mean():
    stop = walk(garden(12)).stops[0]
    if_strangers = none_found_limit_frac(stop.leaves, confidence_frac=0.8, efficacy_frac=0.88)

    assert if_strangers < stop.none_below_80_frac < 1.5 * if_strangers
    assert stop.none_one_in_80_leaves == int(1.0 / stop.none_below_80_frac)


def test_a_stop_says_how_much_doubt_it_takes_away():
    stop = next(each for each in walk(garden(12)).stops if each.part == "lower")
    here = corner(stop.planting)
    told = told_variance(here)[SIZES.index(stop.leaves)]

    assert stop.gain_frac == pytest.approx(told / here.concern.var())


@pytest.mark.parametrize(
    ("leaves", "plants", "each", "spread_over"),
    [(14, 10, 9.0, 7), (30, 10, 9.0, 10), (4, 1, 9.0, 1), (6, 9, 1.2, 5), (1, 2, 0.5, 1)],
)
def test_leaves_are_spread_two_to_a_plant_where_there_are_plants_enough(leaves, plants, each, spread_over):
    assert plants_for(leaves, plants, each) == spread_over


def test_a_garden_without_anything_to_learn_is_all_told():
    planned = walk(garden(3, detection_frac=0.0))

    assert planned == ((), 0.0, *(("planting 0", "planting 1", "planting 2"),) * 2, 0.0)


@pytest.mark.alone
def test_thirty_plantings_are_planned_in_half_a_second_and_two_hundred_in_three():
    few, many = (garden(count, shared=0.5, versions=1024) for count in (30, 200))

    assert quickest_s(lambda: plan_walk(few, minutes=20.0, pace=PACE)) < 0.5
    assert quickest_s(lambda: plan_walk(many, minutes=20.0, pace=PACE)) < 3.0

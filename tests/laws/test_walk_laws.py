"""What must be true of every walk, whatever the garden and however long one has."""

from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from abaxial import chance
from abaxial.assimilation.likelihood import Predicted
from abaxial.plan.ground import SIZES, Corner
from abaxial.plan.pace import read_pace
from abaxial.plan.walk import plan_walk

PACE = read_pace()
VERSIONS = 64


@st.composite
def gardens(draw):
    corners = []
    for number in range(draw(st.integers(1, 5))):
        for part in draw(st.sampled_from([("lower",), ("upper", "lower")])):
            seed = draw(st.integers(0, 1000))
            own, other = chance.normals(seed, "test walk laws", number, 2 * VERSIONS).reshape(2, -1)
            showing = np.exp(draw(st.floats(-14.0, -1.0)) + draw(st.floats(0.0, 3.0)) * own).clip(0.0, 1.0)
            rest = (0.01, draw(st.floats(0.1, 10.0)), draw(st.floats(0.0, 1.0)), 0.0)
            corners.append(
                Corner(
                    planting=f"planting {number}",
                    bed="bed",
                    part=part,
                    predicted=Predicted(showing, *(np.full(VERSIONS, each) for each in rest)),
                    concern=np.log(showing + 1e-4) + draw(st.floats(0.0, 2.0)) * other,
                    weight=draw(st.floats(0.0, 10.0)),
                    due_frac=showing * draw(st.floats(0.0, 1.0)),
                    plants=draw(st.integers(0, 12)),
                    leaves_per_plant=draw(st.floats(0.0, 12.0)),
                    east_m=draw(st.floats(0.0, 60.0)),
                    north_m=draw(st.floats(0.0, 60.0)),
                    rusted_frac=float(np.median(showing)),
                )
            )
    return corners


minutes = st.floats(0.0, 60.0)


@settings(max_examples=60, deadline=None)
@given(gardens(), st.lists(minutes, min_size=2, max_size=5).map(sorted))
def test_more_minutes_never_give_less(corners, longer_and_longer):
    gains = [plan_walk(corners, minutes=each, pace=PACE).gain_frac for each in longer_and_longer]

    assert all(less <= more for less, more in pairwise(gains))
    assert 0.0 <= gains[0] <= gains[-1] <= 1.0


@settings(max_examples=60, deadline=None)
@given(gardens(), minutes)
def test_a_walk_keeps_to_its_minutes_and_to_the_leaves_there_are(corners, minutes):
    walk = plan_walk(corners, minutes=minutes, pace=PACE)
    there = {(each.planting, each.part): each for each in corners}

    assert walk.minutes <= minutes + 1e-6
    for stop in walk.stops:
        of = there[stop.planting, stop.part]
        assert 1 <= stop.plants <= of.plants
        assert stop.plants <= stop.leaves <= min(of.plants * of.leaves_per_plant + 1e-6, SIZES[-1])
        assert 0.0 <= stop.gain_frac <= 1.0
        assert 0.0 < stop.none_below_80_frac <= 1.0


@settings(max_examples=60, deadline=None)
@given(gardens(), minutes)
def test_every_planting_is_visited_or_left_out_and_visited_once(corners, minutes):
    walk = plan_walk(corners, minutes=minutes, pace=PACE)
    visited = [stop.planting for stop in walk.stops]
    arrivals = [name for before, name in pairwise(["", *visited]) if name != before]

    assert sorted([*arrivals, *walk.left_out]) == sorted({each.planting for each in corners})
    assert set(walk.tells_little) <= set(walk.left_out)

"""What must be true of every look, whatever was seen and whatever is believed."""

from datetime import date

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from abaxial.assimilation import counts, likelihood
from abaxial.assimilation.looks import read_looks
from abaxial.scouting.sightings import AMOUNTS, PARTS, SEVERITY_OF, UNITS, Sighting

shares = st.floats(0.0, 1.0) | st.sampled_from([0.0, 1e-300, 1e-12, 1.0])
above = st.floats(1e-9, 1.0) | st.sampled_from([1e-300, 1.0])


def columns(values):
    return st.lists(values, min_size=3, max_size=3).map(np.array)


predictions = st.builds(
    likelihood.Predicted,
    visible_frac=columns(shares),
    lesion_frac=columns(above),
    clumping=columns(st.floats(1e-6, 1e6) | st.just(np.inf)),
    detection_frac=columns(shares),
    rater_log_bias=columns(st.floats(-20.0, 20.0)),
)
weights = columns(st.floats(0.0, 1e6)).filter(lambda each: each.sum() > 1e-6)


@st.composite
def sightings(draw):
    turned, limits = (
        draw(st.none() | st.integers(1, 1_000_000)),
        draw(st.none() | st.tuples(shares, shares).map(sorted)),
    )
    return Sighting(
        "any bed",
        date(2031, 2, 3),
        part=draw(st.sampled_from(PARTS)),
        amount=draw(st.sampled_from(AMOUNTS)),
        unit=draw(st.sampled_from(UNITS)),
        turned=turned,
        rusted=None if turned is None else draw(st.integers(0, turned)),
        severity_low_frac=limits and limits[0],
        severity_high_frac=limits and limits[1],
        severity_of=draw(st.sampled_from(SEVERITY_OF)),
        pustules_per_leaf=draw(st.none() | st.floats(0.0, 1e6)),
    )


@given(sightings(), predictions, st.none() | predictions)
def test_the_weight_of_a_look_is_a_number(sighting, predicted, before):
    told = likelihood.log_likelihood(sighting, predicted, before)

    assert told.shape == (3,)
    assert np.isfinite(told).all()


@given(sightings(), predictions, weights, st.none() | predictions)
def test_the_tail_of_a_look_is_a_share(sighting, predicted, weighed, before):
    assert 0.0 <= likelihood.tail_frac(sighting, predicted, weighed, before) <= 1.0


@given(sightings(), predictions, st.none() | predictions)
def test_looks_that_are_blunders_twice_as_often_forgive_by_two_and_no_more(sighting, predicted, before):
    seldom, often = (read_looks()._replace(blunder_frac=share) for share in (0.01, 0.02))
    forgiven = likelihood.log_likelihood(sighting, predicted, before, looks=often) - likelihood.log_likelihood(
        sighting, predicted, before, looks=seldom
    )

    assert (forgiven <= np.log(2.0) + 1e-9).all()
    assert (forgiven >= np.log(0.98 / 0.99) - 1e-9).all()


@given(sightings(), predictions)
def test_versions_that_predict_the_same_are_weighed_the_same_wherever_they_stand(sighting, predicted):
    turned_round = likelihood.Predicted(*(each[::-1] for each in predicted))
    told, other = (likelihood.log_likelihood(sighting, each) for each in (predicted, turned_round))

    np.testing.assert_allclose(other[::-1], told, rtol=1e-9, atol=1e-9)


@given(st.integers(0, 60), columns(shares), st.floats(0.002, 0.8), weights)
def test_expected_counts_are_a_distribution(turned, means, correlation_frac, weighed):
    chances = counts.weighed_counts_frac(turned, means, correlation_frac, weighed)

    assert chances.shape == (turned + 1,)
    assert (chances >= 0.0).all()
    assert abs(chances.sum() - 1.0) < 1e-9


@given(st.integers(1, 60), shares, shares, st.floats(0.01, 0.5))
def test_more_rust_makes_finding_none_less_likely(turned, one, other, correlation_frac):
    less, more = sorted((one, other))
    clean, rusty = counts.none_frac(turned, [less, more], correlation_frac)

    assert 0.0 <= rusty <= clean <= 1.0

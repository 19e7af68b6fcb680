"""What a look says of a planting: counts, words, severity, blisters, stems, and looks that are mistakes."""

import math
from datetime import date
from itertools import pairwise
from statistics import NormalDist

import numpy as np
import pytest
from tests.clock import quickest_s

from abaxial import chance
from abaxial.assimilation import counts, diagnose, likelihood
from abaxial.assimilation.likelihood import Predicted
from abaxial.assimilation.looks import read_looks
from abaxial.scouting.sampling import detection
from abaxial.scouting.sightings import Sighting

LOOKS = read_looks()
# so rare that what is left is the look itself
SURE = LOOKS._replace(blunder_frac=1e-9)
SHARES = np.geomspace(1e-6, 0.9, 400)


def versions(visible_frac, *, lesion_frac=0.01, clumping=0.63, detection_frac=0.9, rater_log_bias=0.0):
    shape = np.atleast_1d(np.asarray(visible_frac, float))
    rest = (lesion_frac, clumping, detection_frac, rater_log_bias)
    return Predicted(shape, *(np.broadcast_to(np.asarray(each, float), shape.shape) for each in rest))


def look(**said):
    return Sighting("by the pond", date(2030, 7, 14), **said)


def severity(low_frac, high_frac=None, **said):
    return look(severity_low_frac=low_frac, severity_high_frac=low_frac if high_frac is None else high_frac, **said)


def likeliest_frac(sighting, **rest):
    return SHARES[np.argmax(likelihood.log_likelihood(sighting, versions(SHARES, **rest)))]


def test_patches_in_clumps_mark_fewer_leaves_than_patches_at_random():
    clumped, random = (likelihood.incidence_frac(versions(0.005, clumping=k))[0] for k in (0.63, math.inf))

    assert clumped == pytest.approx(0.3079, abs=5e-5)
    assert random == pytest.approx(0.3935, abs=5e-5)


def test_leaves_that_nobody_notices_are_not_counted():
    seen = likelihood.seen_frac(versions(0.005, detection_frac=0.5))

    assert seen == pytest.approx(0.5 * likelihood.incidence_frac(versions(0.005)))


def test_counts_of_a_published_survey_are_as_likely_as_its_fit_says():
    plots = (92, 15, 16, 13, 6, 9, 9, 5, 2, 1, 0)  # dogwood anthracnose of 1990, ten trees each: zarnoch1995
    fit = sum(n * float(counts.count_log(10, r, 0.152681, 0.343061)) for r, n in enumerate(plots))
    beside = [
        sum(n * float(counts.count_log(10, r, p, rho)) for r, n in enumerate(plots))
        for p, rho in ((0.14, 0.343), (0.165, 0.343), (0.1527, 0.32), (0.1527, 0.37))
    ]

    assert fit == pytest.approx(-273.2931, abs=2e-4)
    assert max(beside) < fit


def test_none_among_a_cluster_is_as_likely_as_scouting_says():
    missed = detection.missed_in_cluster_frac(10, 0.05, correlation_frac=0.1, efficacy_frac=1.0)

    assert counts.none_frac(10, 0.05, 0.1) == pytest.approx(missed)


def test_few_among_a_few_are_the_sum_of_every_count():
    means = np.array([1e-6, 0.1, 0.6, 0.999])

    assert counts.few_frac(8, 3, means, 0.1) == pytest.approx(counts.every_count_frac(8, means, 0.1)[1:4].sum(axis=0))


@pytest.mark.parametrize("rusted", [1, 6, 15, 24])
def test_a_count_points_at_the_share_that_it_found(rusted):
    sighting, seen = look(turned=30, rusted=rusted), likelihood.seen_frac(versions(SHARES))
    strangers = likelihood.log_likelihood(
        sighting, versions(SHARES), looks=SURE._replace(correlation_frac=0.001, among_frac=0.001)
    )
    alike = likelihood.log_likelihood(sighting, versions(SHARES))

    assert seen[np.argmax(strangers)] == pytest.approx(rusted / 30, abs=0.015)
    # alike leaves leave room on the side of the middle, and that share itself is all but the best
    assert abs(alike.max() - np.interp(rusted / 30, seen, alike)) < 0.4


def test_more_leaves_say_more():
    few, many = (likelihood.log_likelihood(look(turned=n, rusted=n // 10), versions([0.0005, 0.03])) for n in (10, 60))

    assert many[0] - many[1] > few[0] - few[1]


def test_alike_leaves_say_less_than_the_same_leaves_taken_at_random():
    sighting, two = look(turned=40, rusted=0), versions([0.0005, 0.01])
    alike, strangers = (
        np.diff(likelihood.log_likelihood(sighting, two, looks=SURE._replace(correlation_frac=rho, among_frac=rho)))[0]
        for rho in (0.3, 0.01)
    )

    assert strangers < alike < 0.0


def test_ten_rusted_plants_are_less_rust_than_ten_rusted_leaves():
    leaves, plants = (likeliest_frac(look(turned=20, rusted=10, unit=unit)) for unit in ("leaf", "plant"))

    assert plants < 0.5 * leaves


@pytest.mark.parametrize("unit", ["leaf", "plant"])
def test_none_some_and_many_are_all_that_can_be_said(unit):
    told = [
        likelihood.log_likelihood(look(amount=amount, unit=unit), versions(SHARES), looks=SURE)
        for amount in ("none", "some", "many")
    ]

    np.testing.assert_allclose(np.exp(told).sum(axis=0), 1.0, atol=1e-6)


def test_none_some_and_many_point_at_more_and_more_rust():
    none, some, many = (likeliest_frac(look(amount=amount)) for amount in ("none", "some", "many"))

    assert none < 1e-5 < some < 0.05 < many


def test_words_give_way_to_counts():
    counted = likelihood.log_likelihood(look(turned=20, rusted=2), versions(SHARES))
    both = likelihood.log_likelihood(look(turned=20, rusted=2, amount="many"), versions(SHARES))

    np.testing.assert_array_equal(counted, both)


def test_the_first_blisters_of_the_season_are_a_date():
    now, before = versions([0.02, 0.02, 1e-7]), versions([0.02, 1e-7, 1e-7])
    long_open, just_open, not_yet = likelihood.log_likelihood(look(amount="first"), now, before)

    assert just_open > max(long_open, not_yet) + 1.0


def test_the_first_blisters_may_be_counted():
    just_open, long_open = likelihood.log_likelihood(
        look(amount="first", turned=20, rusted=4), versions([0.01, 0.01]), versions([1e-7, 0.01])
    )

    assert just_open > long_open + 0.5


@pytest.mark.parametrize("bias", [-0.7, 0.0, 0.7])
def test_a_judged_severity_points_at_itself_less_the_raters_habit(bias):
    assert likeliest_frac(severity(0.05), rater_log_bias=bias) == pytest.approx(0.05 * math.exp(-bias), rel=0.03)


def test_a_class_of_severity_points_between_its_limits():
    assert 0.03 < likeliest_frac(severity(0.03, 0.06)) < 0.06


def test_a_narrow_class_says_the_same_as_a_plain_estimate():
    narrow = likelihood.log_likelihood(severity(0.0499, 0.0501), versions([0.02, 0.1]), looks=SURE)
    plain = likelihood.log_likelihood(severity(0.05), versions([0.02, 0.1]), looks=SURE)

    assert np.diff(narrow) == pytest.approx(np.diff(plain), abs=1e-4)


def test_the_classes_of_a_scale_are_all_that_can_be_said():
    limits = (0.0, 0.03, 0.06, 0.12, 0.25, 0.5, 0.75, 0.88, 0.94, 0.97, 1.0)
    classes = [severity(low, high) for low, high in pairwise(limits)]
    told = [likelihood.log_likelihood(each, versions(SHARES), looks=SURE) for each in classes]

    np.testing.assert_allclose(np.exp(told).sum(axis=0), 1.0, atol=1e-6)


def test_no_severity_means_less_than_can_be_seen():
    told = likelihood.log_likelihood(severity(0.0), versions([1e-6, 0.001, 0.1]), looks=SURE)

    np.testing.assert_allclose(told[:2], [0.0, math.log(0.5)], atol=1e-6)
    assert told[2] < -15.0


def test_severity_of_rusted_leaves_tells_how_hard_they_are_hit_and_not_how_many():
    light = likelihood.log_likelihood(severity(0.011, severity_of="rusted"), versions([1e-5, 1e-4]))
    heavy = likelihood.log_likelihood(severity(0.2, severity_of="rusted"), versions([1e-4, 0.1]))

    assert abs(np.diff(light)[0]) < 0.01
    assert np.diff(heavy)[0] > 3.0


def test_a_severity_beside_a_count_tells_only_what_the_count_has_not():
    two = versions([0.0005, 0.002])
    count = np.diff(likelihood.log_likelihood(look(turned=40, rusted=2), two, looks=SURE))[0]
    both = np.diff(likelihood.log_likelihood(severity(0.0006, turned=40, rusted=2), two, looks=SURE))[0]

    assert both == pytest.approx(count, abs=0.15)


@pytest.mark.parametrize("nothing", [{"turned": 30, "rusted": 0}, {"amount": "none"}])
def test_nothing_found_is_said_once_however_often_it_is_written(nothing):
    once = likelihood.log_likelihood(look(**nothing), versions(SHARES))
    thrice = likelihood.log_likelihood(severity(0.0, pustules_per_leaf=0.0, **nothing), versions(SHARES))

    np.testing.assert_array_equal(once, thrice)


def test_blisters_point_at_as_many_patches():
    share = likeliest_frac(look(pustules_per_leaf=6.0))

    assert share / 0.01 * LOOKS.pustules_per_patch == pytest.approx(6.0, rel=0.03)


def test_no_blisters_on_more_leaves_say_more():
    few, many = (
        np.diff(likelihood.log_likelihood(look(pustules_per_leaf=0.0, turned=n, rusted=None), versions([1e-5, 2e-3])))
        for n in (5, 50)
    )

    assert many[0] < few[0] < 0.0


def test_a_stem_says_little_and_says_it_in_the_same_direction():
    clean, rusty = versions([1e-7]), versions([0.1])
    shows = [likelihood.log_likelihood(look(part="stem", amount="some"), each)[0] for each in (clean, rusty)]
    hides = [likelihood.log_likelihood(look(part="stem", amount="none"), each)[0] for each in (clean, rusty)]

    assert 0.0 < shows[1] - shows[0] < math.log(LOOKS.stem_with_frac / LOOKS.stem_alone_frac)
    assert 0.0 < hides[0] - hides[1] < 0.5


@pytest.mark.parametrize("said", [{"turned": 30, "rusted": 30}, {"severity_low_frac": 0.9, "severity_high_frac": 0.9}])
def test_one_look_never_rules_a_version_out(said):
    clean, rusty = likelihood.log_likelihood(look(**said), versions([0.0, 0.8]))

    assert 2.0 < rusty - clean < 12.0


@pytest.mark.parametrize("part", ["lower", "stem"])
def test_a_look_without_information_weighs_nothing(part):
    silent = look(part=part)

    assert not likelihood.log_likelihood(silent, versions(SHARES)).any()
    assert likelihood.tail_frac(silent, versions(SHARES), np.ones(400)) == 1.0


def test_expected_counts_lie_about_the_share_that_is_seen():
    mixed, weights = versions([0.001, 0.02]), np.array([1.0, 3.0])
    chances = likelihood.count_distribution(20, mixed, weights)

    assert chances.sum() == pytest.approx(1.0)
    assert chances @ np.arange(21) == pytest.approx(20 * np.average(likelihood.seen_frac(mixed), weights=weights))


def test_expected_counts_do_not_depend_on_how_many_versions_are_held_at_once(monkeypatch):
    whole = likelihood.count_distribution(20, versions(SHARES), np.ones(400))
    monkeypatch.setattr(counts, "_AT_ONCE", 21 * 7)

    np.testing.assert_allclose(likelihood.count_distribution(20, versions(SHARES), np.ones(400)), whole, rtol=1e-12)


def test_the_tail_of_a_count_is_that_of_the_expected_counts():
    mixed, weights = versions([0.001, 0.02]), np.array([1.0, 3.0])
    chances = likelihood.count_distribution(20, mixed, weights)
    tail = likelihood.tail_frac(look(turned=20, rusted=15), mixed, weights)

    assert tail == pytest.approx(2.0 * (chances[16:].sum() + 0.5 * chances[15]))


def test_tails_are_even_where_the_world_is_as_predicted():
    mixed, weights = versions([0.002, 0.01, 0.05]), np.array([1.0, 2.0, 1.0])
    chances = likelihood.count_distribution(40, mixed, weights)
    tails = [likelihood.tail_frac(look(turned=40, rusted=n), mixed, weights) for n in range(41)]

    # of counts with a mid-p below a tenth there are about a tenth
    assert chances @ (np.array(tails) < 0.1) == pytest.approx(0.1, abs=0.03)
    assert chances @ tails == pytest.approx(0.5, abs=0.02)


@pytest.mark.parametrize(
    ("usual", "strange"),
    [
        (severity(0.02), severity(0.6)),
        (severity(0.0, 0.03), severity(0.5, 0.75)),
        (look(pustules_per_leaf=5.0), look(pustules_per_leaf=500.0)),
        (look(amount="some"), look(amount="none")),
        (look(turned=2000, rusted=900), look(turned=2000, rusted=3)),
        (severity(0.02, turned=20, rusted=9), severity(0.9, turned=20, rusted=9)),
    ],
)
def test_a_strange_look_lies_farther_out_than_a_usual_one(usual, strange):
    expected, weights = versions(0.02 * np.exp(np.linspace(-0.3, 0.3, 50))), np.ones(50)
    tails = [likelihood.tail_frac(each, expected, weights) for each in (usual, strange)]

    assert tails[1] < 0.3 < tails[0]


def test_a_first_date_that_comes_too_late_lies_far_out():
    now, before, weights = versions([0.05, 0.05]), versions([0.05, 0.04]), np.ones(2)

    assert likelihood.tail_frac(look(amount="first"), now, weights, before) < 0.1


def test_the_truth_ranks_evenly_among_versions_weighed_by_looks_drawn_from_it():
    ranks = []
    for case in range(400):
        drawn = np.exp(np.log(1e-5) + chance.uniforms(6, "test/shares", case, 128) * np.log(5e4))
        believed, truth = versions(drawn[1:]), versions(drawn[:1])
        luck = chance.uniforms(6, "test/luck", case, 3)
        rusted = int(
            np.searchsorted(np.cumsum(likelihood.count_distribution(25, truth, np.ones(1), looks=SURE)), luck[0])
        )
        judged = NormalDist(0.0, LOOKS.severity_log_sd).inv_cdf(luck[1])
        per_rusted = float(drawn[0] / likelihood.incidence_frac(truth)[0])
        share = min(rusted / 25 * per_rusted * math.exp(judged), 1.0)
        told = likelihood.log_likelihood(severity(share, turned=25, rusted=rusted), believed, looks=SURE)
        ranks.append(diagnose.rank_of(drawn[0], drawn[1:], np.exp(told - told.max()), luck[2]))
    even = diagnose.rank_uniformity(ranks, 127)

    assert even.chance_frac > 0.01
    assert even.deviation_sd < even.limit_sd


@pytest.mark.alone
@pytest.mark.parametrize(
    "sighting",
    [
        look(turned=30, rusted=3),
        look(turned=30, rusted=3, unit="plant"),
        look(amount="some"),
        severity(0.03),
        severity(0.03, 0.06),
        look(pustules_per_leaf=2.0),
    ],
)
def test_a_look_is_weighed_in_a_fifth_of_a_millisecond(sighting):
    thousand = versions(np.geomspace(1e-6, 0.9, 1024))

    assert quickest_s(lambda: likelihood.log_likelihood(sighting, thousand), tries=300) < 0.3e-3

"""How many leaves to turn."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abaxial.errors import ScoutingError
from abaxial.scouting import sampling
from abaxial.scouting.sampling.detection import cluster_chances
from abaxial.scouting.sampling.limits import beta_quantile_frac, beta_share_frac

SURE = {"confidence_frac": 0.95, "efficacy_frac": 1.0}
TERMS = sampling.Terms(confidence_frac=0.95, efficacy_frac=0.8, correlation_frac=0.1)
shares = st.floats(0.01, 0.99)


@given(incidence=st.floats(0.001, 1.0), confidence=st.floats(0.01, 0.999), efficacy=st.floats(0.05, 1.0))
def test_the_number_to_look_at_is_just_enough(incidence, confidence, efficacy):
    looked = sampling.units_to_find(incidence, confidence_frac=confidence, efficacy_frac=efficacy)

    missed = [sampling.missed_frac(n, incidence, efficacy_frac=efficacy) for n in (looked, looked - 1)]
    assert missed[0] <= (1 - confidence) * (1 + 1e-6)
    assert looked <= 1 or missed[1] >= (1 - confidence) * (1 - 1e-6)


@given(bed=st.integers(1, 300), data=st.data(), confidence=st.floats(0.5, 0.99), efficacy=st.floats(0.5, 1.0))
def test_in_a_bed_too_the_number_is_just_enough(bed, data, confidence, efficacy):
    rusted = data.draw(st.integers(1, bed))
    looked = sampling.units_to_find_in_bed(
        bed_units=bed, rusted_units=rusted, confidence_frac=confidence, efficacy_frac=efficacy
    )

    def missed(n):
        return sampling.missed_in_bed_frac(n, bed_units=bed, rusted_units=rusted, efficacy_frac=efficacy)

    if looked is None:
        assert missed(bed) > 1 - confidence
    else:
        assert missed(looked) <= (1 - confidence) * (1 + 1e-6)
        assert missed(looked - 1) >= (1 - confidence) * (1 - 1e-6)


def test_one_rusted_clump_in_a_small_bed_is_found_only_by_looking_at_every_clump():
    numbers = [sampling.units_to_find_in_bed(bed_units=bed, rusted_units=1, **SURE) for bed in (6, 8, 10, 12, 15)]

    assert numbers == [6, 8, 10, 12, 15]


def test_a_finite_bed_never_needs_more_looks_than_an_endless_one():
    endless = sampling.units_to_find(0.05, **SURE)

    finite = [sampling.units_to_find_in_bed(bed_units=n, rusted_units=n // 20, **SURE) for n in range(20, 2000, 20)]

    assert finite == sorted(finite)
    assert max(finite) <= endless


def test_the_number_falls_back_where_another_whole_plant_becomes_rusted():
    numbers = [
        sampling.units_to_find_in_bed(bed_units=n, rusted_units=sampling.rusted_units(n, 0.005), **SURE)
        for n in (500, 600)
    ]

    assert numbers == [388, 379]


def test_looking_carelessly_at_every_plant_may_not_be_enough():
    looked = sampling.units_to_find_in_bed(bed_units=20, rusted_units=1, confidence_frac=0.95, efficacy_frac=0.9)

    assert looked is None


def test_careless_looks_at_every_plant_miss_what_each_misses():
    missed = sampling.missed_in_bed_frac(20, bed_units=20, rusted_units=3, efficacy_frac=0.9)

    assert missed == pytest.approx(0.1**3)


@pytest.mark.parametrize(
    "arguments",
    [
        {"incidence_frac": 0.0, "confidence_frac": 0.95, "efficacy_frac": 1.0},
        {"incidence_frac": 0.1, "confidence_frac": 0.95, "efficacy_frac": 0.0},
        {"incidence_frac": 0.1, "confidence_frac": 1.0, "efficacy_frac": 1.0},
        {"incidence_frac": 1.1, "confidence_frac": 0.9, "efficacy_frac": 1.0},
        {"incidence_frac": float("nan"), "confidence_frac": 0.9, "efficacy_frac": 1.0},
        {"incidence_frac": 1e-12, "confidence_frac": 0.9, "efficacy_frac": 1.0},
    ],
)
def test_a_number_that_cannot_be_is_refused(arguments):
    with pytest.raises(ScoutingError) as caught:
        sampling.units_to_find(**arguments)

    assert caught.value.remedy


@pytest.mark.parametrize(("looked", "rusted"), [(13, 1), (-1, 1), (3, 13), (3, -1)])
def test_more_than_the_bed_holds_is_refused(looked, rusted):
    with pytest.raises(ScoutingError):
        sampling.missed_in_bed_frac(looked, bed_units=12, rusted_units=rusted, efficacy_frac=1.0)


@given(each=st.integers(1, 40), incidence=st.floats(0, 1), correlation=st.floats(0, 1))
def test_what_may_be_found_on_a_plant_adds_up_to_one_and_keeps_the_mean(each, incidence, correlation):
    chances = cluster_chances(each, incidence, correlation_frac=correlation)

    assert chances.sum() == pytest.approx(1.0, abs=1e-9)
    assert chances @ range(each + 1) == pytest.approx(each * incidence, abs=1e-6)


@given(incidence=shares, correlation=shares, each=st.integers(2, 20))
def test_leaves_that_are_alike_tell_less(incidence, correlation, each):
    alike, apart = (
        sampling.missed_in_cluster_frac(each, incidence, correlation_frac=rho, efficacy_frac=1.0)
        for rho in (correlation, 0.0)
    )

    assert alike >= apart - 1e-12


def test_plants_all_alike_are_looked_at_by_one_leaf_each():
    few, many = (
        sampling.clusters_to_find(each, 0.05, correlation_frac=1.0, confidence_frac=0.95, efficacy_frac=1.0)
        for each in (1, 10)
    )

    assert few == many == 59


@given(rusted=st.integers(0, 60), more=st.integers(0, 60), confidence=st.floats(0.5, 0.99))
def test_limits_lie_on_either_side_of_what_was_found(rusted, more, confidence):
    looked = rusted + more or 1
    for limits in (sampling.exact_limits_frac, sampling.wilson_limits_frac):
        low, high = limits(rusted, looked, confidence_frac=confidence)

        assert 0.0 <= low <= rusted / looked + 1e-12
        assert rusted / looked - 1e-12 <= high <= 1.0


@given(alpha=st.floats(0.2, 200), beta=st.floats(0.2, 200), share=st.floats(0.001, 0.999))
def test_a_beta_quantile_is_where_its_share_lies_below(alpha, beta, share):
    at = beta_quantile_frac(share, alpha, beta)

    assert beta_share_frac(at, alpha, beta) == pytest.approx(share, abs=1e-6) or at > 1 - 1e-12


@given(looked=st.integers(0, 40), more=st.integers(0, 40))
def test_what_a_bed_may_still_hold_would_have_been_missed_and_one_more_would_not(looked, more):
    bed = looked + more
    most = sampling.none_found_limit_in_bed(looked, bed_units=bed, **SURE)

    def missed(rusted):
        return sampling.missed_in_bed_frac(looked, bed_units=bed, rusted_units=rusted, efficacy_frac=1.0)

    assert missed(most) > 0.05
    assert most == bed or missed(most + 1) <= 0.05 * (1 + 1e-6)


def test_a_bed_looked_at_whole_and_found_clean_is_clean():
    assert sampling.none_found_limit_in_bed(12, bed_units=12, **SURE) == 0


def test_a_look_at_a_planting_says_how_many_leaves_on_how_many_plants():
    plan = sampling.look_plan(60, 0.05, TERMS, leaves_each=3, most_leaves_each=10)

    assert (plan.leaves_each, plan.leaves, plan.reached) == (3, 3 * plan.plants, True)
    assert plan.below_frac <= 0.05
    assert plan.one_in_leaf >= 20


def test_a_small_planting_is_looked_at_on_every_plant_and_more_leaves_of_each():
    plan = sampling.look_plan(22, 0.05, TERMS, leaves_each=3, most_leaves_each=10)

    assert plan.leaves_each > 3
    assert plan.reached


def test_what_a_few_plants_cannot_rule_out_is_said():
    plan = sampling.look_plan(3, 0.05, TERMS, leaves_each=3, most_leaves_each=10)

    assert (plan.plants, plan.leaves_each, plan.reached) == (3, 10, False)
    assert plan.below_frac > 0.05


@given(plants=st.integers(1, 40), each=st.integers(1, 10), incidence=shares)
def test_finding_none_rules_out_just_what_would_have_been_found(plants, each, incidence):
    below = sampling.none_found_among_plants_frac(plants, TERMS, leaves_each=each)
    needed = sampling.clusters_to_find(each, incidence, correlation_frac=0.1, confidence_frac=0.95, efficacy_frac=0.8)

    assert (needed <= plants) == (incidence >= below - 1e-9) or abs(incidence - below) < 1e-6


def test_looking_carelessly_at_one_leaf_rules_out_nothing():
    plan = sampling.looked_at(1, 5, TERMS, leaves_each=1)

    assert (plan.below_frac, plan.one_in_leaf) == (1.0, 1)


@pytest.mark.parametrize(
    ("plants", "target", "each", "most"),
    [(0, 0.05, 1, 1), (5, 0.0, 1, 1), (5, 1.0, 1, 1), (5, 0.1, 3, 2), (5, 0.1, 0, 2)],
)
def test_a_look_that_is_none_is_refused(plants, target, each, most):
    with pytest.raises(ScoutingError):
        sampling.look_plan(plants, target, TERMS, leaves_each=each, most_leaves_each=most)


@given(st.lists(st.integers(0, 50), min_size=1, max_size=12).filter(sum), st.floats(0, 1))
def test_looks_are_shared_out_whole_and_no_bed_gets_more_than_it_has(beds, share):
    looks = round(share * sum(beds))

    shared = sampling.allotted(looks, beds)

    assert sum(shared) == looks
    assert all(
        0 <= each <= there and abs(each - looks * there / sum(beds)) < 1
        for each, there in zip(shared, beds, strict=True)
    )


@given(st.lists(st.tuples(st.integers(1, 20), shares), min_size=1, max_size=8))
def test_over_unlike_beds_one_walk_finds_at_least_what_it_would_in_one_even_bed(beds):
    # twenty looks for each unit of size, so that the shares are whole
    mean = sum(size * incidence for size, incidence in beds) / sum(size for size, _ in beds)
    missed = 1.0
    for size, incidence in beds:
        missed *= sampling.missed_frac(size, incidence, efficacy_frac=1.0)

    assert missed <= sampling.missed_frac(sum(size for size, _ in beds), mean, efficacy_frac=1.0) * (1 + 1e-9)


def test_a_walk_over_a_collection_holds_for_the_whole_and_says_little_of_each_bed():
    plan = sampling.collection_plan([40, 60, 200, 12, 0], 0.05, **SURE)

    assert plan.reached
    assert plan.whole_rusted_plants < 0.05 * 312
    assert plan.bed_plants[4] == 0
    assert plan.bed_rusted_plants[3] >= 6


def test_a_collection_without_plants_is_refused():
    with pytest.raises(ScoutingError):
        sampling.collection_plan([0, 0], 0.05, **SURE)


def test_a_collection_so_small_that_careless_looks_cannot_do_is_looked_at_whole():
    plan = sampling.collection_plan([4, 6], 0.1, confidence_frac=0.95, efficacy_frac=0.9)

    assert (plan.plants, plan.reached) == (10, False)

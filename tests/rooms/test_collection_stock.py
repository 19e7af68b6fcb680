"""Healthy stock at the season's end, and safety divisions."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abaxial import chance
from abaxial.collection import reach, safety, stock
from abaxial.collection.held import Held, read_stock_values, stock_at_end
from abaxial.collection.safety import Places
from abaxial.collection.stock import Stock
from abaxial.errors import RequestError

#: bed "a" is safe in versions 0 to 3, "b" in 0, 1 and 4, "c" in 2, 3 and 5
TWO_WAYS = np.array([[1, 1, 0], [1, 1, 0], [1, 0, 1], [1, 0, 1], [0, 1, 0], [0, 0, 1]], float)


def places_of(clean_frac, lost=0.0, gone=0.0, room=1):
    count = clean_frac.shape[1]
    return Places(
        tuple("abcdefgh"[:count]), clean_frac, np.full(count, lost), np.full(count, gone), np.full(count, room)
    )


def stock_of(clean_frac, cultivar=None, clumps=None, lost=0.0):
    versions, count = clean_frac.shape
    clumps = np.ones(count, int) if clumps is None else np.array(clumps)
    cultivar = ("red",) * count if cultivar is None else cultivar
    return Stock(cultivar, clumps, clean_frac, np.full(count, lost), np.zeros(count), stock.even_weights(versions))


def test_plantings_that_rust_together_are_no_safer_than_one():
    together = np.repeat(np.array([[1.0], [0.0]]), 5, axis=1)
    found = stock.stock_at_risk(stock_of(together))[0]

    assert found.healthy_frac == pytest.approx(0.5)
    assert found.if_apart_frac == pytest.approx(1 - 0.5**5)


def test_plantings_that_never_rust_together_are_safe():
    found = stock.stock_at_risk(stock_of(np.eye(2)))[0]

    assert found.healthy_frac == pytest.approx(1.0)
    assert found.mean_clumps == pytest.approx(1.0)


def test_clumps_are_lost_to_other_things_each_by_itself():
    found = stock.stock_at_risk(stock_of(np.ones((4, 1)), clumps=[3], lost=0.2))[0]

    assert found.healthy_frac == pytest.approx(1 - 0.2**3)


def test_the_least_safe_cultivar_comes_first_and_one_without_clumps_has_none():
    found = stock.stock_at_risk(stock_of(np.ones((2, 3)), ("red", "gold", "red"), [2, 0, 1]))

    assert [(each.cultivar, each.healthy_frac, each.clumps) for each in found] == [("gold", 0.0, 0), ("red", 1.0, 3)]


def test_few_patches_on_many_clumps_leave_some_clean():
    assert stock.clean_clump_frac([0.0, 1.0], 0.5) == pytest.approx([1.0, 3.0**-0.5])
    assert stock.clean_clump_frac(1.0, 1e7) == pytest.approx(np.exp(-1.0), rel=1e-5)


def test_the_more_rust_a_planting_has_at_the_end_the_fewer_clean_clumps():
    plantings = [Held("red", 4, 30.0), Held("red", 2, 30.0, 0.0, 0.0)]
    made = stock_at_end(plantings, np.array([[0.0, 0.0], [0.001, 0.1]]), lesion_frac=0.002)
    found = stock.stock_at_risk(made)[0]

    assert made.clean_frac[0] == pytest.approx([1.0, 1.0])
    assert made.clean_frac[1, 1] < 1e-9 < made.clean_frac[1, 0] < 1.0
    assert made.lost_frac[0] == read_stock_values()["clump_lost_frac"].value
    assert found.clumps == 6


@pytest.mark.parametrize("broken", [{"rusted_frac": np.full((2, 1), 2.0)}, {"lesion_frac": 0.0}, {"leaves": -1.0}])
def test_rust_that_cannot_be_is_refused(broken):
    fit = {"rusted_frac": np.zeros((2, 1)), "lesion_frac": 0.002, "leaves": 10.0} | broken
    with pytest.raises(RequestError):
        stock_at_end([Held("red", 1, fit["leaves"])], fit["rusted_frac"], lesion_frac=fit["lesion_frac"])


def test_shapes_and_shares_that_do_not_fit_are_refused():
    fit = stock_of(np.ones((2, 2)))
    for broken in (
        fit._replace(clumps=np.array([1])),
        fit._replace(clean_frac=np.full((2, 2), 1.2)),
        fit._replace(weight_frac=np.array([0.5, 0.6])),
        fit._replace(clumps=np.array([1, -1])),
    ):
        with pytest.raises(RequestError):
            stock.stock_at_risk(broken)


def test_the_further_from_rust_the_likelier_a_division_stays_clean():
    sources = reach.Sources(np.array([0.0]), np.array([0.0]), np.array([1.0]), np.array([[100.0], [0.0]]))
    spot = reach.Spot(np.array([0.0, 2.0, 5.0, 40.0]), np.zeros(4), np.array([1.0, 1.0]))
    found = reach.stays_clean_frac(np.array([0.9, 0.8]), sources, spot, exponent=2.5, offset_m=0.5)

    assert np.all(np.diff(found[0]) > 0.0)
    assert found[0, -1] < 0.9
    assert found[1] == pytest.approx([0.8] * 4)


def test_a_division_of_a_rusted_mother_is_clean_nowhere():
    sources = reach.Sources(np.zeros(1), np.zeros(1), np.ones(1), np.zeros((1, 1)))
    spot = reach.Spot(np.array([99.0]), np.zeros(1), np.ones(1))

    assert reach.stays_clean_frac(np.zeros(1), sources, spot, exponent=3.0, offset_m=1.0) == [[0.0]]


def three_plantings(given):
    """Sources at 0, 3 and 30 m to the east, of a square metre each, in two versions."""
    return reach.sources_of([(0.0, 0.0, 1.0), (3.0, 0.0, 1.0), (30.0, 0.0, 1.0)], given)


def caught_by(traced, given, patches, mother=1.0, east_m=4.0):
    taker = reach.Taker(east_m, 0.0, np.asarray(patches, float), mother)
    return reach.caught(traced, three_plantings(given), taker, exponent=2.5, offset_m=0.5)


def test_patches_from_elsewhere_are_shared_out_among_those_that_sent_spores():
    given = [np.array([5.0, 0.0]), np.array([5.0, 0.0]), np.array([5.0, 2.0])]
    found = [caught_by(each, given, [3.0, 3.0]) for each in range(3)]

    assert sum(each.share_frac for each in found) == pytest.approx([1.0, 1.0])
    # the nearest sent most, and what gave nothing off sent nothing
    assert found[1].share_frac[0] > found[0].share_frac[0] > found[2].share_frac[0]
    assert found[2].share_frac[1] == 1.0
    # the chances that none came from each are the chance that none came at all
    assert np.prod([each.clean_frac for each in found], axis=0) == pytest.approx(np.exp([-3.0, -3.0]))


def test_nothing_is_caught_where_nothing_was_sent_or_nothing_took():
    none = [np.zeros(2)] * 3

    assert caught_by(0, none, [3.0, 3.0]).clean_frac == pytest.approx([1.0, 1.0])
    assert caught_by(0, none, [3.0, 3.0]).share_frac == pytest.approx([0.0, 0.0])
    assert caught_by(0, [np.ones(2)] * 3, [0.0, 0.0]).clean_frac == pytest.approx([1.0, 1.0])


def test_a_division_is_no_cleaner_than_what_it_was_taken_from():
    found = caught_by(0, [np.ones(2)] * 3, [0.5, 0.0], np.array([0.4, 0.4]))

    assert found.clean_frac[0] < 0.4
    assert found.clean_frac[1] == pytest.approx(0.4)


def test_two_beds_that_complete_each_other_beat_the_best_one_and_its_next():
    places = places_of(TWO_WAYS)
    rest = {"weight_frac": stock.even_weights(6)}
    greedy = safety.greedy_divisions(np.ones(6), places, count=2, **rest)
    chosen = safety.safety_divisions(np.ones(6), places, level_frac=0.99, most=3, **rest)

    assert greedy[0] == 1
    assert safety.healthy_with_frac(np.ones(6), places, greedy, **rest) == pytest.approx(5 / 6)
    assert chosen.counts == (0, 1, 1)
    assert (chosen.healthy_frac, chosen.without_frac) == pytest.approx((1.0, 0.0))
    assert chosen.proven


def test_enough_stock_needs_no_division():
    chosen = safety.safety_divisions(
        np.full(6, 0.01), places_of(TWO_WAYS), level_frac=0.95, most=3, weight_frac=stock.even_weights(6)
    )

    assert chosen.counts == (0, 0, 0)
    assert chosen.enough


def test_no_bed_helps_a_cultivar_whose_mothers_are_all_rusted():
    chosen = safety.safety_divisions(
        np.ones(2), places_of(np.zeros((2, 2))), level_frac=0.5, most=2, weight_frac=stock.even_weights(2)
    )

    assert not chosen.enough
    assert chosen.proven
    assert chosen.healthy_frac == 0.0


def test_one_bed_that_may_be_lost_whole_is_no_place_for_all():
    chosen = safety.safety_divisions(
        np.ones(1), places_of(np.ones((1, 2)), lost=0.1, gone=0.1, room=4), level_frac=0.95, most=4,
        weight_frac=np.ones(1),
    )  # fmt: skip

    assert chosen.counts == (1, 1)


def test_an_answer_that_took_too_long_to_prove_is_not_proven(monkeypatch):
    monkeypatch.setattr(safety, "MOST_LOOKED_AT", 5)
    clean_frac = chance.uniforms(7, "test safety unproven", 0, 320).reshape(40, 8)
    places, rest = places_of(clean_frac), {"weight_frac": stock.even_weights(40)}
    chosen = safety.safety_divisions(np.ones(40), places, level_frac=0.93, most=6, **rest)

    assert not chosen.proven
    assert chosen.healthy_frac == pytest.approx(
        safety.healthy_with_frac(np.ones(40), places, chosen.counts, **rest), abs=1e-9
    )
    assert chosen.enough == (chosen.healthy_frac >= 0.93)


@pytest.mark.parametrize(
    "broken",
    [{"level_frac": 1.0}, {"level_frac": -0.1}, {"most": -1}, {"weight_frac": np.ones(3)}],
)
def test_a_level_nobody_can_promise_is_refused(broken):
    fit = {"level_frac": 0.9, "most": 2, "weight_frac": stock.even_weights(6)}
    with pytest.raises(RequestError):
        safety.safety_divisions(np.ones(6), places_of(TWO_WAYS), **(fit | broken))


@st.composite
def small_gardens(draw):
    versions, count, seed = draw(st.integers(1, 8)), draw(st.integers(1, 5)), draw(st.integers(0, 10_000))
    numbers = chance.uniforms(seed, "test safety", 0, 2 * versions * count + 3 * count + versions)
    first, second, ends, none = np.split(numbers, np.cumsum([versions * count, versions * count, 3 * count]))
    clean_frac = ((first < 0.6) * np.sqrt(second)).reshape(versions, count)
    lost, gone, room = ends.reshape(3, count)
    sharp = draw(st.booleans())
    places = Places(
        beds=tuple("abcde"[:count]),
        clean_frac=np.ceil(clean_frac) if sharp else clean_frac,
        lost_frac=0.0 * lost if sharp else 0.4 * lost,
        place_lost_frac=0.0 * gone if sharp else 0.3 * gone,
        room=np.floor(3.0 * room).astype(int),
    )
    return np.ones(versions) if sharp else none, places, draw(st.floats(0.0, 0.97)), draw(st.integers(0, 4))


@settings(max_examples=150)
@given(small_gardens())
def test_no_choice_of_beds_is_better_than_the_one_taken(garden):
    none_left, places, level, most = garden
    rest = {"weight_frac": stock.even_weights(none_left.size)}
    chosen = safety.safety_divisions(none_left, places, level_frac=level, most=most, **rest)
    every = {
        counts: safety.healthy_with_frac(none_left, places, counts, **rest)
        for counts in itertools.product(*(range(room + 1) for room in places.room))
        if sum(counts) <= most
    }
    enough = [counts for counts, healthy in every.items() if healthy >= level - 1e-12]
    fewest = min(map(sum, enough)) if enough else max(map(sum, every))
    best = max(healthy for counts, healthy in every.items() if sum(counts) == fewest)

    assert chosen.proven
    assert chosen.enough == bool(enough)
    assert sum(chosen.counts) == fewest
    assert every[chosen.counts] == pytest.approx(best, abs=1e-9)
    assert chosen.healthy_frac == pytest.approx(best, abs=1e-9)

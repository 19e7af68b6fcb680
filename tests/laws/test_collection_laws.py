"""What must hold in every collection."""

from datetime import date, timedelta
from itertools import permutations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from abaxial.collection import clean, safety, stock
from abaxial.collection.clean import Case, Looked, may_divide
from abaxial.collection.lineage import Division, Stay, exposed, lineage_of, trace_back, trace_forward
from abaxial.collection.safety import Places
from abaxial.collection.stock import Stock

DAY = date(2026, 3, 1)
NAMES = "abcdef"
DAYS = 20
shares = st.floats(0.0, 1.0)


@st.composite
def collections(draw):
    """Plantings each with a parent among those before it and one or two stays; young ones are divided later."""
    begins, divisions, stays = {}, [], []
    for number, name in enumerate(NAMES[: draw(st.integers(2, 6))]):
        parent = draw(st.sampled_from(["", *NAMES[:number]])) if number else ""
        begins[name] = draw(st.integers(begins.get(parent, 0), DAYS))
        if parent:
            divisions.append(Division(name, parent, DAY + timedelta(begins[name])))
        last = draw(st.none() | st.integers(begins[name], DAYS + 3))
        stays.append(Stay(name, draw(st.sampled_from("xyz")), _on(begins[name]), None if last is None else _on(last)))
    first, last = sorted(draw(st.tuples(st.integers(0, DAYS), st.integers(0, DAYS))))
    return lineage_of(divisions, stays), sorted(begins), _on(first), _on(last)


def _on(day):
    return DAY + timedelta(day)


def _by_walking_through_the_days(start, lineage, since, until):
    """First day on which each planting can have it, day by day, from one that can have it from `since`."""
    have = {start: since}
    day = since
    while day <= until:
        beside = [
            (one.planting, other.planting)
            for one, other in permutations(lineage.stays, 2)
            if one.bed == other.bed and all(each.first <= day and day <= (each.last or until) for each in (one, other))
        ]
        divided = [(each.parent, each.child) for each in lineage.divisions if each.on == day]
        for _ in NAMES:
            for giver, taker in beside + divided:
                if giver in have:
                    have.setdefault(taker, day)
        day += timedelta(1)
    return {name: first for name, first in have.items() if name != start}


@settings(max_examples=150)
@given(collections())
def test_tracing_finds_what_walking_through_the_days_finds(made):
    lineage, names, since, until = made
    for start in names:
        found = {each.planting: each.on for each in trace_forward(start, lineage, since=since, until=until)}

        assert found == _by_walking_through_the_days(start, lineage, since, until)


@settings(max_examples=150)
@given(collections())
def test_whom_it_can_have_reached_can_have_it_from_there(made):
    lineage, names, since, until = made
    forward = {(one, each.planting) for one in names for each in trace_forward(one, lineage, since=since, until=until)}
    back = {(each.planting, one) for one in names for each in trace_back(one, lineage, seen_on=until, since=since)}

    assert forward == back


@settings(max_examples=100)
@given(collections())
def test_an_infection_that_may_have_begun_earlier_exposes_no_fewer(made):
    lineage, names, since, until = made
    for name in names:
        late = {each.planting for each in exposed(name, lineage, since=since, until=until)}
        early = {each.planting for each in exposed(name, lineage, since=since - timedelta(3), until=until)}
        reached = {each.planting for each in trace_forward(name, lineage, since=since, until=until)}

        assert name not in late
        assert reached <= late <= early


@st.composite
def cases(draw):
    days, members = draw(st.integers(2, 40)), draw(st.integers(1, 4))
    speed = draw(st.lists(st.floats(0.0, 0.3), min_size=members, max_size=members))
    now = draw(st.integers(0, days - 1))
    looks = draw(
        st.lists(st.tuples(st.integers(0, days - 1), st.integers(0, 60), st.sampled_from([0, 0, 0, 1])), max_size=4)
    )
    return Case(
        progress=np.arange(days)[:, None] * np.array(speed),
        wet=np.array(draw(st.lists(st.booleans(), min_size=days, max_size=days))),
        now_day=now,
        set_day=draw(st.integers(0, now)),
        looks=tuple(Looked(day, turned, min(rusted, turned)) for day, turned, rusted in looks),
        leaves=draw(st.integers(1, 80)),
        any_rust_frac=draw(st.none() | st.floats(0.0, 0.2)),
        lasting=draw(st.booleans()),
    )  # fmt: skip


@settings(max_examples=300)
@given(cases())
def test_no_clump_is_divided_on_looks_alone(case):
    found, bars = may_divide(case), clean.read_bars()
    seen = [look.day for look in case.looks if look.rusted and look.day <= case.now_day]
    passed = case.progress[case.now_day] - case.progress[max([case.set_day, *seen])]

    assert found.allowed == (not found.reasons)
    if found.allowed:
        assert np.mean(passed >= bars["periods"] - 1e-9) >= bars["sure_frac"]
        assert case.wet[case.set_day : case.now_day + 1].any()
        assert case.any_rust_frac is not None
        assert case.any_rust_frac <= bars["most_any_rust_frac"]
        assert not case.lasting
        assert found.first_day == case.now_day
    assert not may_divide(case._replace(any_rust_frac=None)).allowed


@settings(max_examples=200)
@given(cases())
def test_what_is_refused_for_time_or_rain_is_not_due_today(case):
    found = may_divide(case)
    waiting = {"too_soon", "no_rain_since", "rain_too_young", "lasting_disease"} & {each.kind for each in found.reasons}

    assert (found.first_day > case.now_day) == bool(waiting)


@st.composite
def stocks(draw):
    versions, count = draw(st.integers(1, 6)), draw(st.integers(1, 5))
    rows = draw(st.lists(st.lists(shares, min_size=count, max_size=count), min_size=versions, max_size=versions))
    some = st.lists(shares, min_size=count, max_size=count).map(np.array)
    return Stock(
        cultivar=tuple(draw(st.lists(st.sampled_from(["red", "gold"]), min_size=count, max_size=count))),
        clumps=np.array(draw(st.lists(st.integers(0, 5), min_size=count, max_size=count))),
        clean_frac=np.array(rows),
        lost_frac=draw(some),
        place_lost_frac=draw(some),
        weight_frac=stock.even_weights(versions),
    )


@given(stocks(), st.integers(0, 4))
def test_more_clumps_never_make_a_cultivar_less_safe(held, more):
    place = more % len(held.cultivar)
    richer = held._replace(clumps=held.clumps + (np.arange(len(held.cultivar)) == place))
    before, after = ({each.cultivar: each for each in stock.stock_at_risk(of)} for of in (held, richer))

    for name, found in before.items():
        assert -1e-12 <= found.healthy_frac <= 1.0 + 1e-12
        assert after[name].healthy_frac >= found.healthy_frac - 1e-12
        assert found.healthy_frac <= found.mean_clumps + 1e-9


@given(stocks())
def test_with_one_version_plantings_fail_each_by_itself(held):
    one = held._replace(clean_frac=held.clean_frac[:1], weight_frac=np.ones(1))

    for found in stock.stock_at_risk(one):
        assert abs(found.healthy_frac - found.if_apart_frac) < 1e-9


@given(stocks(), st.floats(0.0, 0.9), st.floats(0.0, 0.05))
def test_a_higher_level_never_needs_fewer_divisions(held, level, higher):
    places = Places(held.cultivar, held.clean_frac, held.lost_frac, held.place_lost_frac, np.minimum(held.clumps, 2))
    bare = np.ones(len(held.clean_frac))
    low, high = (
        safety.safety_divisions(bare, places, level_frac=each, most=4, weight_frac=held.weight_frac)
        for each in (level, level + higher)
    )

    assert sum(low.counts) <= sum(high.counts)
    assert low.enough or not high.enough

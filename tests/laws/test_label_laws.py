"""Whatever stands on the label and whatever was done before: what is let through breaks no rule, counted a second time."""

from collections import defaultdict
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import settings as trial
from hypothesis import strategies as some
from tests.label_cases import ACTIVES, START, any_bottle, any_history, any_site, body, bottle, materials

from abaxial.errors import AbaxialError, LabelError
from abaxial.label import rules
from abaxial.label.bottle import Bottle
from abaxial.label.limits import printed
from abaxial.label.reading import read_bottle

USUAL = rules.usual_rules()
SEEDS = some.integers(0, 2**32)
JUNK = some.recursive(
    some.none() | some.booleans() | some.integers() | some.floats() | some.text(max_size=12) | some.dates(),
    lambda inner: some.lists(inner, max_size=3) | some.dictionaries(some.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
AMOUNTS = some.builds(
    lambda number, unit, under: f"{number} {unit}/{under}",
    some.sampled_from(["0", "1", "-3", "1/2", "1/0", "0.5-1", "2-1", "1e9", "nan", "1,000", "99999999999", "½"]),
    some.sampled_from(["ml", "g", "oz", "fl oz", "%", "tbsp", "m2", "furlong", ""]),
    some.sampled_from(["l", "gal", "1000 ft2", "tank", "0 l", "ha", "kg", ""]),
)


# ---------------------------------------------------------------- a second count, written another way


def _rounds(sprays):
    """Rounds of the garden: its sprays, each with day, planting and codes, the first day first."""
    tanks = defaultdict(set)
    for each in sprays:
        tanks[each.on, each.planting] |= set(each.codes) - {"NC"}
    waiting = sorted((day, planting, codes) for (day, planting), codes in tanks.items() if codes)
    rounds = []
    while waiting:
        day = waiting[0][0]
        today = [each for each in waiting if each[0] == day]
        waiting = waiting[len(today) :]
        old = rounds[-1] if rounds and (day - rounds[-1][0][0]).days < 7 else []
        met = {planting for _, planting, _ in old}
        again = [each for each in today if not old or each[1] in met]
        old += [each for each in today if each not in again]
        rounds += [again] if again else []
    return [
        {
            "first": each[0][0],
            "days": [day for day, _, _ in each],
            "who": {(day, planting) for day, planting, _ in each},
            "codes": set().union(*(codes for _, _, codes in each)),
            "alone": set().union(*(codes for _, _, codes in each if len(codes) == 1)),
        }
        for each in rounds
    ]


def _longest_run_with(rounds, own, code):
    """The longest stretch of neighbouring rounds, all with the code and none too far apart, that holds a round."""
    longest = 0
    for begin in range(own + 1):
        for end in range(own, len(rounds)):
            stretch = rounds[begin : end + 1]
            gaps = [(b["first"] - a["days"][-1]).days for a, b in pairwise(stretch)]
            if all(code in each["codes"] for each in stretch) and all(gap <= 120 for gap in gaps):
                longest = max(longest, len(stretch))
    return longest


def _rotation_faults(new, sprays):
    rounds = _rounds(sprays)
    own = next((place for place, each in enumerate(rounds) if (new.on, new.planting) in each["who"]), None)
    if own is None:
        return
    tank = {code for each in sprays if (each.on, each.planting) == (new.on, new.planting) for code in each.codes}
    for code in set(new.codes) - {"NC"}:
        if not code.startswith("M") and _longest_run_with(rounds, own, code) > 2:
            yield f"{code} runs"
        if code not in ("11", "7", "1"):
            continue
        for last in rounds[own:]:
            year = [each for each in rounds if 0 <= (last["first"] - each["first"]).days < 365]
            if rounds[own] not in year or len(year) < 3:
                continue
            if 2 * sum(code in each["codes"] for each in year) > len(year):
                yield f"{code} is more than half"
            if tank - {"NC"} == {code} and 3 * sum(code in each["alone"] for each in year) > len(year):
                yield f"{code} alone is more than a third"


def _label_faults(used, site, new, there):
    label = used.label
    words = " ".join(label.sites).lower()
    if not ("ornamental" in words or "canna" in words) or site.edible:
        yield "site"
    if not any("rust" in each for each in label.pests):
        yield "pest"
    for each in there:
        kin = set(each.actives) & set(new.actives) or each.product == new.product
        group = {code for code in set(each.codes) & set(new.codes) if code != "NC" and not code.startswith("M")}
        if (kin or group) and abs((each.on - new.on).days) < max(label.interval_d, each.interval_d):
            yield "interval"
        pairs = ({*each.kinds, *each.actives}, {*new.kinds, *new.actives})
        for one, other in (pairs, pairs[::-1]):
            if "oil" in one and other & {"sulfur", "captan"} and abs((each.on - new.on).days) < 14:
                yield "apart"
        # what stands together in one bottle is the business of whoever made it
        copper = ("fixed_copper" in each.actives, "fixed_copper" in new.actives)
        salt = ("potassium_bicarbonate" in new.actives, "potassium_bicarbonate" in each.actives)
        if each.on == new.on and any(map(all, zip(copper, salt, strict=True))):
            yield "mixed"
    for begin in {each.on for each in (*there, new)}:
        window = [each for each in (*there, new) if 0 <= (each.on - begin).days < label.most_over_d]
        if new not in window:
            continue
        kin = {each.on for each in window if set(each.actives) & set(new.actives) or each.product == new.product}
        product = sum(each.product_ml / each.area_m2 for each in window if each.product == new.product)
        if label.most_applications is not None and len(kin) > label.most_applications:
            yield "too often"
        if label.most_product_per_m2 is not None and product > label.most_product_per_m2 * (1 + 1e-6):
            yield "too much"


def _day_faults(used, site, new):
    label, heat = used.label, {"oil": 30.0, "sulfur": 29.0, "soap": 32.0}
    stops = [heat[kind] for kind in new.kinds if kind in heat]
    stops += [label.temperature_most_c] if label.temperature_most_c is not None else []
    if site.warmest_c is not None and any(site.warmest_c > stop for stop in stops):
        yield "heat"
    if site.wilted or ("oil" in new.kinds and (site.stressed or site.newly_planted)):
        yield "plants"
    if site.flowers_open and label.spare_open_flowers:
        yield "flowers"
    if label.buffer_m and (site.water_m is None or site.water_m < label.buffer_m):
        yield "water"
    if used.left is not None and (used.left == 0.0 or used.left < site.product_ml):
        yield "stock"
    if label.rate.unit.endswith("m2") and site.product_ml > label.rate.amount * site.area_m2 * (1 + 1e-6):
        yield "rate"


def _faults(used, site, on, history):
    new = rules.done_of(used, site, on, materials())
    there = [each for each in history if each.planting == site.planting]
    # the hour is not known, so the clock starts when the day ends
    shut = [each for each in there if each.on < on and 0 < each.reentry_h >= 24 * (on - each.on).days]
    yield from (f"closed by {each.bottle}" for each in shut)
    yield from _label_faults(used, site, new, there)
    yield from _day_faults(used, site, new)
    yield from _rotation_faults(new, [*history, new])


# ---------------------------------------------------------------- the laws


def _ask(used, site, on, history, hard=USUAL):
    return rules.refusals(used, site, on, history, hard, materials())


@trial(max_examples=50)
@given(SEEDS)
def test_what_is_let_through_breaks_no_rule_in_twenty_thousand_cases(seed):
    lot = Random(seed)
    shelf = [any_bottle(lot) for _ in range(40)]
    let = 0
    for _ in range(40):
        history = any_history(lot, shelf)
        for _ in range(10):
            used, site, on = any_bottle(lot), any_site(lot), START + timedelta(lot.randrange(560))
            if not _ask(used, site, on, history):
                let += 1
                assert list(_faults(used, site, on, history)) == []

    assert let > 0


@trial(max_examples=40)
@given(SEEDS)
def test_days_asked_together_are_answered_as_each_alone(seed):
    lot = Random(seed)
    shelf = [any_bottle(lot) for _ in range(12)]
    used, site, history = any_bottle(lot), any_site(lot), any_history(lot, shelf)
    days = [START + timedelta(lot.randrange(560)) for _ in range(8)]

    together = rules.refusals_by_day(used, site, days, history, USUAL, materials())
    assert list(together) == [_ask(used, site, on, history) for on in days]


@trial(max_examples=60)
@given(SEEDS, some.sampled_from((60, 120, 300)))
def test_a_season_of_what_is_allowed_keeps_to_every_rule(seed, days):
    lot = Random(seed)
    shelf = [any_bottle(lot) for _ in range(8)]
    history = []
    for day in sorted(lot.randrange(days) for _ in range(30)):
        used, site, on = lot.choice(shelf), any_site(lot), START + timedelta(day)
        if not _ask(used, site, on, history):
            history.append(rules.done_of(used, site, on, materials()))
    rounds = _rounds(history)

    for place, each in enumerate(rounds):
        runs = {code: _longest_run_with(rounds, place, code) for code in each["codes"] if not code.startswith("M")}
        assert all(count <= 2 for count in runs.values())


def _told_of(table):
    """The bottle that a table describes, or the error of ours that says why it is none."""
    try:
        return read_bottle(table, where="blue")
    except AbaxialError as error:
        return error


def _tightened(lot):
    own = {}
    for name, (parameter, stricter) in printed().items():
        end = parameter.low if stricter == "lower" else parameter.high
        value = parameter.value + lot.random() * (end - parameter.value)
        if (stricter == "lower" and value > parameter.value) or (stricter == "higher" and value < parameter.value):
            value = parameter.value
        whole = isinstance(getattr(USUAL, name), int)
        own[name] = int(value) + (stricter == "higher" and value > int(value)) if whole else value
    return rules.rules_from(own, where="values")


@given(SEEDS)
def test_a_tighter_rule_never_allows_more(seed):
    lot = Random(seed)
    usual = replace(USUAL, most_running=2)
    history = any_history(lot)
    for _ in range(20):
        used, site, on, hard = any_bottle(lot), any_site(lot), START + timedelta(lot.randrange(560)), _tightened(lot)

        if not _ask(used, site, on, history, hard):
            assert not _ask(used, site, on, history, usual)


@given(some.permutations(["myclobutanil", "propiconazole", "tebuconazole", "triadimefon"]), some.integers(7, 30))
def test_three_bottles_of_one_group_count_as_one_group(names, apart):
    on = [START + timedelta(apart * place) for place in range(3)]
    site = any_site(Random(0))._replace(**_AT_EASE)
    history = [rules.done_of(bottle(each), site, day, materials()) for each, day in zip(names, on, strict=False)][:2]

    kinds = [each.kind for each in _ask(bottle(names[2]), site, on[2], history)]

    assert kinds == ["too_many_running"]


@given(SEEDS, some.randoms(use_true_random=False))
def test_the_order_in_which_a_history_is_told_makes_no_difference(seed, shuffle):
    lot = Random(seed)
    history, used, site = any_history(lot), any_bottle(lot), any_site(lot)
    on = START + timedelta(lot.randrange(560))
    told = [each.kind for each in _ask(used, site, on, history)]
    shuffle.shuffle(history)

    assert [each.kind for each in _ask(used, site, on, history)] == told


@given(SEEDS)
def test_reasons_come_in_one_order_with_the_details_of_their_kind(seed):
    lot = Random(seed)
    asked = (any_bottle(lot), any_site(lot), START + timedelta(lot.randrange(560)), any_history(lot))
    found = _ask(*asked) + rules.warnings(*asked, USUAL, materials())
    known = {**rules.REFUSALS, **rules.WARNINGS}
    places = [list(known).index(each.kind) for each in found]

    assert places == sorted(places)
    assert all(tuple(each.details) == known[each.kind] for each in found)


@trial(max_examples=300)
@given(JUNK | some.dictionaries(some.sampled_from(["name", "kind", "left", "label", "use_before", "bought_on"]), JUNK))
def test_no_rubbish_raises_anything_but_an_error_of_ours(rubbish):
    said = _told_of(rubbish)

    assert isinstance(said, Bottle) or (type(said) is LabelError and said.message)


@trial(max_examples=400)
@given(some.dictionaries(some.sampled_from([*body()["label"], "density", "tank", "water", "codes", "apart_d", "buffer_ft"]),
                         JUNK | AMOUNTS | some.lists(some.text(max_size=5)) | some.just("not printed"), max_size=6))  # fmt: skip
def test_a_label_with_rubbish_on_it_is_read_or_refused_with_reasons(changes):
    said = _told_of(body(**changes))

    if isinstance(said, Bottle):
        assert all(each.kind in rules.REFUSALS for each in _ask(said, any_site(Random(1)), date(2026, 5, 1), []))
    else:
        assert said.message
        assert said.remedy


@trial(max_examples=200)
@given(some.dictionaries(some.sampled_from(list(printed())) | some.text(max_size=4), JUNK | some.floats(), max_size=4))
def test_no_wish_makes_a_rule_looser_than_its_limit(values):
    own = USUAL
    with suppress(LabelError):
        own = rules.rules_from(values, where="values")

    for name, (parameter, _) in printed().items():
        assert parameter.low <= getattr(own, name) <= parameter.high


@pytest.mark.parametrize("active", ACTIVES)
def test_every_material_may_be_put_on_clean_ornamentals_once(active):
    assert _ask(bottle(active), any_site(Random(0))._replace(**_AT_EASE), START, []) == ()


_AT_EASE = {
    "edible": False, "product_ml": 0.0, "flowers_open": False, "wilted": False, "stressed": False, "newly_planted": False,
    "warmest_c": 20.0, "water_m": None, "planting": "reds",
}  # fmt: skip

"""What an estimate amounts to: bands and forecasts of shares, what walks moved, and what the garden taught."""

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest
from scipy import stats

from abaxial.assimilation import outcome, unknowns
from abaxial.assimilation.estimate import Posterior, Weighed
from abaxial.assimilation.garden_story import Look
from abaxial.assimilation.proposals import Cloud
from abaxial.epidemic.kernel import LOWER, UPPER
from abaxial.infection import pathogen
from abaxial.scouting.sightings import Sighting

VERSIONS, DAYS, NOW = 400, 50, 120
FIRST_DAY = 114
UNKNOWNS = unknowns.unknowns_of([pathogen.read_pathogen("canna_rust")], [("Quay", 0), ("Figs", 0)], 280)


def posterior(
    *, latent: float = 0.02, showing: float = 0.01, grows: float = 1.0, weighed: Sequence[Weighed] = ()
) -> Posterior:
    """Two plantings, the second without rust; the first with as much of it in the middle, growing so many times a day.
    Its low leaves have twice as much as its high ones."""
    pick = np.random.default_rng(1)
    spread = np.exp(0.5 * pick.standard_normal(VERSIONS))
    pace = grows ** (np.arange(DAYS) - (NOW - FIRST_DAY))
    record = np.zeros((DAYS, 2, 3, 2, VERSIONS), np.float32)
    for out, share in enumerate((latent, showing)):
        for level, times in ((LOWER, 4.0 / 3.0), (UPPER, 2.0 / 3.0)):
            record[:, 0, level, out] = np.minimum(share * times * pace[:, None] * spread, 1.0)
    origins = np.zeros((2, 3, VERSIONS), np.float32)
    origins[0] = np.array([0.5, 0.3, 0.2], np.float32)[:, None]
    known = pick.standard_normal((VERSIONS, len(UNKNOWNS.names)))
    cloud = Cloud(known, np.zeros((VERSIONS, 0)), np.zeros(VERSIONS, np.int64), np.zeros((VERSIONS, 1), np.int64))
    progress = SimpleNamespace(weighed=tuple(weighed))
    record[:, :, 2] = record[:, :, :2].mean(axis=2)
    return Posterior(UNKNOWNS, cloud, progress, record, FIRST_DAY, origins, float(VERSIONS))


def looked(
    days_back: int, *, before: float = 0.01, after: float = 0.01, tail: float = 0.5, error: float = 0.1, **seen: object
) -> Weighed:
    sighting = Sighting("Quay", date(2026, 3, 1) - timedelta(days=days_back), **{"turned": 20, "rusted": 3, **seen})
    bands = (np.array([0.5, 1.0, 2.0]) * mid for mid in (0.1, before, after))
    return Weighed(Look(sighting, 0, NOW - days_back, 10), *bands, tail, error, 0.75)


def told(*weighed: Weighed) -> Posterior:
    return posterior(weighed=weighed)


# ------------------------------------------------------------------ shares


def test_today_is_the_middle_of_the_versions_on_its_day():
    quay, figs = outcome.shares(posterior(), now=NOW, weeks=6)

    assert quay.showing_frac[1] == pytest.approx(0.01, rel=0.1)
    assert quay.latent_frac[1] == pytest.approx(0.02, rel=0.1)
    assert quay.hidden_per_seen == pytest.approx((2.0, 2.0, 2.0), rel=1e-5)
    assert figs.showing_frac == figs.latent_frac == (0.0, 0.0, 0.0)


def test_where_next_to_nothing_shows_nobody_asks_how_much_hides_for_each_part():
    quay, figs = outcome.shares(posterior(showing=2e-4), now=NOW, weeks=6)

    assert quay.hidden_per_seen is None
    assert figs.hidden_per_seen is None


def test_rust_is_any_share_worth_the_name():
    rusty, clean = outcome.shares(posterior(), now=NOW, weeks=6)

    assert (rusty.any_frac, clean.any_frac) == (1.0, 0.0)


@pytest.mark.parametrize(("grows", "worse"), [(1.03, 1.0), (0.97, 0.0)])
def test_more_in_a_fortnight_is_as_likely_as_versions_say(grows: float, worse: float):
    quay, _ = outcome.shares(posterior(grows=grows), now=NOW, weeks=6)

    assert quay.worse_frac == worse


def test_every_day_of_the_record_has_its_bands_in_order():
    quay, _ = outcome.shares(posterior(grows=1.05), now=NOW, weeks=6)

    assert [each.day for each in quay.days] == list(range(FIRST_DAY, FIRST_DAY + DAYS))
    for each in quay.days:
        for low, mid, high in (each.showing_frac, each.latent_frac, each.incidence_frac):
            assert 0.0 <= low <= mid <= high <= 1.0
    shown = [each.showing_frac[1] for each in quay.days]
    assert shown == sorted(shown)


def test_forecasts_reach_as_many_weeks_as_the_record():
    quay, _ = outcome.shares(posterior(), now=NOW, weeks=9)

    assert {each.day for each in quay.forecasts} == {NOW + 7 * week for week in range(7)}
    assert len(quay.forecasts) == 7 * 3 * 4


def test_low_and_high_leaves_have_forecasts_of_their_own():
    quay, _ = outcome.shares(posterior(), now=NOW, weeks=6)
    shown = {each.part: each.values_frac for each in quay.forecasts if (each.day, each.what) == (NOW, "showing_frac")}

    assert shown["lower"] == pytest.approx([2.0 * each for each in shown["upper"]], rel=1e-5)
    assert shown["all"] == pytest.approx([1.5 * each for each in shown["upper"]], rel=1e-5)


def test_fewer_leaves_are_seen_to_bear_rust_than_do():
    quay, _ = outcome.shares(posterior(), now=NOW, weeks=6)
    found = {(each.day, each.part, each.what): each.values_frac for each in quay.forecasts}

    for (day, part, what), seen in found.items():
        if what == "seen_frac":
            assert all(a < b for a, b in zip(seen, found[day, part, "incidence_frac"], strict=True))


def test_where_nothing_came_in_there_is_no_origin():
    quay, figs = outcome.shares(posterior(), now=NOW, weeks=6)

    assert [each[1] for each in quay.origin_frac] == pytest.approx([0.5, 0.3, 0.2])
    assert figs.origin_frac is None


# ------------------------------------------------------------------ walks


def test_the_walk_that_moved_most_up_or_down_comes_first():
    moved = outcome.swayed(
        told(looked(20, after=0.03), looked(9, before=0.03, after=0.003), looked(2, after=0.0101)), 0
    )

    assert [(NOW - (date(2026, 3, 1) - each.on).days) for each in moved] == [NOW - 9, NOW - 20]
    assert moved[0].by_log == pytest.approx(math.log(0.1))


def in_nights(let_in: dict[int, float], shows: float) -> Posterior:
    """A planting in which each night lets in a share, and in which a share shows on the last day."""
    told = posterior(latent=0.0, showing=0.0)
    rusted = np.cumsum([let_in.get(FIRST_DAY + day, 0.0) for day in range(DAYS)])
    told.record[:, 0, :, 0] = np.maximum(rusted - shows, 0.0)[:, None, None]
    told.record[:, 0, :, 1] = np.minimum(rusted, shows)[:, None, None]
    return told


def test_what_hides_is_told_by_the_nights_that_let_it_in():
    found = outcome.came_in(in_nights({116: 0.02, 118: 0.05}, shows=0.0), 0, NOW)

    assert [each.day for each in found] == [118, 116]
    assert [each.share_frac for each in found] == pytest.approx([5 / 7, 2 / 7], rel=1e-5)


def test_what_came_in_first_shows_first():
    found = outcome.came_in(in_nights({115: 0.02, 118: 0.03}, shows=0.02), 0, NOW)

    assert [each.day for each in found] == [118]
    assert found[0].share_frac == pytest.approx(1.0, rel=1e-5)


def test_a_night_that_let_in_little_of_what_hides_is_not_named():
    assert [each.day for each in outcome.came_in(in_nights({115: 0.002, 118: 0.03}, shows=0.0), 0, NOW)] == [118]


def test_where_next_to_nothing_hides_no_night_is_named():
    assert outcome.came_in(in_nights({118: 0.0005}, shows=0.0), 0, NOW) == ()
    assert outcome.came_in(in_nights({118: 0.05}, shows=0.0), 1, NOW) == ()


def test_looks_of_one_day_are_one_walk():
    low, high = looked(2, after=0.05, part="lower"), looked(2, after=0.05, part="upper", turned=14, rusted=0)
    [walk] = outcome.swayed(told(low, high), 0)

    assert (walk.turned, walk.rusted) == (34, 3)


def test_a_walk_says_nothing_of_a_planting_it_did_not_pass():
    assert outcome.swayed(told(looked(2, after=0.05)), 1) == ()
    assert outcome.strange(told(looked(2, tail=0.001)), 1) == ()


def test_looks_hard_to_believe_are_told_the_strangest_first():
    odd = outcome.strange(told(looked(9, tail=0.015), looked(5, tail=0.3), looked(2, tail=0.001)), 0)

    assert [each.tail_frac for each in odd] == [0.001, 0.015]


@pytest.mark.parametrize(("far", "total"), [(0, 5), (1, 20), (4, 20), (7, 300), (12, 3000)])
def test_far_off_looks_are_counted_against_what_chance_gives(far: int, total: int):
    looks = [looked(2, tail=0.01)] * far + [looked(2, tail=0.7)] * (total - far)
    found = outcome.contradiction(told(*looks))

    assert (found.looks, found.of) == (far, total)
    assert found.tail_frac == pytest.approx(stats.binom.sf(far - 1, total, 0.05), abs=1e-9)


def test_a_count_alone_says_more_the_more_leaves_were_turned():
    few, many = outcome.alone(8, 2), outcome.alone(80, 20)

    assert few[0] < many[0] < 0.25 < many[2] < few[2]


@pytest.mark.parametrize("turned", [1, 20, 500])
def test_none_of_some_leaves_leaves_room_for_a_little_and_all_of_them_for_a_little_less_than_all(turned: int):
    none, every = outcome.alone(turned, 0), outcome.alone(turned, turned)

    assert 0.0 < none[0] < none[1] < 0.5 < every[1] < every[2] < 1.0
    assert none == pytest.approx([1.0 - each for each in reversed(every)], abs=1e-9)


# ------------------------------------------------------------------ what the garden taught


def test_before_and_after_are_alike_where_no_walk_said_anything():
    for each in outcome.taught(posterior()):
        assert each.before[0] <= each.before[1] <= each.before[2]
        if each.name not in ("burst_day", "start_frac"):
            before, after = np.log(each.before), np.log(each.after)
            assert after == pytest.approx(before, abs=0.3 * (before[2] - before[0])), each


def test_every_unknown_is_told_with_its_unit():
    units = {each.name: each.unit for each in outcome.taught(posterior())}

    assert {units[name] for name in ("local_infection_per_d", "arrival_per_d")} == {"per_d"}
    assert {units[name] for name in ("infectious_period_d", "burst_day")} == {"d"}
    assert {units[name] for name in ("latent_factor", "lesion_frac", "vigour")} == {""}


def test_versions_that_agree_leave_a_narrow_band():
    wide = posterior()
    narrow = replace(wide, cloud=wide.cloud._replace(known=0.1 * wide.cloud.known))

    for before, after in zip(outcome.taught(wide), outcome.taught(narrow), strict=True):
        assert after.after[2] - after.after[0] < before.after[2] - before.after[0], before.name


# ------------------------------------------------------------------ how forecasts have fared


def test_forecasts_are_held_against_what_was_found_and_against_the_look_before():
    found = outcome.past(
        told(
            looked(21, error=0.2, turned=20, rusted=2),
            looked(14, error=0.1, turned=20, rusted=6),
            looked(7, error=0.3, turned=10, rusted=0),
        )
    )

    assert found is not None
    assert (found.looks, found.compared) == (3, 2)
    assert found.crps_frac == pytest.approx(0.2)
    assert found.compared_crps_frac == pytest.approx(0.2)
    assert found.last_look_frac == pytest.approx(0.25)
    assert found.brier == pytest.approx((0.0625 + 0.0625 + 0.5625) / 3.0)


def test_looks_without_a_count_say_nothing_of_forecasts():
    assert outcome.past(told(looked(7, error=float("nan"), turned=None, rusted=None, amount="some"))) is None


def test_middles_are_those_of_the_shares():
    told = posterior(latent=0.03, showing=0.02, grows=1.01)
    middles = outcome.middles(told, now=NOW)

    for one, whole in zip(middles, outcome.shares(told, now=NOW, weeks=1), strict=True):
        today = next(each for each in whole.days if each.day == NOW)
        assert tuple(one) == (whole.showing_frac[1], whole.latent_frac[1], today.incidence_frac[1])

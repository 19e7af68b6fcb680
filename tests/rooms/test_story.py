"""What is worth saying of a planting, and in which order."""

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest
from tests.rooms.invented_week import invented_week

from abaxial import hours
from abaxial.garden.parts import Garden, Gardener
from abaxial.infection import pathogen
from abaxial.infection.outlook import Outlook
from abaxial.place import Place
from abaxial.report.answers.week import (
    Band,
    DateBand,
    DayEstimate,
    Estimate,
    Infection,
    Look,
    PlantingWeek,
    Reason,
    WhatIf,
)
from abaxial.report.words.speech import say
from abaxial.season import story

GARDEN = Garden("Trial", Place(0.0, 36.0, 0.0, "Africa/Nairobi"), (), ())
WEDNESDAY = date(2026, 11, 25)


def page(kind: str, hidden: float = 0.0) -> PlantingWeek:
    return replace(
        invented_week().plantings[0], headline=Reason(kind, {}), latent_nights=Band(hidden / 2, hidden, hidden * 2)
    )


def test_what_shows_soon_comes_before_what_may_come_and_what_is_quiet():
    kinds = ["no_leaves", "quiet", "wet_nights_ahead", "hidden_for_now", "shows_soon", "hidden_rust", "growing_rust"]
    ordered = sorted((page(kind) for kind in kinds), key=story.urgency)

    assert [each.headline.kind for each in ordered][:3] == ["growing_rust", "hidden_rust", "shows_soon"]
    assert [each.headline.kind for each in ordered][-2:] == ["quiet", "no_leaves"]


def test_of_two_alike_the_one_that_hides_more_comes_first():
    little, much = page("shows_soon", 0.2), page("shows_soon", 2.0)

    assert sorted((little, much), key=story.urgency)[0] is much


def test_of_two_that_walks_found_rusted_the_more_rusted_comes_first():
    little, much = (
        replace(page("growing_rust", hidden), estimate=estimate(showing))
        for hidden, showing in ((2.0, 0.01), (0.2, 0.2))
    )

    assert sorted((little, much), key=story.urgency)[0] is much


def test_the_first_planting_gives_the_headline_of_the_garden():
    assert story.headline(GARDEN, [page("shows_soon"), page("quiet")]).kind == "shows_soon"


def test_a_garden_without_plants_says_so():
    assert story.headline(GARDEN, []).kind == "empty_garden"


@pytest.mark.parametrize(("weekdays", "ahead"), [((2,), 0), ((3,), 1), ((1,), 6), ((0, 5), 3)])
def test_the_next_working_day_is_counted_from_today(weekdays: tuple[int, ...], ahead: int):
    garden = replace(GARDEN, gardener=Gardener(weekdays, 60))

    assert story.working_day(garden, WEDNESDAY) == WEDNESDAY + timedelta(days=ahead)


def test_an_hour_is_told_on_the_gardens_clock():
    assert story.moment_text(0, "Africa/Nairobi") == "1970-01-01 03:00"


def infection(days_ago: int, weight: float, *, shows_in: int, leaves: tuple[int, int] | None = (2, 6)) -> Infection:
    """One night that let in `weight` and half of which is still hidden."""
    first = DateBand(*(WEDNESDAY + timedelta(days=shows_in + more) for more in (-3, 0, 3)))
    chief = invented_week().plantings[0].infections[0]
    return replace(
        chief,
        night=WEDNESDAY - timedelta(days=days_ago),
        infection_frac=Band(weight / 2, weight, weight),
        first_showing=first,
        latent_frac=Band(0.4, 0.5, 0.6),
        leaves=leaves,
    )


def test_the_weightiest_night_that_shows_within_a_week_is_looked_for():
    light, heavy, later = infection(9, 0.2, shows_in=1), infection(6, 0.6, shows_in=4), infection(3, 0.9, shows_in=9)

    assert story.next_due([light, heavy, later], WEDNESDAY) == heavy


def test_leaves_that_are_gone_are_not_looked_for():
    gone, there = infection(9, 0.9, shows_in=1, leaves=None), infection(6, 0.2, shows_in=4)

    assert story.next_due([gone, there], WEDNESDAY) == there


def test_a_night_to_come_is_not_looked_for():
    assert story.next_due([infection(-2, 0.9, shows_in=6)], WEDNESDAY) is None


# ------------------------------------------------------------------ what walks make of it


LEAFY = SimpleNamespace(
    planting=SimpleNamespace(name="Lilies"),
    bed=SimpleNamespace(name="Quay"),
    growth=SimpleNamespace(leaf_area_index_upper=[0.6] * 60, leaf_area_index_lower=[0.6] * 60),
)
BARE = SimpleNamespace(
    **{**vars(LEAFY), "growth": SimpleNamespace(leaf_area_index_upper=[0.0] * 60, leaf_area_index_lower=[0.0] * 60)}
)
SKY = SimpleNamespace(
    today=40,
    days=60,
    local_date=WEDNESDAY,
    when=SimpleNamespace(first_day=hours.day_of(WEDNESDAY) - 40),
)
FOUND = Look(WEDNESDAY - timedelta(days=2), "lower", "counted", 20, 5, Band(0.1, 0.25, 0.4), None)
CLEAN = replace(FOUND, rusted=0)
QUIET = Outlook(np.zeros((60, 3)), np.zeros(60), np.zeros(3), np.full(3, 60.0), 0.0, ())


def estimate(
    showing: float, *, later: float = 1.0, worse: float = 0.5, latent: float = 0.0, **more: object
) -> Estimate:
    """An estimate of today, and of a fortnight on as a multiple of it; leaves bear four times as often as area shows."""
    days = tuple(
        DayEstimate(
            WEDNESDAY + timedelta(days=offset),
            Band(0.0, showing * times, 1.0),
            Band(0.0, latent, 1.0),
            Band(0.0, min(4.0 * showing, 1.0), 1.0),
            offset > 0,
        )
        for offset, times in ((0, 1.0), (14, later))
    )
    base = Estimate(
        days=days, showing_frac=Band(0.0, showing, 1.0), latent_frac=Band(0.0, latent, 1.0), hidden_per_seen=None,
        any_rust_frac=0.9, worse_frac=worse, forecasts=(), origin=None, looks=(FOUND,), moved=(), against=(),
    )  # fmt: skip
    return replace(base, **more)


def headline_of(told: Estimate, leaves: SimpleNamespace = LEAFY) -> str:
    return story.planting_headline(leaves, (), QUIET, told, SKY).kind


@pytest.mark.parametrize(
    ("told", "kind"),
    [
        (estimate(0.03, later=2.0, worse=0.9), "growing_rust"),
        (estimate(0.03, later=2.0, worse=0.5), "standing_rust"),
        (estimate(0.03, later=0.5, worse=0.1), "standing_rust"),
        (estimate(0.03, later=2.0, worse=0.9, looks=()), "quiet"),
        (estimate(0.03, later=2.0, worse=0.9, looks=(CLEAN,)), "quiet"),
        (estimate(0.0, latent=0.02, looks=(CLEAN,)), "hidden_rust"),
        (estimate(0.0, latent=0.02, looks=(CLEAN,), any_rust_frac=0.2), "quiet"),
        (estimate(0.0, latent=0.0, looks=(CLEAN,)), "quiet"),
    ],
)
def test_a_planting_is_headed_by_what_its_walks_make_likely(told: Estimate, kind: str):
    assert headline_of(told) == kind


def test_many_leaves_with_little_rust_each_are_rust_that_shows():
    few_patches = estimate(0.001, later=2.0, worse=0.9)
    on_many = tuple(replace(each, incidence_frac=Band(0.1, 0.3, 0.5)) for each in few_patches.days)

    assert headline_of(replace(few_patches, days=on_many)) == "growing_rust"


def test_rust_found_against_all_expectation_heads_the_planting_until_somebody_looks_again():
    strange = Reason("look_disagrees", {"on": FOUND.on, "rusted": 5, "severity_frac": None, "amount": "counted"})
    looked_again = replace(CLEAN, on=WEDNESDAY)

    assert headline_of(estimate(0.0, against=(strange,))) == "look_disagrees"
    assert headline_of(estimate(0.0, against=(strange,), looks=(FOUND, looked_again))) == "quiet"


@pytest.mark.parametrize(
    ("told", "kind"),
    [
        (estimate(0.03, later=2.0, worse=0.9), "card_growing"),
        (estimate(0.03, later=1.0, worse=0.9), "card_steady"),
        (estimate(0.03, later=0.4, worse=0.1), "card_falling"),
        (estimate(0.03, looks=(CLEAN, CLEAN)), "card_clean"),
        (estimate(0.03, looks=()), "card_unlooked"),
        (estimate(0.03, looks=(replace(CLEAN, rusted=None, turned=None, amount="some"),)), "card_steady"),
    ],
)
def test_the_card_says_how_a_planting_is_doing(told: Estimate, kind: str):
    assert story.card(LEAFY, told, SKY).kind == kind


def test_a_planting_without_leaves_is_neither_looked_for_nor_doing_anything():
    told = estimate(0.03, later=2.0, worse=0.9)

    assert headline_of(told, BARE) == "no_leaves"
    assert story.card(BARE, told, SKY).kind == "card_gone"


def test_the_card_of_a_clean_planting_counts_the_leaves_that_were_turned():
    details = story.card(LEAFY, estimate(0.0, looks=(CLEAN, replace(CLEAN, turned=30))), SKY).details

    assert (details["turned"], details["last_look"]) == (50, CLEAN.on)


def test_a_rust_that_must_be_reported_says_so_on_its_page():
    rust = pathogen.read_pathogen("chrysanthemum_white_rust")
    as_now = WhatIf("as_now", *(Band(0.0, 0.0, 0.0),) * 3, True, 28)
    bed = SimpleNamespace(
        bed=SimpleNamespace(watering=SimpleNamespace(local_hour=7)), planting=SimpleNamespace(spacing_m=0.4)
    )

    said = [say(each, "metric", date(2026, 3, 12)) for each in story.reasons(bed, (), (), (as_now,), rust)]
    assert any("must be reported to the plant health service" in each for each in said)

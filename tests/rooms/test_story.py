"""What is worth saying of a planting, and in which order."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from tests.rooms.invented_week import invented_week

from abaxial.garden.parts import Garden, Gardener
from abaxial.place import Place
from abaxial.report.answers.week import Band, DateBand, Infection, PlantingWeek, Reason
from abaxial.season import story

GARDEN = Garden("Trial", Place(0.0, 36.0, 0.0, "Africa/Nairobi"), (), ())
WEDNESDAY = date(2026, 11, 25)


def page(kind: str, hidden: float = 0.0) -> PlantingWeek:
    return replace(
        invented_week().plantings[0], headline=Reason(kind, {}), latent_nights=Band(hidden / 2, hidden, hidden * 2)
    )


def test_what_shows_soon_comes_before_what_may_come_and_what_is_quiet():
    kinds = ["no_leaves", "quiet", "wet_nights_ahead", "hidden_for_now", "shows_soon"]
    ordered = sorted((page(kind) for kind in kinds), key=story.urgency)

    assert ordered[0].headline.kind == "shows_soon"
    assert [each.headline.kind for each in ordered][-2:] == ["quiet", "no_leaves"]


def test_of_two_alike_the_one_that_hides_more_comes_first():
    little, much = page("shows_soon", 0.2), page("shows_soon", 2.0)

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

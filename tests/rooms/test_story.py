"""What is worth saying of a planting, and in which order."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from tests.rooms.invented_week import invented_week

from abaxial.garden.parts import Garden, Gardener
from abaxial.place import Place
from abaxial.report.answers.week import Band, PlantingWeek, Reason
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

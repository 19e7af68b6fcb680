"""The tournament in small: two of its seasons, our plan against nothing and against the calendar."""

from functools import cache

import pytest
from studies import tournament, tournament_scene

#: seasons of which one is a bad one and the other a light one
SEASONS = (("equator", 0), ("temperate", 2))


@cache
def season(climate: str, number: int, player: str) -> dict:
    """A season of one player."""
    return tournament.play(tournament_scene.scene_of(climate, number), player)


@pytest.mark.parametrize(("climate", "number"), SEASONS)
def test_our_plan_never_breaks_a_rule(climate, number):
    assert season(climate, number, "plan")["broken"] == 0


def test_our_plan_loses_less_than_nothing_done_in_a_bad_year():
    assert season(*SEASONS[0], "plan")["loss"] < season(*SEASONS[0], "nothing")["loss"]


def test_our_plan_sprays_less_than_half_as_often_as_the_calendar():
    assert season(*SEASONS[0], "plan")["sprays"] <= 0.5 * season(*SEASONS[0], "calendar_in_turn")["sprays"]


def test_a_light_year_is_left_alone():
    assert season(*SEASONS[1], "plan")["sprays"] <= 2


def test_losses_are_the_sum_of_their_parts():
    found = season(*SEASONS[0], "plan")

    assert found["loss"] == pytest.approx(sum(found[each] for each in ("plants", "work", "product", "taught")))
    assert found["plants"] == pytest.approx(sum(found["by_planting"]), abs=0.1)


def test_a_replay_tells_every_week_and_the_sum():
    told = list(tournament.replay("temperate", 2, "when_seen"))

    assert sum(" rusted of 12: " in line for line in told) == 20
    assert any("fungicide" in line for line in told)
    assert told[-1].endswith("0 against a rule")


def test_a_run_that_was_stopped_goes_on_where_it_was(tmp_path):
    path = tmp_path / "played.jsonl"
    path.write_text('{"climate": "equator", "season": 0, "players": {}}\n{"climate": "islands", "sea', encoding="utf-8")

    assert [each["climate"] for each in tournament.played(path)] == ["equator"]

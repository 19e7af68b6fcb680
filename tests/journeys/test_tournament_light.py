"""The tournament in small: twelve weeks of a light and of a bad season, our plan against nothing and against the calendar."""

import pytest
from studies import tournament, tournament_climate, tournament_scene

CLIMATE, LIGHT, BAD, WEEKS = "equator", 3, 4, 12


@pytest.fixture(scope="module")
def short():
    """The tournament with fewer weeks."""
    whole = tournament_climate.setup()["weeks"]
    tournament_climate.setup()["weeks"] = WEEKS
    tournament_climate.climate_of.cache_clear()
    yield
    tournament_climate.setup()["weeks"] = whole
    tournament_climate.climate_of.cache_clear()


@pytest.fixture(scope="module")
def played(short):
    """Every player's sum of each season."""
    scenes = [tournament_scene.scene_of(CLIMATE, number) for number in (LIGHT, BAD)]
    return {
        player: [tournament.play(scene, player) for scene in scenes]
        for player in ("nothing", "calendar_in_turn", "plan")
    }


def total(played, player, what):
    return sum(each[what] for each in played[player])


def test_our_plan_never_breaks_a_rule(played):
    assert total(played, "plan", "broken") == 0


def test_in_a_light_season_our_plan_does_nothing_and_in_a_bad_one_it_loses_less(played):
    light, bad = played["plan"]

    assert not any(done for _, _, done, _ in light["weeks"])
    assert bad["loss"] < 0.8 * played["nothing"][1]["loss"]


def test_our_plan_loses_less_than_the_calendar_with_half_of_its_sprays(played):
    assert total(played, "plan", "loss") < total(played, "calendar_in_turn", "loss")
    assert total(played, "plan", "sprays") <= 0.5 * total(played, "calendar_in_turn", "sprays")


def test_a_loss_is_the_sum_of_its_parts(played):
    found = played["plan"][0]

    assert found["loss"] == pytest.approx(sum(found[each] for each in ("plants", "work", "product", "taught")))
    assert found["plants"] == pytest.approx(sum(found["by_planting"]), abs=0.1)


def test_a_replay_tells_every_week_and_the_sum(short):
    told = list(tournament.replay(CLIMATE, BAD, "when_seen"))

    assert sum(" rusted of 12: " in line for line in told) == WEEKS
    assert any("fungicide" in line for line in told)
    assert told[-1].endswith("0 against a rule")


def test_a_run_that_was_stopped_while_writing_is_read_up_to_there(tmp_path):
    path = tmp_path / "played.jsonl"
    path.write_text('{"climate": "equator", "season": 0, "players": {}}\n{"climate": "isl', encoding="utf-8")

    assert [each["climate"] for each in tournament.played(path)] == ["equator"]

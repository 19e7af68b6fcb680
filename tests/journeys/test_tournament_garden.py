"""A short season of the tournament as a garden: the ordinary commands show what was found, done and planned, each on its day."""

import json
from dataclasses import replace

import numpy as np
import pytest
from studies import tournament, tournament_climate, tournament_garden, tournament_skies

from abaxial import hours
from abaxial.cli import main
from abaxial.errors import RecordsError
from abaxial.plan.programmes.step import SPRAYS
from abaxial.season.opening import open_garden
from abaxial.weather import series
from abaxial.weather.series import VARIABLES

# common practice cuts, oils and sprays from the first week on
CLIMATE, NUMBER, WEEKS, PLAYER = "equator", 8, 3, "practice"
#: what the journal calls otherwise
CALLED = {"litter_cleared": "clear_litter", "destroyed": "destroy"}
WHY = "Open cannas: wait; expected to lose 4.9"


@pytest.fixture(scope="module")
def season():
    """The first weeks of a season that begins with a bad attack."""
    whole = tournament_climate.setup()["weeks"]
    tournament_climate.setup()["weeks"] = WEEKS
    tournament_climate.climate_of.cache_clear()
    yield replace(tournament.in_full(CLIMATE, NUMBER, PLAYER), why={1: (WHY,)})
    tournament_climate.setup()["weeks"] = whole
    tournament_climate.climate_of.cache_clear()


@pytest.fixture(scope="module")
def file(season, tmp_path_factory):
    """The season as a garden file."""
    return tournament_garden.write(season, tmp_path_factory.mktemp("a season"))


def done_in(season, week):
    """Planting, kind and bottle of what was done in a week."""
    names = [each.planting.name for each in season.scene.climate.stands]
    return [(names[place], step.kind, step.bottle) for place, step in season.weeks[week][2]]


def bottles_used(season):
    return {bottle for week in range(WEEKS) for _, kind, bottle in done_in(season, week) if kind in SPRAYS}


def test_the_week_of_a_date_tells_a_plan_from_the_walk_of_that_day(season, file, capsys):
    on = season.scene.on(1)

    assert main.run(["week", str(file), "--at", str(on), "--draws", "64", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)

    assert "(invented)" in told["garden"]
    plan = told["answer"]["plan"]
    assert {each["planting"] for each in plan["choices"]} == {
        each.planting.name for each in season.scene.climate.stands
    }
    assert plan["tasks"]
    assert plan["asks"] == []
    assert "no_forecast" not in [each["kind"] for each in plan["no_hours"]]


def test_a_date_sees_the_work_of_the_weeks_before_and_nothing_of_its_own(season, file):
    skies = tournament_skies.skies_of(season.scene)
    kinds = {kind for week in range(WEEKS) for _, kind, _ in done_in(season, week)}
    assert kinds >= {"cut_down", "clear_litter", "low_leaves_off", "rusted_leaves_off"}
    assert kinds & set(SPRAYS)
    for week in range(WEEKS):
        opened = open_garden(file, at=skies.noon(week))

        done = [
            (name, CALLED.get(each.remedy, each.remedy), each.bottle) for each in opened.done for name in each.plantings
        ]
        assert sorted(done) == sorted(each for before in range(week) for each in done_in(season, before))
        assert {each.on for each in opened.sightings} == {season.scene.on(each) for each in range(week + 1)}
        assert len([each for each in opened.batches if each.kind == "forecast"]) == week + 1
        assert not opened.questions


def test_a_walk_in_the_garden_is_what_the_player_found(season, file):
    opened = open_garden(file, at=None)

    for week, found, _, _ in season.weeks:
        seen = {each.planting: each for each in opened.sightings if each.on == season.scene.on(week)}
        names = [each.planting.name for each in season.scene.climate.stands]
        assert [seen[name].rusted if name in seen else -1 for name in names] == [each.rusted for each in found]
        judged = [seen[name].severity_low_frac or 0.0 if name in seen else 0.0 for name in names]
        assert judged == pytest.approx([each.severity_frac for each in found])


def test_the_list_of_notes_shows_every_spray_why_and_what_the_season_came_to(season, file, capsys):
    assert main.run(["note", str(file), "--list"]) == 0
    listed = capsys.readouterr().out

    for bottle in bottles_used(season):
        assert f"with “{bottle}”," in listed
    assert "Leaves with rust taken off" in listed
    assert f"In the tournament: {WHY}" in listed
    assert season.came_to[0] in listed


def test_the_shelf_has_the_bottles_with_their_labels_and_less_in_them_than_before(season, file, capsys):
    assert main.run(["shelf", str(file), "--at", str(season.scene.on(WEEKS)), "--json"]) == 0
    bottles = {each["bottle"]: each for each in json.loads(capsys.readouterr().out)["answer"]["bottles"]}

    assert set(bottles) == {each["name"] for each in tournament_climate.setup()["bottle"]}
    assert all(each["missing"] == [] for each in bottles.values())
    assert {name for name, each in bottles.items() if each["left"] < 20_000} == bottles_used(season)


def test_the_garden_has_the_weather_of_the_season_and_the_forecast_that_the_planner_believed(season, file):
    skies, zone = tournament_skies.skies_of(season.scene), season.scene.climate.garden.place.zone
    noon = tournament_skies.Skies.noon(skies, 1)
    batches = open_garden(file, at=noon).batches
    measured = [each.members[0] for each in batches if each.kind == "station"]
    foretold = max((each for each in batches if each.kind == "forecast"), key=lambda each: each.issued_at)

    lived = series.merge(*measured)
    assert (lived.first_hour, lived.end_hour) == (skies.actual.first_hour, hours.hour_of(noon))
    assert alike(lived, skies.actual)
    for member, right_d in enumerate(tournament_climate.setup()["plan"]["right_d"]):
        until = hours.first_hour_of(season.scene.climate.first_day + season.scene.row(1) + right_d, zone)
        right = series.between(foretold.members[member], hours.hour_of(noon), until)
        assert alike(right, skies.actual)
        if right_d < tournament_skies.FORETOLD_D:
            wrong = series.between(foretold.members[member], until, foretold.members[member].end_hour)
            assert alike(wrong, skies.others[member])


def alike(some, whole):
    """Whether hours are those of a series, as far as they were written down."""
    same = series.between(whole, some.first_hour, some.end_hour)
    return all(np.allclose(some.variable(name), same.variable(name), atol=0.06, rtol=0.0) for name in VARIABLES)


def test_a_garden_that_lies_in_the_folder_already_is_not_written_over(season, file):
    before = file.read_bytes()

    with pytest.raises(RecordsError):
        tournament_garden.write(season, file.parent)

    assert file.read_bytes() == before

"""The command line: how a garden is found, how mistakes are told, and that help never waits for the science."""

import json
import tomllib
from datetime import UTC, datetime
from pathlib import Path

import click
import pytest
from tests.trial_garden import SITE as GARDEN

from abaxial.cli import main, options
from abaxial.errors import RequestError


def every_command(group: click.Group, path: str = "abaxial") -> list[tuple[str, click.Command]]:
    found: list[tuple[str, click.Command]] = []
    for name, command in group.commands.items():
        inner = every_command(command, f"{path} {name}") if isinstance(command, click.Group) else []
        found += inner or [(f"{path} {name}", command)]
    return found


@pytest.mark.parametrize(("path", "command"), every_command(main.abaxial))
def test_every_command_shows_a_worked_example(path: str, command: click.Command):
    words = f"{command.help} {command.epilog}"

    assert "Example" in words
    assert path in words


# ------------------------------------------------------------------ which garden


def test_the_only_garden_file_here_is_meant(folder: Path):
    (folder / "garden.toml").write_text(GARDEN)
    (folder / "layout.toml").write_text("clock = 'utc'")

    assert options.garden_from(None).name == "Trial garden"


def test_the_setting_is_used_where_no_garden_is_named(folder: Path, monkeypatch: pytest.MonkeyPatch):
    (folder / "elsewhere").mkdir()
    (folder / "elsewhere" / "mine.toml").write_text(GARDEN.replace("Trial", "Other"))
    (folder / "garden.toml").write_text(GARDEN)
    monkeypatch.setenv("ABAXIAL_GARDEN", "elsewhere/mine.toml")

    assert options.garden_from(None).name == "Other garden"
    assert options.garden_from(Path("garden.toml")).name == "Trial garden"


def test_a_folder_stands_for_the_only_garden_in_it(folder: Path):
    (folder / "inside").mkdir()
    (folder / "inside" / "mine.toml").write_text(GARDEN)

    assert options.garden_path(Path("inside")) == Path("inside/mine.toml")


def test_two_garden_files_are_told_apart_by_the_person(folder: Path):
    (folder / "one.toml").write_text(GARDEN)
    (folder / "two.toml").write_text("[site]\nname = broken")

    with pytest.raises(RequestError, match=r"2 garden files here: one\.toml, two\.toml"):
        options.garden_path(None)


def test_without_a_garden_the_way_to_one_is_told(folder: Path, capsys: pytest.CaptureFixture[str]):
    code = main.run(["garden", "show"])

    assert code == 2
    assert "What to do: Describe one with: abaxial garden new" in capsys.readouterr().err


# ------------------------------------------------------------------ which moment


def test_a_date_alone_is_its_noon_on_the_gardens_clock():
    assert options.moment("2026-03-12", "Africa/Nairobi") == datetime(2026, 3, 12, 9, tzinfo=UTC)


def test_a_time_is_read_on_the_gardens_clock_unless_it_says_another():
    assert options.moment("2026-03-12T06:30", "Africa/Nairobi") == datetime(2026, 3, 12, 3, 30, tzinfo=UTC)
    assert options.moment("2026-03-12T06:30Z", "Africa/Nairobi") == datetime(2026, 3, 12, 6, 30, tzinfo=UTC)


def test_without_a_date_it_is_now():
    assert abs((options.moment(None, "UTC") - datetime.now(UTC)).total_seconds()) < 5


@pytest.mark.parametrize("text", ["yesterday", "2026-02-30", "12.3.2026", "", "0001-01-01", "20260"])
def test_what_is_no_date_is_refused_with_its_value(text: str):
    with pytest.raises(RequestError, match="--at is") as caught:
        options.moment(text, "UTC")
    assert repr(text) in caught.value.message


# ------------------------------------------------------------------ a new garden


def test_a_new_description_says_what_is_still_to_fill_in(folder: Path, capsys: pytest.CaptureFixture[str]):
    assert main.run(["garden", "new"]) == 0
    assert main.run(["garden", "show"]) == 2

    told = capsys.readouterr().err
    assert "garden.toml has 5 mistakes" in told
    assert "latitude_deg is missing" in told


def test_a_new_description_with_its_site_is_a_garden(folder: Path, capsys: pytest.CaptureFixture[str]):
    site = ["--name", "Home", "--lat", "-1.29", "--lon", "36.82", "--elevation", "1660", "--zone", "Africa/Nairobi"]

    assert main.run(["garden", "new", "home.toml", *site]) == 0
    assert main.run(["garden", "show", "home.toml"]) == 0

    assert "No beds yet" in capsys.readouterr().out


def test_the_examples_behind_the_comment_signs_describe_a_garden(folder: Path):
    from abaxial.garden.description import garden_from_text
    from abaxial.garden.starter import starter_text

    lines = starter_text({}).splitlines()
    examples = [line.removeprefix("# ") for line in lines if line.startswith("# ") and ("=" in line or "[[" in line)]

    garden = garden_from_text("[site]\n" + "\n".join(examples), where="starter", folder=".")

    assert (len(garden.beds), len(garden.plantings), len(garden.noted)) == (1, 1, 2)


def test_a_description_that_is_there_is_never_overwritten(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "garden.toml").write_text("mine")

    assert main.run(["garden", "new"]) == 2
    assert (folder / "garden.toml").read_text() == "mine"
    assert "already there" in capsys.readouterr().err


def test_a_new_description_of_an_impossible_place_is_not_written(folder: Path):
    site = ["--name", "Home", "--lat", "95", "--lon", "36.82", "--elevation", "1660", "--zone", "Africa/Nairobi"]

    assert main.run(["garden", "new", *site]) == 2
    assert list(folder.iterdir()) == []


def test_the_invented_garden_shows_its_beds(folder: Path, capsys: pytest.CaptureFixture[str]):
    import abaxial.season

    invented = Path(abaxial.season.__file__).parent / "demo_garden.toml"

    assert main.run(["garden", "show", str(invented)]) == 0
    shown = capsys.readouterr().out
    assert "invented" in shown
    assert "watered over the leaves at 19:00, 4 mm every 2 days" in shown
    assert "sees 100% of the sky" in shown


def test_a_garden_is_shown_as_json_of_its_description(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "garden.toml").write_text(GARDEN)

    assert main.run(["garden", "show", "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert shown["answer"]["site"] == tomllib.loads(GARDEN)["site"]

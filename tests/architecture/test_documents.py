"""What the documents say of the program is so: commands, options, settings, rooms, decisions."""

import re
import shlex
import tomllib
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from tests.architecture.tree import PACKAGE, ROOT, label, python_files

from abaxial.cli.main import abaxial
from abaxial.settings import SETTINGS

DOCUMENTS = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]
FENCED = re.compile(r"^```[a-z]*\n(.*?)^```", re.MULTILINE | re.DOTALL)
SPAN = re.compile(r"`([^`\n]+)`")


def _commands_in(text: str) -> Iterator[str]:
    lines = [line for block in FENCED.findall(text) for line in block.splitlines()]
    for said in lines + SPAN.findall(FENCED.sub("", text)):
        found = re.match(r"(?:\.venv/bin/)?abaxial ([a-z].*)", said.strip())
        if found:
            # a gap of several spaces begins a remark
            yield re.split(r"\s{3,}|…", found.group(1))[0]


def _spoken_commands() -> list[tuple[str, str]]:
    return [(label(path), each) for path in DOCUMENTS for each in _commands_in(path.read_text(encoding="utf-8"))]


def _misfit(said: str) -> str:
    """Why a command line would not be understood, or nothing."""
    command: click.Command = abaxial
    words = shlex.split(said)
    while isinstance(command, click.Group) and words:
        name = words.pop(0)
        if name not in command.commands:
            return f"there is no command {name!r}"
        command = command.commands[name]
    options = {name for each in command.params for name in each.opts} | {"--help", "-h"}
    strange = [word for word in words if word.startswith("--") and word not in options]
    return f"no option {strange[0]}" if strange else ""


def test_the_documents_speak_of_the_program() -> None:
    assert len(_spoken_commands()) > 10


@pytest.mark.parametrize(("where", "said"), _spoken_commands())
def test_every_command_in_the_documents_is_one_the_program_knows(where: str, said: str) -> None:
    assert _misfit(said) == "", where


def test_every_setting_in_documents_and_code_is_declared() -> None:
    declared = {each.name for each in SETTINGS}
    places = DOCUMENTS + python_files()

    named = {(label(p), hit) for p in places for hit in re.findall(r"ABAXIAL_[A-Z_]+", p.read_text(encoding="utf-8"))}

    assert {(where, name) for where, name in named if name not in declared} == set()


def test_the_map_shows_every_room_and_every_file_of_the_ground_floor() -> None:
    drawn = (ROOT / "docs" / "map.md").read_text(encoding="utf-8")
    rooms = {f"`{path.name}/`" for path in PACKAGE.iterdir() if (path / "__init__.py").exists()}
    files = {f"`{path.name}`" for path in PACKAGE.glob("*.py") if path.name != "__init__.py"}

    assert {name for name in rooms | files if name not in drawn} == set()


def test_every_decision_is_on_the_list_of_decisions() -> None:
    listed = (ROOT / "docs" / "decisions" / "index.md").read_text(encoding="utf-8")

    assert [path.name for path in _decisions() if path.name not in listed] == []


def _decisions() -> list[Path]:
    return sorted((ROOT / "docs" / "decisions").glob("[0-9]*.md"))


def test_every_file_of_the_documents_that_is_linked_to_is_there() -> None:
    made = set(
        re.findall(r'^    "([\w/]+\.md)"', (ROOT / "scripts" / "site_pages.py").read_text(encoding="utf-8"), re.M)
    )
    broken = []
    for path in DOCUMENTS:
        for link in re.findall(r"\]\(([^)#:]+)[^):]*\)", path.read_text(encoding="utf-8")):
            goal = (path.parent / link).resolve()
            if not goal.exists() and not any(goal == ROOT / "docs" / each for each in made):
                broken.append(f"{label(path)}: {link}")

    assert broken == []


def test_every_change_has_a_fragment_with_a_number_and_a_kind() -> None:
    names = [path.name for path in (ROOT / "changelog.d").glob("*")]

    assert [name for name in names if not re.fullmatch(r"\d+\.(added|changed|fixed|removed)\.md", name)] == []


@pytest.mark.parametrize(
    "name", ["start", "test", ".ci/run", *(f"scripts/{each}" for each in ("check", "lock", "docs"))]
)
def test_what_is_meant_to_be_run_can_be_run(name: str) -> None:
    assert (ROOT / name).stat().st_mode & 0o111


def test_the_page_of_the_estimate_says_what_the_study_of_other_truths_found() -> None:
    found = tomllib.loads((ROOT / "studies" / "other_truths.toml").read_text(encoding="utf-8"))
    page = (ROOT / "docs" / "science" / "estimate.md").read_text(encoding="utf-8")

    kinds = {name: each for name, each in found.items() if isinstance(each, dict)}
    assert len(kinds) == 7
    for name, each in kinds.items():
        held = [f"{100 * each[f'{what}held_frac']:.0f} %" for what in ("", "incidence_")]
        errors = [f"{each[way]:.3f}" for way in list(each)[2:]]
        assert " | ".join(("| " + name, *held, *errors)) in page

"""The walk over published values: what it catches and what it says."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from abaxial.cli.check import check
from abaxial.errors import ParameterError
from abaxial.published import checks_in, run
from abaxial.published.evidence import evidence_markdown

GOOD = """
[[check]]
call = "microclimate.vapour.saturation_vapour_pressure_kpa"
inputs = { temperature_c = 15.0 }
expected = 1.705
tolerance = 0.0005
where = "example 3"
status = "read"
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "mine.toml"
    path.write_text(text, encoding="utf-8")
    return path


def outcome(folder: Path, text: str):
    return run(checks_in(written(folder, text))[0])


def test_a_right_number_passes_and_a_wrong_one_fails(tmp_path: Path) -> None:
    assert outcome(tmp_path, GOOD).passed
    assert not outcome(tmp_path, GOOD.replace("1.705", "1.715")).passed


@pytest.mark.parametrize(
    ("relation", "expected", "passes"),
    [
        ("<", "1.8", True),
        ("<", "1.6", False),
        (">", "1.6", True),
        (">", "1.8", False),
        ("between", "[1.7, 1.8]", True),
        ("between", "[1.8, 1.9]", False),
    ],
)
def test_a_bound_holds_on_its_own_side(tmp_path: Path, relation: str, expected: str, passes: bool) -> None:
    text = GOOD.replace("1.705", expected) + f'relation = "{relation}"\n'

    assert outcome(tmp_path, text).passed is passes


def test_a_function_that_does_not_exist_is_a_failed_check_that_says_so(tmp_path: Path) -> None:
    result = outcome(tmp_path, GOOD.replace("vapour.saturation", "vapour.satiation"))

    assert not result.passed
    assert "satiation" in result.problem


def test_an_answer_of_another_length_fails(tmp_path: Path) -> None:
    assert not outcome(tmp_path, GOOD.replace("1.705", "[1.705, 1.705]")).passed


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('status = "read"', 'status = "sworn"', "sworn"),
        ('where = "example 3"', "", "where is missing"),
        ("tolerance = 0.0005", "", "tolerance is missing"),
        ("expected = 1.705", 'expected = "some"', "some"),
        ("inputs = { temperature_c = 15.0 }", "inputs = 3", "inputs"),
    ],
)
def test_a_check_badly_written_is_refused_by_file_number_and_rule(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    path = written(tmp_path, GOOD.replace(old, new))

    with pytest.raises(ParameterError, match=f"mine.toml, check 1.*{said}"):
        checks_in(path)


def test_an_empty_folder_and_an_empty_file_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ParameterError, match="no TOML files"):
        checks_in(tmp_path)
    with pytest.raises(ParameterError, match="holds no checks"):
        checks_in(written(tmp_path, ""))


def test_the_command_ends_well_only_when_every_check_does(tmp_path: Path) -> None:
    good = CliRunner().invoke(check, [str(written(tmp_path, GOOD))])
    bad = CliRunner().invoke(check, [str(written(tmp_path, GOOD.replace("1.705", "1.8"))), "--json"])

    assert good.exit_code == 0
    assert "expected 1.705" in good.output
    assert bad.exit_code == 1
    assert json.loads(bad.output)["answer"]["checks"][0]["passed"] is False


def test_the_evidence_page_names_every_source_with_its_numbers() -> None:
    page = evidence_markdown()

    assert "## allen1998" in page
    assert all(f"| [{check.source}](#{check.source}) |" in page for check in checks_in() if check.source != "practice")

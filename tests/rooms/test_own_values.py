"""What a gardener may set by name, in a description and in a journal, and what is said of what may not be."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.tended_garden import AT, told
from tests.trial_garden import BED, PLANTING, SITE

from abaxial.cli import main
from abaxial.errors import GardenError
from abaxial.label import limits as rules
from abaxial.label.window.limits import read_limits
from abaxial.plan import cost
from abaxial.season.opening import open_garden
from abaxial.season.opening.values import strange

NOW = datetime(2026, 3, 12, tzinfo=UTC)


def described(folder: Path, values: str) -> Path:
    path = folder / "garden.toml"
    path.write_text(f"{SITE}{BED}{PLANTING}\n[values]\n{values}\n", encoding="utf-8")
    return path


def test_everything_may_be_set_to_what_it_is():
    usual = {**vars(cost.read_values()), "tank_l": 5.0, **vars(rules.usual_rules()), **read_limits()._asdict()}

    assert strange(usual) == []
    assert strange({}) == []


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("clump_mony", 3.0, "Did you mean clump_money?"),
        ("tail_frac", 2.0, "must be a number from 0.01 to 1"),
        ("most_running", 9.0, "no looser than 3"),
        ("wind_most_m_s", 40.0, "may only be made stricter"),
        ("tank_l", 0.0, "between 0.1 and 100"),
    ],
)
def test_what_cannot_be_set_is_said_with_the_reason(name: str, value: float, said: str):
    [problem] = strange({name: value})

    assert said in problem


def test_a_description_sets_values_and_one_that_cannot_be_is_refused(tmp_path: Path):
    assert open_garden(described(tmp_path, "clump_money = 30\ntank_l = 2"), at=NOW).values == {
        "clump_money": 30.0, "tank_l": 2.0,
    }  # fmt: skip
    with pytest.raises(GardenError, match=r"garden\.toml, values: there is no value called 'clump_mony'"):
        open_garden(described(tmp_path, "clump_mony = 30"), at=NOW)


def test_the_journal_goes_before_the_description_and_both_go_out_again(
    folder: Path, capsys: pytest.CaptureFixture[str]
):
    described(folder, "clump_money = 30\ntank_l = 2")
    assert main.run(["garden", "import", "garden.toml", "home.abaxial", *AT]) == 0
    capsys.readouterr()
    assert "clump_mony" in told(capsys, "note", "home.abaxial", "values_set", "values.clump_mony=3", *AT, code=2)
    told(capsys, "note", "home.abaxial", "values_set", "values.clump_money=45", *AT)
    told(capsys, "garden", "export", "home.abaxial", "--out", "again.toml")

    wanted = {"clump_money": 45.0, "tank_l": 2.0}
    assert open_garden(folder / "home.abaxial", at=None).values == wanted
    assert open_garden(folder / "again.toml", at=None).values == wanted

"""The choice watched at the command line: what is shown of it, and that Ctrl-C keeps the best plan so far."""

import os
import signal
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from benchmarks import choose as gardens
from tests.tended_garden import AT, answered, lay_out, told

from abaxial.cli import choosing
from abaxial.plan.choose import solve
from abaxial.plan.choose.solve import Effort, Standing
from abaxial.season.planning import plan as planning

HALFWAY = Standing(2.0, 41.3, 40.6, 0.017)


def on_a_terminal(monkeypatch: pytest.MonkeyPatch, is_one: bool = True) -> None:
    """The error stream, which a fixture would patch too early, is a terminal or none."""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: is_one, raising=False)


def by_hand() -> None:
    signal.raise_signal(signal.SIGINT)


def test_the_best_so_far_and_what_is_possible_below_it_are_shown_and_wiped(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    on_a_terminal(monkeypatch)
    trying = choosing.watched(5.0, as_json=False)
    with trying.during:
        assert trying.say is not None
        trying.say(HALFWAY)

    shown = capsys.readouterr().err.split("\r")
    assert shown[1].startswith("Choosing what to do, 0 s: nothing yet.")
    assert shown[2].rstrip() == "Choosing, 0 s: 41.3 so far, at most 0.7 less is possible. Ctrl-C takes it."
    assert (shown[-2].strip(), shown[-1]) == ("", "")
    assert max(map(len, shown)) < 80


@pytest.mark.parametrize("as_json", [True, False])
def test_nothing_is_shown_in_a_file_or_beside_json(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, as_json: bool
):
    on_a_terminal(monkeypatch, as_json)
    trying = choosing.watched(5.0, as_json=as_json)
    with trying.during:
        assert trying.say is not None
        trying.say(HALFWAY)

    assert capsys.readouterr().err == ""


def test_the_clock_goes_on_while_nothing_better_is_found(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    on_a_terminal(monkeypatch)
    now = [0.0]
    monkeypatch.setattr(choosing.time, "monotonic", lambda: now[0])
    trying = choosing.watched(60.0, as_json=False)
    with trying.during:
        assert trying.say is not None
        assert trying.stop is not None
        trying.say(HALFWAY)
        now[0] = 12.0
        assert not trying.stop()

    assert "Choosing, 12 s: 41.3 so far" in capsys.readouterr().err


def test_ctrl_c_asks_for_the_end_within_the_choice_and_ends_the_command_outside_of_it(
    capsys: pytest.CaptureFixture[str],
):
    trying = choosing.watched(5.0, as_json=False)
    assert trying.stop is not None
    with trying.during:
        by_hand()
        assert trying.stop()
        # the next one is the system's own
        assert signal.getsignal(signal.SIGINT) is signal.SIG_DFL

    assert "the best plan so far is taken" in capsys.readouterr().err
    with pytest.raises(KeyboardInterrupt):
        by_hand()


def test_a_command_that_is_deaf_to_ctrl_c_stays_deaf():
    usual = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        trying = choosing.watched(5.0, as_json=False)
        with trying.during:
            by_hand()
        assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, usual)

    assert trying.stop is not None
    assert not trying.stop()


def test_a_search_is_ended_by_hand_with_the_best_plan_so_far():
    problem, heard = gardens.scarce(gardens.invented(40, 1)), list[Standing]()
    trying = choosing.watched(60.0, as_json=False)
    hand = threading.Timer(0.6, os.kill, (os.getpid(), signal.SIGINT))

    with trying.during:
        hand.start()
        stopped = solve.choose(problem, Effort(0.0, 60.0), tell=heard.append, stop=trying.stop)

    assert stopped.ended == "asked"
    assert stopped.seconds < 10.0
    assert stopped.objective == min(each.objective for each in heard)
    assert 0.0 < stopped.gap_frac == solve.gap_frac(stopped.objective, stopped.bound)


def test_a_second_ctrl_c_leaves_without_a_plan():
    script = "import signal\nfrom abaxial.cli import choosing\n"
    script += "with choosing.watched(5.0, as_json=False).during:\n"
    script += "    signal.raise_signal(signal.SIGINT)\n    signal.raise_signal(signal.SIGINT)\nprint('went on')"

    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)

    assert done.returncode in (130, -signal.SIGINT)
    assert done.stdout == ""


def test_the_week_says_that_its_plan_was_stopped_by_hand_and_how_near_it_is(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    lay_out(folder)
    usual = planning.within_rules

    def interrupted(*given: Any, **named: Any) -> Any:
        signal.raise_signal(signal.SIGINT)
        return usual(*given, **named)

    monkeypatch.setattr(planning, "within_rules", interrupted)
    plan = answered(capsys, "week", "garden.toml", *AT, "--draws", "64")["plan"]
    page = " ".join(told(capsys, "week", "garden.toml", *AT, "--draws", "64").split())

    assert (plan["ended"], plan["allowed_s"]) == ("asked", 5.0)
    assert plan["bound"] <= plan["cost"]
    assert "You stopped the choice by hand" in page
    assert "no plan could cost less than" in page


def test_how_long_to_try_is_passed_on_and_must_be_a_time(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    lay_out(folder)
    efforts: list[Effort] = []
    usual = planning.within_rules

    def noted(question: Any, effort: Effort, **named: Any) -> Any:
        efforts.append(effort)
        return usual(question, effort, **named)

    monkeypatch.setattr(planning, "within_rules", noted)
    told(capsys, "week", "garden.toml", *AT, "--draws", "64", "--seconds", "0")

    assert [each.seconds for each in efforts] == [0.0]
    assert "is not in the range" in told(capsys, "week", "garden.toml", "--seconds", "-1", code=2)
    assert "nan is no number" in told(capsys, "week", "garden.toml", "--seconds", "nan", code=2)

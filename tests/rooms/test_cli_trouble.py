"""How the command line tells trouble, and how it writes files."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from tests.trial_garden import COMMAND
from tests.trial_garden import SITE as GARDEN

from abaxial.cli import main, options, output
from abaxial.errors import RequestError


def test_an_option_that_does_not_exist_is_a_mistake_with_a_way_out(folder: Path, capsys: pytest.CaptureFixture[str]):
    assert main.run(["week", "--colour"]) == 2

    told = capsys.readouterr().err
    assert "--colour" in told
    assert "What to do: See: abaxial week --help" in told


def test_a_mistake_is_told_as_json_where_json_was_asked(folder: Path, capsys: pytest.CaptureFixture[str]):
    (folder / "garden.toml").write_text(GARDEN.replace("-1.3", "95"))

    code = main.run(["week", "--json"])

    told = json.loads(capsys.readouterr().out)
    assert code == 2
    assert told["ok"] is False
    assert told["error"]["kind"] == "GardenError"
    assert "latitude_deg is 95" in told["error"]["message"]
    assert set(told["error"]) >= {"kind", "message", "where", "remedy"}


def test_trouble_as_json_names_the_whole_command(folder: Path, capsys: pytest.CaptureFixture[str]):
    main.run(["weather", "check", "gone.epw", "--json"])

    assert json.loads(capsys.readouterr().out)["schema"] == "abaxial/weather-check/1"


def break_the_garden(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    def broken(given: object) -> None:
        raise error

    monkeypatch.setattr(options, "garden_from", broken)


def test_a_fault_of_ours_is_said_to_be_ours(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    break_the_garden(monkeypatch, ZeroDivisionError("division by zero"))

    assert main.run(["garden", "show"]) == 1
    told = capsys.readouterr().err
    assert "our mistake, not yours" in told
    assert "Traceback" not in told


def test_the_debug_setting_shows_where_a_fault_happened(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    break_the_garden(monkeypatch, ZeroDivisionError("division by zero"))
    monkeypatch.setenv("ABAXIAL_DEBUG", "1")

    assert main.run(["garden", "show"]) == 1
    assert "Traceback" in capsys.readouterr().err


def test_an_interruption_is_quiet(folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    break_the_garden(monkeypatch, KeyboardInterrupt())

    assert main.run(["garden", "show"]) == 130
    assert capsys.readouterr().err.strip() == ""


def test_a_reader_that_leaves_early_is_no_trouble():
    process = subprocess.Popen(
        [*COMMAND, "--help"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, env={**os.environ, "PYTHONUNBUFFERED": ""}
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()

    told = process.stderr.read()
    process.stderr.close()
    process.wait()
    assert told == b""


def test_a_process_told_to_stop_by_the_keyboard_says_nothing():
    script = "import signal, os; from abaxial.cli import options, main\n"
    script += "options.garden_path = lambda given: os.kill(os.getpid(), signal.SIGINT)\n"
    script += "import sys; sys.exit(main.run(['garden', 'show']))"

    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)

    assert done.returncode in (130, -signal.SIGINT)
    assert done.stderr.strip() == ""


def test_a_screen_without_a_degree_sign_is_no_fault(folder: Path):
    (folder / "garden.toml").write_text(GARDEN)

    done = subprocess.run([*COMMAND, "garden", "show"], env={**os.environ, "PYTHONIOENCODING": "ascii"}, check=False)

    assert done.returncode == 0


@pytest.mark.parametrize(
    ("is_warm", "said"), [(False, "Compiling for this machine, once: about half a minute."), (True, "")]
)
def test_the_wait_for_the_compiler_is_announced_once(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], is_warm: bool, said: str
):
    from abaxial import compiled

    monkeypatch.setattr(compiled, "is_warm", lambda: is_warm)

    options.say_if_compiling()

    assert capsys.readouterr().err.strip() == said


# ------------------------------------------------------------------ what is written


def test_a_file_is_written_whole_or_not_at_all(folder: Path, monkeypatch: pytest.MonkeyPatch):
    path = folder / "week.html"
    path.write_text("before")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(RequestError, match="No space left"):
        output.write_whole(path, "after")

    assert path.read_text() == "before"
    assert list(folder.iterdir()) == [path]


def test_an_ending_that_says_no_form_is_refused_before_any_work(folder: Path, capsys: pytest.CaptureFixture[str]):
    assert main.run(["week", "--out", "week.docx"]) == 2
    assert "'week.docx'" in capsys.readouterr().err


def test_a_folder_that_is_not_there_is_refused_before_any_work(folder: Path, capsys: pytest.CaptureFixture[str]):
    assert main.run(["week", "--out", "nowhere/week.pdf"]) == 2
    assert "no such folder" in capsys.readouterr().err

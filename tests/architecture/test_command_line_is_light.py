"""Asking for help costs nothing: no compiler, no arrays, no database is loaded for it."""

import json
import subprocess
import sys
from functools import partial

import pytest
from tests.clock import quickest_s

HEAVY = ("numba", "llvmlite", "numpy", "sqlalchemy", "jinja2", "typst")
ASK = """
import json, sys
from abaxial.cli.main import run
run(["--help"])
print(json.dumps(sorted(sys.modules)), file=sys.stderr)
"""


def test_help_loads_nothing_heavy() -> None:
    asked = subprocess.run([sys.executable, "-c", ASK], capture_output=True, text=True, check=True)

    loaded = set(json.loads(asked.stderr.splitlines()[-1]))
    assert "abaxial.cli.main" in loaded
    assert not loaded & set(HEAVY)


@pytest.mark.alone
def test_the_command_line_answers_in_under_three_tenths_of_a_second() -> None:
    asked, nothing = (quickest_s(partial(_run, script), tries=5) for script in (ASK, "pass"))

    # what Python itself takes to start is the machine's
    assert asked < 0.3 + nothing


def _run(script: str) -> None:
    subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)

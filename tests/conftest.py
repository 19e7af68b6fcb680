"""What holds for every test: no clock limit on examples, no network beyond this machine, no settings from outside."""

import os
import socket
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

# the first call of a kernel compiles, which no deadline should judge
settings.register_profile("abaxial", deadline=None, max_examples=50)
settings.register_profile("ci", deadline=None, max_examples=50, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "abaxial")


@pytest.fixture(autouse=True)
def no_settings_from_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    """A test finds no garden and no forecast address in the environment."""
    for name in [each for each in os.environ if each.startswith("ABAXIAL_")]:
        monkeypatch.delenv(name)


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """A test speaks to nobody but this machine."""
    connect = socket.socket.connect

    def only_here(self: socket.socket, address: Any) -> None:
        host = address[0] if isinstance(address, tuple) else "localhost"
        if host not in ("127.0.0.1", "::1", "localhost"):
            raise AssertionError(f"a test tried to reach {host}")
        connect(self, address)

    monkeypatch.setattr(socket.socket, "connect", only_here)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder in which the test stands."""
    monkeypatch.chdir(tmp_path)
    return tmp_path

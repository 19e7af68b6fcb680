"""The repository names no machine, no registry and no unfinished business."""

import re

import pytest
from tests.architecture.tree import ROOT, label, text_files

# written in pieces, so that this file does not contain what it looks for
PRIVATE = {
    "a path of one machine": r"(?<![\w.])/(?:"
    + "|".join(["work/", "root/", "home/[a-z]", "opt/py", "tmp/br" + "ief"])
    + ")",
    "a package registry": "|".join(
        ["pypi" + r"\.org", "python" + "hosted", "npm" + r"js\.(?:org|com)", "conda" + r"\.anaconda"]
    ),
    "unfinished business": r"\b(?:TO" + r"DO|FIX" + r"ME|X" + r"XX)\b",
    "papers outside the repository": r"\.\./sha" + r"red|\bdoss" + "ier",
}


@pytest.mark.parametrize("what", PRIVATE)
def test_no_file_names(what: str) -> None:
    pattern = re.compile(PRIVATE[what])

    found = [f"{label(path)}: {hit.group()}" for path, text in text_files() if (hit := pattern.search(text))]

    assert found == []


def test_the_locks_pin_every_package_by_hash() -> None:
    for lock in (ROOT / "requirements").glob("*.lock"):
        entries = re.split(r"\n(?=[a-z0-9])", lock.read_text(encoding="utf-8").strip())

        assert all("--hash=sha256:" in entry for entry in entries), lock.name

"""What must never be mixed, by the names gardeners use."""

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any, NamedTuple

from abaxial.provenance import read_table

_FILE = Path(__file__).parent / "never_mix.toml"


class Clash(NamedTuple):
    """Two things that must not meet. one, other : as they were called. makes : kind of harm."""

    one: str
    other: str
    makes: str
    source: str


def kind_of(name: str) -> str:
    """The kind a thing belongs to, such as "acid" for vinegar; "" where nobody here knows it."""
    said = " ".join(name.lower().split())
    found = [kind for kind, names in _table()["names"].items() if said in names]
    return found[0] if found else ""


def clashes(names: Sequence[str]) -> tuple[Clash, ...]:
    """Every pair among some things that must not be mixed; empty where none is known.

    Bleach goes with cold water alone: whatever nobody here knows clashes with it as "unknown".
    """
    return tuple(found for one, other in combinations(names, 2) if (found := _clash(one, other)))


def _clash(one: str, other: str) -> Clash | None:
    kinds = {kind_of(one), kind_of(other)}
    for each in _table()["clash"]:
        if kinds == {each["one"], each["other"]}:
            return Clash(one, other, each["makes"], each["source"])
    return Clash(one, other, "unknown", "practice") if kinds == {"bleach", ""} else None


@cache
def _table() -> Mapping[str, Any]:
    return read_table(_FILE)

"""The single fields of a body, each read by its name; mistakes are noted in the section."""

import re
from collections.abc import Callable, Mapping
from pathlib import PurePosixPath

from abaxial.garden.parts import DISPOSALS
from abaxial.garden.section import LONGEST_PATH, Section, shown

MOST_CLUMPS = 100_000
LONGEST_TEXT = 4000


def read_field(section: Section, name: str) -> None:
    """Look at one field. One that is read with its whole body, as a block of a description, is passed over."""
    reader = _READERS.get(name)
    if reader is not None:
        reader(section, name)


def _text(section: Section, name: str) -> None:
    section.text(name)


def _texts(section: Section, name: str) -> None:
    listed = section.items(name)
    if not listed or not all(isinstance(each, str) and each.strip() and each.isprintable() for each in listed):
        section.wrong(f"{name} is {shown(section.table[name])}; it must be a list of names, with one at least.", "")


def _long_text(section: Section, name: str) -> None:
    value = section.table[name]
    if not isinstance(value, str) or not value.strip() or len(value) > LONGEST_TEXT:
        section.wrong(f"{name} is {shown(value)}; it must be text of 1 to {LONGEST_TEXT} letters.", "")


def _path(section: Section, name: str) -> None:
    path = PurePosixPath(section.text(name, longest=LONGEST_PATH).replace("\\", "/"))
    if path.is_absolute() or ".." in path.parts or ":" in str(path):
        section.wrong(f"{name} is {shown(str(path))}; it must lie beside the journal.", "")


def _table(section: Section, name: str) -> None:
    section.inner(name)


def _numbers(section: Section, name: str) -> None:
    inner = section.inner(name)
    if not inner.table:
        section.wrong(f"{name} is empty.", "")
    for key in inner.table:
        inner.number(key, 0, 1e9)


def _hexadecimal(section: Section, name: str) -> None:
    if not re.fullmatch("[0-9a-f]{64}", str(section.table[name])):
        section.wrong(f"{name} is {shown(section.table[name])}; it must be 64 hexadecimal digits.", "")


_READERS: Mapping[str, Callable[[Section, str], object]] = {
    **dict.fromkeys(("planting", "bed", "name", "remedy", "material", "task"), _text),
    **dict.fromkeys(("text", "remark"), _long_text),
    **dict.fromkeys(("file", "folder"), _path),
    **dict.fromkeys(("details", "body"), _table),
    **dict.fromkeys(("tasks", "values"), _numbers),
    "plantings": _texts,
    "sha256": _hexadecimal,
    "which": lambda section, name: section.choice(name, ("low", "rusted")),
    "disposal": lambda section, name: section.choice(name, DISPOSALS),
    "open": lambda section, name: section.truth(name, default=True),
    "minutes": lambda section, name: section.whole(name, 0, 1440),
    "clumps": lambda section, name: section.whole(name, 0, MOST_CLUMPS),
    "lifted": lambda section, name: section.whole(name, 0, MOST_CLUMPS),
    "number": lambda section, name: section.whole(name, 0, 1_000_000),
}

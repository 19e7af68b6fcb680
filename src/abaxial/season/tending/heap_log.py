"""A compost heap's log as a person keeps it: a table in a text file, one reading a line."""

import csv
from collections.abc import Mapping
from datetime import date
from math import isfinite

from abaxial.errors import RequestError
from abaxial.label.sanitation.compost import PileDay

#: headings in their plain forms, and whether a reading needs one of a row
_CORE = {"core_c": 1.0, "core_f": 5.0 / 9.0}
_HEADINGS = ("date", *_CORE, "turned", "added", "moisture_percent")
_YES, _NO = ("yes", "y", "true", "1", "x"), ("", "no", "n", "false", "0")
_SHAPE = "Write a first line date,core_c,turned and then lines such as 2026-03-01,58,yes; also added, moisture_percent, core_f."


def read_heap_log(text: str, *, where: str) -> tuple[PileDay, ...]:
    """The readings of a log.

    text : with a first line of headings: date, core_c or core_f, and where kept turned, added (yes or no) and
    moisture_percent. where : the file, for messages. Raises RequestError for a line that cannot be read.
    """
    rows = csv.reader(line for line in text.lstrip("\ufeff").splitlines() if line.strip())
    heads = [each.strip().casefold() for each in next(rows, [])]
    strange = [each for each in heads if each not in _HEADINGS]
    if strange or "date" not in heads or sum(each in _CORE for each in heads) != 1 or len(set(heads)) < len(heads):
        raise RequestError(
            f"{where} is no log of a heap: its first line is {','.join(heads)!r}.", remedy=_SHAPE, where=where
        )
    log = []
    for number, row in enumerate(rows, 2):
        if len(row) != len(heads):
            raise RequestError(
                f"{where}, reading {number - 1} has {len(row)} cells of {len(heads)}.", remedy=_SHAPE, where=where
            )
        log.append(
            _reading(dict(zip(heads, (each.strip() for each in row), strict=True)), f"{where}, reading {number - 1}")
        )
    if not log:
        raise RequestError(f"{where} holds no reading.", remedy=_SHAPE, where=where)
    return tuple(log)


def _reading(cells: Mapping[str, str], where: str) -> PileDay:
    try:
        on = date.fromisoformat(cells["date"])
    except ValueError:
        raise RequestError(f"{where}: {cells['date']!r} is no date.", remedy="Write 2026-03-12.", where=where) from None
    core = next(name for name in _CORE if name in cells)
    degrees = _number(cells[core], core, where)
    share = cells.get("moisture_percent", "")
    return PileDay(
        on=on,
        core_c=degrees if core == "core_c" else (degrees - 32.0) * _CORE[core],
        turned=_yes(cells.get("turned", ""), "turned", where),
        moisture_frac=_number(share, "moisture_percent", where) / 100.0 if share else None,
        added=_yes(cells.get("added", ""), "added", where),
    )


def _number(text: str, name: str, where: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if not isfinite(number):
        raise RequestError(f"{where}: {name} is {text!r}, which is no number.", remedy=_SHAPE, where=where)
    return number


def _yes(text: str, name: str, where: str) -> bool:
    said = text.casefold()
    if said not in (*_YES, *_NO):
        raise RequestError(f"{where}: {name} is {text!r}; it must be yes or no.", remedy=_SHAPE, where=where)
    return said in _YES

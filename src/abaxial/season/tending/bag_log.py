"""How warm it was in a bag in the sun, as a thermometer kept it: a table in a text file, one hour a line."""

import csv
from datetime import datetime
from math import isfinite, nan

from abaxial.errors import RequestError

#: headings in their plain forms
_CORE = ("core_c", "core_f")
#: what a bag in the sun, or the thermometer in it, can show [°C]
_LEAST_C, _MOST_C = -40.0, 100.0
_SHAPE = "Write a first line hour,core_c (or core_f) and then lines such as 2026-03-01T13,46; leave out degrees that nobody read."


def read_bag_log(text: str, *, where: str) -> tuple[float, ...]:
    """Degrees in the middle of a bag, hour by hour [°C], NaN for an hour without a reading.

    text : with a first line of headings, hour and core_c or core_f. where : the file, for messages. Raises RequestError for a
    line that cannot be read and for an hour that is there twice.
    """
    rows = csv.reader(line for line in text.lstrip("\ufeff").splitlines() if line.strip())
    heads = [each.strip().casefold() for each in next(rows, [])]
    core = next((each for each in _CORE if each in heads), "")
    if not core or sorted(heads) != sorted(("hour", core)):
        raise _unfit(f"{where} is no log of a bag: its first line is {','.join(heads)!r}.", where)
    found: dict[datetime, float] = {}
    for number, row in enumerate(rows, 1):
        place = f"{where}, reading {number}"
        if len(row) != len(heads):
            raise _unfit(f"{place} has {len(row)} cells of {len(heads)}.", where)
        cells = dict(zip(heads, (each.strip() for each in row), strict=True))
        hour = _hour(cells["hour"], place)
        if hour in found:
            raise _unfit(f"{place}: the hour {cells['hour']} is there twice.", where)
        found[hour] = _degrees_c(cells[core], core, place)
    if not found:
        raise _unfit(f"{where} holds no reading.", where)
    return tuple(found[each] for each in sorted(found))


def _hour(text: str, where: str) -> datetime:
    try:
        read = datetime.fromisoformat(text)
    except ValueError:
        raise _unfit(f"{where}: {text!r} is no hour.", where) from None
    if (read.minute, read.second, read.microsecond, read.tzinfo) != (0, 0, 0, None) or len(text) <= len("2026-03-01"):
        raise _unfit(f"{where}: {text!r} is no whole hour on the garden's clock.", where)
    return read


def _degrees_c(text: str, core: str, where: str) -> float:
    if not text:
        return nan
    try:
        number = float(text)
    except ValueError:
        number = nan
    celsius = number if core == "core_c" else (number - 32.0) * 5.0 / 9.0
    if not isfinite(celsius) or not _LEAST_C <= celsius <= _MOST_C:
        raise _unfit(f"{where}: {core} is {text!r}, which no bag in the sun shows.", where)
    return celsius


def _unfit(message: str, where: str) -> RequestError:
    return RequestError(message, remedy=_SHAPE, where=where)

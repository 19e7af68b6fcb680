"""Clocks: stamps as a station wrote them, brought to seconds of UTC since 1970.

A station keeps UTC, a fixed offset, or the clock of the people around it, which once a year repeats an hour and once
leaves one out. The repeated hour is told apart by the order of the rows.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from functools import cache

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import WeatherError
from abaxial.hours import zone_named

Ints = NDArray[np.int64]
_DAY_S, _HOUR_S = 86_400, 3_600
_CODES = {"%Y": r"(\d{4})", "%y": r"(\d{2})", "%b": r"([A-Za-z]{3})", "%p": r"([AaPp][Mm])", "%f": r"(\d{1,6})"}
_PARTS = ("Y", "m", "d", "H", "M", "S", "y", "b", "I", "p", "f")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True)
class ClockChange:
    """One change of a zone's clock: at a UTC second, from one offset to another [s ahead of UTC]."""

    second: int
    before_s: int
    after_s: int


def pattern_of(time_format: str) -> tuple[re.Pattern[str], tuple[str, ...]]:
    """A pattern for stamps and the parts it finds, from a format of the codes %Y %m %d %H %M %S (also %y %b %I %p %f).

    Raises WeatherError if the format has a code we do not read, or lacks year, month, day or hour.
    """
    parts: list[str] = []
    pieces: list[str] = []
    for piece in re.split(r"(%.)", time_format):
        if piece.startswith("%") and piece[1:] in _PARTS:
            parts.append(piece[1:])
            pieces.append(_CODES.get(piece, r"\s?(\d{1,2})"))
        elif piece.startswith("%"):
            raise WeatherError(
                f"The time format {time_format!r} holds {piece!r}, which is not read.",
                remedy="Use %Y %m %d %H %M %S, and where needed %y %b %I %p.",
            )
        else:
            pieces.append(re.escape(piece))
    wanted = {"year": {"Y", "y"}, "month": {"m", "b"}, "day": {"d"}, "hour": {"H", "I"}}
    lacking = [name for name, codes in wanted.items() if not codes & set(parts)]
    if lacking:
        raise WeatherError(
            f"The time format {time_format!r} has no {' and no '.join(lacking)}.", remedy="Give all of %Y %m %d %H."
        )
    return re.compile("".join(pieces)), tuple(parts)


def stamp_seconds(stamps: Sequence[str], time_format: str, place_of: Callable[[int], str]) -> Ints:
    """Seconds since 1970 on the station's own clock, shape (rows,).

    place_of : row number to file and line, for the error. Hour 24 is the next midnight.
    Raises WeatherError at the first stamp that does not fit the format or is no date.
    """
    pattern, parts = pattern_of(time_format)
    found: list[Sequence[str]] = []
    for row, stamp in enumerate(stamps):
        match = pattern.fullmatch(stamp.strip())
        if match is None:
            raise WeatherError(
                f"{place_of(row)}: the time {stamp!r} does not have the form {time_format!r}.",
                remedy="Correct the line, or declare the form the file has.",
            )
        found.append(match.groups())
    columns = dict(zip(parts, zip(*found, strict=True), strict=True)) if found else {}
    return _assemble(columns, len(stamps), stamps, place_of)


def _assemble(
    columns: dict[str, tuple[str, ...]], size: int, stamps: Sequence[str], place_of: Callable[[int], str]
) -> Ints:
    def part(code: str) -> Ints:
        return np.array(columns[code], dtype=np.int64) if code in columns else np.zeros(size, np.int64)

    year = part("Y") if "Y" in columns else 2000 + part("y")
    if "b" in columns:
        month = np.array([_MONTHS.index(b.lower()) + 1 if b.lower() in _MONTHS else 0 for b in columns["b"]], np.int64)
    else:
        month = part("m")
    day, hour, minute, second = part("d"), part("H"), part("M"), part("S")
    if "I" in columns:
        afternoon = np.array([p.lower() == "pm" for p in columns.get("p", ("am",) * size)])
        hour = part("I") % 12 + 12 * afternoon
    months = (year - 1970) * 12 + np.clip(month, 1, 12) - 1
    first = months.astype("datetime64[M]").astype("datetime64[D]").astype(np.int64)
    after = (months + 1).astype("datetime64[M]").astype("datetime64[D]").astype(np.int64)
    wrong = (month < 1) | (month > 12) | (day < 1) | (day > after - first) | (hour > 24) | (minute > 59) | (second > 59)
    wrong |= (hour == 24) & (minute + second > 0)
    if wrong.any():
        row = int(np.argmax(wrong))
        raise WeatherError(
            f"{place_of(row)}: {stamps[row]!r} is not a date and time that exists.", remedy="Correct that line."
        )
    return (first + day - 1) * _DAY_S + hour * _HOUR_S + minute * 60 + second


def fixed_offset_s(clock: str) -> int | None:
    """Seconds ahead of UTC of a fixed clock such as "utc", "+05:30" or "-5"; None if the text is not of that kind."""
    if clock.strip().lower() in {"utc", "gmt", "z"}:
        return 0
    match = re.fullmatch(r"(?:utc|gmt)?\s*([+-])(\d{1,2})(?::?(\d{2}))?", clock.strip().lower())
    if match is None:
        return None
    sign, whole, minutes = match.groups()
    offset = (int(whole) * 60 + int(minutes or 0)) * 60
    return -offset if sign == "-" else offset


@cache
def clock_changes(zone: str, first_second: int, last_second: int) -> tuple[int, tuple[ClockChange, ...]]:
    """Offset of a zone at first_second [s ahead of UTC], and its changes until last_second.

    Raises InputError if there is no such zone.
    """
    tz = zone_named(zone)
    offset = _offset_s(first_second, tz)
    first_offset, changes = offset, []
    for low in range(first_second, last_second, _DAY_S):
        high = min(low + _DAY_S, last_second)
        if _offset_s(high, tz) == offset:
            continue
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if _offset_s(middle, tz) == offset else (low, middle)
        changes.append(ClockChange(high, offset, _offset_s(high, tz)))
        offset = changes[-1].after_s
    return first_offset, tuple(changes)


def to_utc(local: Ints, clock: str, place_of: Callable[[int], str]) -> tuple[Ints, int]:
    """UTC seconds of stamps in the order of the file, and how many fell in a repeated hour that was written only once.

    clock : "utc", a fixed offset, or an IANA zone. Raises WeatherError at a stamp the zone's clock never showed, and
    InputError if there is no such zone.
    """
    fixed = fixed_offset_s(clock)
    if fixed is not None or local.size == 0:
        return local - (fixed or 0), 0
    begin = (int(local.min()) // _DAY_S - 2) * _DAY_S
    end = (int(local.max()) // _DAY_S + 3) * _DAY_S
    first_offset, changes = clock_changes(clock, begin, end)
    offsets = np.full(local.size, first_offset, np.int64)
    alone = 0
    for change in changes:
        offsets[local >= change.second + change.before_s] = change.after_s
        if change.after_s > change.before_s:
            _refuse_skipped(local, change, clock, place_of)
        else:
            alone += _second_pass(local, offsets, change)
    return local - offsets, alone


def _refuse_skipped(local: Ints, change: ClockChange, clock: str, place_of: Callable[[int], str]) -> None:
    skipped = (local >= change.second + change.before_s) & (local < change.second + change.after_s)
    if skipped.any():
        row = int(np.argmax(skipped))
        shown = datetime.fromtimestamp(int(local[row]), UTC)
        raise WeatherError(
            f"{place_of(row)}: {shown:%Y-%m-%d %H:%M} never was on the clock of {clock}, which went forward then.",
            remedy="If the station stays on standard time all year, declare its fixed offset as clock, such as "
            f'"{change.before_s // _HOUR_S:+03d}:{abs(change.before_s) % _HOUR_S // 60:02d}".',
        )


def _second_pass(local: Ints, offsets: Ints, change: ClockChange) -> int:
    """Give the second showing of a repeated hour its own offset; returns 1 if the hour was shown only once."""
    begin, end = change.second + change.after_s, change.second + change.before_s
    rows = np.flatnonzero((local >= begin) & (local < end))
    if rows.size == 0:
        return 0
    back = np.flatnonzero(np.diff(local[rows]) <= 0)
    if back.size == 0 and rows[0] > 0:
        # shown once: where the clock changes by half an hour, the usual step tells which showing it is
        usual_s, step_s = int(np.median(np.diff(local))), int(local[rows[0]] - local[rows[0] - 1])
        if abs(step_s + change.before_s - change.after_s - usual_s) < abs(step_s - usual_s):
            offsets[rows] = change.after_s
            return 0
        return 1
    if back.size == 0:
        return 0
    offsets[rows[back[0] + 1 :]] = change.after_s
    return 0


def _offset_s(second: int, tz: tzinfo) -> int:
    return int((datetime.fromtimestamp(second, tz).utcoffset() or timedelta()).total_seconds())

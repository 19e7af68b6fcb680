"""JSON that means the same everywhere: an entry as one unmistakable line, and the values of a description in it."""

import hashlib
import json
import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time

from abaxial.journal.entries import Entry

#: where our ids begin, so that nobody else's ids made from content are the same
_NAMESPACE = hashlib.sha1(b"abaxial/journal", usedforsecurity=False).digest()[:16]
#: whole numbers up to here are the same on every machine
SAFE_WHOLE = 2**53
DEEPEST = 60
_READERS = {"@datetime": datetime.fromisoformat, "@date": date.fromisoformat, "@time": time.fromisoformat}


def canonical_text(entry: Entry) -> str:
    """The entry as JSON on one line: keys sorted, no spaces, ASCII, times in UTC to the microsecond, whole numbers
    without a point. Left out: seq and received_at, which the store gives."""
    return _text(entry, {"recorded_at": _moment(entry.recorded_at), "author": entry.author, "device": entry.device})


def content_text(entry: Entry) -> str:
    """What the entry says, as JSON on one line: without who wrote it, on what and when, which may differ between two
    writings of the same thing."""
    return _text(entry, {})


def same_content(one: Entry, other: Entry) -> bool:
    """Whether two entries of one id say the same, whoever wrote them down and when."""
    return content_text(one) == content_text(other)


def digest(entry: Entry) -> str:
    """SHA-256 of the canonical text, 64 hexadecimal digits."""
    return hashlib.sha256(canonical_text(entry).encode("ascii")).hexdigest()


def with_derived_id(entry: Entry) -> Entry:
    """The entry with an id made from what it says, so that writing the same thing twice gives the same id.

    The id is a UUID of version 5 (RFC 9562), as 32 hexadecimal digits.
    """
    return replace(entry, id=_id_from(content_text(replace(entry, id=""))))


def with_own_id(entry: Entry) -> Entry:
    """The entry with an id made from what it says, who wrote it, on what and when: the same thing said at another moment
    is another entry. The id is of the same form."""
    return replace(entry, id=_id_from(canonical_text(replace(entry, id=""))))


def _id_from(text: str) -> str:
    raw = bytearray(hashlib.sha1(_NAMESPACE + text.encode("ascii"), usedforsecurity=False).digest()[:16])
    raw[6] = raw[6] & 0x0F | 0x50
    raw[8] = raw[8] & 0x3F | 0x80
    return raw.hex()


def _text(entry: Entry, written: Mapping[str, object]) -> str:
    fields = {
        "id": entry.id,
        "kind": entry.kind,
        "version": entry.version,
        "happened_from": _moment(entry.happened_from),
        "happened_to": _moment(entry.happened_to),
        "corrects": entry.corrects,
        "body": _one_form(entry.body),
        **written,
    }
    return json.dumps(fields, sort_keys=True, separators=(",", ":"))


def _one_form(value: object) -> object:
    """The value with numbers in the one form that survives every reader of JSON: 1.0 as 1."""
    if isinstance(value, float) and value.is_integer() and abs(value) < SAFE_WHOLE:
        return int(value)
    if isinstance(value, Mapping):
        return {str(key): _one_form(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_one_form(each) for each in value]
    return value


def _moment(moment: datetime) -> str:
    in_utc = moment if moment.tzinfo is None else moment.astimezone(UTC)
    return in_utc.isoformat(timespec="microseconds")


def plain(value: object) -> object:
    """A value that TOML can hold as one that JSON can hold; `told` gives it back."""
    if isinstance(value, datetime):
        return {"@datetime": value.isoformat()}
    if isinstance(value, date):
        return {"@date": value.isoformat()}
    if isinstance(value, time):
        return {"@time": value.isoformat()}
    if isinstance(value, float) and not math.isfinite(value):
        return {"@number": str(value)}
    if isinstance(value, Mapping):
        table = {str(key): plain(each) for key, each in value.items()}
        return {"@table": table} if len(table) == 1 and next(iter(table)).startswith("@") else table
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    return value


def told(value: object) -> object:
    """What `plain` was given; a mark that cannot be read stays as it is."""
    if isinstance(value, list | tuple):
        return [told(each) for each in value]
    if not isinstance(value, Mapping):
        return value
    if len(value) == 1:
        [(mark, inner)] = value.items()
        if mark == "@table" and isinstance(inner, Mapping):
            return {key: told(each) for key, each in inner.items()}
        if isinstance(inner, str) and (mark in _READERS or mark == "@number"):
            return _unmarked(mark, inner, value)
    return {key: told(each) for key, each in value.items()}


def misfits(value: object) -> list[str]:
    """What keeps a value from being JSON that means the same everywhere; nothing if it is."""
    open_ends: list[tuple[object, int]] = [(value, 0)]
    while open_ends:
        each, depth = open_ends.pop()
        if depth > DEEPEST:
            return [f"tables within tables, more than {DEEPEST} deep"]
        if isinstance(each, Mapping):
            if not all(isinstance(key, str) and _is_sound(key) for key in each):
                return ["a key that is not text"]
            open_ends.extend((inner, depth + 1) for inner in each.values())
        elif isinstance(each, list):
            open_ends.extend((inner, depth + 1) for inner in each)
        elif not _is_value(each):
            return [f"a value that JSON cannot hold, or not alike everywhere: {type(each).__name__}"]
    return []


def _is_value(value: object) -> bool:
    if isinstance(value, bool) or value is None:
        return True
    if isinstance(value, int):
        return abs(value) <= SAFE_WHOLE
    if isinstance(value, float):
        return math.isfinite(value)
    return isinstance(value, str) and _is_sound(value)


def _is_sound(text: str) -> bool:
    """Whether a text can be written as UTF-8, and without the one letter that databases refuse."""
    return "\x00" not in text and not any("\ud800" <= letter <= "\udfff" for letter in text)


def _unmarked(mark: str, inner: str, value: Mapping[str, object]) -> object:
    try:
        return float(inner) if mark == "@number" else _READERS[mark](inner)
    except ValueError:
        return value

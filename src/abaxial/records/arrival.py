"""What an entry must be to be taken in, and how it lies in its row."""

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from abaxial.errors import RecordsError
from abaxial.journal.canonical import digest, misfits
from abaxial.journal.entries import Entry, is_possible

_ID = re.compile("[0-9a-f]{32}")
_MOST_VERSION = 2**31 - 1


def refuse_unfit(entry: Entry) -> None:
    """Raise RecordsError for an entry that could not be given back as it came. What it says is the fold's business."""
    where = f"Entry {entry.id!r}"
    if not _ID.fullmatch(entry.id):
        raise RecordsError(f"{where}: an id is 32 hexadecimal digits, in small letters.", remedy="Give it a new one.")
    for name in ("kind", "author", "device", "corrects"):
        value = getattr(entry, name)
        if value is not None and (not isinstance(value, str) or misfits(value)):
            raise RecordsError(f"{where}: {name} is {value!r}, which cannot be kept as text.", remedy="Correct it.")
    if not entry.kind:
        raise RecordsError(f"{where} is of no kind.", remedy="Say what it is.")
    if isinstance(entry.version, bool) or not 0 <= entry.version <= _MOST_VERSION:
        raise RecordsError(f"{where}: version is {entry.version!r}.", remedy="Versions are counted from 1.")
    for name in ("happened_from", "happened_to", "recorded_at"):
        moment: datetime = getattr(entry, name)
        if not is_possible(moment):
            raise RecordsError(
                f"{where}: {name} is {moment.isoformat()}; it must have a zone and lie between 1890 and 2200.",
                remedy="Say which clock it was read from, and check the year.",
            )
    strange = misfits(entry.body) if isinstance(entry.body, Mapping) else ["no table"]
    if strange:
        raise RecordsError(f"{where}: its body holds {strange[0]}.", remedy="Write texts, numbers, lists and tables.")


def row_of(entry: Entry, *, garden: int) -> dict[str, Any]:
    """An entry with its seq and its time of arrival as a row of the table."""
    return {
        "garden": garden,
        "seq": entry.seq,
        "id": entry.id,
        "kind": entry.kind,
        "version": entry.version,
        "happened_from": entry.happened_from,
        "happened_to": entry.happened_to,
        "recorded_at": entry.recorded_at,
        "received_at": entry.received_at,
        "author": entry.author,
        "device": entry.device,
        "corrects": entry.corrects,
        "body": _tables(entry.body),
        "digest": digest(entry),
    }


def entry_of(row: Mapping[Any, Any]) -> Entry:
    """The entry in a row."""
    return Entry(**{name: row[name] for name in Entry.__dataclass_fields__})


def is_unharmed(row: Mapping[Any, Any]) -> bool:
    """Whether a row still holds the entry that was laid there."""
    return digest(entry_of(row)) == str(row["digest"])


def _tables(value: object) -> object:
    """The value with every kind of table as the one that JSON can be written from."""
    if isinstance(value, Mapping):
        return {key: _tables(each) for key, each in value.items()}
    return [_tables(each) for each in value] if isinstance(value, list) else value

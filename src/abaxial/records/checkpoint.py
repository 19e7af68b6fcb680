"""Checkpoints: what was computed up to a garden day, valid while everything it came from is unchanged."""

import hashlib
from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, time, timedelta

from sqlalchemy import Connection, delete, insert, select

from abaxial.errors import InputError
from abaxial.hours import first_hour_of, hour_of, moment_of
from abaxial.journal.canonical import canonical_text
from abaxial.journal.correction import settle
from abaxial.journal.entries import KINDS, Entry
from abaxial.journal.kinds import NOTED, VERSION
from abaxial.records.tables import CHECKPOINT
from abaxial.records.weather_batches import LINK, visible

#: entries that are true at all times, whenever they were written
_TIMELESS = ("garden_described", "bed_laid", "bed_changed", "values_set")
#: how far back a note may reach that tells its time by weekday or by "last night"
_NOTE_REACHES = timedelta(days=8)
#: a date is begun somewhere on earth this long before it is in UTC
_EARLIEST_ZONE = timedelta(hours=14)


def chain_of(
    connection: Connection,
    garden: int,
    entries: Iterable[Entry],
    until_day: int,
    *,
    parameters: Mapping[str, str],
    received_until: datetime | None,
) -> str:
    """One hash of the entries and the weather that bear on the days up to `until_day`, and of the parameters.

    What arrives later and speaks only of later days leaves it unchanged. Returns 64 hexadecimal digits.
    """
    settled = settle(entries)
    cut = _end_of(until_day, settled.entries)
    bearing = [each for each in (*settled.entries, *settled.later) if reaches_back_to(each) < moment_of(cut)]
    lines = sorted(canonical_text(each) for each in bearing)
    lines += [f"{name}={value}" for name, value in sorted(parameters.items())]
    chained = hashlib.sha256(f"{until_day} {cut}".encode())
    for line in lines:
        chained.update(b"\n" + line.encode())
    for row in connection.execute(visible(garden, received_until)).mappings():
        links = min(cut - row["first_hour"], row["end_hour"] - row["first_hour"])
        if links > 0:
            issued = row["issued_at"]
            chained.update(f"\n{row['kind']} {row['source']} {issued} {row['first_hour']} ".encode())
            chained.update(row["hour_chain"][(links - 1) * LINK : links * LINK])
    return chained.hexdigest()


def reaches_back_to(entry: Entry) -> datetime:
    """The earliest moment that an entry may bear on, rather too early than too late."""
    if entry.kind in _TIMELESS or entry.kind not in KINDS or entry.version > VERSION:
        return datetime.min.replace(tzinfo=UTC)
    times = [entry.happened_from]
    if entry.kind in NOTED:
        times.append(entry.happened_from - _NOTE_REACHES)
    for key in ("since", "at"):
        named = _date_in(entry.body.get(key))
        if named is not None:
            times.append(datetime.combine(named, time(), UTC) - _EARLIEST_ZONE)
    return min(times)


def keep(connection: Connection, garden: int, key: str, digest: str, blob: bytes) -> None:
    """Keep what was computed, in place of what was kept under that key before."""
    at = CHECKPOINT.c
    connection.execute(delete(CHECKPOINT).where(at.garden == garden, at.key == key))
    connection.execute(insert(CHECKPOINT).values(garden=garden, key=key, digest=digest, blob=blob))


def kept(connection: Connection, garden: int, key: str, digest: str) -> bytes | None:
    """What was kept under a key, if it came from what the digest stands for; else None."""
    at = CHECKPOINT.c
    asked = select(at.blob).where(at.garden == garden, at.key == key, at.digest == digest)
    return connection.execute(asked).scalar()


def _end_of(day: int, entries: Iterable[Entry]) -> int:
    """The hour after a garden day, by the garden's clock; by universal time where no entry says where it lies."""
    zone = "UTC"
    for each in entries:
        site = each.body.get("site") if each.kind == "garden_described" else None
        if isinstance(site, Mapping):
            zone = str(site.get("zone", zone))
            break
    try:
        return first_hour_of(day + 1, zone)
    except InputError:
        return hour_of(datetime(1970, 1, 2, tzinfo=UTC)) + 24 * day


def _date_in(value: object) -> date | None:
    """The date that a text begins with, in whatever mark it stands."""
    if isinstance(value, Mapping) and len(value) == 1:
        value = next(iter(value.values()))
    try:
        return date.fromisoformat(str(value)[:10])
    except ValueError:
        return None

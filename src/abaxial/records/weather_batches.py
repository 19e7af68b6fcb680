"""Weather as it arrived: batches that are never changed, and the hours in them."""

import hashlib
import json
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import numpy as np
from sqlalchemy import Connection, RowMapping, Select, func, insert, or_, select, update

from abaxial.errors import RecordsError
from abaxial.journal.canonical import misfits, plain, told
from abaxial.records.tables import WEATHER_BATCH, WEATHER_HOUR, WEATHER_MEMBER
from abaxial.weather import series
from abaxial.weather.series import VARIABLES, Finding, Weather

#: bytes of one link of a batch's chain, which has a link for each hour
LINK = 16
#: a question for rows of weather_batch
Asked = Select[Any]
_COLUMNS = ("garden", "batch", "member", "hour", *VARIABLES, *(f"{name}_mark" for name in VARIABLES))


@dataclass(frozen=True, eq=False)
class WeatherBatch:
    """One file, or one answer of a forecast service, as it arrived.

    kind : "station", "grid", "forecast", "notebook" or the like. source : where it came from. issued_at : when its maker
    issued it, None where that is not known. received_at : when it came here; None lets the store say. digest : hash of
    raw_text. reader : form and options it was read with. raw_text : the bytes of the file. members : what was read, the
    control of a forecast first. number : given by the store, in the order of arrival; None before. withdrawn_at : from when
    on it is not to be believed.
    """

    kind: str
    source: str
    issued_at: datetime | None
    received_at: datetime | None
    digest: str
    reader: Mapping[str, object]
    raw_text: bytes
    members: tuple[Weather, ...]
    number: int | None = None
    withdrawn_at: datetime | None = None


def lived_series(batches: Sequence[WeatherBatch], until_hour: int) -> Weather:
    """One series of the hours before `until_hour`, from the first member of each batch.

    A value of the garden itself stands before a grid cell's, that before a forecast's. Of two that are observed the one
    that came first stands, so that none is ever overwritten; of two forecasts the one that was issued last.
    """
    lived = series.empty(until_hour, 0)
    for batch in in_standing(batches):
        first = batch.members[0]
        past = series.between(first, min(first.first_hour, until_hour), min(first.end_hour, until_hour))
        lived = series.merge(lived, past) if lived.hours else past
    return lived


def in_standing(batches: Sequence[WeatherBatch]) -> tuple[WeatherBatch, ...]:
    """Batches in the order in which they are believed: what was observed as it came, then forecasts, the last issued first."""
    observed = [each for each in batches if each.kind != "forecast"]
    forecasts = [each for each in batches if each.kind == "forecast"]
    long_ago = datetime.min.replace(tzinfo=UTC)
    forecasts.sort(key=lambda each: each.issued_at or each.received_at or long_ago, reverse=True)
    return (*observed, *forecasts)


def content_of(batch: WeatherBatch) -> str:
    """What makes a batch itself: 64 hexadecimal digits of where it came from, how it was read, and every hour in it."""
    issued = None if batch.issued_at is None else batch.issued_at.astimezone(UTC).isoformat(timespec="microseconds")
    head = [batch.kind, batch.source, issued, batch.digest, plain(batch.reader)]
    head += [[each.first_hour, each.hours, each.source, each.digest, _findings(each)] for each in batch.members]
    hashed = hashlib.sha256(json.dumps(head, sort_keys=True).encode())
    hashed.update(hashlib.sha256(batch.raw_text).digest())
    hashed.update(hour_chain(batch.members))
    return hashed.hexdigest()


def hour_chain(members: Sequence[Weather]) -> bytes:
    """A link for each hour from the first of all members to the last: the hash of the link before and of what all
    members say of the hour. So a link stands for everything up to its hour."""
    first, end = _span(members)
    rows = []
    for each in members:
        whole = series.between(each, first, end)
        values = np.stack([whole.variable(name) for name in VARIABLES], axis=1)
        # one form of "missing" and one of zero
        values = np.where(np.isnan(values), np.nan, values + 0.0).astype("<f8")
        marks = np.stack([whole.marks[name] for name in VARIABLES], axis=1).astype(np.uint8)
        rows += [np.ascontiguousarray(values).view(np.uint8), marks]
    table = np.concatenate(rows, axis=1)
    link, links = bytes(LINK), []
    for row in table:
        link = hashlib.blake2b(link + row.tobytes(), digest_size=LINK).digest()
        links.append(link)
    return b"".join(links)


def lay_batch(connection: Connection, garden: int, batch: WeatherBatch) -> int:
    """Write a batch with its time of arrival, and give its number; one that is there already only gives its number."""
    _refuse_unfit(batch)
    content = content_of(batch)
    at = WEATHER_BATCH.c
    there = connection.execute(select(at.batch).where(at.garden == garden, at.content == content)).scalar()
    if there is not None:
        return int(there)
    last = connection.execute(select(func.max(at.batch)).where(at.garden == garden)).scalar() or 0
    number = last + 1
    first, end = _span(batch.members)
    row = {
        "garden": garden,
        "batch": number,
        "kind": batch.kind,
        "source": batch.source,
        "issued_at": batch.issued_at,
        "received_at": batch.received_at,
        "withdrawn_at": batch.withdrawn_at,
        "digest": batch.digest,
        "reader": plain(batch.reader),
        "raw_zlib": zlib.compress(batch.raw_text),
        "first_hour": first,
        "end_hour": end,
        "hour_chain": hour_chain(batch.members),
        "content": content,
    }
    connection.execute(insert(WEATHER_BATCH), row)
    for member, weather in enumerate(batch.members):
        _lay_member(connection, (garden, number, member), weather)
    return number


def batches_in(connection: Connection, asked: Asked, *, from_hour: int | None = None) -> Iterator[WeatherBatch]:
    """The batches that were asked for, with all their hours. from_hour : leave out those that end before it."""
    at = WEATHER_MEMBER.c
    for row in connection.execute(asked).mappings().all():
        if from_hour is None or row["end_hour"] > from_hour:
            members = select(WEATHER_MEMBER).where(at.garden == row["garden"], at.batch == row["batch"])
            found = connection.execute(members.order_by(at.member)).mappings().all()
            yield _batch_of(row, tuple(_member_in(connection, each) for each in found))


def every(garden: int) -> Asked:
    """What selects all batches in order of arrival, those withdrawn included."""
    return select(WEATHER_BATCH).where(WEATHER_BATCH.c.garden == garden).order_by(WEATHER_BATCH.c.batch)


def visible(garden: int, received_until: datetime | None) -> Asked:
    """What selects the batches that could be seen at a moment, in order of arrival; None for now."""
    at = WEATHER_BATCH.c
    if received_until is None:
        return every(garden).where(at.withdrawn_at.is_(None))
    return every(garden).where(
        at.received_at <= received_until, or_(at.withdrawn_at.is_(None), at.withdrawn_at > received_until)
    )


def withdraw(connection: Connection, garden: int, number: int, withdrawn_at: datetime) -> bool:
    """Mark a batch as not to be believed from a moment on; whether there was one that stood."""
    at = WEATHER_BATCH.c
    standing = (at.garden == garden, at.batch == number, at.withdrawn_at.is_(None))
    done = connection.execute(update(WEATHER_BATCH).where(*standing).values(withdrawn_at=withdrawn_at))
    return done.rowcount == 1


def _refuse_unfit(batch: WeatherBatch) -> None:
    for name in ("kind", "source"):
        value = getattr(batch, name)
        if not value or misfits(value):
            raise RecordsError(f"A batch of weather: {name} is {value!r}.", remedy="Say what it is, in plain text.")
    if not batch.members:
        raise RecordsError(f"{batch.source}: no series was read from it.", remedy="Check the file.")
    strange = misfits(plain(batch.reader))
    if strange:
        raise RecordsError(f"{batch.source}: how it is read holds {strange[0]}.", remedy="Correct the options.")


def _span(members: Sequence[Weather]) -> tuple[int, int]:
    return min(each.first_hour for each in members), max(each.end_hour for each in members)


def _findings(weather: Weather) -> list[list[object]]:
    return [[each.kind, dict(each.details)] for each in weather.findings]


def _lay_member(connection: Connection, key: tuple[int, int, int], weather: Weather) -> None:
    garden, batch, member = key
    row: dict[str, Any] = {"garden": garden, "batch": batch, "member": member}
    row |= {"first_hour": weather.first_hour, "hours": weather.hours}
    row |= {"source": weather.source, "digest": weather.digest, "findings": _findings(weather)}
    connection.execute(insert(WEATHER_MEMBER), row)
    values = np.stack([weather.variable(name) for name in VARIABLES])
    marks = np.stack([weather.marks[name] for name in VARIABLES])
    said = np.flatnonzero(~np.isnan(values).all(axis=0) | (marks > 0).any(axis=0))
    if not said.size:
        return
    columns = [[None if each != each else each for each in column] for column in values[:, said].tolist()]
    numbers = (said + weather.first_hour).tolist()
    keys = ([each] * len(numbers) for each in key)
    place = "?" if connection.dialect.name == "sqlite" else "%s"
    statement = f"INSERT INTO weather_hour ({', '.join(_COLUMNS)}) VALUES ({', '.join([place] * len(_COLUMNS))})"
    rows = list(zip(*keys, numbers, *columns, *marks[:, said].tolist(), strict=True))
    connection.exec_driver_sql(statement, rows)


def _batch_of(row: RowMapping, members: tuple[Weather, ...]) -> WeatherBatch:
    return WeatherBatch(
        kind=row["kind"],
        source=row["source"],
        issued_at=row["issued_at"],
        received_at=row["received_at"],
        digest=row["digest"],
        reader=told(row["reader"]),  # type: ignore[arg-type]
        raw_text=zlib.decompress(row["raw_zlib"]),
        members=members,
        number=row["batch"],
        withdrawn_at=row["withdrawn_at"],
    )


def _member_in(connection: Connection, row: RowMapping) -> Weather:
    """A series, its hours put where they belong; what has no row is missing."""
    at, size, count = WEATHER_HOUR.c, row["hours"], len(VARIABLES)
    here = (at.garden == row["garden"], at.batch == row["batch"], at.member == row["member"])
    found = connection.execute(select(*(at[name] for name in _COLUMNS[3:])).where(*here)).all()
    # column by column, because arrays are slow to take in rows
    hour, *said = (
        (np.array(column, dtype=np.float64) for column in zip(*found, strict=True)) if found else [np.empty(0)]
    )
    values, marks = np.full((count, size), np.nan), np.zeros((count, size), np.uint8)
    place = hour.astype(np.int64) - row["first_hour"]
    for number, column in enumerate(said):
        (values if number < count else marks)[number % count, place] = column
    columns: dict[str, Any] = dict(zip(VARIABLES, values, strict=True))
    return Weather(
        first_hour=row["first_hour"],
        marks=dict(zip(VARIABLES, marks, strict=True)),
        source=row["source"],
        digest=row["digest"],
        findings=tuple(Finding(kind, details) for kind, details in row["findings"]),
        **columns,
    )

"""A garden's archive: one zip of plain text that holds everything, can be read without us, and makes the garden anew."""

import csv
import hashlib
import io
import json
import zipfile
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
from sqlalchemy import Connection, insert

from abaxial.errors import RecordsError
from abaxial.journal.canonical import plain, told
from abaxial.journal.entries import Entry
from abaxial.records import arrival, backup, weather_batches
from abaxial.records.all_or_nothing import placed, reading
from abaxial.records.opening import make_garden
from abaxial.records.store import Store
from abaxial.records.tables import ENTRY
from abaxial.records.weather_batches import WeatherBatch
from abaxial.weather import series
from abaxial.weather.series import VARIABLES, Finding, Weather

FORM = "abaxial archive 1"
_HEADING = ("member", "hour", *VARIABLES, *(f"{name}_mark" for name in VARIABLES))
_TIMES = ("happened_from", "happened_to", "recorded_at", "received_at")
#: a garden gives the same archive on every day and machine
_NO_DATE = (1980, 1, 1, 0, 0, 0)
_BROKEN = "Take another archive, or a backup; nothing was made."


def write_archive(store: Store, path: Path) -> None:
    """Write everything that cannot be computed again into a new zip.

    In it: garden.json with the hash of every other file, entries.jsonl, and a folder weather/NNNNNN for each batch with
    batch.json, hours.csv and the file as it came. Raises RecordsError if something of that name is there.
    """
    opened, hashes = store.opened, {}
    with (
        placed(path) as draft,
        reading(opened.engine, opened.where) as connection,
        zipfile.ZipFile(draft, "w") as zipped,
    ):

        def put(name: str, content: str | bytes) -> None:
            raw = content.encode() if isinstance(content, str) else content
            hashes[name] = hashlib.sha256(raw).hexdigest()
            zipped.writestr(zipfile.ZipInfo(name, _NO_DATE), raw, zipfile.ZIP_DEFLATED)

        rows = backup.rows_in(connection, opened.garden, ENTRY)
        put("entries.jsonl", "".join(f"{_json(_entry_fields(arrival.entry_of(row)))}\n" for row in rows))
        for batch in weather_batches.batches_in(connection, weather_batches.every(opened.garden)):
            folder = f"weather/{batch.number:06d}"
            put(f"{folder}/batch.json", _json(_batch_fields(batch), indent=1))
            put(f"{folder}/hours.csv", _hours_csv(batch))
            put(f"{folder}/as_it_came", batch.raw_text)
        described = {name: _time(value) for name, value in backup.garden_row(connection, opened.garden).items()}
        put("garden.json", _json({"form": FORM, **described, "files": dict(hashes)}, indent=1))


def restore_archive(path: Path, destination: str | Path) -> None:
    """Make the garden in an archive anew, in a file or in a PostgreSQL database: equal to the one it was written from.

    Raises RecordsError, with nothing made, if the archive is damaged or no archive, or the garden is there already.
    """
    try:
        with zipfile.ZipFile(path) as zipped:
            described = json.loads(zipped.read("garden.json"))
            if described.get("form") != FORM:
                raise RecordsError(
                    f"{path} is of the form {described.get('form')!r}; this version reads {FORM!r}.",
                    remedy="Install the newest version of abaxial.",
                    where=str(path),
                )
            row = {"made_at": _moment(described["made_at"]), "last_seq": described["last_seq"]}
            row["last_received_at"] = _moment(described["last_received_at"])

            def filling(connection: Connection, garden: int) -> None:
                _fill(connection, garden, _Archive(zipped, described["files"], path))
                backup.set_garden_row(connection, garden, row)
                backup.refuse_problems(connection, garden, str(path))

            make_garden(destination, garden_id=described["id"], filling=filling)
    except (OSError, zipfile.BadZipFile, KeyError, TypeError, ValueError, AttributeError) as error:
        raise RecordsError(
            f"{path} is no archive of a garden, or a damaged one: {error}.", remedy=_BROKEN, where=str(path)
        ) from error


class _Archive:
    """An open archive, of which only files are read that are as they were written."""

    def __init__(self, zipped: zipfile.ZipFile, hashes: Mapping[str, str], path: Path) -> None:
        self.zipped, self.hashes, self.path = zipped, hashes, path

    def content(self, name: str) -> bytes:
        raw = self.zipped.read(name)
        if hashlib.sha256(raw).hexdigest() != self.hashes[name]:
            raise RecordsError(f"{self.path}: {name} in it is not as it was written.", remedy=_BROKEN, where=name)
        return raw


def _fill(connection: Connection, garden: int, archive: _Archive) -> None:
    rows = []
    for line in archive.content("entries.jsonl").decode().split("\n")[:-1]:
        entry = _entry(json.loads(line))
        arrival.refuse_unfit(entry)
        rows.append(arrival.row_of(entry, garden=garden))
    if rows:
        connection.execute(insert(ENTRY), rows)
    for folder in sorted({name.rpartition("/")[0] for name in archive.hashes if name.startswith("weather/")}):
        head = json.loads(archive.content(f"{folder}/batch.json"))
        members = _members(head["members"], archive.content(f"{folder}/hours.csv").decode())
        batch = _batch(head, archive.content(f"{folder}/as_it_came"), members)
        weather_batches.lay_batch(connection, garden, batch)


# ---------------------------------------------------------------- entries


def _entry_fields(entry: Entry) -> dict[str, object]:
    names = ("seq", "id", "kind", "version", *_TIMES, "author", "device", "corrects", "body")
    return {name: _time(getattr(entry, name)) for name in names}


def _entry(fields: Mapping[str, Any]) -> Entry:
    times: dict[str, Any] = {name: _moment(fields[name]) for name in _TIMES}
    return Entry(**{**fields, **times})


# ---------------------------------------------------------------- weather


def _batch_fields(batch: WeatherBatch) -> dict[str, object]:
    return {
        "kind": batch.kind,
        "source": batch.source,
        "issued_at": _time(batch.issued_at),
        "received_at": _time(batch.received_at),
        "withdrawn_at": _time(batch.withdrawn_at),
        "digest": batch.digest,
        "reader": plain(batch.reader),
        "members": [
            {
                "first_hour": each.first_hour,
                "hours": each.hours,
                "source": each.source,
                "digest": each.digest,
                "findings": [[finding.kind, dict(finding.details)] for finding in each.findings],
            }
            for each in batch.members
        ],
    }


def _batch(fields: Mapping[str, Any], raw: bytes, members: tuple[Weather, ...]) -> WeatherBatch:
    times: dict[str, Any] = {name: _moment(fields[name]) for name in ("issued_at", "received_at", "withdrawn_at")}
    same = {name: fields[name] for name in ("kind", "source", "digest")}
    reader: Any = told(fields["reader"])
    return WeatherBatch(**same, **times, reader=reader, raw_text=raw, members=members)


def _hours_csv(batch: WeatherBatch) -> str:
    """The hours of all members; an empty cell is a missing value."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_HEADING)
    for member, weather in enumerate(batch.members):
        values = (weather.variable(name).tolist() for name in VARIABLES)
        cells = (["" if each != each else repr(each) for each in column] for column in values)
        marks = (weather.marks[name].tolist() for name in VARIABLES)
        hours = range(weather.first_hour, weather.end_hour)
        writer.writerows([member, *row] for row in zip(hours, *cells, *marks, strict=True))
    return text.getvalue()


def _members(heads: list[dict[str, Any]], text: str) -> tuple[Weather, ...]:
    reader = csv.reader(io.StringIO(text))
    if next(reader, None) != list(_HEADING):
        raise ValueError("hours.csv has other columns")
    rows: dict[int, list[list[str]]] = {}
    for row in reader:
        rows.setdefault(int(row[0]), []).append(row)
    return tuple(_member(head, rows.get(number, [])) for number, head in enumerate(heads))


def _member(head: Mapping[str, Any], rows: list[list[str]]) -> Weather:
    count = len(VARIABLES)
    whole = series.empty(head["first_hour"], head["hours"], source=head["source"], digest=head["digest"])
    if len(rows) != whole.hours:
        raise ValueError(f"hours.csv has {len(rows)} hours of {whole.hours}")
    cells = [[float(cell or "nan") for cell in row[2:]] for row in rows]
    table = np.array(cells, dtype=np.float64).reshape(whole.hours, 2 * count).T
    columns: dict[str, Any] = dict(zip(VARIABLES, np.ascontiguousarray(table[:count]), strict=True))
    return Weather(
        first_hour=whole.first_hour,
        marks=dict(zip(VARIABLES, table[count:].astype(np.uint8), strict=True)),
        source=whole.source,
        digest=whole.digest,
        findings=tuple(Finding(kind, details) for kind, details in head["findings"]),
        **columns,
    )


def _time(value: object) -> Any:
    return value.isoformat(timespec="microseconds") if isinstance(value, datetime) else value


def _moment(value: str | None) -> datetime | None:
    return None if value is None else datetime.fromisoformat(value)


def _json(value: object, indent: int | None = None) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, indent=indent)

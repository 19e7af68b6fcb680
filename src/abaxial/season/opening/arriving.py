"""What comes into a garden file: weather as it arrives, and a whole description with its walks and its weather."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from abaxial import hours
from abaxial.errors import WeatherError
from abaxial.garden.parts import Garden, WeatherSource
from abaxial.host.species import read_species
from abaxial.journal.entries import Entry
from abaxial.journal.writing import entries_of
from abaxial.place import Place as Ground
from abaxial.provenance import digest
from abaxial.records.filling import make_filled
from abaxial.records.store import Store
from abaxial.records.weather_batches import WeatherBatch
from abaxial.season.opening.description import open_description
from abaxial.season.opening.garden_file import folder_of
from abaxial.season.opening.opened import Place
from abaxial.weather import readers


class Writer(NamedTuple):
    """Who writes, on what, and when."""

    author: str
    device: str
    recorded_at: datetime


class LaidIn(NamedTuple):
    """What came into a new garden file."""

    garden: Garden
    entries: list[Entry]
    batches: list[WeatherBatch]


def lay_in(description: Path, destination: Place, writer: Writer, *, received_at: datetime | None) -> LaidIn:
    """Make a garden file, or a garden in a database, from a description with its walks and its weather files.

    received_at : when it came, the database's clock if None. Raises as the readers do, and RecordsError where the garden
    is there already; then nothing is made.
    """
    opened = open_description(description, at=None)
    garden = opened.garden
    for host in sorted({each.host for each in garden.plantings}):
        # hosts of one's own are looked for beside the garden file
        read_species(host, Path(folder_of(destination)))
    sightings = sorted(opened.sightings + opened.stray, key=lambda each: (each.on, each.planting, each.part))
    entries = entries_of(garden, sightings, **writer._asdict())
    folder = Path(garden.folder)
    batches = [batch_of(each, folder, garden.place, now=writer.recorded_at) for each in garden.weather]
    make_filled(destination, entries, batches, received_at=received_at)
    return LaidIn(garden, entries, batches)


def batch_of(
    source: WeatherSource, folder: Path, place: Ground, *, now: datetime, issued_at: datetime | None = None
) -> WeatherBatch:
    """A weather file as a batch that can be kept.

    folder : where the file lies. now : hours from then on are a forecast where a forecast service answered. issued_at :
    when the service answered, where that is known. Raises WeatherError as the reader of its form does.
    """
    reader = {"form": source.form, **source.options}
    now_hour = hours.hour_of(now)
    read = readers.read_all({"file": source.path, **reader}, folder, place, now_hour=now_hour)
    path = folder / source.path
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise WeatherError(f"{path}: {error.strerror}.", remedy="Check the name.") from None
    # where it lay is nobody's business later
    members = [replace(each, source=each.source.replace(str(path), source.path)) for each in read]
    return WeatherBatch(
        kind=_kind(source.form, members[0].end_hour, now_hour),
        source=source.path,
        issued_at=issued_at,
        received_at=None,
        digest=digest(raw),
        reader=reader,
        raw_text=raw,
        members=tuple(members),
    )


def take_in(kept: Store, batch: WeatherBatch) -> tuple[int, bool]:
    """Take a batch into a garden file: its number, and whether it is new.

    A file that came before, to the letter, changes nothing: read again later, hours that it foretold would seem to have
    been observed.
    """
    there = _same_file(kept.weather(), batch)
    if there is not None:
        return there, False
    return kept.add_weather(batch), True


def _same_file(batches: Iterable[WeatherBatch], batch: WeatherBatch) -> int | None:
    return next(
        (each.number for each in batches if each.raw_text == batch.raw_text and each.reader == batch.reader), None
    )


def _kind(form: str, end_hour: int, now_hour: int) -> str:
    if form == "forecast_json":
        return "forecast" if end_hour > now_hour else "grid"
    return "notebook" if form == "notebook" else "station"

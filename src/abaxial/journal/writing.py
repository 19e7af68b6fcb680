"""A described garden, and what was seen in it, as entries."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from abaxial.errors import WeatherError
from abaxial.garden.parts import Garden
from abaxial.garden.writing import garden_table
from abaxial.hours import moment_of, zone_named
from abaxial.journal.canonical import plain, with_derived_id
from abaxial.journal.entries import Entry
from abaxial.journal.kinds import VERSION
from abaxial.journal.noticed import seen_of
from abaxial.scouting.sightings import Sighting
from abaxial.weather.observations import RainObservation, read_note

#: when a bed was laid of which nobody has said it: before anybody wrote
BEFORE_MEMORY = datetime(1890, 1, 2, tzinfo=UTC)
#: clock hours given to what has only a date; a planting is there before anything is done in it
_MADE_AT, _DONE_AT = time(6), time(12)
_CUTS: tuple[tuple[str, str, dict[str, object]], ...] = (
    ("cut_down", "cut_down", {}),
    ("low_leaves_off", "leaves_taken_off", {"which": "low"}),
)


@dataclass(frozen=True)
class _Writer:
    """Who writes, on what, when, and by which clock."""

    author: str
    device: str
    recorded_at: datetime
    zone: ZoneInfo

    def entry(self, kind: str, begins: datetime, body: Mapping[str, object], ends: datetime | None = None) -> Entry:
        """An entry with an id made from what it says."""
        times = (begins.astimezone(UTC), (ends or begins).astimezone(UTC), self.recorded_at.astimezone(UTC))
        return with_derived_id(Entry("", kind, VERSION, *times, self.author, self.device, None, body))

    def on(self, day: date, hour: time) -> datetime:
        """An hour of a date, on the garden's clock."""
        return datetime.combine(day, hour, self.zone)


def entries_of(
    garden: Garden, sightings: Iterable[Sighting], *, author: str, device: str, recorded_at: datetime
) -> list[Entry]:
    """The entries that fold into this garden and these sightings.

    recorded_at : now, with its zone. Ids follow from what is said, so that writing the same twice gives the same ids.
    Beds, and the garden itself, are taken to have been there before anybody wrote; plantings since their `since`. The
    garden's own `walks` are left out: `sightings` is what they say.
    """
    writer = _Writer(author, device, recorded_at, zone_named(garden.place.zone))
    table = garden_table(garden)
    described = {key: plain(table[key]) for key in ("site", "gardener", "weather")}
    entries = [writer.entry("garden_described", BEFORE_MEMORY, described)]
    for number, bed in enumerate(table["bed"]):
        entries.append(writer.entry("bed_laid", BEFORE_MEMORY + timedelta(hours=1), {**bed, "number": number}))
    for number, planting in enumerate(table["planting"]):
        entries += _planting(writer, planting, number)
    for number, options in enumerate(table["noted"]):
        entries.append(_note(writer, garden, options, number))
    by_date = sorted(sightings, key=lambda each: each.on)
    for day, seen in groupby(by_date, key=lambda each: each.on):
        entries.append(writer.entry("walked", writer.on(day, _DONE_AT), {"seen": [seen_of(each) for each in seen]}))
    return entries


def _planting(writer: _Writer, table: Mapping[str, Any], number: int) -> Iterable[Entry]:
    body = {key: value for key, value in table.items() if key not in ("cut_down", "low_leaves_off")}
    since: date = table["since"]
    made = {**body, "since": since.isoformat(), "number": number}
    yield writer.entry("planting_made", writer.on(since, _MADE_AT), made)
    for key, kind, more in _CUTS:
        for day in table.get(key, ()):
            yield writer.entry(kind, writer.on(day, _DONE_AT), {"planting": table["name"], **more})


def _note(writer: _Writer, garden: Garden, options: Mapping[str, object], number: int) -> Entry:
    """A note as it was written, at the hours it speaks of; one that cannot be read is left for the fold to ask about."""
    kind = "wetness_noted" if "leaves" in options else "rain_noted"
    body = {**{key: plain(value) for key, value in options.items()}, "number": number}
    try:
        read = read_note(options, garden.place, where=garden.name)
    except (WeatherError, OverflowError):
        return writer.entry(kind, BEFORE_MEMORY, body)
    first, end = (read.first_hour, read.end_hour) if isinstance(read, RainObservation) else (read.hour, read.hour)
    return writer.entry(kind, moment_of(first), body, moment_of(end))

"""A described garden, and what was seen in it, as entries."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from abaxial.errors import WeatherError
from abaxial.garden.parts import FLOWERS, Garden
from abaxial.garden.writing import garden_table
from abaxial.hours import moment_of, zone_named
from abaxial.journal.body.details import clock_of
from abaxial.journal.canonical import plain, with_derived_id
from abaxial.journal.entries import Entry
from abaxial.journal.kinds import VERSION
from abaxial.journal.lives import CUTS
from abaxial.journal.noticed import seen_of
from abaxial.scouting.sightings import Sighting
from abaxial.weather.observations import RainObservation, read_note

#: when a bed was laid of which nobody has said it: before anybody wrote
BEFORE_MEMORY = datetime(1890, 1, 2, tzinfo=UTC)
#: clock hours given to what has only a date; a planting is there before anything is done in it
_MADE_AT, _DONE_AT = time(6), time(12)


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
    for number, options in enumerate(table["bottle"]):
        entries.append(_bottle(writer, options, number))
    for number, options in enumerate(table["treatment"]):
        entries.append(_treatment(writer, options, number))
    for number, options in enumerate(table["declined"]):
        body = {key: plain(value) for key, value in options.items() if key != "on"}
        entries.append(writer.entry("task_declined", writer.on(options["on"], _DONE_AT), {**body, "number": number}))
    if garden.values:
        # what is set in the journal later goes before it
        entries.append(writer.entry("values_set", BEFORE_MEMORY + timedelta(hours=3), {"values": table["values"]}))
    by_date = sorted(sightings, key=lambda each: each.on)
    for day, seen in groupby(by_date, key=lambda each: each.on):
        entries.append(writer.entry("walked", writer.on(day, _DONE_AT), {"seen": [seen_of(each) for each in seen]}))
    return entries


def _planting(writer: _Writer, table: Mapping[str, Any], number: int) -> Iterable[Entry]:
    body = {key: value for key, value in table.items() if key not in (*CUTS.values(), *FLOWERS, "disposals")}
    went = {(each["on"], each["what"]): each["way"] for each in table.get("disposals", ())}
    since: date = table["since"]
    made = {**body, "since": since.isoformat(), "number": number}
    yield writer.entry("planting_made", writer.on(since, _MADE_AT), made)
    for (kind, which), key in CUTS.items():
        more = {"which": which} if which else {}
        for day in table.get(key, ()):
            disposal = {"disposal": went[day, key]} if (day, key) in went else {}
            yield writer.entry(kind, writer.on(day, _DONE_AT), {"planting": table["name"], **more, **disposal})
    for key, said in zip(FLOWERS, ({}, {"open": False}), strict=True):
        for day in table.get(key, ()):
            yield writer.entry("flowering_seen", writer.on(day, _DONE_AT), {"planting": table["name"], **said})


def _bottle(writer: _Writer, options: Mapping[str, Any], number: int) -> Entry:
    """A purchase, at its date; of a bottle that was always there, before anybody wrote."""
    details = {key: plain(value) for key, value in options.items() if key not in ("name", "bought_on")}
    body = {"material": options["name"], **({"details": details} if details else {}), "number": number}
    day: date | None = options.get("bought_on")
    begins = BEFORE_MEMORY + timedelta(hours=2) if day is None else writer.on(day, _MADE_AT)
    return writer.entry("material_bought", begins, body)


def _treatment(writer: _Writer, options: Mapping[str, Any], number: int) -> Entry:
    """What was done, at its hours where they are known."""
    body = {key: plain(value) for key, value in options.items() if key != "on"}
    day, details = options["on"], options.get("details", {})
    started, ended = clock_of(details.get("started")), clock_of(details.get("ended"))
    begins = writer.on(day, started or _DONE_AT)
    if started is None or ended is None:
        return writer.entry("remedy_done", begins, {**body, "number": number})
    ends = writer.on(day if started <= ended else day + timedelta(days=1), ended)
    return writer.entry("remedy_done", begins, {**body, "number": number}, ends)


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

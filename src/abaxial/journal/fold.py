"""The fold: from all entries to the garden as it stands, what was seen in it, and what is to be asked.

It never fails: what it cannot make sense of becomes a question, and the rest is folded as if that had not been written.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, tzinfo
from pathlib import Path
from typing import Any, NamedTuple

from abaxial.garden.description import garden_from
from abaxial.garden.parts import FLOWERS, Garden, Planting
from abaxial.hours import zone_named
from abaxial.journal.correction import settle
from abaxial.journal.entries import KINDS, Entry, fold_order
from abaxial.journal.ground import Event, LaidBed, bed_question, in_order, key_of, lay_beds
from abaxial.journal.kinds import NOTED, VERSION, body_problems, weather_tables, without_loose
from abaxial.journal.lives import CUTS, Life, Lives, find, lead_lives
from abaxial.journal.noticed import note_problems, noted_options, sightings_of
from abaxial.journal.questions import Question, ask
from abaxial.journal.shelf.folding import Declined, Kept, kept_in
from abaxial.journal.shelf.treatment import Treatment
from abaxial.label.bottle import Bottle
from abaxial.place import Place
from abaxial.scouting.sightings import Sighting

#: kinds that change neither garden nor sightings and are handed on as they are
NOTES = ("remedy_done", "material_bought", "task_declined", "note", "photo")


class _Numbered(NamedTuple):
    table: dict[str, object]
    number: int | None


@dataclass(frozen=True)
class Former:
    """A planting that stands no more. ended_on : its last day. planting.clumps : how many stood last."""

    planting: Planting
    ended_on: date


@dataclass(frozen=True)
class Descent:
    """Where a planting came from. how : "moved" or "divided". on : the day it was taken from its parent."""

    planting: str
    parent: str
    how: str
    on: date


@dataclass(frozen=True)
class Folded:
    """What all entries add up to.

    garden : None where no entry describes it. sightings : of plantings that stood on their day, former ones included, by
    date, planting and part. notes : entries that change neither, in fold order, those of later versions included.
    stray : sightings of plantings that did not stand on their day. values : what the gardener set, by name; task_minutes :
    minutes for a task, by its kind [min]. bottles : on the shelf, with what is left in them; prices : of a millilitre or gram,
    by the bottle's name, where known. done : what was done about rust, cuts too, in order. declined : proposals turned down.
    """

    garden: Garden | None
    sightings: tuple[Sighting, ...]
    notes: tuple[Entry, ...]
    questions: tuple[Question, ...]
    stray: tuple[Sighting, ...] = ()
    former: tuple[Former, ...] = ()
    descent: tuple[Descent, ...] = ()
    values: Mapping[str, float] = field(default_factory=dict)
    task_minutes: Mapping[str, float] = field(default_factory=dict)
    bottles: tuple[Bottle, ...] = ()
    prices: Mapping[str, float] = field(default_factory=dict)
    done: tuple[Treatment, ...] = ()
    declined: tuple[Declined, ...] = ()


def fold(entries: Iterable[Entry], *, until: date | None = None, folder: str = ".") -> Folded:
    """What the entries add up to, in whatever order they come.

    until : only what had happened by the end of that date, on the garden's clock; None for everything. Where the garden
    lies and what it is called is true at all times. folder : where the files lie that the garden names.
    """
    settled = settle(entries)
    sound, later, sifting = _sifted(settled.entries)
    described, describing = _description(sound)
    zone = UTC if described is None else zone_named(str(_site(described)["zone"]))
    events = _events(sound, zone, until)
    beds, laying = lay_beds(events)
    lives, living = lead_lives(events, beds)
    sightings, stray, seeing = _seen(events, beds, lives)
    garden, former, noting = _assembled(described, events, beds, lives, folder)
    shelved, values = kept_in(events, lives, zone), _set(events, "values_set", "values")
    asked = [*settled.questions, *sifting, *describing, *laying, *living, *seeing, *noting, *_naming(events, lives)]
    kept = [each for each in events if each.entry.kind in NOTES] + _events([*later, *settled.later], zone, until)
    return Folded(
        garden=_with_shelf(garden, shelved, values),
        sightings=sightings,
        notes=tuple(sorted((each.entry for each in kept), key=fold_order)),
        questions=(*asked, *shelved.shelf.questions),
        stray=stray,
        former=former,
        descent=tuple(
            Descent(each.name, each.parent, each.how, each.begins_on) for each in lives.values() if each.parent
        ),
        values=values,
        task_minutes=_set(events, "minutes_set", "tasks"),
        bottles=shelved.shelf.bottles,
        prices=shelved.shelf.prices,
        done=shelved.shelf.done,
        declined=shelved.declined,
    )


def _with_shelf(garden: Garden | None, shelved: Kept, values: Mapping[str, float]) -> Garden | None:
    """The garden with bottles, what was done and turned down, and what was set, as a description would list them."""
    if garden is None:
        return None
    return replace(
        garden,
        bottles=shelved.bottles,
        treatments=shelved.treatments,
        declined=shelved.turned_down,
        values=values,
    )


def _sifted(entries: Iterable[Entry]) -> tuple[list[Entry], list[Entry], list[Question]]:
    """Entries that can be understood, those of later versions, and what is to be asked of the rest."""
    sound, later, questions = [], [], []
    for each in entries:
        if each.kind not in KINDS:
            later.append(each)
            questions.append(ask("unknown_kind", each.id, kind=each.kind))
        elif each.version > VERSION:
            later.append(each)
            questions.append(ask("newer_version", each.id, kind=each.kind, version=each.version))
        elif problems := body_problems(each.kind, each.version, each.body):
            questions.append(ask("malformed", each.id, kind=each.kind, problems=problems))
        elif each.happened_to < each.happened_from:
            times = {"begins": each.happened_from, "ends": each.happened_to}
            questions.append(ask("time_backwards", each.id, kind=each.kind, **times))
            sound.append(replace(each, happened_to=each.happened_from))
        else:
            sound.append(each)
    return sound, later, questions


def _description(sound: Sequence[Entry]) -> tuple[Entry | None, list[Question]]:
    """The first description of the garden, and questions about any other, or about there being none."""
    found = [each for each in sound if each.kind == "garden_described"]
    if not found:
        return None, [ask("no_garden", "")] if sound else []
    again = [ask("garden_described_twice", each.id, name=_site(each)["name"]) for each in found[1:]]
    return found[0], again


def _site(described: Entry) -> Mapping[str, Any]:
    site: Mapping[str, Any] = described.body["site"]  # type: ignore[assignment]
    return site


def _events(entries: Iterable[Entry], zone: tzinfo, until: date | None) -> list[Event]:
    """The entries with their dates on the garden's clock, as far as they had happened."""
    events = []
    for each in entries:
        on, ended_on = (moment.astimezone(zone).date() for moment in (each.happened_from, each.happened_to))
        if until is None or max(on, ended_on) <= until:
            events.append(Event(each, on))
    return events


def _seen(
    events: Iterable[Event], beds: Mapping[str, LaidBed], lives: Lives
) -> tuple[tuple[Sighting, ...], tuple[Sighting, ...], list[Question]]:
    """Sightings of plantings that stood on the day, under their names; the strays; and questions."""
    kept: list[Sighting] = []
    stray: list[Sighting] = []
    asked: dict[tuple[str, str], Question] = {}
    for each in events:
        for sighting in sightings_of(each.body["seen"], each.on) if each.entry.kind == "walked" else ():
            life, questions = find(each, sighting.planting, lives)
            if life is None:
                stray.append(sighting)
            else:
                kept.append(replace(sighting, planting=life.name))
                unlaid = bed_question(each, beds, str(life.table["bed"]))
                questions = [] if unlaid is None else [unlaid]
            # one question for a walk and a planting, however much was seen on it
            for question in questions:
                asked.setdefault((each.entry.id, key_of(sighting.planting)), question)
    return _by_date(kept), _by_date(stray), list(asked.values())


def _by_date(sightings: Iterable[Sighting]) -> tuple[Sighting, ...]:
    return tuple(sorted(sightings, key=lambda each: (each.on, each.planting, each.part)))


def _naming(events: Iterable[Event], lives: Lives) -> Iterable[Question]:
    """Questions about notes that name plantings which did not stand on their day."""
    for each in events:
        if each.entry.kind in NOTES:
            one = each.body.get("planting")
            for name in [one] if one is not None else each.body.get("plantings", ()):
                yield from find(each, name, lives)[1]


def _set(events: Iterable[Event], kind: str, key: str) -> dict[str, float]:
    """What the gardener set last, name by name."""
    values: dict[str, float] = {}
    for each in events:
        if each.entry.kind == kind:
            values |= {name: float(value) for name, value in each.body.get(key, {}).items()}
    return values


def _assembled(
    described: Entry | None, events: Sequence[Event], beds: Mapping[str, LaidBed], lives: Lives, folder: str
) -> tuple[Garden | None, tuple[Former, ...], list[Question]]:
    """The garden as its description would give it, the plantings that stand no more, and questions about notes."""
    if described is None:
        return None, (), []
    site = dict(_site(described))
    place = garden_from({"site": site}, where="journal", folder=folder).place
    noted, questions = _noted(events, beds, place)
    named = described.body.get("folder")
    garden = garden_from(
        {
            "site": site,
            "gardener": _gardener(described, events),
            "weather": weather_tables(described.body),
            "bed": [dict(each.table) for each in in_order(beds.values())],
            "planting": [_table(each) for each in in_order(lives.values())],
            "noted": noted,
        },
        where="journal",
        folder=folder if named is None else str(Path(folder) / str(named)),
    )
    ended = {each.name: each.ended_on for each in lives.values() if each.ended_on is not None}
    former = tuple(Former(each, ended[each.name]) for each in garden.plantings if each.name in ended)
    standing = tuple(each for each in garden.plantings if each.name not in ended)
    return replace(garden, plantings=standing), former, questions


def _gardener(described: Entry, events: Iterable[Event]) -> dict[str, object]:
    """The [gardener] table, with what was set since."""
    table: dict[str, Any] = dict(described.body.get("gardener", {}))  # type: ignore[call-overload]
    for each in events:
        if each.entry.kind == "minutes_set":
            table |= {key: each.body[key] for key in ("days", "minutes") if key in each.body}
    return table


def _noted(
    events: Iterable[Event], beds: Mapping[str, LaidBed], place: Place
) -> tuple[list[dict[str, object]], list[Question]]:
    """The [[noted]] tables; a note without a time of its own has that of its entry."""
    kept, questions = [], []
    zone = zone_named(place.zone)
    for each in events:
        if each.entry.kind not in NOTED:
            continue
        options = noted_options(without_loose(each.body))
        if "at" not in options:
            begins, ends = each.entry.happened_from.astimezone(zone), each.entry.happened_to.astimezone(zone)
            options["at"] = ends.replace(tzinfo=None).isoformat(" ", "minutes")
            if each.entry.kind == "rain_noted" and "since" not in options and begins < ends:
                options["since"] = begins.replace(tzinfo=None).isoformat(" ", "minutes")
        bed = str(options.get("bed", ""))
        if bed and key_of(bed) not in beds:
            questions.append(ask("bed_unknown", each.entry.id, kind=each.entry.kind, bed=bed))
        elif problems := note_problems(each.entry.kind, options, place):
            questions.append(ask("malformed", each.entry.id, kind=each.entry.kind, problems=problems))
        else:
            named = {"bed": beds[key_of(bed)].name} if bed else {}
            kept.append(_Numbered(options | named, each.body.get("number")))
    return [each.table for each in in_order(kept)], questions


def _table(life: Life) -> dict[str, object]:
    """A [[planting]] table."""
    dates = {field: sorted(getattr(life, field)) for field in (*CUTS.values(), *FLOWERS)}
    return {**life.table, **dates, "disposals": [each._asdict() for each in sorted(life.disposals)]}

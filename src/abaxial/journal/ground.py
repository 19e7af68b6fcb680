"""Beds as the journal lays and changes them."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, NamedTuple, Protocol, TypeVar

from abaxial.journal.entries import Entry
from abaxial.journal.kinds import without_loose
from abaxial.journal.questions import Question, ask

Thing = TypeVar("Thing", bound="HasNumber")


class Event(NamedTuple):
    """An entry with the date on which it began, on the garden's clock."""

    entry: Entry
    on: date

    @property
    def body(self) -> Mapping[str, Any]:
        """What the entry says."""
        return self.entry.body


@dataclass(frozen=True)
class LaidBed:
    """A bed with the day it was laid. table : as in a description."""

    table: Mapping[str, object]
    laid_on: date
    number: int | None

    @property
    def name(self) -> str:
        """What it is called."""
        return str(self.table["name"])


class HasNumber(Protocol):
    """What may have a place in the gardener's own order."""

    @property
    def number(self) -> int | None:
        """That place, counted from 0; None for none."""


def in_order(things: Iterable[Thing]) -> list[Thing]:
    """Things in the gardener's own order, those without a number after the others, as they came."""
    return sorted(things, key=lambda each: math.inf if each.number is None else each.number)


def key_of(name: str) -> str:
    """A name as names are compared: without case and blanks around it."""
    return name.strip().casefold()


def lay_beds(events: Iterable[Event]) -> tuple[dict[str, LaidBed], list[Question]]:
    """The beds by key, as they are after the last event."""
    beds: dict[str, LaidBed] = {}
    questions = []
    events = list(events)
    for each in events:
        if each.entry.kind != "bed_laid":
            continue
        table = without_loose(each.body)
        bed = LaidBed(table, each.on, each.body.get("number"))
        if key_of(bed.name) in beds:
            questions.append(ask("bed_laid_twice", each.entry.id, bed=bed.name))
        beds.setdefault(key_of(bed.name), bed)
    for each in events:
        if each.entry.kind == "bed_changed":
            question = bed_question(each, beds, each.body["bed"])
            if question is None:
                key = key_of(each.body["bed"])
                beds[key] = replace(beds[key], table=_changed(beds[key].table, each.body))
            else:
                questions.append(question)
    return beds, questions


def bed_question(event: Event, beds: Mapping[str, LaidBed], name: str) -> Question | None:
    """What is to be asked where an entry names a bed that is not there, or not yet."""
    bed, kind = beds.get(key_of(name)), event.entry.kind
    if bed is None:
        return ask("bed_unknown", event.entry.id, kind=kind, bed=name)
    if event.on < bed.laid_on:
        dates = {"on": event.on, "laid_on": bed.laid_on}
        return ask("bed_not_yet_laid", event.entry.id, kind=kind, bed=bed.name, **dates)
    return None


def _changed(table: Mapping[str, object], body: Mapping[str, object]) -> dict[str, object]:
    changes = {key: value for key, value in without_loose(body).items() if key != "bed"}
    kept = dict(table)
    if "obstacle" in changes:
        # what the obstacles took of the wind is reckoned anew, unless somebody says it
        kept.pop("shelter_frac", None)
    if isinstance(before := kept.get("near"), Mapping) and isinstance(now := changes.get("near"), Mapping):
        # each question about a bed is answered by itself
        changes["near"] = {**before, **now}
    return kept | changes

"""How the command line writes in a journal: an entry is tried against what is there, told, and only then kept."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import TYPE_CHECKING

import click

from abaxial.cli import options, output
from abaxial.errors import GardenError, RequestError

if TYPE_CHECKING:
    from abaxial.garden.parts import Garden
    from abaxial.journal.entries import Entry
    from abaxial.journal.questions import Question
    from abaxial.records.store import Store

#: what is written down as the device
DEVICE = "command line"
#: a new thing is there before anything is done with it on the same day
_BEGINNINGS = ("garden_described", "bed_laid", "planting_made", "planting_moved", "division_taken")
_SHORTEST = 6


@dataclass(frozen=True)
class Journal:
    """A garden's journal, open. where : how it is spoken of. moment : now, or what --at says. as_if : whether it was
    said."""

    kept: "Store"
    entries: "tuple[Entry, ...]"
    garden: "Garden"
    moment: datetime
    as_if: bool

    @property
    def where(self) -> str:
        """How it is spoken of."""
        return self.kept.opened.where

    @property
    def today(self) -> date:
        """The date on the garden's clock."""
        from abaxial.hours import zone_named

        return self.moment.astimezone(zone_named(self.garden.place.zone)).date()


@contextmanager
def open_journal(given: options.Place | None, at: str | None) -> "Iterator[Journal]":
    """The journal a command is about; see options.garden_from. Raises RequestError for a description, which has none."""
    from abaxial.journal.fold import fold
    from abaxial.records.store import open_store
    from abaxial.season.opening import is_description

    place = options.garden_path(given)
    if is_description(place):
        raise RequestError(
            f"{place} is a description and keeps no journal.",
            remedy="Lay it into a garden file with: abaxial garden import, or write what happened into the description.",
            where=str(place),
        )
    with open_store(place) as kept:
        entries = tuple(kept.entries())
        garden = fold(entries).garden
        if garden is None:
            raise GardenError(
                f"{place}: its journal does not say where the garden lies.",
                remedy="Lay a description in with: abaxial garden import.",
                where=str(place),
            )
        yield Journal(kept, entries, garden, options.moment(at, garden.place.zone), at is not None)


def happened(on: str | None, kind: str, journal: Journal) -> datetime:
    """When something happened: what --on says on the garden's clock, else now. A date alone is about its noon.

    Raises RequestError for what is still to come.
    """
    from abaxial.hours import zone_named

    if on is None:
        return journal.moment
    zone = zone_named(journal.garden.place.zone)
    told = options.moment(on, journal.garden.place.zone, option="--on")
    if is_date_alone(on):
        if told.date() == journal.today:
            return journal.moment
        hour = time(6) if kind in _BEGINNINGS else time(12)
        told = datetime.combine(told.date(), hour, zone)
    if told > journal.moment:
        raise RequestError(
            f"--on is {on!r}, which is still to come.",
            remedy=f"A journal tells what has happened; today is {journal.today}.",
            where="--on",
        )
    return told


def is_date_alone(on: str) -> bool:
    """Whether --on names a date without an hour."""
    return len(on.strip()) <= len("2026-03-12")


def asked_by(journal: Journal, drafts: "Sequence[Entry]") -> "list[Question]":
    """What would be asked after entries were written, and is not asked now.

    Raises GardenError where an entry names a planting or a bed that is not there: then it is a slip of the pen.
    """
    from abaxial.journal.fold import fold
    from abaxial.season.opening.description import no_planting

    before = fold(journal.entries).questions
    after = fold([*journal.entries, *drafts])
    new = [each for each in after.questions if each not in before]
    for each in new:
        if each.kind == "planting_unknown":
            names = [planting.name for planting in journal.garden.plantings]
            raise no_planting(str(each.details["planting"]), names, where=f"Nothing was written: {_what(each)}")
        if each.kind == "bed_unknown":
            names = [bed.name for bed in journal.garden.beds]
            raise GardenError(
                f"Nothing was written: {_what(each)} names the bed {each.details['bed']!r}, which is not there.",
                remedy=f"The beds are: {', '.join(names) or 'none yet'}.",
                where=journal.where,
            )
    return new


def _what(question: "Question") -> str:
    from abaxial.report.words.seen.questions import ENTRIES

    kind = str(question.details["kind"])
    return ENTRIES.get(kind, kind)


def keep(journal: Journal, drafts: "Sequence[Entry]") -> "list[Entry]":
    """Write entries, all or none, and give them back as they lie there."""
    return journal.kept.append(drafts, received_at=journal.moment if journal.as_if else None)


def tell_questions(questions: "Sequence[Question]") -> None:
    """Print what the journal asks."""
    for each in questions:
        click.echo(f"To settle: {output.question_words(each)}")


def short_ids(entries: "Sequence[Entry]") -> dict[str, str]:
    """The beginning of each id by which it can be told from the others."""
    ids = sorted({each.id for each in entries})
    result = {}
    for before, here, after in zip(["", *ids], ids, [*ids[1:], ""], strict=False):
        alike = max(_shared(here, before), _shared(here, after))
        result[here] = here[: max(alike + 1, _SHORTEST)]
    return result


def entry_called(journal: Journal, start: str) -> "Entry":
    """The entry whose id begins so. Raises RequestError where none does or several do."""
    wanted = start.strip().lower()
    found = [each for each in journal.entries if each.id.startswith(wanted)] if len(wanted) >= 3 else []
    if len(found) == 1:
        return found[0]
    if not found:
        raise RequestError(
            f"No line of {journal.where} has an id that begins with {start!r}.",
            remedy="See the ids with: abaxial note --list. Give three digits of it at least.",
            where=start,
        )
    raise RequestError(
        f"{len(found)} lines have ids that begin with {start!r}.",
        remedy=f"Give more of it: {', '.join(short_ids(journal.entries)[each.id] for each in found[:6])}.",
        where=start,
    )


def _shared(one: str, other: str) -> int:
    return next(
        (place for place, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other))
    )

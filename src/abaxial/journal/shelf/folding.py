"""Purchases, remedies and cuts out of the events of a journal, and out of a description."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, tzinfo
from typing import NamedTuple

from abaxial.errors import GardenError
from abaxial.garden.parts import Garden, Noted, Planting
from abaxial.journal.body.details import (
    REMEDIES,
    day_of,
    details_problems,
    known_in,
    purchase_problems,
    said_in,
    strange_words,
)
from abaxial.journal.ground import Event, in_order, key_of
from abaxial.journal.lives import CUTS, Lives, find
from abaxial.journal.questions import Question, ask
from abaxial.journal.shelf.bottles import Bought, bottle_in, readable
from abaxial.journal.shelf.shelf import Shelf, shelf_of
from abaxial.journal.shelf.treatment import Act, Treatment

#: nobody has bought anything before this; an older date stands for "before anybody wrote"
_FIRST_YEAR = 1900


class Declined(NamedTuple):
    """A proposal that was turned down. task : its kind."""

    on: date
    task: str
    plantings: tuple[str, ...]
    entry_id: str


class Kept(NamedTuple):
    """What a journal says of shelf and remedies. bottles, treatments, turned_down : as in a description."""

    bottles: tuple[Noted, ...]
    treatments: tuple[Noted, ...]
    turned_down: tuple[Noted, ...]
    shelf: Shelf
    declined: tuple[Declined, ...]


class _Numbered(NamedTuple):
    event: Event
    number: int | None


class _Listed(NamedTuple):
    noted: Noted
    number: int | None


def kept_in(events: Iterable[Event], lives: Lives, zone: tzinfo) -> Kept:
    """What the events say. Plantings that did not stand on their day are left out; the fold asks about them."""
    events = list(events)
    bought = [_Numbered(each, each.body.get("number")) for each in events if each.entry.kind == "material_bought"]
    done = [each for each in events if each.entry.kind == "remedy_done"]
    turned_down = [each for each in events if each.entry.kind == "task_declined"]
    bottles = sorted(
        ((each.event, _bottle_table(each.event)) for each in in_order(bought)), key=lambda each: _bought_on(each[1])
    )
    treatments = [(each, _treatment_table(each, lives, zone)) for each in done]
    acts = [Act(each.entry.id, each.on, _standing(each, lives), table) for each, table in treatments]
    return Kept(
        bottles=_noted((each, readable(table)) for each, table in bottles),
        treatments=_noted((each, table) for each, table in treatments if each.on.year >= _FIRST_YEAR),
        turned_down=_noted((each, _declined_table(each, lives)) for each in turned_down if each.on.year >= _FIRST_YEAR),
        shelf=shelf_of([Bought(each.entry.id, table) for each, table in bottles], acts, _cuts(events, lives), zone),
        declined=tuple(
            Declined(each.on, str(each.body["task"]), _standing(each, lives), each.entry.id) for each in turned_down
        ),
    )


def shelf_described(garden: Garden, *, until: date | None, zone: tzinfo, where: str) -> Shelf:
    """What a description says of shelf and remedies.

    until : only what had happened by the end of that date; None for everything. where : the file, for messages. Raises
    GardenError for a record that cannot be read, LabelError for a bottle. A treatment of a planting that is not there counts
    all the same, because the rust of a garden is one, and is asked about.
    """
    for bottle in garden.bottles:
        _check_bottle(bottle.options, f"{where}, bottle {bottle.options['name']!r}")
    shelved = sorted(garden.bottles, key=lambda each: _bought_on(each.options))
    bought = [Bought("", each.options) for each in shelved if _is_by(each.options.get("bought_on"), until)]
    acts, early = [], []
    for number, each in enumerate(garden.treatments, 1):
        act, asked = _act(garden, each.options, f"{where}, treatment {number}")
        if _is_by(act.on, until):
            acts.append(act)
            early += asked
    cuts = [
        Treatment(on, field, (planting.name,), disposal=_way(planting, on, field))
        for planting in garden.plantings
        for field in CUTS.values()
        for on in getattr(planting, field)
        if _is_by(on, until)
    ]
    shelf = shelf_of(bought, sorted(acts, key=lambda each: each.on), cuts, zone)
    return Shelf(shelf.bottles, shelf.prices, shelf.done, (*shelf.questions, *early))


def declined_described(garden: Garden, *, until: date | None) -> tuple[tuple[Declined, ...], tuple[Question, ...]]:
    """The proposals that a description says were turned down, and what is to be asked about them. until : as in
    `shelf_described`."""
    found, questions = [], []
    for each in garden.declined:
        table = each.options
        on: date = table["on"]  # type: ignore[assignment]
        if _is_by(on, until):
            standing, asked = _standing_then(garden, table.get("plantings", ()), on, "task_declined")
            found.append(Declined(on, str(table["task"]), standing, ""))
            questions += asked
    return tuple(sorted(found, key=lambda each: each.on)), tuple(questions)


def _bought_on(table: Mapping[str, object]) -> date:
    """The day a bottle was bought, long ago where nobody said."""
    day = table.get("bought_on")
    return day if type(day) is date else date.min


# ---------------------------------------------------------------- a journal


def _noted(tables: Iterable[tuple[Event, Mapping[str, object]]]) -> tuple[Noted, ...]:
    """Tables in the gardener's own order."""
    numbered = [_Listed(Noted(table), each.body.get("number")) for each, table in tables]
    return tuple(each.noted for each in in_order(numbered))


def _bottle_table(event: Event) -> dict[str, object]:
    said = said_in(event.body.get("details", {}))
    if "bought_on" in said:
        said["bought_on"] = day_of(said["bought_on"])
    elif event.on.year >= _FIRST_YEAR:
        said["bought_on"] = event.on
    return {"name": event.body["material"], **{key: value for key, value in said.items() if key != "name"}}


def _treatment_table(event: Event, lives: Lives, zone: tzinfo) -> dict[str, object]:
    """A [[treatment]] of a description, of what is known here. An entry that has a length says when the work began and
    ended."""
    remedy = event.body["remedy"]
    named: dict[str, object] = {
        "remedy": remedy if remedy in REMEDIES else "other",
        "plantings": [_now_called(event, name, lives) for name in event.body["plantings"]],
    }
    if "material" in event.body:
        named["material"] = event.body["material"]
    details = known_in(said_in(event.body.get("details", {})))
    if event.entry.happened_from < event.entry.happened_to:
        begins, ends = (_clock(each, zone) for each in (event.entry.happened_from, event.entry.happened_to))
        details = {"started": begins, "ended": ends, **details}
    return {"on": event.on, **named, **({"details": details} if details else {})}


def _declined_table(event: Event, lives: Lives) -> dict[str, object]:
    """A [[declined]] of a description."""
    body = event.body
    table: dict[str, object] = {"on": event.on, "task": body["task"]}
    if "plantings" in body:
        table["plantings"] = [_now_called(event, name, lives) for name in body["plantings"]]
    details, remark = said_in(body.get("details", {})), body.get("remark")
    if details:
        table["details"] = details
    if isinstance(remark, str) and remark.isprintable():
        table["remark"] = remark
    return table


def _clock(moment: datetime, zone: tzinfo) -> str:
    return moment.astimezone(zone).strftime("%H:%M")


def _standing(event: Event, lives: Lives) -> tuple[str, ...]:
    found = (find(event, name, lives)[0] for name in event.body.get("plantings", ()))
    return tuple(dict.fromkeys(each.name for each in found if each is not None))


def _now_called(event: Event, name: str, lives: Lives) -> str:
    """The name of the planting that was meant; as it was written, where none stood there."""
    life = find(event, name, lives)[0]
    return name if life is None else life.name


def _cuts(events: Iterable[Event], lives: Lives) -> Iterable[Treatment]:
    """What was taken off plantings, and what was cleared away, as treatments."""
    for each in events:
        kind = each.entry.kind
        field = "destroyed" if kind == "destroyed" else CUTS.get((kind, each.body.get("which", "")))
        life = find(each, each.body["planting"], lives)[0] if field else None
        if field and life is not None and (field == "destroyed" or each.on >= life.since):
            yield Treatment(each.on, field, (life.name,), each.entry.id, disposal=each.body.get("disposal", ""))


# ---------------------------------------------------------------- a description


def _check_bottle(table: Mapping[str, object], where: str) -> None:
    problems = purchase_problems(table)
    if problems:
        raise GardenError(f"{where}: {problems[0]}", remedy="Write what it cost as a number.", where=where)
    bottle_in(table, where=where)


def _act(garden: Garden, table: Mapping[str, object], where: str) -> tuple[Act, list[Question]]:
    """A treatment of a description, and what is to be asked of plantings that were not there yet."""
    details = table.get("details", {})
    problems = [*strange_words(table), *details_problems(details if isinstance(details, Mapping) else {})]
    if problems:
        message = problems[0] if len(problems) == 1 else "\n".join(["these cannot be read:", *problems])
        raise GardenError(f"{where}: {message}", remedy="Mend this in the file, then try again.", where=where)
    on: date = table["on"]  # type: ignore[assignment]
    standing, questions = _standing_then(garden, table["plantings"], on, "remedy_done")
    return Act("", on, standing, table), questions


def _standing_then(garden: Garden, listed: object, on: date, kind: str) -> tuple[tuple[str, ...], list[Question]]:
    """Of the plantings that are listed those that stood on a day, and what is to be asked about the others. kind : of entry
    that would say so."""
    there = {key_of(each.name): each for each in garden.plantings}
    standing, questions = [], []
    for name in listed if isinstance(listed, list | tuple) else ():
        planting = there.get(key_of(str(name)))
        if planting is None:
            questions.append(ask("planting_unknown", "", kind=kind, planting=name, on=on))
        elif on < planting.since:
            begins = {"planting": planting.name, "on": on, "begins_on": planting.since}
            questions.append(ask("planting_not_yet_there", "", kind=kind, **begins))
        else:
            standing.append(planting.name)
    return tuple(dict.fromkeys(standing)), questions


def _way(planting: Planting, on: date, what: str) -> str:
    return next((each.way for each in planting.disposals if (each.on, each.what) == (on, what)), "")


def _is_by(day: object, until: date | None) -> bool:
    return until is None or not isinstance(day, date) or day <= until

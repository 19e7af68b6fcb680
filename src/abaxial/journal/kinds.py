"""What the body of each kind of entry holds, and what is wrong with one that does not."""

import re
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from typing import Any, NamedTuple

from abaxial.errors import GardenError
from abaxial.garden.description import garden_from
from abaxial.garden.section import Section, shown
from abaxial.journal.body.details import details_problems, purchase_problems
from abaxial.journal.body.fields import read_field
from abaxial.journal.canonical import misfits, told
from abaxial.journal.entries import is_possible
from abaxial.journal.noticed import note_problems, noted_options, seen_problems
from abaxial.place import Place

#: newest version of every body known here
VERSION = 1


class Fields(NamedTuple):
    """The names that a body must have and may have."""

    needed: tuple[str, ...] = ()
    may: tuple[str, ...] = ()


#: what any body may hold besides: a place in the gardener's own order, and a word of explanation
LOOSE = ("number", "remark")
#: what anybody may say about a planting besides
OF_PLANTING = ("eaten", "worth_factor", "replaceable", "eppo_host", "eppo_pest", "flower_stems_per_week")
BED_FIELDS = ("area_m2", "soil", "shelter_frac", "east_m", "north_m", "watering", "obstacle", "near")
NOTED = ("rain_noted", "wetness_noted")
NOTED_RAIN = ("rain_mm", "rain_in", "rain", "since", "at")
NOTED_LEAVES = ("leaves", "at", "bed", "level")
BODIES: Mapping[str, Fields] = {
    "garden_described": Fields(("site",), ("gardener", "weather", "folder")),
    "bed_laid": Fields(("name", "area_m2"), BED_FIELDS[1:]),
    "bed_changed": Fields(("bed",), BED_FIELDS),
    "planting_made": Fields(("name", "bed", "host", "clumps", "spacing_m", "since"), ("cultivar", *OF_PLANTING)),
    "planting_moved": Fields(("planting", "bed"), ("name", "clumps", "spacing_m", "since", *OF_PLANTING)),
    "division_taken": Fields(
        ("planting", "name", "bed", "clumps", "spacing_m", "since"), ("lifted", "cultivar", *OF_PLANTING)
    ),
    "cut_down": Fields(("planting",), ("disposal",)),
    "leaves_taken_off": Fields(("planting", "which"), ("disposal",)),
    "destroyed": Fields(("planting",), ("clumps", "disposal")),
    "walked": Fields(("seen",), ("minutes",)),
    "flowering_seen": Fields(("planting",), ("open",)),
    "rain_noted": Fields((), NOTED_RAIN),
    "wetness_noted": Fields(("leaves",), NOTED_LEAVES[1:]),
    "remedy_done": Fields(("remedy", "plantings"), ("material", "details")),
    "material_bought": Fields(("material",), ("details",)),
    "task_declined": Fields(("task",), ("plantings", "details")),
    "minutes_set": Fields((), ("days", "minutes", "tasks")),
    "values_set": Fields(("values",)),
    "note": Fields(("text",), ("planting", "bed")),
    "photo": Fields(("file",), ("sha256", "planting", "bed")),
    "correction": Fields((), ("body", "happened_from", "happened_to")),
    "retraction": Fields(),
}
#: fields in which null may stand: it is looked at apart, or is nobody's business here
NULL_ALLOWED = ("seen", "details", "body")
_SITE = {"name": "here", "latitude_deg": 0.0, "longitude_deg": 0.0, "elevation_m": 0.0, "zone": "UTC"}
_SOMEWHERE = Place(0.0, 0.0, 0.0, "UTC")
_DAY = re.compile(r"\d{4}-\d\d-\d\d")


def body_problems(kind: str, version: int, body: object) -> list[str]:
    """What is wrong with a body, in short sentences; an empty list if nothing.

    Of a kind or version that is not known here, only that it is JSON is looked at.
    """
    if not isinstance(body, Mapping):
        return [f"{kind}: the body is {shown(body)}, which is not a table."]
    strange = misfits(body)
    if strange:
        return [f"{kind}: the body holds {each}." for each in strange]
    if kind not in BODIES or version > VERSION:
        return []
    if version < 1:
        return [f"{kind}: version is {version}; versions are counted from 1."]
    section = Section(body, kind, [])
    fields = BODIES[kind]
    section.only(*fields.needed, *fields.may, *LOOSE)
    for name in body:
        if body[name] is None or (name not in NULL_ALLOWED and _has_null(body[name])):
            section.wrong(f"{name} holds null; what is not known is left out.", "")
    for name in fields.needed:
        if name not in body:
            section.wrong(f"{name} is missing.", "")
    for name in body:
        if name in LOOSE or kind not in NOTED:
            read_field(section, name)
    problems = [each.message for each in section.mistakes]
    return problems or _WHOLES.get(kind, _nothing)(kind, body)


def _has_null(value: object) -> bool:
    if isinstance(value, Mapping):
        return any(_has_null(each) for each in value.values())
    if isinstance(value, list):
        return any(_has_null(each) for each in value)
    return value is None


def without_loose(body: Mapping[str, object]) -> dict[str, object]:
    """A body without what any body may hold besides."""
    return {key: value for key, value in body.items() if key not in LOOSE}


def planting_table(body: Mapping[str, object]) -> dict[str, Any]:
    """A body as the [[planting]] table of a description: `since` as a date, where it is one."""
    table = without_loose(body)
    return {**table, "since": _day(table["since"])} if "since" in table else table


def moment_of(value: object) -> datetime | None:
    """A text as a moment with a zone that can be reckoned with; None where it is not one."""
    try:
        moment = datetime.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None
    return moment.astimezone(UTC) if moment is not None and is_possible(moment) else None


def weather_tables(body: Mapping[str, object]) -> list[object]:
    """The [[weather]] tables of a garden_described body."""
    listed = body.get("weather", [])
    return [told(each) for each in listed] if isinstance(listed, list) else [listed]


def _day(value: object) -> object:
    """A text as a date, where it is one."""
    if not isinstance(value, str) or not _DAY.fullmatch(value):
        return value
    try:
        return date.fromisoformat(value)
    except ValueError:
        return value


# ---------------------------------------------------------------- bodies that are blocks of a description


def _nothing(kind: str, body: Mapping[str, object]) -> list[str]:
    return []


def _described(kind: str, **tables: object) -> list[str]:
    """What the reader of descriptions says against a garden with these tables."""
    try:
        garden_from({"site": _SITE, **tables}, where=kind, folder=".")
    except GardenError as error:
        lines = error.message.splitlines()
        return [line.strip() for line in lines[1:] or lines]
    return []


def _garden(kind: str, body: Mapping[str, object]) -> list[str]:
    return _described(kind, site=body["site"], gardener=body.get("gardener", {}), weather=weather_tables(body))


def _bed(kind: str, body: Mapping[str, object]) -> list[str]:
    return _described(kind, bed=[without_loose(body)])


def _bed_changes(kind: str, body: Mapping[str, object]) -> list[str]:
    changes = {key: value for key, value in without_loose(body).items() if key != "bed"}
    if not changes:
        return [f"{kind}: it changes nothing."]
    return _described(kind, bed=[{"name": "here", "area_m2": 1.0, **changes}])


def _planting(kind: str, body: Mapping[str, object]) -> list[str]:
    """A planting as it was made, or as a part of another: what the other decides is filled in."""
    given = {key: value for key, value in planting_table(body).items() if key not in ("planting", "lifted")}
    stand_in = {"name": "here", "host": "here", "clumps": 1, "spacing_m": 1.0, "since": date(2000, 1, 1)}
    if kind != "planting_made" and given.get("clumps") == 0:
        return [f"{kind}: clumps is 0; at least one was taken."]
    return _described(kind, bed=[{"name": body["bed"], "area_m2": 1.0}], planting=[{**stand_in, **given}])


def _destroyed(kind: str, body: Mapping[str, object]) -> list[str]:
    return [f"{kind}: clumps is 0; leave it out for all of them."] if body.get("clumps") == 0 else []


def _remedy(kind: str, body: Mapping[str, object]) -> list[str]:
    return [f"{kind}: {each}" for each in details_problems(_details(body))]


def _purchase(kind: str, body: Mapping[str, object]) -> list[str]:
    return [f"{kind}: {each}" for each in purchase_problems(_details(body))]


def _details(body: Mapping[str, object]) -> Mapping[str, object]:
    details = body.get("details", {})
    return details if isinstance(details, Mapping) else {}


def _seen(kind: str, body: Mapping[str, object]) -> list[str]:
    return [f"{kind}: {each}" for each in seen_problems(body["seen"])]


def _noted(kind: str, body: Mapping[str, object]) -> list[str]:
    options = {"at": "2000-01-02 07:00", **noted_options(without_loose(body))}
    if "at" not in body and "since" in body:
        return [f"{kind}: it says since when, and not at what time it was seen."]
    return note_problems(kind, options, _SOMEWHERE)


def _correction(kind: str, body: Mapping[str, object]) -> list[str]:
    times = [name for name in ("happened_from", "happened_to") if name in body]
    if not times and "body" not in body:
        return [f"{kind}: it changes nothing."]
    return [
        f"{kind}: {name} is {shown(body[name])}, not a time with its zone."
        for name in times
        if not moment_of(body[name])
    ]


def _minutes(kind: str, body: Mapping[str, object]) -> list[str]:
    gardener = {key: body[key] for key in ("days", "minutes") if key in body}
    if not gardener and "tasks" not in body:
        return [f"{kind}: it sets nothing."]
    return _described(kind, gardener=gardener)


_WHOLES: Mapping[str, Callable[[str, Mapping[str, object]], list[str]]] = {
    "garden_described": _garden,
    "bed_laid": _bed,
    "bed_changed": _bed_changes,
    "planting_made": _planting,
    "planting_moved": _planting,
    "division_taken": _planting,
    "destroyed": _destroyed,
    "remedy_done": _remedy,
    "material_bought": _purchase,
    "walked": _seen,
    "rain_noted": _noted,
    "wetness_noted": _noted,
    "minutes_set": _minutes,
    "correction": _correction,
}

"""A description opened as a garden in memory, with the walks it names."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from difflib import get_close_matches
from pathlib import Path

from abaxial.errors import GardenError
from abaxial.garden.description import read_garden
from abaxial.garden.parts import Garden, Planting
from abaxial.hours import zone_named
from abaxial.journal.ground import key_of
from abaxial.journal.questions import Question, ask
from abaxial.journal.shelf.folding import declined_described, shelf_described
from abaxial.scouting.reading import read_sightings
from abaxial.scouting.sightings import Sighting
from abaxial.season.opening.opened import Opened
from abaxial.season.opening.values import refuse_strange


def open_description(path: Path, *, at: datetime | None) -> Opened:
    """The garden that a file describes; a walk after the date of `at` is not looked at, nor what was done or bought then.

    Raises GardenError for a mistake in it, a walk that names no planting of it, or a value that cannot be set, ScoutingError
    for a walk and LabelError for a bottle that cannot be read.
    """
    return described(read_garden(path), at=at, where=path.name)


def described(garden: Garden, *, at: datetime | None, where: str) -> Opened:
    """The same of a garden that was read already. where : its file, for messages. Errors as of `open_description`."""
    read = read_sightings([each.options for each in garden.walks], Path(garden.folder), where=where)
    today = None if at is None else at.astimezone(zone_named(garden.place.zone)).date()
    found = named(garden, [each for each in read if today is None or each.on <= today], where=where)
    standing = {each.name: each for each in garden.plantings}
    early = tuple(each for each in found if each.on < standing[each.planting].since)
    kept = tuple(each for each in found if each not in early)
    shelf = shelf_described(garden, until=today, zone=zone_named(garden.place.zone), where=where)
    declined, asked = declined_described(garden, until=today)
    refuse_strange(garden.values, where=where)
    return Opened(
        garden,
        kept,
        early,
        (*_questions(early, standing), *shelf.questions, *asked),
        bottles=shelf.bottles,
        prices=shelf.prices,
        done=shelf.done,
        declined=declined,
        values=garden.values,
    )


def named(garden: Garden, sightings: Iterable[Sighting], *, where: str) -> tuple[Sighting, ...]:
    """Sightings under the names that the plantings of a garden have, whatever the case of letters.

    where : the file, for messages. Raises GardenError for one that names a planting which is not there.
    """
    names = {key_of(each.name): each.name for each in garden.plantings}
    result = []
    for each in sightings:
        if key_of(each.planting) not in names:
            raise no_planting(each.planting, list(names.values()), where=f"{where}: a walk on {each.on}")
        result.append(replace(each, planting=names[key_of(each.planting)]))
    return tuple(result)


def no_planting(name: str, there: list[str], *, where: str) -> GardenError:
    """The error for a planting that is not there, with the likeliest meant. where : who names it."""
    keys = {key_of(each): each for each in there}
    near = get_close_matches(key_of(name), keys, n=1, cutoff=0.5)
    meant = f"Did you mean {keys[near[0]]!r}? " if near else ""
    return GardenError(
        f"{where} names the planting {name!r}, which is not there.",
        remedy=f"{meant}The plantings are: {', '.join(there) or 'none yet'}.",
        where=where,
    )


def _questions(early: Iterable[Sighting], standing: Mapping[str, Planting]) -> tuple[Question, ...]:
    """One question for a walk and a planting that was not planted yet."""
    asked = {}
    for each in early:
        details = {"planting": each.planting, "on": each.on, "begins_on": standing[each.planting].since}
        asked[each.on, each.planting] = ask("planting_not_yet_there", "", kind="walked", **details)
    return tuple(asked.values())

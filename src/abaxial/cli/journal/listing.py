"""The lines of a journal as they are shown: each with its date, its id, what it says, and whether it stands."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from abaxial.cli import output
from abaxial.cli.journal.writing import Journal, short_ids

if TYPE_CHECKING:
    from abaxial.journal.entries import Entry

_AMENDING = ("correction", "retraction")


def list_text(journal: Journal) -> str:
    """Every line, in order of what happened, as text."""
    from abaxial.hours import zone_named

    zone = zone_named(journal.garden.place.zone)
    ids, standing = short_ids(journal.entries), _standing(journal.entries)
    lines = []
    for each in _in_order(journal.entries):
        on = each.happened_from.astimezone(zone).strftime("%Y-%m-%d %H:%M")
        lines.append(f"{on}  {ids[each.id]}  {said_of(each, journal.entries, zone.key)}{_mark(each, standing)}")
    return "".join(f"{line}\n" for line in lines) or "Nothing is written yet.\n"


def list_json(journal: Journal) -> str:
    """The same as JSON."""
    standing = _standing(journal.entries)
    zone = journal.garden.place.zone
    answer = [
        {
            **fields_of(each),
            "says": said_of(each, journal.entries, zone),
            "stands": each.kind in _AMENDING or each.id in standing,
        }
        for each in _in_order(journal.entries)
    ]
    return output.envelope("abaxial/note/1", journal.garden.name, answer)


def fields_of(entry: "Entry") -> dict[str, object]:
    """An entry field by field."""
    return {name: getattr(entry, name) for name in type(entry).__dataclass_fields__}


def said_of(entry: "Entry", entries: "Sequence[Entry]", zone: str) -> str:
    """What a line says, in one sentence; a correction or retraction with the line it speaks of."""
    from abaxial.hours import zone_named
    from abaxial.journal.correction import settle
    from abaxial.report.words.dates import full_date
    from abaxial.report.words.seen.entries import entry_words

    target = _root(entry, {each.id: each for each in entries})
    if target is None or target is entry:
        stands = _standing(entries).get(entry.id, entry)
        on = stands.happened_from.astimezone(zone_named(zone)).date()
        when = "" if entry.kind in ("garden_described", "bed_laid") else f"{full_date(on)}: "
        return f"{when}{entry_words(stands.kind, stands.body)}"
    if entry.kind == "retraction":
        # what it was, had it not been taken back
        without = settle([each for each in entries if each.id != entry.id]).entries
        was = next((each for each in without if each.id == target.id), target)
        return f"Taken back: {entry_words(was.kind, was.body)}"
    body = entry.body.get("body")
    on = _moved_to(entry, zone)
    said = entry_words(target.kind, body if isinstance(body, Mapping) else target.body)
    return f"Put right{f', to {on}' if on else ''}: {said}"


def _moved_to(entry: "Entry", zone: str) -> str:
    from abaxial.hours import zone_named
    from abaxial.journal.kinds import moment_of
    from abaxial.report.words.dates import full_date

    moment = moment_of(entry.body.get("happened_from"))
    return "" if moment is None else full_date(moment.astimezone(zone_named(zone)).date())


def _root(entry: "Entry", by_id: "Mapping[str, Entry]") -> "Entry | None":
    """The line that a correction or a retraction speaks of in the end; itself for any other."""
    here, passed = entry, {entry.id}
    while here.kind in _AMENDING:
        target = by_id.get(here.corrects or "")
        if target is None or target.id in passed:
            return None
        passed.add(target.id)
        here = target
    return here


def _standing(entries: "Sequence[Entry]") -> "dict[str, Entry]":
    from abaxial.journal.correction import settle

    return {each.id: each for each in settle(entries).entries}


def _in_order(entries: "Sequence[Entry]") -> "list[Entry]":
    from abaxial.journal.entries import fold_order

    return sorted(entries, key=fold_order)


def _mark(entry: "Entry", standing: "Mapping[str, Entry]") -> str:
    if entry.kind in _AMENDING:
        return ""
    if entry.id not in standing:
        return "  [taken back]"
    return "" if standing[entry.id] == entry else "  [put right]"

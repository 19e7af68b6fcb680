"""The lines of a journal as they are shown: each with its date, its id, what it says, and whether it stands."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from abaxial.cli import output
from abaxial.cli.journal.writing import Journal, short_ids

if TYPE_CHECKING:
    from abaxial.journal.entries import Entry
    from abaxial.report.answers.told import Line

_AMENDING = ("correction", "retraction")
#: what was there before anybody wrote has no date worth showing
_TIMELESS = ("garden_described", "bed_laid")


@dataclass(frozen=True)
class Lines:
    """A journal to be read. standing : the entries that stand, corrected, by id. unretracted : how they would stand had
    nothing been taken back. zone : the garden's clock."""

    entries: "Sequence[Entry]"
    by_id: "Mapping[str, Entry]"
    standing: "Mapping[str, Entry]"
    unretracted: "Mapping[str, Entry]"
    zone: str

    def stands(self, entry: "Entry") -> bool:
        """Whether a line counts; corrections and retractions are told by what they did."""
        return entry.kind in _AMENDING or entry.id in self.standing


def lines_of(entries: "Sequence[Entry]", zone: str) -> Lines:
    """The lines of a journal."""
    from abaxial.journal.correction import settle

    kept = settle(entries).entries
    without = settle([each for each in entries if each.kind != "retraction"]).entries
    return Lines(
        entries,
        {each.id: each for each in entries},
        {each.id: each for each in kept},
        {each.id: each for each in without},
        zone,
    )


def list_text(journal: Journal) -> str:
    """Every line, in order of what happened, as text."""
    from abaxial.hours import zone_named

    zone = zone_named(journal.garden.place.zone)
    lines, ids = lines_of(journal.entries, zone.key), short_ids(journal.entries)
    told = []
    for each in _in_order(journal.entries):
        shown = lines.unretracted.get(each.id, each)
        on = "" if each.kind in _TIMELESS else shown.happened_from.astimezone(zone).strftime("%Y-%m-%d %H:%M")
        told.append(f"{on:16}  {ids[each.id]}  {words_of(each, lines)}{_mark(each, lines)}\n")
    return "".join(told)


def list_json(journal: Journal) -> str:
    """The same as JSON."""
    lines = lines_of(journal.entries, journal.garden.place.zone)
    answer = [told_line(each, words_of(each, lines), stands=lines.stands(each)) for each in _in_order(journal.entries)]
    return output.envelope("abaxial/note/1", journal.garden.name, answer)


def told_line(entry: "Entry", says: str, stands: bool | None = None) -> "Line":
    """An entry as it is told in JSON, with its sentence."""
    from abaxial.report.answers.told import Line

    return Line(**vars(entry), says=says, stands=stands)


def said_of(entry: "Entry", lines: Lines) -> str:
    """What a line says with its date, as it is said back to whoever wrote it."""
    from abaxial.hours import zone_named
    from abaxial.report.words.dates import full_date

    if entry.kind in (*_TIMELESS, *_AMENDING):
        return words_of(entry, lines)
    on = entry.happened_from.astimezone(zone_named(lines.zone)).date()
    return f"{full_date(on)}: {words_of(entry, lines)}"


def words_of(entry: "Entry", lines: Lines) -> str:
    """What a line says, in one sentence; a correction or retraction with the line it speaks of."""
    from abaxial.report.words.seen.entries import entry_words

    spoken_of = _spoken_of(entry, lines)
    if not spoken_of:
        shown = lines.unretracted.get(entry.id, entry)
        return entry_words(shown.kind, shown.body)
    root = lines.unretracted.get(spoken_of[-1].id, spoken_of[-1])
    if entry.kind == "retraction":
        begin = "Brought back" if spoken_of[0].kind == "retraction" else "Taken back"
        if spoken_of[0].kind == "correction":
            begin = "No longer put right"
        return f"{begin}: {entry_words(root.kind, root.body)}"
    body, on = entry.body.get("body"), _moved_to(entry, lines.zone)
    said = entry_words(root.kind, body if isinstance(body, Mapping) else root.body)
    return f"Put right{f', as of {on}' if on else ''}: {said}"


def _spoken_of(entry: "Entry", lines: Lines) -> "list[Entry]":
    """The line that a correction or a retraction speaks of, the one that speaks of in turn, and so on to the last."""
    chain: list[Entry] = []
    here = entry
    while here.kind in _AMENDING:
        target = lines.by_id.get(here.corrects or "")
        if target is None or target in chain or target is entry:
            break
        chain.append(target)
        here = target
    return chain


def _moved_to(entry: "Entry", zone: str) -> str:
    from abaxial.hours import zone_named
    from abaxial.journal.kinds import moment_of
    from abaxial.report.words.dates import full_date

    moment = moment_of(entry.body.get("happened_from"))
    return "" if moment is None else full_date(moment.astimezone(zone_named(zone)).date())


def _in_order(entries: "Sequence[Entry]") -> "list[Entry]":
    from abaxial.journal.entries import fold_order

    return sorted(entries, key=fold_order)


def _mark(entry: "Entry", lines: Lines) -> str:
    if entry.kind in _AMENDING:
        return ""
    if entry.id not in lines.standing:
        return "  [taken back]"
    return "" if lines.standing[entry.id] == entry else "  [put right]"

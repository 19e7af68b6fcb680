"""`abaxial note`: any entry of the journal, its correction or retraction, the list."""

import re
from collections.abc import Mapping, Sequence
from datetime import UTC
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import options, output
from abaxial.cli.journal import done, listing, pairs, writing
from abaxial.cli.journal.writing import Journal
from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.journal.entries import Entry

#: the options of the command by name
Stated = Mapping[str, Any]
#: kinds that have a way of their own
_OTHERWISE = {"correction": "--correct ID", "retraction": "--retract ID"}


@click.command(short_help="Write in the journal; put a line right, take it back; list them.")
@click.argument("words", nargs=-1, metavar="[GARDEN] KIND [KEY=VALUE]...")
@click.option("--on", metavar="DATE", help="When it happened, on the garden's clock. Without it: now.")
@click.option("--list", "as_list", is_flag=True, help="Show every line with its id.")
@click.option("--retract", metavar="ID", help="Take a line back; a few digits of its id are enough.")
@click.option("--correct", metavar="ID", help="Put a line right: give what changes; KEY= takes a field out.")
@click.option("--by", default="", help="Who writes.")
@options.written_at_option
@options.json_option
def note(words: tuple[str, ...], *, at: str | None, as_json: bool, **stated: Any) -> None:
    """Write one line in the journal of a garden file: what happened, of which kind, with what belongs to it. What was
    understood is said back, with what the journal then asks. Nothing that is written is ever changed; a line is put right
    or taken back by another.

    \b
    KIND is one of:
      rain_noted        rain_mm=12 [since=DATE]      wetness_noted    leaves=dripping [bed=…] [level=lower]
      cut_down          planting=… [disposal=…]      leaves_taken_off planting=… which=low|rusted [disposal=…]
      destroyed         planting=… [clumps=2]        flowering_seen   planting=… [open=false]
      planting_made     name=… bed=… host=… clumps=… spacing_m=… since=DATE
      planting_moved    planting=… bed=… [clumps=…] [name=…]
      division_taken    planting=… name=… bed=… clumps=… spacing_m=… since=DATE [lifted=…]
      bed_laid          name=… area_m2=…             bed_changed      bed=… watering.manner=soil near.hives_m=none …
      remedy_done       remedy=… plantings=…,… [material=… product_ml=4.5 water_l=0.9 area_m2=6 started=07:10 …]
      material_bought   material=… [left="500 ml" price=9 label.form=liquid label.rate="5 ml/l" …]
      task_declined     task=… [plantings=…,…]       note             text=… [planting=…]
      photo             file=… [planting=…]          minutes_set      minutes=45 days=Tuesday,Saturday
      values_set        values.NAME=…                walked           (see: abaxial walk)
      garden_described  (see: abaxial garden import)

    \b
    A task of the week's plan, by the key printed with it:
      done KEY          the lines that say so, a spray with its whole record; key=value for what was otherwise
      declined KEY      it is not proposed again this week

    \b
    Example:
      abaxial note home.abaxial rain_noted rain_mm=12 since="2026-03-10 07:00" --on "2026-03-11 07:00"
      abaxial note home.abaxial cut_down planting="Fig-tree cannas" disposal=bag_and_bin --on 2026-03-11
      abaxial note home.abaxial remedy_done remedy=oil plantings="Quay cannas" material="White bottle" product_ml=9 water_l=0.9
      abaxial note home.abaxial done 3f9c --on 2026-03-12T18:10 --by Isaura
      abaxial note home.abaxial --list
      abaxial note home.abaxial --correct 1a2b3c planting="Quay cannas"
      abaxial note home.abaxial --retract 1a2b3c
    """
    given, rest = _garden_in(words)
    ways = [name for name in ("as_list", "retract", "correct") if stated[name]]
    if len(ways) > 1:
        raise RequestError("--list, --retract and --correct do not go together.", remedy="Give one of them.")
    with writing.open_journal(given, at) as journal:
        if stated["as_list"]:
            _refuse(rest, "--list")
            click.echo(listing.list_json(journal) if as_json else listing.list_text(journal), nl=False)
            return
        if not ways and rest and rest[0] in done.WAYS:
            done.tell(journal, done.write(given, journal, rest, stated), as_json=as_json)
            return
        draft = _draft(journal, rest, stated)
        questions = writing.asked_by(journal, [draft])
        [kept] = writing.keep(journal, [draft])
        told = listing.said_of(kept, listing.lines_of([*journal.entries, kept], journal.garden.place.zone))
        if as_json:
            answer = listing.told_line(kept, told)
            click.echo(output.envelope("abaxial/note/1", journal.garden.name, answer, questions=questions), nl=False)
            return
        there = any(each.id == kept.id for each in journal.entries)
        ids = writing.short_ids([*journal.entries, kept])
        click.echo(told)
        click.echo(f"It stood there already, as {ids[kept.id]}." if there else f"Written, as {ids[kept.id]}.")
        writing.tell_questions(questions)


def _garden_in(words: Sequence[str]) -> tuple[options.Place | None, list[str]]:
    """The garden, if the first word is one, and the rest."""
    from abaxial.journal.entries import KINDS

    first = words[0] if words else ""
    is_other = first.replace("-", "_") in (*KINDS, *done.WAYS) or (
        "=" in first and "://" not in first and not Path(first).exists()
    )
    if not words or is_other:
        return None, list(words)
    looks_like_one = "://" in first or Path(first).exists() or Path(first).suffix or len(words) == 1
    if len(words) > 1 and not looks_like_one and "=" in words[1]:
        # it stands where a kind would
        return None, list(words)
    return options.place_of(first), list(words[1:])


def _draft(journal: Journal, words: Sequence[str], stated: Stated) -> "Entry":
    """The entry that is meant. Raises RequestError for what cannot be meant, GardenError for a body that does not fit."""
    if stated["retract"]:
        _refuse(words, "--retract")
        target = writing.entry_called(journal, stated["retract"])
        return entry_of(journal, "retraction", {}, stated, corrects=target.id)
    if stated["correct"]:
        return _correction(journal, words, stated)
    if not words:
        raise RequestError("It does not say what happened.", remedy="Give a kind: see abaxial note --help.")
    kind = _kind(words[0])
    body = pairs.tucked(pairs.body_of(words[1:]), _inner_fields(kind))
    on: str | None = stated["on"]
    from abaxial.journal.kinds import NOTED

    if kind in NOTED and on is not None and writing.is_date_alone(on):
        # the reader of notes knows what hour a date alone means
        body.setdefault("at", on.strip())
    if kind == "remedy_done":
        body = _with_record(body, journal, stated)
    refuse_unfit(kind, body)
    return entry_of(journal, kind, body, stated)


def _correction(journal: Journal, words: Sequence[str], stated: Stated) -> "Entry":
    from abaxial.journal.correction import settle

    target = writing.entry_called(journal, stated["correct"])
    if target.kind == "retraction":
        raise RequestError(
            "That line takes another one back; it cannot be put right.", remedy="Take it back itself with --retract."
        )
    root = target
    known = {each.id: each for each in journal.entries}
    while root.kind == "correction" and root.corrects in known:
        root = known[root.corrects]
    standing = next((each for each in settle(journal.entries).entries if each.id == root.id), None)
    if standing is None:
        raise RequestError(
            "That line was taken back.", remedy="Take the taking back off first: --retract its own id.", where=root.id
        )
    body: dict[str, object] = {}
    if words:
        changed = _changed(standing, words)
        refuse_unfit(standing.kind, changed)
        body["body"] = changed
    if stated["on"]:
        begins = writing.happened(stated["on"], standing.kind, journal)
        body["happened_from"] = begins.astimezone(UTC).isoformat()
    if not body:
        raise RequestError("It does not say what to put right.", remedy="Give what changes as key=value, or --on DATE.")
    return entry_of(journal, "correction", body, {**stated, "on": None}, corrects=target.id)


def _inner_fields(kind: str) -> tuple[str, ...]:
    """The fields of a kind that lie in its `details`."""
    from abaxial.journal.body.details import FIELDS, PURCHASE

    return {"remedy_done": FIELDS, "material_bought": PURCHASE}.get(kind, ())


def _changed(standing: "Entry", words: Sequence[str]) -> dict[str, object]:
    """A body with what the words change in it; a field of its details may be named without them."""
    return pairs.body_of(spelled(standing.kind, words), before=standing.body)


def spelled(kind: str, words: Sequence[str]) -> list[str]:
    """Words of the form key=value with `details.` before the fields of a kind that lie there."""
    inner = _inner_fields(kind)
    return [f"details.{each}" if re.split(r"[.=]", each, maxsplit=1)[0] in inner else each for each in words]


def _with_record(body: dict[str, object], journal: Journal, stated: Stated) -> dict[str, object]:
    """A remedy's body with what the command itself says: who did it, and the hour where one was given."""
    from abaxial.hours import zone_named
    from abaxial.journal.body.details import SPRAYED

    details = body.get("details", {})
    if not isinstance(details, dict) or (body.get("remedy") not in SPRAYED and "material" not in body):
        return body
    on: str | None = stated["on"]
    said = {"applicator": stated["by"]} if stated["by"] else {}
    if on is not None and not writing.is_date_alone(on):
        begun = writing.happened(on, "remedy_done", journal).astimezone(zone_named(journal.garden.place.zone))
        said["started"] = begun.strftime("%H:%M")
    record = {**said, **details}
    return {**body, "details": record} if record else body


def entry_of(
    journal: Journal,
    kind: str,
    body: Mapping[str, object],
    stated: Stated,
    corrects: str | None = None,
) -> "Entry":
    """An entry of a kind, ready to be written. stated : with `on` and `by`."""
    from abaxial.journal.canonical import with_own_id
    from abaxial.journal.entries import Entry
    from abaxial.journal.kinds import VERSION

    on: str | None = stated["on"]
    begins = writing.happened(on, kind, journal).astimezone(UTC)
    now = journal.moment.astimezone(UTC)
    entry = Entry("", kind, VERSION, begins, begins, now, stated["by"], writing.DEVICE, corrects, body)
    return with_own_id(entry)


def _kind(word: str) -> str:
    from abaxial.journal.entries import KINDS

    kind = word.strip().replace("-", "_").casefold()
    if kind in _OTHERWISE:
        raise RequestError(f"A {kind} is written otherwise.", remedy=f"Use {_OTHERWISE[kind]}.", where=word)
    if kind not in KINDS:
        near = get_close_matches(kind, KINDS, n=1, cutoff=0.5)
        meant = f"Did you mean {near[0]}? " if near else ""
        raise RequestError(
            f"There is no kind of line called {word!r}.", remedy=f"{meant}See: abaxial note --help.", where=word
        )
    return kind


def refuse_unfit(kind: str, body: Mapping[str, object]) -> None:
    """Raise RequestError for a body that does not fit its kind, LabelError for a bottle that cannot be read."""
    from abaxial.journal.body.details import strange_words
    from abaxial.journal.kinds import BODIES, LOOSE, body_problems

    fields = BODIES[kind]
    inner = [each for each in _inner_fields(kind) if each not in body]
    pairs.known_fields(body, kind, (*fields.needed, *fields.may, *LOOSE, *inner))
    problems = body_problems(kind, 1, body)
    if not problems and kind == "remedy_done":
        problems = [f"{kind}: {each}" for each in strange_words(body)]
    values = body.get("values")
    if not problems and kind == "values_set" and isinstance(values, Mapping):
        # to know what may be set takes the science, which loads slowly
        from abaxial.season.opening.values import strange

        problems = [f"{kind}: {each}" for each in strange(values)]
    if problems:
        lines = "\n".join(f"  {each}" for each in problems)
        message = problems[0] if len(problems) == 1 else f"{kind} cannot be written like this:\n{lines}"
        raise RequestError(
            message, remedy=f"It needs {', '.join(fields.needed) or 'nothing more'}; nothing was written.", where=kind
        )
    if kind == "material_bought":
        _refuse_unread(body)


def _refuse_unread(body: Mapping[str, object]) -> None:
    """Raise LabelError for a bottle that cannot be read."""
    from abaxial.journal.shelf.bottles import bottle_in

    details = body.get("details", {})
    bottle_in({"name": body["material"], **(details if isinstance(details, Mapping) else {})}, where="material_bought")


def _refuse(words: Sequence[str], option: str) -> None:
    if words:
        raise RequestError(f"{words[0]!r} does not go with {option}.", remedy="Leave it out.", where=words[0])

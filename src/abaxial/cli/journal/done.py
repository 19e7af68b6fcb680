"""A task of the plan as lines of the journal: `note done KEY` and `note declined KEY`."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import options, output
from abaxial.cli.journal import listing, pairs, writing
from abaxial.cli.journal.writing import Journal
from abaxial.errors import RecordsError, RequestError

if TYPE_CHECKING:
    from abaxial.journal.entries import Entry
    from abaxial.season.opening import Opened
    from abaxial.season.tending.planned import Planned

#: what may stand where a kind would
WAYS = ("done", "declined")
#: a task belongs to a week; each earlier plan takes seconds to make again
_BACK, _MOST_PLANS = timedelta(days=7), 8


def write(
    given: options.Place | None, journal: Journal, words: Sequence[str], stated: Mapping[str, Any]
) -> "list[Entry]":
    """The lines that say a task was done or turned down, not yet written.

    words : the way, the task's key, and key=value for what was otherwise than planned. Raises RequestError for a task that
    is in no plan of the week, and for what does not fit.
    """
    from abaxial.cli.journal import note
    from abaxial.season.tending import doing

    way, rest = words[0], list(words[1:])
    if not rest or "=" in rest[0]:
        raise RequestError(
            "It does not say which task.", remedy=f"Give its key, as abaxial week prints it: abaxial note {way} KEY."
        )
    task, opened = _task(given, journal, rest[0].strip().lower())
    if way == "declined":
        _none_more(rest[1:], way)
        lines: Sequence[doing.Line] = (doing.declined(task),)
    else:
        from abaxial.season.present import told_of

        when = doing.hour_of(task, begun=_begun(stated["on"], journal), now=journal.moment)
        if stated["on"] is not None and writing.is_date_alone(stated["on"]):
            when = doing.Hour(None, None)
        lines = doing.lines_of(task, opened.garden, at=journal.moment, when=when, told=told_of(opened))
    drafts = []
    for each in lines:
        body = _changed(each, rest[1:], stated)
        note.refuse_unfit(each.kind, body)
        drafts.append(note.entry_of(journal, each.kind, body, stated))
    return drafts


def tell(journal: Journal, drafts: "Sequence[Entry]", *, as_json: bool) -> None:
    """Say lines back, write them, all or none, and tell what the journal then asks."""
    questions = writing.asked_by(journal, drafts)
    lines = listing.lines_of([*journal.entries, *drafts], journal.garden.place.zone)
    told = [listing.said_of(each, lines) for each in drafts]
    if not as_json:
        click.echo("\n".join(told))
    kept = writing.keep(journal, drafts)
    if as_json:
        answer = [listing.told_line(each, line) for each, line in zip(kept, told, strict=True)]
        click.echo(output.envelope("abaxial/note/1", journal.garden.name, answer, questions=questions), nl=False)
        return
    ids = writing.short_ids([*journal.entries, *kept])
    known = {each.id for each in journal.entries}
    new = [ids[each.id] for each in kept if each.id not in known]
    there = [ids[each.id] for each in kept if each.id in known]
    click.echo(f"Written, as {', '.join(new)}." if new else f"It stood there already, as {', '.join(there)}.")
    writing.tell_questions(questions)


def _task(given: options.Place | None, journal: Journal, key: str) -> "tuple[Planned, Opened]":
    """The task of that key as it was told, and the garden; else in the plan as it is now, or as it was before what has
    been written or has passed since.

    Raises RequestError where no plan of the week has it.
    """
    from abaxial.season.opening import open_garden
    from abaxial.season.tending import planned

    place = options.garden_path(given)
    opened = open_garden(place, at=journal.moment)
    found = planned.recalled(opened.shelf, key, journal.today)
    if found is not None:
        return found, opened
    options.say_if_compiling()
    now_there = ""
    for tasks in _plans(place, journal, key):
        found = next((each for each in tasks if each.key == key), None)
        if found is not None:
            return found, opened
        now_there = now_there or ", ".join(each.key for each in tasks)
    raise RequestError(
        f"No task of this week is called {key!r}.",
        remedy=f"The plan now has {now_there}." if now_there else "The plan has none now: see abaxial week.",
        where=key,
    )


def _plans(place: options.Place, journal: Journal, key: str) -> "Iterator[tuple[Planned, ...]]":
    """The week's plans made anew, the latest first."""
    from abaxial.season.opening import open_garden
    from abaxial.season.present import told_of
    from abaxial.season.tending import planned

    for number, moment in enumerate(_moments(journal)):
        if number == 1:
            click.echo(f"{key} is not in the plan as it is now; looking in the week's earlier ones.", err=True)
        try:
            opened = open_garden(place, at=moment)
        except RecordsError:
            # nothing had been written by then
            return
        yield planned.made_anew(opened.garden, at=moment, told=told_of(opened))


def _moments(journal: Journal) -> Iterator[datetime]:
    """Now, and the moments of the week before something was written or a day had passed, the latest first."""
    now = journal.moment
    written = {each.received_at for each in journal.entries if each.received_at is not None}
    before = {each - timedelta(seconds=1) for each in written if now - _BACK < each <= now}
    days = {now - timedelta(days=back) for back in range(1, _BACK.days)}
    yield now
    yield from sorted({each for each in (*before, *days) if each < now}, reverse=True)[: _MOST_PLANS - 1]


def _begun(on: str | None, journal: Journal) -> datetime | None:
    return None if on is None or writing.is_date_alone(on) else writing.happened(on, "remedy_done", journal)


def _changed(line: Any, words: Sequence[str], stated: Mapping[str, Any]) -> dict[str, object]:
    """A body with what was otherwise than planned, and who did it."""
    from abaxial.cli.journal import note
    from abaxial.season.tending import doing

    spelled = note.spelled(line.kind, words)
    body = pairs.body_of(spelled, before=line.body) if spelled else dict(line.body)
    details = body.get("details")
    if isinstance(details, dict) and "rate" in details and not any(each.startswith("details.rate") for each in spelled):
        details = body["details"] = doing.with_own_rate(details, line.body["details"])
    if line.kind == "remedy_done" and "material" in body and isinstance(details, dict) and stated["by"]:
        body["details"] = {"applicator": stated["by"], **details}
    return body


def _none_more(words: Sequence[str], way: str) -> None:
    if words:
        raise RequestError(f"{words[0]!r} does not go with {way}.", remedy="Leave it out.", where=words[0])

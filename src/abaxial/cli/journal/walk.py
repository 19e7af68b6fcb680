"""`abaxial walk`: where the next minutes are worth most; and what was seen, into the journal or the description."""

import os
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import options, output, week
from abaxial.cli.journal import listing, writing
from abaxial.cli.journal.writing import Journal
from abaxial.errors import RequestError, ScoutingError

if TYPE_CHECKING:
    from abaxial.garden.parts import Garden
    from abaxial.journal.entries import Entry
    from abaxial.scouting.sightings import Sighting

#: the options of the command by name
Stated = Mapping[str, Any]


@click.command(short_help="Where to look in the next minutes; write down what was seen.")
@options.garden_argument
@click.option(
    "--minutes", type=click.IntRange(0, 1440), default=20, show_default=True, help="How long the walk may take."
)
@click.option(
    "--out",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Write the plan to this file instead; the ending says the form: .html, .pdf, .json or .txt. May be repeated.",
)
@options.units_option
@click.option(
    "--seen",
    multiple=True,
    metavar="LINE",
    help='What was seen: "PLANTING: 14 low, 2 rusted; PLANTING: some, low". May be repeated.',
)
@click.option("--csv", "table", type=click.Path(path_type=Path), help="A table of walks, one look a line.")
@click.option("--on", metavar="DATE", help="The day of the walk that --seen tells of. Without it: today.")
@click.option("--by", default="", help="Who looked.")
@click.option("--write", is_flag=True, help="Write the lines into the description, where the garden is one.")
@options.written_at_option
@options.json_option
def walk(garden: options.Place | None, *, at: str | None, as_json: bool, **stated: Any) -> None:
    """Plan a walk, or write down what was seen on one. Without --seen and --csv it says which leaves of which plantings to
    turn in the minutes there are, in which order, and what finding none would mean.

    With them it writes down what was seen: for each planting how many leaves were turned, how many of them had rust, and of
    which height, or in words none, some or many. What was understood is said back before it is written; after a mistake
    nothing is written.

    In a garden file it becomes lines of the journal. For a description the lines to be pasted into it are printed, or,
    with --write, put at its end.

    \b
    What a line may say of a planting, set apart by commas:
      14 low, 2 rusted          14 low leaves turned, 2 of them with rust (also high, stem, plants)
      2 of 14 low               the same
      10 high, none             a further count begins another look
      none · some low · many    without counting; first: the first rust of the season
      2-5 %                     leaf area with rust; % of rusted leaves: of those with rust only
      4 pustules a leaf · by Ann · (a remark)

    \b
    Example:
      abaxial walk home.abaxial --minutes 20 --out walk.html
      abaxial walk home.abaxial --seen "Quay cannas: 14 low, 2 rusted; Fig-tree cannas: some, low"
      abaxial walk home.abaxial --csv walks.csv
      abaxial walk garden.toml --seen "Quay cannas: 20 low, none" --on 2026-03-10 --write
    """
    from abaxial.season.opening import is_description

    if not stated["seen"] and not stated["table"]:
        _plan(garden, at, stated, as_json=as_json)
        return
    if stated["seen"] and stated["table"]:
        raise RequestError("--seen and --csv do not go together.", remedy="Give them one after the other.")
    place = options.garden_path(garden)
    if is_description(place):
        _describe(Path(place), at, stated, as_json=as_json)
        return
    if stated["write"]:
        raise RequestError("--write is for a description; a garden file is always written in.", remedy="Leave it out.")
    with writing.open_journal(place, at) as journal:
        _record(journal, stated, as_json=as_json)


# ---------------------------------------------------------------- the plan


def _plan(garden: options.Place | None, at: str | None, stated: Stated, *, as_json: bool) -> None:
    output.check_endings(stated["out"], week.ENDINGS)
    opened, moment = options.opened(garden, at)
    options.say_if_compiling()
    from abaxial.season import walk as season_walk
    from abaxial.season.present import told_of

    told = told_of(opened)
    answer = season_walk.walk(opened.garden, at=moment, minutes=stated["minutes"], told=told)
    output.write_all({path: week.page(answer, path.suffix.lower(), stated["units"]) for path in stated["out"]})
    if as_json or not stated["out"]:
        click.echo(week.page(answer, ".json" if as_json else ".txt", stated["units"]), nl=False)


# ---------------------------------------------------------------- a garden file


def _record(journal: Journal, stated: Stated, *, as_json: bool) -> None:
    on = writing.happened(_text(stated["on"]), "walked", journal)
    seen = _sightings(journal.garden, stated, _date_of(on, journal.garden), journal.today)
    drafts = _drafts(journal, seen, on, is_table=stated["table"] is not None)
    questions = writing.asked_by(journal, drafts)
    known = {each.id for each in journal.entries}
    lines = listing.lines_of(
        [*journal.entries, *(each for each in drafts if each.id not in known)], journal.garden.place.zone
    )
    told = [listing.said_of(each, lines) for each in drafts]
    if not as_json:
        click.echo("".join(f"{line}\n" for line in told), nl=False)
    kept = writing.keep(journal, drafts)
    if as_json:
        answer = [listing.told_line(each, line) for each, line in zip(kept, told, strict=True)]
        click.echo(output.envelope("abaxial/walk-seen/1", journal.garden.name, answer, questions=questions), nl=False)
        return
    ids = writing.short_ids([*journal.entries, *kept])
    new = [ids[each.id] for each in kept if each.id not in known]
    there = [each for each in kept if each.id in known]
    if new:
        click.echo(f"Written, as {', '.join(new)}.")
    if there:
        back = [ids[each.id] for each in there if not lines.stands(each)]
        gone = f" Of these, {', '.join(back)} had been taken back, and still is." if back else ""
        click.echo(f"There already: {', '.join(ids[each.id] for each in there)}.{gone}")
    writing.tell_questions(questions)


def _drafts(journal: Journal, seen: "Sequence[Sighting]", on: datetime, *, is_table: bool) -> "list[Entry]":
    """One entry a day. A table that is read again gives the same ids, a line said again another."""
    from abaxial.hours import zone_named
    from abaxial.journal.canonical import with_derived_id, with_own_id
    from abaxial.journal.entries import Entry
    from abaxial.journal.kinds import VERSION
    from abaxial.journal.noticed import seen_of

    zone, now = zone_named(journal.garden.place.zone), journal.moment.astimezone(UTC)
    with_id = with_derived_id if is_table else with_own_id
    drafts = []
    for day in sorted({each.on for each in seen}):
        begins = datetime.combine(day, time(12), zone) if is_table else on
        times = (begins.astimezone(UTC), begins.astimezone(UTC), now)
        body = {"seen": [seen_of(each) for each in seen if each.on == day]}
        drafts.append(with_id(Entry("", "walked", VERSION, *times, "", writing.DEVICE, None, body)))
    return drafts


# ---------------------------------------------------------------- a description


def _describe(path: Path, at: str | None, stated: Stated, *, as_json: bool) -> None:
    """The lines for a description, printed or put at its end."""
    from abaxial.garden.writing import walk_block
    from abaxial.report.answers.told import Block
    from abaxial.report.words.facts import Facts
    from abaxial.report.words.seen.looks import look_words

    garden = options.garden_from(path)
    today = _date_of(options.moment(at, garden.place.zone), garden)
    given = _text(stated["on"])
    on = today if given is None else _date_of(options.moment(given, garden.place.zone, option="--on"), garden)
    seen = _sightings(garden, stated, on, today)
    told = [look_words(Facts(vars(each), "metric")) for each in seen]
    block = (
        walk_block("walks_file", {"file": _beside(Path(str(stated["table"])), path)})
        if stated["table"]
        else walk_block("walk", {"on": on, "seen": [_cells(each) for each in seen]})
    )
    if stated["write"]:
        _append(path, block)
    if as_json:
        answer = Block(block, tuple(told), bool(stated["write"]))
        click.echo(output.envelope("abaxial/walk-seen/1", garden.name, answer), nl=False)
        return
    click.echo("".join(f"{line}.\n" for line in told), err=not stated["write"], nl=False)
    click.echo(f"Written at the end of {path}." if stated["write"] else block, nl=bool(stated["write"]))


def _cells(sighting: "Sighting") -> dict[str, object]:
    """A look as a table of a description."""
    from abaxial.journal.noticed import seen_of

    cells = seen_of(sighting)
    limits = [cells.pop(name, None) for name in ("severity_low_frac", "severity_high_frac")]
    if limits[1] is not None:
        cells["severity_frac"] = limits
    return cells


def _append(path: Path, block: str) -> None:
    """Put a block at the end of a description, keeping every line that is there; the whole is read before it is written."""
    from abaxial.garden.description import garden_from_text

    text = path.read_text(encoding="utf-8-sig").rstrip("\n")
    longer = f"{text}\n\n{block}"
    garden_from_text(longer, where=path.name, folder=str(path.parent))
    output.write_whole(path, longer)


def _beside(table: Path, description: Path) -> str:
    """A table's name as seen from a description."""
    return Path(os.path.relpath(table, description.parent)).as_posix()


# ---------------------------------------------------------------- what was seen


def _sightings(garden: "Garden", stated: Stated, on: date, today: date) -> "tuple[Sighting, ...]":
    """What is said of a garden's plantings. Raises ScoutingError or GardenError with nothing written."""
    from abaxial.scouting.reading import read_sightings, read_spoken
    from abaxial.season.opening.description import named

    names = [each.name for each in garden.plantings]
    if stated["table"]:
        table = Path(str(stated["table"]))
        seen = read_sightings([{"file": table.name}], table.parent, where=str(table))
        where = str(table)
    else:
        said: Iterable[str] = stated["seen"]
        seen = read_spoken("\n".join(said), names, on=on, by=str(stated["by"]), where="--seen")
        where = "--seen"
    late = [each for each in seen if each.on > today]
    if late:
        raise ScoutingError(
            f"{where}: a walk on {late[0].on} is still to come.",
            remedy=f"Today is {today}; check the date.",
            where=where,
        )
    return named(garden, seen, where=where)


def _date_of(moment: datetime, garden: "Garden") -> date:
    from abaxial.hours import zone_named

    return moment.astimezone(zone_named(garden.place.zone)).date()


def _text(value: object) -> str | None:
    return value if isinstance(value, str) and value else None

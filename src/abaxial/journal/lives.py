"""Plantings as the journal makes, moves, divides, cuts, sees in flower and ends them, one entry after the other."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from abaxial.garden.parts import FLOWERS, Disposed
from abaxial.journal.ground import Event, LaidBed, bed_question, key_of
from abaxial.journal.kinds import OF_PLANTING, planting_table
from abaxial.journal.questions import Question, ask

LONGEST_STEM = 70
#: what is of all the clumps of a planting together, so that each part of it has a part
_STEMS = "flower_stems_per_week"
#: what is taken off a planting that goes on: the field of its dates, by kind of entry and what it took
CUTS = {
    ("cut_down", ""): "cut_down",
    ("leaves_taken_off", "low"): "low_leaves_off",
    ("leaves_taken_off", "rusted"): "rusted_leaves_off",
}


@dataclass(frozen=True)
class Life:
    """A planting from its first day to its last.

    name : unlike that of any other planting, ever. given : what its maker called it. table : as in a description,
    without the dates of cutting and of flowers. number : its place in the gardener's own order. begins_on, ended_on : first and last
    day on which something can be seen on it. parent : name of the planting it was taken from, "" if none; how : "made",
    "moved" or "divided".
    """

    name: str
    given: str
    table: Mapping[str, Any]
    number: int | None
    begins_on: date
    ended_on: date | None = None
    parent: str = ""
    how: str = "made"
    cut_down: frozenset[date] = frozenset()
    low_leaves_off: frozenset[date] = frozenset()
    rusted_leaves_off: frozenset[date] = frozenset()
    disposals: frozenset[Disposed] = frozenset()
    flowers_seen: frozenset[date] = frozenset()
    no_flowers_seen: frozenset[date] = frozenset()

    @property
    def clumps(self) -> int:
        """How many plants stand in it, or stood in it at the last."""
        return int(self.table["clumps"])

    @property
    def since(self) -> date:
        """When its leaves began to grow."""
        since: date = self.table["since"]
        return since


Lives = Mapping[str, Life]
Beds = Mapping[str, LaidBed]


def lead_lives(events: Iterable[Event], beds: Beds) -> tuple[Lives, list[Question]]:
    """All plantings there ever were, by name, in the order in which they began. events : in fold order."""
    events = list(events)
    lives: Lives = {}
    questions: list[Question] = []
    for each in events:
        if each.entry.kind in _STEPS:
            lives, asked = _STEPS[each.entry.kind](each, lives, beds)
            questions += asked
    for each in events:
        if each.entry.kind in _DATES:
            lives, asked = _dated(each, lives)
            questions += asked
    return _inherited(lives), questions


def find(event: Event, name: str, lives: Lives) -> tuple[Life | None, list[Question]]:
    """The planting that an entry calls by a name, on the entry's date; None with a question where there is none."""
    called = _called(name, lives)
    standing = [each for each in called if each.begins_on <= event.on and not _is_over(each, event.on)]
    if standing:
        return standing[-1], []
    details: dict[str, object] = {"kind": event.entry.kind, "planting": name, "on": event.on}
    begun = [each for each in called if each.begins_on <= event.on]
    if begun:
        return None, [ask("planting_gone", event.entry.id, **details, ended_on=begun[-1].ended_on)]
    if called:
        return None, [ask("planting_not_yet_there", event.entry.id, **details, begins_on=called[0].begins_on)]
    return None, [ask("planting_unknown", event.entry.id, **details)]


def _called(name: str, lives: Lives) -> list[Life]:
    key = key_of(name)
    return [each for each in lives.values() if key in (key_of(each.given), key_of(each.name))]


def _is_over(life: Life, on: date) -> bool:
    return life.ended_on is not None and life.ended_on < on


def _made(event: Event, lives: Lives, beds: Beds) -> tuple[Lives, list[Question]]:
    table = planting_table(event.body)
    return _begun(event, _draft(event, table, min(event.on, table["since"])), lives, beds)


def _moved(event: Event, lives: Lives, beds: Beds) -> tuple[Lives, list[Question]]:
    parent, asked = find(event, event.body["planting"], lives)
    if parent is None:
        return lives, asked
    said = {key: value for key, value in planting_table(event.body).items() if key != "planting"}
    taken = int(event.body.get("clumps", parent.clumps))
    draft = _draft(event, {**_part(parent, taken), "name": parent.given, **said}, event.on)
    # the parent goes first, because its child may keep its name
    without, short = _fewer(event, parent, taken, lives)
    result, asked = _begun(event, replace(draft, parent=parent.name, how="moved"), without, beds)
    return (lives, asked) if result is without else (result, short + asked)


def _divided(event: Event, lives: Lives, beds: Beds) -> tuple[Lives, list[Question]]:
    parent, asked = find(event, event.body["planting"], lives)
    if parent is None:
        return lives, asked
    said = {key: value for key, value in planting_table(event.body).items() if key not in ("planting", "lifted")}
    # of flowers nothing is taken over: pieces have to grow first
    kept = [key for key in ("host", "cultivar", *OF_PLANTING) if key in parent.table and key != _STEMS]
    table = {key: parent.table[key] for key in kept} | said
    draft = replace(_draft(event, table, event.on), parent=parent.name, how="divided")
    result, asked = _begun(event, draft, lives, beds)
    lifted = int(event.body.get("lifted", 0))
    if result is lives or not lifted:
        return result, asked
    result, short = _fewer(event, parent, lifted, result)
    return result, asked + short


def _destroyed(event: Event, lives: Lives, beds: Beds) -> tuple[Lives, list[Question]]:
    life, asked = find(event, event.body["planting"], lives)
    if life is None:
        return lives, asked
    return _fewer(event, life, int(event.body.get("clumps", life.clumps)), lives)


_STEPS: Mapping[str, Callable[[Event, Lives, Beds], tuple[Lives, list[Question]]]] = {
    "planting_made": _made,
    "planting_moved": _moved,
    "division_taken": _divided,
    "destroyed": _destroyed,
}


def _draft(event: Event, table: Mapping[str, Any], begins_on: date) -> Life:
    name = str(table["name"])
    number = event.body.get("number")
    return Life(name, name, table, None if number is None else int(number), begins_on)


def _begun(event: Event, draft: Life, lives: Lives, beds: Beds) -> tuple[Lives, list[Question]]:
    """The lives with one more; the very same ones, with a question, where it cannot begin."""
    question = bed_question(event, beds, draft.table["bed"])
    asked = [] if question is None else [question]
    bed = beds.get(key_of(draft.table["bed"]))
    if bed is None:
        return lives, asked
    before = _called(draft.given, lives)
    if any(each.ended_on is None for each in before):
        return lives, [*asked, ask("two_plantings_of_one_name", event.entry.id, planting=draft.given)]
    name = _free_name(draft.given, lives)
    table = {**draft.table, "name": name, "bed": bed.name}
    # leaves that grew before the entry belong to it only where no other planting had its name
    begins_on = event.on if before else draft.begins_on
    return {**lives, name: replace(draft, name=name, table=table, begins_on=begins_on)}, asked


def _free_name(given: str, lives: Lives) -> str:
    """The name itself, or with a number where an earlier planting had it."""
    taken = {key_of(name) for name in lives}
    name, number = given, 1
    while key_of(name) in taken:
        number += 1
        name = f"{given[:LONGEST_STEM].rstrip()} ({number})"
    return name


def _fewer(event: Event, life: Life, taken: int, lives: Lives) -> tuple[Lives, list[Question]]:
    """The lives after clumps were taken from one; it ends when none is left, and remembers how many stood last."""
    left = life.clumps - taken
    asked = []
    if left < 0:
        details = {"planting": life.name, "clumps": life.clumps, "taken": taken}
        asked.append(ask("fewer_clumps_than_taken", event.entry.id, kind=event.entry.kind, **details))
    changed = replace(life, table=_part(life, left)) if left > 0 else replace(life, ended_on=event.on)
    return {**lives, life.name: changed}, asked


def _part(life: Life, clumps: int) -> dict[str, Any]:
    """The table of so many clumps of a planting: with as large a share of its flowers, and of no more than it has."""
    table = {**life.table, "clumps": clumps}
    if _STEMS in table and clumps < life.clumps:
        table[_STEMS] = table[_STEMS] * clumps / life.clumps
    return table


def _dated(event: Event, lives: Lives) -> tuple[Lives, list[Question]]:
    """The lives with a date put down on the planting that an entry speaks of."""
    kind, name = event.entry.kind, event.body["planting"]
    life, asked = find(event, name, lives)
    if life is None:
        return lives, asked
    if event.on < life.since:
        details = {"planting": name, "on": event.on, "begins_on": life.since}
        return lives, [ask("planting_not_yet_there", event.entry.id, kind=kind, **details)]
    return {**lives, life.name: _DATES[kind](event, life)}, []


def _cut(event: Event, life: Life) -> Life:
    field = CUTS[event.entry.kind, event.body.get("which", "")]
    changed = _with_dates(life, field, {event.on})
    if "disposal" in event.body:
        changed = _with_disposals(changed, {Disposed(event.on, field, event.body["disposal"])})
    return changed


def _flowering(event: Event, life: Life) -> Life:
    """A life that remembers whether flowers were open; of one day what is said last counts."""
    said, other = FLOWERS if event.body.get("open", True) else reversed(FLOWERS)
    return replace(_with_dates(life, said, {event.on}), **{other: getattr(life, other) - {event.on}})


_DATES: Mapping[str, Callable[[Event, Life], Life]] = {
    "cut_down": _cut,
    "leaves_taken_off": _cut,
    "flowering_seen": _flowering,
}


def _with_dates(life: Life, field: str, days: set[date]) -> Life:
    """A life with more dates on which something was done or seen."""
    return replace(life, **{field: getattr(life, field) | days})


def _with_disposals(life: Life, fresh: set[Disposed]) -> Life:
    """A life that remembers where what was taken off it went; what is said last counts."""
    said = {(each.on, each.what): each for each in [*life.disposals, *fresh]}
    return replace(life, disposals=frozenset(said.values()))


def _inherited(lives: Lives) -> Lives:
    """A planting that was moved brings the cuts of its present leaves with it, and its open flowers."""
    result = dict(lives)
    for life in lives.values():
        if life.how == "moved":
            result[life.name] = _brought(life, result[life.parent])
    return result


def _brought(life: Life, parent: Life) -> Life:
    """A moved planting with what was taken off its parent after its leaves began."""
    for field in CUTS.values():
        days = {each for each in getattr(parent, field) if life.since <= each <= life.begins_on}
        life = _with_dates(life, field, days)
    went = {each for each in parent.disposals if life.since <= each.on <= life.begins_on}
    own = {(each.on, each.what) for each in life.disposals}
    life = _with_dates(life, "flowers_seen", _flowers_brought(life, parent))
    return _with_disposals(life, {each for each in went if (each.on, each.what) not in own})


def _flowers_brought(life: Life, parent: Life) -> set[date]:
    """Dates of flowers that still were open when a planting was moved. That none were open does not go with it: where it
    stands now, nobody has looked for weeds."""
    none_since = max((each for each in parent.no_flowers_seen if each <= life.begins_on), default=date.min)
    brought = {each for each in parent.flowers_seen if max(life.since, none_since) <= each <= life.begins_on}
    return brought - life.no_flowers_seen

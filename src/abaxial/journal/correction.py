"""Corrections and retractions: which entries stand, and as what.

A retraction takes an entry away, a correction gives it another body or other times. Both can be retracted; a correction
of a correction is laid over it, and goes with it when it is retracted.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import NamedTuple

from abaxial.journal.canonical import canonical_text, content_text, misfits
from abaxial.journal.entries import KINDS, Entry, fold_order, is_possible
from abaxial.journal.kinds import VERSION, body_problems, moment_of
from abaxial.journal.questions import Question, ask

AMENDING = ("correction", "retraction")
_LONG_AGO = datetime(1900, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Settled:
    """The entries that stand, corrected, in fold order, without corrections and retractions; `later` are those among
    the latter that only a newer version can read."""

    entries: tuple[Entry, ...]
    later: tuple[Entry, ...]
    questions: tuple[Question, ...]


class _Read(NamedTuple):
    entry: Entry
    trouble: Question | None


@dataclass(frozen=True)
class _Chains:
    """Who speaks of whom. by_id : every entry. depth : of each correction and retraction, 1 if it speaks of another kind
    of entry or of nothing, 0 in a circle. gone : ids that a standing retraction took away."""

    by_id: Mapping[str, Entry]
    depth: Mapping[str, int]
    gone: frozenset[str]


def settle(entries: Iterable[Entry]) -> Settled:
    """Every entry once, retracted ones left out, corrected ones changed; the order of arrival does not matter."""
    once, questions, unreadable = _once(entries)
    by_id = {each.id: each for each in once}
    depth = _depths(by_id)
    chains = _Chains(by_id, depth, _gone(by_id, depth))
    present = [each for each in once if each.id not in chains.gone]
    amending = [each for each in present if each.kind in AMENDING]
    questions += [unreadable[each.id] for each in present if each.id in unreadable]
    questions += [question for each in amending for question in _complaints(each, chains)]
    corrections = _corrections(amending, chains)
    corrected = []
    for each in present:
        if each.kind in AMENDING or each.id in unreadable:
            continue
        result, asked = _corrected(each, corrections[each.id])
        corrected.append(result)
        questions += asked
        if each.corrects is not None and each.kind in KINDS:
            questions.append(ask("corrects_though_not_a_correction", each.id, kind=each.kind, target=each.corrects))
    later = tuple(each for each in amending if _is_later(each))
    return Settled(tuple(sorted(corrected, key=fold_order)), later, tuple(questions))


def _once(entries: Iterable[Entry]) -> tuple[list[Entry], list[Question], dict[str, Question]]:
    """One entry for each id, in fold order: the one written down first. What cannot be read is emptied, and the question
    about it kept by its id, so that it can still be retracted."""
    alike: dict[str, dict[str, _Read]] = defaultdict(dict)
    for each in entries:
        read = _readable(each)
        text = f"{canonical_text(read.entry)}{read.trouble}"
        # of two copies the one that the store has seen, and seen first
        alike[each.id][text] = min(read, alike[each.id].get(text, read), key=_arrival)
    kept, questions, unreadable = [], [], {}
    for id_, versions in alike.items():
        first = min(versions, key=lambda text: (versions[text].entry.recorded_at, text))
        kept.append(versions[first].entry)
        trouble = versions[first].trouble
        if trouble is not None:
            unreadable[id_] = trouble
    kept.sort(key=fold_order)
    for each in kept:
        contents = {f"{content_text(read.entry)}{read.trouble}" for read in alike[each.id].values()}
        if len(contents) > 1:
            questions.append(ask("same_id_other_content", each.id, count=len(contents)))
    return kept, questions, unreadable


def _arrival(read: _Read) -> float:
    return math.inf if read.entry.seq is None else read.entry.seq


def _readable(entry: Entry) -> _Read:
    """The entry as it is, or emptied where it cannot be sorted or is not JSON."""
    times = (entry.happened_from, entry.happened_to, entry.recorded_at)
    if all(is_possible(each) for each in times):
        if isinstance(entry.body, Mapping) and not misfits(entry.body):
            return _Read(entry, None)
        problems = body_problems(entry.kind, entry.version, entry.body)
        trouble = ask("malformed", entry.id, kind=entry.kind, problems=problems)
    else:
        trouble = ask("time_impossible", entry.id, kind=entry.kind)
    happened_from, happened_to, recorded_at = (each if is_possible(each) else _LONG_AGO for each in times)
    empty = replace(
        entry, kind="", corrects=None, body={},
        happened_from=happened_from, happened_to=happened_to, recorded_at=recorded_at,
    )  # fmt: skip
    return _Read(empty, trouble)


def _depths(by_id: Mapping[str, Entry]) -> dict[str, int]:
    """How many steps each correction or retraction is from an entry of another kind, from nothing or from a circle; 0 for
    those that stand in a circle themselves."""
    depth: dict[str, int] = {}
    for start in by_id.values():
        path: list[str] = []
        passed: set[str] = set()
        here: Entry | None = start
        while here is not None and here.kind in AMENDING and here.id not in depth and here.id not in passed:
            path.append(here.id)
            passed.add(here.id)
            here = by_id.get(here.corrects or "")
        if here is not None and here.id in passed:
            begins = path.index(here.id)
            depth.update(dict.fromkeys(path[begins:], 0))
            path = path[:begins]
        reached = depth.get(here.id, 0) if here is not None else 0
        for steps, each in enumerate(reversed(path), 1):
            depth[each] = reached + steps
    return depth


def _gone(by_id: Mapping[str, Entry], depth: Mapping[str, int]) -> frozenset[str]:
    """Ids taken away, reckoned from the ends of the chains: what nobody speaks of stands."""
    gone: set[str] = set()
    for each in sorted(depth, key=lambda each: -depth[each]):
        entry = by_id[each]
        stands = depth[each] > 0 and each not in gone
        if stands and entry.kind == "retraction" and entry.corrects is not None and _is_sound(entry):
            gone.add(entry.corrects)
    return frozenset(gone)


def _is_later(entry: Entry) -> bool:
    return entry.version > VERSION


def _is_sound(entry: Entry) -> bool:
    return not _is_later(entry) and not body_problems(entry.kind, entry.version, entry.body)


def _complaints(entry: Entry, chains: _Chains) -> Iterable[Question]:
    """What is to be asked about a standing correction or retraction."""
    target = entry.corrects
    if chains.depth[entry.id] == 0:
        yield ask("corrects_in_a_circle", entry.id, kind=entry.kind, target=target)
    elif _is_later(entry):
        yield ask("newer_version", entry.id, kind=entry.kind, version=entry.version)
    elif problems := body_problems(entry.kind, entry.version, entry.body):
        yield ask("malformed", entry.id, kind=entry.kind, problems=problems)
    elif target is None:
        yield ask("corrects_nothing", entry.id, kind=entry.kind)
    elif target not in chains.by_id:
        yield ask("corrects_unknown", entry.id, kind=entry.kind, target=target)
    elif entry.kind == "correction" and target not in chains.gone and chains.depth.get(target) == 0:
        yield ask("corrects_in_a_circle", entry.id, kind=entry.kind, target=target)
    elif entry.kind == "correction" and chains.by_id[target].kind == "retraction":
        yield ask("correction_of_retraction", entry.id, target=target)


def _corrections(amending: Iterable[Entry], chains: _Chains) -> Mapping[str, list[Entry]]:
    """The corrections that count, by the entry they change, in the order in which they are laid over it."""
    found: dict[str, list[tuple[datetime, int, str]]] = defaultdict(list)
    for each in amending:
        if each.kind != "correction" or chains.depth[each.id] == 0 or not _is_sound(each):
            continue
        root, written = _root(each, chains)
        if root is not None:
            found[root].append((written, chains.depth[each.id], each.id))
    return defaultdict(list, {root: [chains.by_id[each] for _, _, each in sorted(found[root])] for root in found})


def _root(correction: Entry, chains: _Chains) -> tuple[str | None, datetime]:
    """The entry at the end of a chain of corrections, and when the last link was written; None where the chain is
    broken by a retraction or leads nowhere."""
    written, here = correction.recorded_at, correction
    while True:
        target = chains.by_id.get(here.corrects or "")
        broken = target is None or target.id in chains.gone or chains.depth.get(target.id) == 0
        if target is None or broken or target.kind == "retraction":
            return None, written
        if target.kind != "correction":
            return target.id, written
        # a clock that is behind does not put a correction before the one it corrects
        written, here = max(written, target.recorded_at), target


def _corrected(entry: Entry, corrections: Iterable[Entry]) -> tuple[Entry, list[Question]]:
    """An entry with its corrections laid over it; one that would not fit is asked about and left out."""
    questions = []
    for each in corrections:
        body = each.body.get("body", entry.body)
        begins = moment_of(each.body.get("happened_from")) or entry.happened_from
        ends = moment_of(each.body.get("happened_to")) or entry.happened_to
        problems = body_problems(entry.kind, entry.version, body) if "body" in each.body else []
        if problems or not isinstance(body, Mapping):
            questions.append(ask("correction_does_not_fit", each.id, target=entry.id, problems=problems))
            continue
        if "happened_from" in each.body and "happened_to" not in each.body:
            # a walk written down for the wrong day is moved as a whole
            ends = max(begins, begins + (entry.happened_to - entry.happened_from))
        entry = replace(entry, body=body, happened_from=begins, happened_to=ends)
    return entry, questions

"""What the journal asks back: each with what was made of it, and the one thing that would settle it."""

from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.quantities import counted, listed
from abaxial.report.words.seen.sprayed import SPRAYED

#: each kind of line in the journal, in plain words
ENTRIES = {
    "garden_described": "the description of the garden",
    "bed_laid": "a new bed",
    "bed_changed": "a change of a bed",
    "planting_made": "a new planting",
    "planting_moved": "a move to another bed",
    "cut_down": "a cutting down",
    "destroyed": "a clearing away",
    "leaves_taken_off": "leaves taken off",
    "division_taken": "a division",
    "walked": "a walk",
    "remedy_done": "something done about rust",
    "material_bought": "something bought",
    "note": "a note",
    "photo": "a photo",
    "correction": "a correction",
    "retraction": "a line taken back",
    "rain_noted": "a note of rain",
    "wetness_noted": "a note of wet leaves",
    "values_set": "a choice of what matters",
    "minutes_set": "the minutes for walks",
    "flowering_seen": "a note of flowers",
    "task_declined": "a task set aside",
}


def _malformed(facts: Facts) -> str:
    return (
        f"In the journal, {_entry(facts)} cannot be read{_problems(facts)}. It is kept and was left out; write it anew."
    )


def _unknown_kind(facts: Facts) -> str:
    kind = facts.text("kind")
    named = f" (“{kind}”)" if kind else ""
    return f"The journal holds a kind of line that we do not know{named}; it is kept and was left out. A newer Abaxial may know it."


def _newer_version(facts: Facts) -> str:
    return f"In the journal, {_entry(facts)} was written by a newer Abaxial; it is kept and was left out. Bringing this one up to date would tell."


def _same_id(facts: Facts) -> str:
    count = facts.number("count")
    many = counted(count, "line", "lines") if count is not None else "Several lines"
    return f"{many} of the journal go by one and the same number and say different things; the earliest was taken."


def _time_impossible(facts: Facts) -> str:
    return f"In the journal, {_entry(facts)} has a time that cannot be; it was left out. Write it anew with its day and hour."


def _time_backwards(facts: Facts) -> str:
    return f"In the journal, {_entry(facts)} ends before it begins; its two times were exchanged. Correct them if that is wrong."


def _corrects_nothing(facts: Facts) -> str:
    return f"In the journal, {_entry(facts)} does not say what it corrects, so it changed nothing."


def _corrects_unknown(facts: Facts) -> str:
    return f"In the journal, {_entry(facts)} speaks of a line that is not there, so it changed nothing. It may still be on another device."


def _in_a_circle(_: Facts) -> str:
    return "In the journal, lines correct each other in a circle, so none of them changed anything. Write once more what is right."


def _not_a_correction(facts: Facts) -> str:
    return f"In the journal, {_entry(facts)} names an earlier line as if it corrected it; it was read as a line of its own."


def _of_retraction(_: Facts) -> str:
    return "In the journal, a correction speaks of a line taken back, so it changed nothing. Take the taking back off first."


def _does_not_fit(facts: Facts) -> str:
    return f"A correction does not fit the line it corrects{_problems(facts)}, so that line stays as it was."


def _no_garden(_: Facts) -> str:
    return "The journal does not say yet where the garden lies, so nothing can be worked out. A description of it would tell."


def _described_twice(facts: Facts) -> str:
    name = facts.text("name")
    return f"The garden is described twice in the journal{f' (the second time as “{name}”)' if name else ''}; the first stands."


def _bed_twice(facts: Facts) -> str:
    return f"{_bed(facts)} is laid twice in the journal; the first stands. Give the second another name if it is another bed."


def _bed_unknown(facts: Facts) -> str:
    return f"In the journal, {_entry(facts)} names {_bed(facts, 'a bed')}, which was never laid; it was left out. Lay the bed or correct its name."


def _bed_not_yet(facts: Facts) -> str:
    on, laid = facts.day("on"), facts.day("laid_on")
    when = f" of {day_words(on)}" if on else ""
    since = f" until {day_words(laid)}" if laid else " by then"
    return f"In the journal, {_entry(facts)}{when} names {_bed(facts, 'a bed')}, which was not laid{since}. One of the two dates is off."


def _two_of_one_name(facts: Facts) -> str:
    who = _planting(facts, "One planting")
    return f"{who} was planted twice under one name; the first stands. Give the second a name of its own."


def _planting_unknown(facts: Facts) -> str:
    return (
        f"In the journal, {_entry(facts)}{_on(facts)} names {_planting(facts, 'a planting')}, which does not stand in this "
        "garden; it is kept and nothing was made of it. Plant it in the journal or correct its name."
    )


def _not_yet_there(facts: Facts) -> str:
    begins = facts.day("begins_on")
    since = f" until {day_words(begins)}" if begins else " by then"
    return (
        f"In the journal, {_entry(facts)}{_on(facts)} names {_planting(facts, 'a planting')}, which was not planted{since}. "
        "One of the two dates is off."
    )


def _planting_gone(facts: Facts) -> str:
    ended = facts.day("ended_on")
    since = f" since {day_words(ended)}" if ended else " by then"
    return (
        f"In the journal, {_entry(facts)}{_on(facts)} names {_planting(facts, 'a planting')}, which was gone{since}. "
        "One of the two dates is off."
    )


def _fewer_clumps(facts: Facts) -> str:
    clumps, taken = facts.number("clumps"), facts.number("taken")
    had = f"; it had {counted(clumps, 'clump', 'clumps')}" if clumps is not None else ""
    took = f" takes {counted(taken, 'clump', 'clumps')}" if taken is not None else " takes more"
    begin = f"In the journal, {_entry(facts)}{took} from {_planting(facts, 'a planting')}"
    return f"{begin}{had if had else ', which had fewer'}. Count them once more."


def _entry(facts: Facts) -> str:
    kind = facts.text("kind")
    return ENTRIES.get(kind, f"“{kind.replace('_', ' ')}”") if kind else "a line"


def _bed(facts: Facts, otherwise: str = "A bed") -> str:
    name = facts.text("bed")
    return f"“{name}”" if name else otherwise


def _planting(facts: Facts, otherwise: str) -> str:
    name = facts.text("planting")
    return f"“{name}”" if name else otherwise


def _on(facts: Facts) -> str:
    on = facts.day("on")
    return f" of {day_words(on)}" if on else ""


def _problems(facts: Facts) -> str:
    problems = facts.names("problems")
    return f" ({listed(problems, most=2).rstrip('.')})" if problems else ""


ASKED = {
    "malformed": _malformed,
    "unknown_kind": _unknown_kind,
    "newer_version": _newer_version,
    "same_id_other_content": _same_id,
    "time_impossible": _time_impossible,
    "time_backwards": _time_backwards,
    "corrects_nothing": _corrects_nothing,
    "corrects_unknown": _corrects_unknown,
    "corrects_in_a_circle": _in_a_circle,
    "corrects_though_not_a_correction": _not_a_correction,
    "correction_of_retraction": _of_retraction,
    "correction_does_not_fit": _does_not_fit,
    "no_garden": _no_garden,
    "garden_described_twice": _described_twice,
    "bed_laid_twice": _bed_twice,
    "bed_unknown": _bed_unknown,
    "bed_not_yet_laid": _bed_not_yet,
    "two_plantings_of_one_name": _two_of_one_name,
    "planting_unknown": _planting_unknown,
    "planting_not_yet_there": _not_yet_there,
    "planting_gone": _planting_gone,
    "fewer_clumps_than_taken": _fewer_clumps,
    **SPRAYED,
}

"""Taking turns: fungicides counted by FRAC code and never by name, over the whole garden, for its rust is one population.

A turn is one round of the garden, as a set of codes. Codes of several sites (M…) and the unclassified (NC) may run on; an
NC turn, an oil or a soap, neither counts as a turn nor ends the run of another.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

_SEVERAL_SITES = re.compile(r"M ?\d+")

Codes = frozenset[str]


class Turn(NamedTuple):
    """One round of the garden. first, last : its days. codes : all that were used in it. solo : those that somewhere had no
    partner of another code. members : day and planting of each of its sprays."""

    first: date
    last: date
    codes: Codes
    solo: Codes
    members: frozenset[tuple[date, str]]


class Year(NamedTuple):
    """Turns of a year. used, alone : by code, in any way and without a partner. every : all."""

    used: Counter[str]
    alone: Counter[str]
    every: int


class Used(NamedTuple):
    """What one planting got on one day."""

    on: date
    planting: str
    codes: Codes


def is_exempt(code: str) -> bool:
    """Whether a FRAC code may run on: several sites of action, or none that is classified."""
    return code == "NC" or _SEVERAL_SITES.fullmatch(code) is not None


def without_unclassified(codes: Iterable[str]) -> Codes:
    """Codes that make a turn."""
    return frozenset(codes) - {"NC"}


def solo_codes(codes: Iterable[str]) -> Codes:
    """The code of a spray that has no partner of another; an NC partner is none."""
    counted = without_unclassified(codes)
    return counted if len(counted) == 1 else frozenset()


def run_length(sequence: Sequence[Iterable[str]], place: int, code: str) -> int:
    """How many turns of a code stand in a row around a place in the sequence, 0 if the code is not there.

    sequence : codes of each turn, in order of time. place : counted from 0.
    """
    turns = [without_unclassified(each) for each in sequence]
    if code not in turns[place]:
        return 0
    count = 1
    for step in (-1, 1):
        index = place + step
        while 0 <= index < len(turns) and (not turns[index] or code in turns[index]):
            count += code in turns[index]
            index += step
    return count


def first_overrun(sequence: Sequence[Iterable[str]], most_running: int) -> int:
    """The turn, counted from 1, at which some code has run longer than it may; 0 if none has."""
    for place, codes in enumerate(sequence):
        seen = sequence[: place + 1]
        if any(not is_exempt(code) and run_length(seen, place, code) > most_running for code in codes):
            return place + 1
    return 0


def solo_share_frac(sequence: Sequence[Iterable[str]], code: str) -> float:
    """Share of the turns in which a code stood alone; NC turns are no turns. 0 where there are none."""
    turns = [turn for each in sequence if (turn := without_unclassified(each))]
    return sum(turn == {code} for turn in turns) / len(turns) if turns else 0.0


def share_frac(sequence: Sequence[Iterable[str]], code: str) -> float:
    """Share of the turns in which a code was used in any way. 0 where there are none."""
    turns = [turn for each in sequence if (turn := without_unclassified(each))]
    return sum(code in turn for turn in turns) / len(turns) if turns else 0.0


def turns_of(used: Iterable[Used], round_d: int) -> tuple[Turn, ...]:
    """The rounds of a garden, in order of time.

    A planting that gets its next spray begins a new round, and so does every spray after round_d days. What got only NC is
    in none. A spray added after all others moves none of them into another round.
    """
    days: dict[date, dict[str, set[str]]] = {}
    for each in used:
        codes = without_unclassified(each.codes)
        if codes:
            days.setdefault(each.on, {}).setdefault(each.planting, set()).update(codes)
    turns: list[Turn] = []
    for on in sorted(days):
        met = {planting for _, planting in turns[-1].members} if turns else set()
        open_still = bool(turns) and on < turns[-1].first + timedelta(round_d)
        joining = {planting for planting in days[on] if open_still and planting not in met}
        beginning = days[on].keys() - joining
        if joining:
            turns[-1] = _joined(turns[-1], _turn(on, {each: days[on][each] for each in joining}))
        if beginning:
            turns.append(_turn(on, {each: days[on][each] for each in beginning}))
    return tuple(turns)


def _turn(on: date, tanks: Mapping[str, set[str]]) -> Turn:
    codes = frozenset(code for tank in tanks.values() for code in tank)
    solo = frozenset(code for tank in tanks.values() for code in solo_codes(tank))
    return Turn(on, on, codes, solo, frozenset((on, planting) for planting in tanks))


def _joined(one: Turn, other: Turn) -> Turn:
    return Turn(one.first, other.last, one.codes | other.codes, one.solo | other.solo, one.members | other.members)


def run_around(turns: Sequence[Turn], on: date, code: str, memory_d: int, *, planting: str | None = None) -> int:
    """How many turns of a code stand in a row around the turn of a day, 0 if that turn has not got the code.

    planting : whose turn it is where a day has two; None for the later one. Two turns are in a row if no turn without the
    code lies between them and they are at most memory_d days apart.
    """
    place = place_of(turns, on, planting)
    if place is None or code not in turns[place].codes:
        return 0
    count = 1
    for step in (-1, 1):
        index = place
        while 0 <= index + step < len(turns) and code in turns[index + step].codes:
            earlier, later = sorted((index, index + step))
            if (turns[later].first - turns[earlier].last).days > memory_d:
                break
            index += step
            count += 1
    return count


def place_of(turns: Sequence[Turn], on: date, planting: str | None) -> int | None:
    """Which turn a day belongs to, None if to none. planting : as of `run_around`."""
    for place in range(len(turns) - 1, -1, -1):
        turn = turns[place]
        if (on, planting) in turn.members or (planting is None and turn.first <= on <= turn.last):
            return place
    return None


def in_year(turns: Sequence[Turn], on: date, year_d: int) -> Year:
    """The turns of the year that ends on a day. year_d : its length."""
    year = [turn for turn in turns if on - timedelta(year_d) < turn.first <= on]
    return Year(
        Counter(code for turn in year for code in turn.codes),
        Counter(code for turn in year for code in turn.solo),
        len(year),
    )

"""The rivals: what each does in a week, from what the walk found, by the numbers of the setup."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np

from abaxial.label.contents import contents_of
from abaxial.label.done import done_of
from abaxial.plan.programmes.step import SPRAYS, Step
from abaxial.plan.prospects.labour import work_of
from abaxial.plan.prospects.plot import work
from studies.tournament_climate import MATERIALS, setup
from studies.tournament_player import Garden, bottle_named


class Wish(NamedTuple):
    """Something to do on a planting. bottles : to be tried in order; none where no bottle is needed."""

    place: int
    kind: str
    bottles: tuple[str, ...] = ()


@dataclass
class Memory:
    """What a rival remembers. turn : how far its rotation has come. once : plantings on which something was done for good. oiled,
    sprayed : planting to the last week."""

    turn: int = 0
    once: set[tuple[str, int]] = field(default_factory=set)
    oiled: dict[int, int] = field(default_factory=dict)
    sprayed: dict[int, int] = field(default_factory=dict)


Rival = Callable[[Mapping[str, Any], int, Sequence[int], Memory], list[Wish]]


def nothing(said: Mapping[str, Any], week: int, found: Sequence[int], memory: Memory) -> list[Wish]:
    """Nothing."""
    return []


def cut_once(said: Mapping[str, Any], week: int, found: Sequence[int], memory: Memory) -> list[Wish]:
    """Rusted leaves off once."""
    wishes = [each for each in cut_each_time(said, week, found, memory) if ("cut", each.place) not in memory.once]
    memory.once |= {("cut", each.place) for each in wishes}
    return wishes


def cut_each_time(said: Mapping[str, Any], week: int, found: Sequence[int], memory: Memory) -> list[Wish]:
    """Rusted leaves off each time."""
    return [Wish(place, "rusted_leaves_off") for place in _worst_first(found) if found[place] >= said["seen"]]


def calendar(said: Mapping[str, Any], week: int, found: Sequence[int], memory: Memory) -> list[Wish]:
    """Everything on fixed days."""
    if week % said["every_weeks"]:
        return []
    turn = said["turns"][week // said["every_weeks"] % len(said["turns"])]
    return [Wish(place, "fungicide", tuple(turn)) for place in _worst_first(found) if found[place] >= 0]


def when_seen(said: Mapping[str, Any], week: int, found: Sequence[int], memory: Memory) -> list[Wish]:
    """What shows rust; the next round with the next kind."""
    seen = [place for place in _worst_first(found) if found[place] >= said["seen"]]
    turn = said["turns"][memory.turn % len(said["turns"])]
    return [Wish(place, "fungicide", tuple(turn)) for place in seen]


def practice(said: Mapping[str, Any], week: int, found: Sequence[int], memory: Memory) -> list[Wish]:
    """The common practice of the issue: low leaves and rusted leaves off, oil while it is light, one kind twice and then
    another when it is not, and the worst cut down."""
    wishes = []
    for place in _worst_first(found):
        count = found[place]
        if count >= said["extreme"] and ("down", place) not in memory.once:
            memory.once.add(("down", place))
            wishes += [Wish(place, "cut_down"), Wish(place, "clear_litter")]
            continue
        if count >= said["seen"]:
            if ("low", place) not in memory.once:
                memory.once.add(("low", place))
                wishes.append(Wish(place, "low_leaves_off"))
            wishes.append(Wish(place, "rusted_leaves_off"))
        if said["light"] >= count >= said["seen"] and week - memory.oiled.get(place, -99) >= said["oil_weeks"]:
            wishes.append(Wish(place, "oil", (said["oil"],)))
        elif count > said["light"] and week - memory.sprayed.get(place, -99) >= said["every_weeks"]:
            turn = said["turns"][memory.turn % len(said["turns"])]
            wishes.append(Wish(place, "fungicide", tuple(turn)))
    return wishes


RIVALS: Mapping[str, Rival] = {
    "nothing": nothing,
    "cut_once": cut_once,
    "cut_each_time": cut_each_time,
    "calendar_protectant": calendar,
    "calendar_in_turn": calendar,
    "when_seen": when_seen,
    "practice": practice,
}


def act(garden: Garden, key: str, week: int, found: Sequence[int], memory: Memory) -> list[tuple[int, Step]]:
    """Do what a rival wants, as far as labels, rules and minutes let it."""
    wishes = RIVALS[key](setup()["player"][key], week, found, memory)
    if not wishes:
        garden.act(week, [])
        return []
    grounds, left = garden.grounds(week), float(setup()["minutes"])
    litres: dict[str, float] = {}
    steps: list[tuple[int, Step]] = []
    history = len(garden.history)
    for wish in wishes:
        takes = work_of(grounds[wish.place].plot, garden.needs(grounds[wish.place]))
        if wish.kind not in SPRAYS:
            if takes.minutes[wish.kind] <= left:
                left -= takes.minutes[wish.kind]
                steps.append((wish.place, Step(0, wish.kind)))
            continue
        step = _sprayed(garden, wish, (week, grounds[wish.place]), takes, (litres, left))
        if step is not None:
            before = _mixing(litres)
            litres[step.bottle] = litres.get(step.bottle, 0.0) + takes.litres[step.bottle]
            left -= takes.spray_minutes[step.bottle] + _mixing(litres) - before
            steps.append((wish.place, step))
            (memory.oiled if wish.kind == "oil" else memory.sprayed)[wish.place] = week
    # what was put down as intended is done now
    del garden.history[history:]
    garden.act(week, steps)
    if any(step.kind == "fungicide" for _, step in steps):
        memory.turn += 1
    return steps


def _sprayed(
    garden: Garden, wish: Wish, where: tuple[int, Any], takes: Any, so_far: tuple[dict[str, float], float]
) -> Step | None:
    """The first bottle that may be used and for which there is time; it is put down as intended."""
    (litres, left), (week, ground) = so_far, where
    for key in wish.bottles:
        bottle = bottle_named(key)
        if garden.refused(ground, bottle, week) != ():
            continue
        more = _mixing({**litres, key: litres.get(key, 0.0) + takes.litres[key]}) - _mixing(litres)
        if takes.spray_minutes[key] + more > left:
            continue
        site = garden.site(ground, bottle)
        assert site is not None
        garden.history.append(done_of(bottle, site, garden.scene.on(week), MATERIALS))
        oil = "oil" in contents_of(bottle, MATERIALS).kinds
        return Step(0, "oil" if oil else "fungicide", key)
    return None


def _mixing(litres: Mapping[str, float]) -> float:
    return float(sum(np.ceil(each / setup()["tank_l"]) for each in litres.values()) * work()["mixing_min"].value)


def _worst_first(found: Sequence[int]) -> list[int]:
    return sorted(range(len(found)), key=lambda place: (-found[place], place))

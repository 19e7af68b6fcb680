"""In which order to work, and what to do between two plantings: clean ones first, clothes and blades changed on the way."""

from collections.abc import Sequence
from typing import NamedTuple

from abaxial.errors import RequestError
from abaxial.label.sanitation.rules import read_rules


class Standing(NamedTuple):
    """What is held of a planting before one works at it.

    rusted_frac : leaf area with rust that shows, 0 to 1. hidden_frac : the same, not showing. guarded : mother plants, new
    divisions and safety stock. held : newly come, still standing apart. lasting : has virus or bud rot, which blades
    carry. wet : leaves are wet now.
    """

    planting: str
    rusted_frac: float
    hidden_frac: float
    guarded: bool = False
    held: bool = False
    lasting: bool = False
    wet: bool = False


class Turn(NamedTuple):
    """One planting in its turn. before : what to do before it, in order."""

    planting: str
    before: tuple[str, ...]


def working_order(standings: Sequence[Standing]) -> tuple[Turn, ...]:
    """The plantings in the order in which to work, with what to do before each; after the last one, hands, blades and
    clothes are washed.

    Plantings that show next to nothing come first, guarded ones before all; then the others by how much shows and hides;
    newly come plants after them, and those with virus or bud rot last. Where leaves are wet, work waits. Raises
    RequestError for a share that is none, or a planting named twice.
    """
    _refuse(standings)
    turns, last = [], None
    for each in sorted(standings, key=_rank):
        turns.append(Turn(each.planting, _before(each, last)))
        last = each
    return tuple(turns)


def _before(now: Standing, last: Standing | None) -> tuple[str, ...]:
    acts = ["wait_until_dry"] if now.wet else []
    if last is None:
        return (*acts, "clean_clothes", "clean_blades")
    if last.held or last.lasting or (now.guarded and _class(last) > 0):
        acts.append("change_clothes")
    # the dirtier a planting just left, the more there is to wash off, though sleeves carry more rust than blades
    return (
        (*acts, "wash_hands", "disinfect_blades") if _class(last) > 0 or last.lasting else (*acts, "disinfect_blades")
    )


def _rank(each: Standing) -> tuple[bool, bool, int, bool, float, str]:
    return (
        each.lasting,
        each.held,
        _class(each),
        not each.guarded,
        each.rusted_frac + each.hidden_frac,
        each.planting,
    )


def _class(each: Standing) -> int:
    rules = read_rules()
    return (each.rusted_frac >= rules["clean_rusted_frac"]) + (each.rusted_frac > rules["heavy_rusted_frac"])


def _refuse(standings: Sequence[Standing]) -> None:
    names = [each.planting for each in standings]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise RequestError(f"{', '.join(twice)} comes twice.", remedy="Name each planting once.")
    for each in standings:
        if not (0.0 <= each.rusted_frac <= 1.0 and 0.0 <= each.hidden_frac <= 1.0):
            raise RequestError(
                f"{each.planting}: {each.rusted_frac:g} showing and {each.hidden_frac:g} hidden are no shares.",
                remedy="Both lie between 0 and 1.",
            )

"""What becomes of what was cut: the bin by default, and why not the other ways."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import NamedTuple

from abaxial.errors import RequestError
from abaxial.label.sanitation.compost import NEVER_COMPOSTED
from abaxial.provenance import Parameter, read_parameter, read_table

TROUBLES = ("rust", "virus", "bud_rot")
_FILE = Path(__file__).parent / "disposal.toml"


class Circumstances(NamedTuple):
    """What a gardener can do with cut leaves; None where nobody asked yet.

    refuse_collection : whether household waste is fetched, burned or buried safely. burning_legal : whether local law
    lets one burn it there and then. own_ground : whether there is ground away from the beds to bury in. pile_passed :
    whether an earlier heap here met a standard that frees of rust. disinfected : whether it is wet with bleach or alcohol.
    """

    refuse_collection: bool | None = None
    burning_legal: bool | None = None
    own_ground: bool | None = None
    pile_passed: bool = False
    disinfected: bool = False


class Refused(NamedTuple):
    """A way that is not open, and the kind of reason."""

    way: str
    kind: str


@dataclass(frozen=True)
class Disposal:
    """What to do with what was cut.

    way : the best that is open, "" where none is known to be. others : further ways, the surer first. refused : with
    reasons. cautions : of the chosen way. left_frac : share of its spores that stays in the garden, with its range.
    questions : what to ask the gardener. before : what to do with it until then.
    """

    way: str
    others: tuple[str, ...]
    refused: tuple[Refused, ...]
    cautions: tuple[str, ...]
    left_frac: Parameter
    questions: tuple[str, ...]
    before: str = "keep_in_closed_bags"


def ways() -> tuple[str, ...]:
    """Every way there is, the surest first."""
    return tuple(_ways())


def left_in_garden(way: str) -> Parameter:
    """Share of the spores of what was cut that stays in the garden as a source [0 to 1], with its range.

    way : one of `ways`. Raises RequestError for another.
    """
    if way not in _ways():
        raise RequestError(f"No way of disposal is called {way!r}.", remedy=f"Known are {', '.join(ways())}.")
    return _ways()[way][0]


def disposal(troubles: Collection[str], circumstances: Circumstances) -> Disposal:
    """What to do with cut leaves or clumps that have, or may have, some troubles.

    troubles : some of TROUBLES; what is not known to be clean is rusted. Where nobody knows about collection, the bin is
    taken and asked about; fire is never taken on a guess. Raises RequestError for a trouble nobody here knows.
    """
    strange = sorted(set(troubles) - set(TROUBLES))
    if strange:
        raise RequestError(f"Nobody here knows {', '.join(strange)}.", remedy=f"Write some of {', '.join(TROUBLES)}.")
    reasons = {way: _reason(way, troubles, circumstances) for way in _ways()}
    open_ways = tuple(way for way, reason in reasons.items() if not reason)
    # where no way is open it lies there until one is
    left, cautions = _ways()[open_ways[0] if open_ways else "left_lying"]
    return Disposal(
        way=open_ways[0] if open_ways else "",
        others=open_ways[1:],
        refused=tuple(Refused(way, reason) for way, reason in reasons.items() if reason),
        cautions=cautions,
        left_frac=left,
        questions=_questions(circumstances),
    )


def _reason(way: str, troubles: Collection[str], at: Circumstances) -> str:
    """Why a way is closed; "" where it is open."""
    lasting = any(each in troubles for each in NEVER_COMPOSTED)
    if way == "bag_and_bin":
        return "no_refuse_collection" if at.refuse_collection is False else ""
    if way == "burn":
        if at.disinfected:
            return "wet_with_disinfectant"
        return "" if at.burning_legal else "not_known_to_be_legal" if at.burning_legal is None else "not_legal"
    if way == "solarise_then_bury":
        if lasting:
            return "outlives_the_ground"
        return "" if at.own_ground else "no_ground_known"
    if way == "hot_compost":
        if lasting or at.disinfected:
            return "outlives_the_heap" if lasting else "wet_with_disinfectant"
        return "" if at.pile_passed else "no_log_that_passed"
    return {"green_waste": "spreads_it_to_others", "cold_compost": "too_cool"}.get(way, "spreads_it_here")


def _questions(at: Circumstances) -> tuple[str, ...]:
    asked = {"refuse_collection": at.refuse_collection}
    if at.refuse_collection is False:
        asked |= {"burning_legal": at.burning_legal, "own_ground": at.own_ground}
    return tuple(name for name, answer in asked.items() if answer is None)


@cache
def _ways() -> Mapping[str, tuple[Parameter, tuple[str, ...]]]:
    return {
        way: (read_parameter(f"{way} left_frac", table["left_frac"], limits=(0.0, 1.0), path=_FILE), tuple(table["cautions"]))
        for way, table in read_table(_FILE).items()
    }  # fmt: skip

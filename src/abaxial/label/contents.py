"""What is in a bottle, as the files of its materials know it: codes, kinds, and what each asks for."""

from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from abaxial.label.bottle import Bottle, Label
from abaxial.remedy.material import Material


class Contents(NamedTuple):
    """The materials of one bottle taken together; of every demand the strictest.

    codes : FRAC codes, of the files and of the label. acts : whether anything in it does something to rust. interval_d :
    usual between two, None where no file says. heat_stop_c, heat_warn_c : None where no file says. apart, better_apart :
    kind or active to days. never_with : kinds, actives and other things. unknown : actives of which neither file nor label
    tells the code.
    """

    actives: tuple[str, ...]
    codes: tuple[str, ...]
    kinds: tuple[str, ...]
    acts: bool
    interval_d: int | None
    heat_stop_c: float | None
    heat_warn_c: float | None
    apart: Mapping[str, int]
    better_apart: Mapping[str, int]
    never_with: frozenset[str]
    cautions: tuple[str, ...]
    unknown: tuple[str, ...]


def contents_of(bottle: Bottle, materials: Mapping[str, Material]) -> Contents:
    """What is in a bottle; nothing, where it has no label. materials : by key, all that can be read."""
    actives = tuple(bottle.label.actives) if bottle.label else ()
    return _contents(bottle.label, actives, tuple(materials.get(key) for key in actives))


# the rules ask for a few bottles again and again
@lru_cache(maxsize=512)
def _contents(label: Label | None, actives: tuple[str, ...], described: tuple[Material | None, ...]) -> Contents:
    """described : the material of each active, None where no file tells of it."""
    printed = label.codes if label else ()
    known = [each for each in described if each is not None]
    strangers = tuple(key for key, each in zip(actives, described, strict=True) if each is None)
    intervals = [int(each["interval_d"]) for each in known if "interval_d" in each.numbers]
    return Contents(
        actives=actives,
        codes=tuple(sorted({*printed, *(code for each in known for code in each.codes)})),
        kinds=tuple(sorted({*(each.kind for each in known), *(("fungicide",) if strangers else ())})),
        acts=any(each.acts_on_rust for each in known) or bool(strangers),
        interval_d=max(intervals, default=None),
        heat_stop_c=_lowest(known, "heat_stop_c"),
        heat_warn_c=_lowest(known, "heat_warn_c"),
        apart=_longest([each.apart for each in known] + [(label.apart_d if label else None) or {}]),
        better_apart=_longest([each.better_apart for each in known]),
        never_with=frozenset(
            (*(label.never_with if label else ()), *(each for one in known for each in one.never_mixed_with))
        ),
        cautions=tuple(sorted({caution for each in known for caution in each.cautions})),
        unknown=() if printed else strangers,
    )


def _lowest(materials: list[Material], name: str) -> float | None:
    return min((each[name] for each in materials if name in each.numbers), default=None)


def _longest(tables: list[Mapping[str, int]]) -> dict[str, int]:
    names = {name for table in tables for name in table}
    return {name: max(table.get(name, 0) for table in tables) for name in sorted(names)}

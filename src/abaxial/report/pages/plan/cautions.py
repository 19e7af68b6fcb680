"""Precautions as a page shows them: where several bottles ask for the same thing, the strictest of them."""

from collections.abc import Sequence
from datetime import date

from abaxial.label.precautions import DETAILS
from abaxial.report.answers.week import Reason
from abaxial.report.words.quantities import Units
from abaxial.report.words.speech import say

#: numbers of which the smaller is the stricter
_SMALLER = ("most_c", "most_h")


def cautions_told(precautions: Sequence[Reason], units: Units, today: date) -> tuple[str, ...]:
    """Each kind once, as a sentence."""
    return tuple(dict.fromkeys(say(each, units, today) for each in strictest(precautions)))


def strictest(precautions: Sequence[Reason]) -> tuple[Reason, ...]:
    """Those that come with numbers or gear once for each kind, with the strictest of them; the others as they come."""
    found: dict[object, list[Reason]] = {}
    for place, each in enumerate(precautions):
        found.setdefault(each.kind if each.kind in DETAILS else place, []).append(each)
    return tuple(_joined(same[0].kind, same) if len(same) > 1 else same[0] for same in found.values())


def _joined(kind: str, same: list[Reason]) -> Reason:
    names = dict.fromkeys(name for each in same for name in each.details)
    return Reason(kind, {name: _of_all(name, [each.details.get(name) for each in same]) for name in names})


def _of_all(name: str, values: list[object]) -> object:
    known = [each for each in values if each is not None]
    if any(isinstance(each, list | tuple) for each in known):
        return tuple(dict.fromkeys(str(one) for each in known if isinstance(each, list | tuple) for one in each))
    if name == "when_dry":
        # hours that one of them asks for are longer than drying takes
        return bool(known) and all(known)
    if any(isinstance(each, bool) for each in known):
        return any(known)
    numbers = [float(each) for each in known if isinstance(each, int | float)]
    return (min(numbers) if name in _SMALLER else max(numbers)) if numbers else None

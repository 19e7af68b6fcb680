"""What was done on plants before they were moved, counted where they stand now."""

from collections.abc import Iterable, Sequence
from datetime import date

from abaxial.journal.fold import Descent


def stand_as(names: Iterable[str], on: date, moved: Sequence[Descent]) -> tuple[str, ...]:
    """Names of plantings in which plants stand now that stood in these on a date: the same, and those moved out of them then
    or later. moved : in the order in which they began."""
    found = list(dict.fromkeys(names))
    for each in moved:
        if each.parent in found and on <= each.on and each.planting not in found:
            found.append(each.planting)
    return tuple(found)

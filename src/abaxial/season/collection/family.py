"""Which planting was divided from which, and so where an infection can have come from or gone to."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from abaxial.collection import lineage
from abaxial.collection.lineage import Division, Lineage, Stay, Trace
from abaxial.garden.parts import Garden, Planting
from abaxial.journal.fold import Descent, Former
from abaxial.report.answers.stock import Traced, TraceStep
from abaxial.scouting.sightings import Sighting


class Family(NamedTuple):
    """What a journal tells of where plantings came from, and of those that stand no more; a description tells neither."""

    descent: Sequence[Descent] = ()
    former: Sequence[Former] = ()

    def parent(self, planting: str) -> Descent | None:
        """Where a planting came from, None where nobody knows."""
        return next((each for each in self.descent if each.planting == planting), None)

    def came_on(self, planting: Planting) -> date:
        """The day a planting began where it stands."""
        parent = self.parent(planting.name)
        return planting.since if parent is None else parent.on


def lineage_of(garden: Garden, family: Family) -> Lineage:
    """All divisions and stays of a garden. Raises RequestError where the journal contradicts itself."""
    divisions = [Division(each.planting, each.parent, each.on) for each in family.descent]
    standing = [Stay(each.name, each.bed, family.came_on(each)) for each in garden.plantings]
    gone = [
        Stay(each.planting.name, each.planting.bed, min(family.came_on(each.planting), each.ended_on), each.ended_on)
        for each in family.former
    ]
    return lineage.lineage_of(divisions, [*standing, *gone])


def rust_on(sightings: Sequence[Sighting], planting: str, today: date) -> tuple[date, ...]:
    """The days up to today on which rust was seen on a planting, in order."""
    return tuple(
        sorted({each.on for each in sightings if each.planting == planting and each.on <= today and is_rusty(each)})
    )


def is_rusty(seen: Sighting) -> bool:
    """Whether a look found rust."""
    return bool(seen.rusted) or seen.amount in ("some", "many", "first")


def traced(planting: str, of: Lineage, *, seen_on: date | None, begun: tuple[date, bool], today: date) -> Traced:
    """Where rust on a planting can have come from and gone to. seen_on : None for never, and today. begun : the first day it
    can have, and whether the record reaches back so far."""
    since, known = begun
    back = lineage.trace_back(planting, of, seen_on=seen_on or today, since=since)
    return Traced(
        planting=planting,
        seen_on=seen_on,
        since=since,
        known=known,
        back=_steps(back),
        exposed=_steps(lineage.exposed(planting, of, since=since, until=today)),
    )


def _steps(found: Sequence[Trace]) -> tuple[TraceStep, ...]:
    return tuple(TraceStep(*each) for each in found)

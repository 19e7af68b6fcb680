"""In which hours of the coming week each bottle may be sprayed on each bed, and what closes the others."""

from collections.abc import Mapping
from datetime import datetime
from typing import NamedTuple

from abaxial import hours
from abaxial.garden.parts import Bed, Garden
from abaxial.label.bottle import Bottle, Label
from abaxial.label.window import hours_ahead
from abaxial.label.window.closings import Air, Closings, closings
from abaxial.label.window.from_label import limits_for, nature_of, use_for
from abaxial.label.window.from_weather import air_ahead
from abaxial.label.window.hours_ahead import Shut, Window
from abaxial.label.window.limits import Limits, read_limits, tightened
from abaxial.label.window.site import SiteFacts, unasked
from abaxial.plan.prospects.permit import Law
from abaxial.season.planning.law import facts_of
from abaxial.season.planting_week import Grown

#: hours of the clock from which and to which somebody sprays
AT_WORK = (6, 20)
AHEAD_H = 7 * 24
#: the shortest job that is looked for
JOB_H = 1.0


class Opening(NamedTuple):
    """The coming week of one bottle on one bed. windows : the surest first. shut : what closes hours where none is fit.
    first_hour : since 1970, of row 0."""

    windows: tuple[Window, ...]
    shut: tuple[Shut, ...]
    first_hour: int

    @property
    def open_h(self) -> int:
        """Hours that are open."""
        return sum(each.end - each.start for each in self.windows)

    def moments(self, window: Window, zone: str) -> tuple[datetime, datetime, datetime]:
        """Start, end and best beginning on the garden's clock."""
        rows = (window.start, window.end, window.best)
        start, end, best = (hours.local_moment(self.first_hour + row, zone) for row in rows)
        return start, end, best


def openings(garden: Garden, grown: Grown, law: Law, values: Mapping[str, float]) -> Mapping[tuple[str, str], Opening]:
    """Bed and bottle to their hours. A bed about which a question is open has none. Raises RequestError for a value that
    would make a limit laxer."""
    limits = own_limits(values)
    found: dict[tuple[str, str], Opening] = {}
    beds = {each.stand.bed.name: each.stand.bed for each in grown.here}
    for name, bed in beds.items():
        facts = facts_of(bed)
        if unasked(facts) or not law.bottles:
            continue
        air = air_over(garden, grown, bed)
        for bottle in law.bottles:
            if bottle.label is not None and air is not None:
                found[name, bottle.key] = _opening(
                    bottle, bottle.label, air, law, limits, (facts, grown.sky.ensemble.now_hour)
                )
    return found


def own_limits(values: Mapping[str, float]) -> Limits:
    """The limits of spraying as the gardener made them. Raises RequestError for a value that would make one laxer."""
    return tightened(read_limits(), {name: value for name, value in values.items() if name in Limits._fields})


def air_over(garden: Garden, grown: Grown, bed: Bed) -> Air | None:
    """The hours ahead over one bed in which something stands; None where nothing is forecast."""
    wettest = next(each for each in grown.here if each.stand.bed.name == bed.name)
    return air_ahead(
        grown.sky.ensemble,
        wettest.wet_ahead_frac,
        place=garden.place,
        shelter_frac=bed.shelter_frac,
        at_work=AT_WORK,
        weekdays=garden.gardener.weekdays,
    )


def closed_to(
    bottle: Bottle, label: Label, air: Air, law: Law, limits: Limits, facts: SiteFacts
) -> tuple[Closings, Limits]:
    """What closes every hour ahead to a bottle, and the limits that hold for it. Raises RequestError while a question about
    the bed is open."""
    nature = nature_of(law.materials[key] for key in law.contents(bottle).actives if key in law.materials)
    own = limits_for([label], nature, limits)
    return closings(air, own, use_for([label], nature, own, facts=facts, flowers_open=False)), own


def _opening(bottle: Bottle, label: Label, air: Air, law: Law, limits: Limits, of: tuple[SiteFacts, int]) -> Opening:
    facts, first_hour = of
    found, own = closed_to(bottle, label, air, law, limits, facts)
    windows = hours_ahead.windows(found, own, needed_h=JOB_H)
    return Opening(windows, () if windows else hours_ahead.what_closes(found, own), first_hour)

"""In which hours of the coming week each bottle may be sprayed on each bed, and what closes the others."""

from collections.abc import Mapping
from datetime import datetime
from typing import NamedTuple

from abaxial import hours
from abaxial.garden.flowers import flowers_open_in, unseen_in
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


class Over(NamedTuple):
    """The hours ahead over one bed and what lies around it. first_hour : since 1970, of row 0. flowers_open : in it or under
    it; None where nobody knows. unseen : then, the plantings of which nobody has said so of late."""

    air: Air
    first_hour: int
    facts: SiteFacts
    flowers_open: bool | None
    unseen: tuple[str, ...]


class Opening(NamedTuple):
    """The coming week of one bottle on one bed. windows : the surest first. shut : what closes hours where none is fit.
    first_hour : since 1970, of row 0. unseen : plantings to look at, where none is fit only because nobody said whether
    flowers are open on them."""

    windows: tuple[Window, ...]
    shut: tuple[Shut, ...]
    first_hour: int
    unseen: tuple[str, ...] = ()

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
        if unasked(facts_of(bed)) or not law.bottles:
            continue
        over = over_bed(garden, grown, bed)
        for bottle in law.bottles:
            if bottle.label is not None and over is not None:
                found[name, bottle.key] = _opening(bottle, bottle.label, over, law, limits)
    return found


def own_limits(values: Mapping[str, float]) -> Limits:
    """The limits of spraying as the gardener made them. Raises RequestError for a value that would make one laxer."""
    return tightened(read_limits(), {name: value for name, value in values.items() if name in Limits._fields})


def over_bed(garden: Garden, grown: Grown, bed: Bed) -> Over | None:
    """The hours ahead over one bed in which something stands; None where nothing is forecast."""
    wettest = next(each for each in grown.here if each.stand.bed.name == bed.name)
    air = air_ahead(
        grown.sky.ensemble,
        wettest.wet_ahead_frac,
        place=garden.place,
        shelter_frac=bed.shelter_frac,
        at_work=AT_WORK,
        weekdays=garden.gardener.weekdays,
    )
    if air is None:
        return None
    today = grown.sky.local_date
    is_open = flowers_open_in(bed.name, garden.plantings, today)
    unseen = unseen_in(bed.name, garden.plantings, today) if is_open is None else ()
    return Over(air, grown.sky.ensemble.now_hour, facts_of(bed), is_open, unseen)


def closed_to(bottle: Bottle, label: Label, over: Over, law: Law, limits: Limits) -> tuple[Closings, Limits]:
    """What closes every hour ahead to a bottle, and the limits that hold for it. Raises RequestError while a question about
    the bed is open."""
    nature = nature_of(law.materials[key] for key in law.contents(bottle).actives if key in law.materials)
    own = limits_for([label], nature, limits)
    use = use_for([label], nature, own, facts=over.facts, flowers_open=over.flowers_open)
    return closings(over.air, own, use), own


def to_look_at(
    bottle: Bottle, label: Label, over: Over, law: Law, limits: Limits, needed_h: float = JOB_H
) -> tuple[str, ...]:
    """The plantings of a bed of which nobody has said whether flowers are open, where hours would be fit if none were; else
    none. needed_h : how long the job takes."""
    if not over.unseen:
        return ()
    found, own = closed_to(bottle, label, over._replace(flowers_open=False), law, limits)
    return over.unseen if hours_ahead.windows(found, own, needed_h=needed_h) else ()


def _opening(bottle: Bottle, label: Label, over: Over, law: Law, limits: Limits) -> Opening:
    found, own = closed_to(bottle, label, over, law, limits)
    windows = hours_ahead.windows(found, own, needed_h=JOB_H)
    if windows:
        return Opening(windows, (), over.first_hour)
    shut = hours_ahead.what_closes(found, own)
    return Opening((), shut, over.first_hour, to_look_at(bottle, label, over, law, limits))

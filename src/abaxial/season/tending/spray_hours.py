"""The hours ahead in which each bottle may be sprayed on each bed, and the reason for every stretch that is refused."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import groupby
from typing import NamedTuple

from abaxial import hours
from abaxial.errors import RequestError
from abaxial.garden.parts import Garden
from abaxial.journal.ground import key_of
from abaxial.label import precautions
from abaxial.label.bottle import Bottle, Label, missing
from abaxial.label.precautions import Known
from abaxial.label.window import hours_ahead
from abaxial.label.window.hours_ahead import Hour, Window
from abaxial.plan.prospects.labour import work_of
from abaxial.plan.prospects.plot import work
from abaxial.report.answers.hours import BedHours, ClosedHours, HoursAnswer
from abaxial.report.answers.plan import OpenHours
from abaxial.report.answers.reason import Reason
from abaxial.season import story
from abaxial.season.planning.law import Ground
from abaxial.season.planning.open_hours import Over, closed_to, over_bed, own_limits, to_look_at
from abaxial.season.present import Told, passport_of, told_by
from abaxial.season.tending.grounds import Tended, asked_around, bottle_called, tended, unknown_of

#: what else closes at least this share of a stretch is told with it
_ALSO_FRAC = 0.5
#: what closes hours in which nobody is there is no news
_NOBODY = ("not_at_work", "dark")


def spray_hours(
    garden: Garden, *, at: datetime, bottle: str | None = None, bed: str | None = None, told: Told | None = None
) -> HoursAnswer:
    """The hours ahead of each bottle and bed.

    bottle, bed : names; None for all. Raises RequestError for one that is not there; other arguments and errors as in
    `week.week`.
    """
    here = tended(garden, at, told_by(garden, at) if told is None else told)
    bottles = _bottles(here, bottle)
    beds = _beds(here, bed)
    found = tuple(_bed_hours(here, each, grounds) for each in bottles for grounds in beds)
    works = dict.fromkeys(kind for each in bottles for kind in precautions.works_of(here.law.contents(each)))
    grown = here.now.grown
    return HoursAnswer(
        garden=garden.name,
        invented=garden.invented,
        today=here.today,
        beds=found,
        precautions=tuple(_precautions(here, bottles, tuple(works))) if any(each.open for each in found) else (),
        until="" if grown is None else story.moment_text(grown.sky.ensemble.forecast_end_hour, garden.place.zone),
        unknown=unknown_of(here),
        passport=passport_of(here.now),
    )


def _bottles(here: Tended, named: str | None) -> list[Bottle]:
    """The bottles that are asked about. Raises RequestError for a home brew and for one that is not there."""
    if named is None:
        return list(here.law.bottles)
    chosen = bottle_called(named, here.now.told.bottles)
    if chosen.kind == "home_brew":
        raise RequestError(
            f"{chosen.key} was brewed at home; it is never proposed.", remedy="Name a bottle with a label.", where=named
        )
    return [chosen]


def _beds(here: Tended, named: str | None) -> list[list[Ground]]:
    """The grounds of each bed that is asked about. Raises RequestError for a bed that is not there or has no rust in it."""
    by_bed: dict[str, list[Ground]] = {}
    for each in here.grounds:
        by_bed.setdefault(each.here.stand.bed.name, []).append(each)
    if named is None:
        return list(by_bed.values())
    there = [each.name for each in here.now.garden.beds]
    name = next((each for each in there if key_of(each) == key_of(named)), None)
    if name is None:
        raise RequestError(
            f"There is no bed called {named!r}.", remedy=f"The beds are {', '.join(there) or 'none yet'}.", where=named
        )
    if name not in by_bed and here.now.grown is not None:
        raise RequestError(f"Nothing that gets a known rust stands in {name}.", remedy="Name another bed.", where=named)
    return [by_bed[name]] if name in by_bed else []


def _bed_hours(here: Tended, bottle: Bottle, grounds: Sequence[Ground]) -> BedHours:
    bed, against = grounds[0].here.stand.bed, [here.hindered(each, bottle) for each in grounds]
    able = [each for each, reasons in zip(grounds, against, strict=True) if not reasons]
    minutes = _minutes(here, bottle, able or grounds)
    around, lacking = asked_around(grounds[0]), _lacking(bottle)
    ahead = _Ahead((), (), ())
    if bottle.label is not None and able and not around:
        grown = here.now.grown
        over = None if grown is None else over_bed(here.now.garden, grown, bed)
        ahead = _ahead(here, bottle, bottle.label, over, minutes)
    return BedHours(
        bottle=bottle.key,
        bed=bed.name,
        plantings=tuple(each.here.stand.planting.name for each in able or grounds),
        minutes=minutes,
        # hours that only look fit because nobody wrote the label down are not told as fit
        open=() if around or lacking else ahead.open,
        closed=ahead.closed,
        shut=ahead.shut,
        asks=(*around, *lacking, *(() if lacking else ahead.asks)),
        hindered=sum(against, ()),
    )


def _lacking(bottle: Bottle) -> tuple[Reason, ...]:
    fields = missing(bottle)
    return (Reason("label_asked", {"bottle": bottle.key, "fields": fields}),) if fields else ()


def _minutes(here: Tended, bottle: Bottle, grounds: Sequence[Ground]) -> int:
    """What mixing and spraying a bed takes."""
    spraying = sum(work_of(each.plot, here.needs(each)).spray_minutes[bottle.key] for each in grounds)
    return max(round(spraying + work()["mixing_min"].value), 1)


class _Ahead(NamedTuple):
    """Open hours, closed ones, what shuts them all, and what has to be told before any opens."""

    open: tuple[OpenHours, ...]
    closed: tuple[ClosedHours, ...]
    shut: tuple[Reason, ...]
    asks: tuple[Reason, ...] = ()


def _ahead(here: Tended, bottle: Bottle, label: Label, over: Over | None, minutes: int) -> _Ahead:
    if over is None:
        return _Ahead((), (), (Reason("weather_ends", {}),))
    zone, needed_h = here.now.garden.place.zone, minutes / 60.0
    limits = own_limits(here.now.told.values)
    found, own = closed_to(bottle, label, over, here.law, limits)
    windows = hours_ahead.windows(found, own, needed_h=needed_h)
    closed = tuple(_closed(hours_ahead.hours_of(found, own), windows, over.first_hour, zone))
    if windows:
        return _Ahead(tuple(_open(each, over.first_hour, zone) for each in windows), closed, ())
    shut = [
        Reason(each.kind, {"hours": each.hours, "alone": each.alone}) for each in hours_ahead.what_closes(found, own)
    ]
    somebody = tuple(each for each in shut if each.kind not in _NOBODY)
    unseen = to_look_at(bottle, label, over, here.law, limits, needed_h)
    asks = (Reason("flowers_asked", {"plantings": unseen, "bottles": (bottle.key,)}),) if unseen else ()
    return _Ahead((), closed, somebody or tuple(shut), asks)


def _open(window: Window, first_hour: int, zone: str) -> OpenHours:
    rows = (window.start, window.end, window.best)
    start, end, best = (hours.local_moment(first_hour + row, zone) for row in rows)
    return OpenHours(start, end, best, window.fit_frac)


def _closed(told: Sequence[Hour], windows: Sequence[Window], first_hour: int, zone: str) -> Iterator[ClosedHours]:
    """All hours outside the windows, in stretches that one thing closes first. An open hour that is too short for the work
    counts to what closes the hours around it."""
    inside = {row for each in windows for row in range(each.start, each.end)}
    rows = [each for each in told if each.row not in inside]
    # hours on end have rows that rise as fast as their places
    numbered = enumerate(zip(rows, _firsts(rows), strict=True))
    for (kind, _), group in groupby(numbered, key=lambda each: (each[1][1], each[1][0].row - each[0])):
        stretch = [each for _, (each, _) in group]
        shares = [next((one.members_frac for one in each.reasons if one.kind == kind), 0.0) for each in stretch]
        others = Counter(
            one.kind for each in stretch for one in each.reasons if one.members_frac > _ALSO_FRAC and one.kind != kind
        )
        yield ClosedHours(
            start=hours.local_moment(first_hour + stretch[0].row, zone),
            end=hours.local_moment(first_hour + stretch[-1].row + 1, zone),
            kind=kind,
            also=tuple(other for other, count in others.most_common() if count > _ALSO_FRAC * len(stretch)),
            members_frac=sum(shares) / len(shares),
        )


def _firsts(rows: Sequence[Hour]) -> list[str]:
    """What closes each hour first; of an hour that is open by itself, what closes the one after it, else before it; of
    hours that are fewer than the work takes, that the weather known ends there."""
    found = [each.first for each in rows]
    if not any(found):
        return ["weather_ends"] * len(found)
    for place in reversed(range(len(found) - 1)):
        found[place] = found[place] or found[place + 1]
    for place in range(1, len(found)):
        found[place] = found[place] or found[place - 1]
    return found


def _precautions(here: Tended, bottles: Sequence[Bottle], works: tuple[str, ...]) -> Iterator[Reason]:
    """The precautions of everything that is open, each with its numbers once."""
    said: set[tuple[str, str]] = set()
    for bottle in bottles:
        known = Known(here.law.rules, bottle.label, here.law.contents(bottle))
        for each in precautions.precautions_for(works, known):
            if (each.kind, str(each.details)) not in said:
                said.add((each.kind, str(each.details)))
                yield Reason(each.kind, each.details)

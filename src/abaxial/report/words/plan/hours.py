"""The hours for spraying: which are open, and what closes the others."""

from collections.abc import Callable
from datetime import date, datetime, timedelta

from abaxial.report.answers.plan import OpenHours
from abaxial.report.words.dates import short_weekday, weekday_words
from abaxial.report.words.facts import Facts, always
from abaxial.report.words.likelihood import tenths
from abaxial.report.words.quantities import counted, listed

#: what closes an hour, as it ends a sentence that begins with the hours
CLOSED_BY = {
    "water_too_near": "water is too near for this product",
    "open_flowers": "flowers are open, or may be, and this product spares them",
    "not_at_work": "nobody is there",
    "dark": "it is dark",
    "weather_unknown": "the weather is not known",
    "weather_ends": "the weather ahead is known no further",
    "rain_now": "it rains",
    "rain_to_come": "rain comes before the spray has dried on",
    "leaves_wet": "the leaves are wet",
    "layered_air": "the air may lie in layers, in which drops hang and drift",
    "too_still": "the air is too still",
    "too_windy": "there is too much wind",
    "too_cold": "it is too cold",
    "too_hot": "it is too hot",
    "heat_to_come": "heat follows that would burn the leaves",
    "sun_on_oil": "the sun is too strong for oil on leaves",
    "air_too_moist": "the air is so moist that drops drift far",
    "air_too_dry": "the air is so dry that drops dry up on the way",
    "bees_flying": "bees are flying",
}


def near_day(day: date, today: date) -> str:
    """A day in a sentence: "today", "tomorrow", "Friday 27 November"."""
    near = {0: "today", 1: "tomorrow"}
    return near.get((day - today).days) or weekday_words(day)


def stretch_words(start: datetime, end: datetime, today: date) -> str:
    """Hours on end: "tomorrow from 18:00 to 20:00"; over midnight both days are named."""
    first = near_day(start.date(), today)
    if start.date() == end.date() or (end - start <= timedelta(hours=24) and f"{end:%H:%M}" == "00:00"):
        return f"{first} from {start:%H:%M} to {'24:00' if end.date() != start.date() else f'{end:%H:%M}'}"
    return f"{first} {start:%H:%M} to {near_day(end.date(), today)} {end:%H:%M}"


def short_stretch(start: datetime, end: datetime, today: date) -> str:
    """The same for a table: "Sat 14 Mar 06:00–11:00"."""
    first, last = (_short_near(each.date(), today) for each in (start, end))
    until = "24:00" if f"{end:%H:%M}" == "00:00" and end.date() - start.date() == timedelta(days=1) else f"{end:%H:%M}"
    if start.date() == end.date() or until == "24:00":
        return f"{first} {start:%H:%M}–{until}"
    return f"{first} {start:%H:%M} – {last} {end:%H:%M}"


def _short_near(day: date, today: date) -> str:
    return "today" if day == today else short_weekday(day)


def open_words(hours: OpenHours, today: date) -> str:
    """Open hours with the best time to begin and how sure they are."""
    return f"{stretch_words(hours.start, hours.end, today)}, best at {hours.best:%H:%M}; {tenths(hours.fit_frac)}"


def closed_words(kind: str) -> str:
    """What closes an hour, in the middle of a sentence."""
    return CLOSED_BY.get(kind, kind.replace("_", " "))


def _no_hours(facts: Facts) -> str:
    bottle, kinds = facts.text("bottle"), facts.names("closed_by")
    which = f"For {bottle} no" if bottle else "No"
    where = listed(facts.names("beds") or facts.names("plantings"))
    place = f" on {where}" if where else ""
    days = facts.number("days")
    ahead = f" in the next {counted(days, 'day', 'days')}" if days else " in the days ahead"
    why = f": {listed(tuple(closed_words(kind) for kind in kinds), most=4)}" if kinds else ""
    return f"{which} hour{place}{ahead} is fit for spraying{why}. {_instead(facts)}"


def _instead(facts: Facts) -> str:
    alone, hours = facts.text("alone"), facts.number("alone_hours")
    if alone and hours:
        many = "One hour" if round(hours) == 1 else f"{hours:.0f} hours"
        return f"{many} would be open but for one thing: {closed_words(alone)}. That is something to wait for."
    return "No rule was bent to find one; the work that needs no sprayer comes first."


def _closing(kind: str) -> Callable[[Facts], str]:
    def told(facts: Facts) -> str:
        bottle, hours, alone = facts.text("bottle"), facts.number("hours"), facts.number("alone")
        which = f"{bottle}: " if bottle else ""
        many = f"for {counted(hours, 'hour', 'hours')} ahead, " if hours else ""
        only = f"; {counted(alone, 'hour', 'hours')} would be open but for that" if alone else ""
        said = f"{which}{many}{closed_words(kind)}{only}."
        return said[0].upper() + said[1:]

    return told


CLOSINGS: dict[str, Callable[[Facts], str]] = {
    "no_hours": _no_hours,
    **always(
        {
            "no_forecast": "There is no forecast, so no hour of this week can be called fit for spraying. Fetch one, and ask again."
        }
    ),
    **{kind: _closing(kind) for kind in CLOSED_BY},
}

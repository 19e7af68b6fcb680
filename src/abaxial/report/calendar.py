"""The week's tasks as an iCalendar file (RFC 5545): work with an hour where it has one, precautions with it."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple

import icalendar

from abaxial.provenance import digest
from abaxial.report.answers.plan import PlanTask
from abaxial.report.answers.week import Task, WeekAnswer
from abaxial.report.blocks import Action
from abaxial.report.pages.plan.tasks import action_of
from abaxial.report.words.quantities import Units
from abaxial.report.words.speech import say_why
from abaxial.report.words.tasks import task_words

_PRODUCT = "-//Abaxial//The week//EN"
#: work that is hours long is cut to the hours that are fit; shorter work is shown at least so long
_LEAST_MINUTES = 15


class _Entry(NamedTuple):
    """One line of the calendar. begin, end : days, the end not counted, or moments."""

    key: str
    begin: date | datetime
    end: date | datetime
    summary: str
    where: str
    description: str


def week_calendar(answer: WeekAnswer, units: Units = "metric") -> bytes:
    """The tasks of the plan, or of the week where there is no plan, as an iCalendar file.

    The same task of the same week has the same name for calendars all week, so that a newer file replaces an older one.
    Raises FaultError where a task lacks its precautions.
    """
    calendar = icalendar.Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", f"{answer.garden}: this week")
    made_at = _made_at(answer.passport.made_at)
    for entry in _entries(answer, units):
        calendar.add_component(_event(entry, answer.garden, made_at))
    calendar.add_missing_timezones()
    return bytes(calendar.to_ical())


def _entries(answer: WeekAnswer, units: Units) -> Iterator[_Entry]:
    if answer.plan is None:
        for task in answer.tasks:
            yield from _by_days(task, answer, units)
        return
    for planned in answer.plan.tasks:
        action = action_of(planned, answer.plan, answer.today, units)
        yield from _planned(planned, action, answer.today)


def _planned(task: PlanTask, action: Action, today: date) -> Iterator[_Entry]:
    where, description = ", ".join(each for each in task.beds if each), _description(action)
    if task.hours:
        hours = task.hours[0]
        end = hours.best + timedelta(minutes=max(task.minutes, _LEAST_MINUTES))
        # hours that are fit are never overrun
        yield _Entry(task.key, hours.best, min(end, hours.end), action.what, where, description)
        return
    for number, day in enumerate(task.days or (today,), start=1):
        key = task.key if number == 1 else f"{task.key}-{number}"
        yield _Entry(key, day, day + timedelta(days=1), action.what, where, description)


def _by_days(task: Task, answer: WeekAnswer, units: Units) -> Iterator[_Entry]:
    who = ", ".join(task.plantings)
    for day in task.days:
        key = f"{task.kind}/{who}/{day.isoformat()}"
        yield _Entry(key, day, day + timedelta(days=1), task_words(task), "", say_why(task.why, units, answer.today))


def _description(action: Action) -> str:
    care = (f"Take care: {' '.join(action.cautions)}",) if action.cautions else ()
    steps = tuple(f"{number}. {step}" for number, step in enumerate(action.steps, start=1))
    return "\n".join(part for part in (f"{action.when}.", *care, action.why, *action.how, *steps) if part)


def _event(entry: _Entry, garden: str, made_at: datetime) -> icalendar.Event:
    event = icalendar.Event()
    year, week, _ = entry.begin.isocalendar()
    event.add("uid", f"{digest(f'{garden}/{year}-W{week:02d}/{entry.key}')}@abaxial")
    event.add("dtstamp", made_at)
    event.add("dtstart", entry.begin)
    event.add("dtend", entry.end)
    event.add("summary", _plain(entry.summary))
    event.add("description", _plain(entry.description))
    if entry.where:
        event.add("location", _plain(entry.where))
    # a whole day of work does not make anybody busy all day
    event.add("transp", "OPAQUE" if isinstance(entry.begin, datetime) else "TRANSPARENT")
    return event


def _made_at(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return datetime.fromtimestamp(0, UTC)
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).astimezone(UTC)


def _plain(text: str) -> str:
    """Without control characters, which the format forbids; lines stay lines."""
    return "".join(char for char in text if char == "\n" or char.isprintable())

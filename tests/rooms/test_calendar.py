"""The calendar: what RFC 5545 asks for, the garden's own clock, and the same name for the same work all week."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
from tests.rooms.invented_plan import invented_plan, leaves_off, looking, planned_week, spraying
from tests.rooms.invented_week import TODAY, invented_week

from abaxial.report import render
from abaxial.report.answers.week import WeekAnswer

WEEK = planned_week()
FILE = render.calendar_bytes(WEEK)


def _events(week: WeekAnswer = WEEK) -> dict[str, icalendar.Event]:
    read = icalendar.Calendar.from_ical(render.calendar_bytes(week))
    return {str(each["summary"]): each for each in read.walk("VEVENT")}


def _named(week: WeekAnswer, start: str) -> icalendar.Event:
    return next(each for name, each in _events(week).items() if name.startswith(start))


def test_the_file_is_lines_of_at_most_75_octets_that_end_as_the_standard_asks() -> None:
    lines = FILE.split(b"\r\n")

    assert b"\n" not in FILE.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    assert lines[:2] == [b"BEGIN:VCALENDAR", b"VERSION:2.0"]


def test_every_event_has_a_name_of_its_own_and_the_time_the_file_was_made() -> None:
    read = icalendar.Calendar.from_ical(FILE)
    events = read.walk("VEVENT")

    assert len({str(each["uid"]) for each in events}) == len(events) == 4
    assert {each["dtstamp"].dt for each in events} == {datetime(2026, 11, 25, 6, tzinfo=UTC)}


def test_a_spray_stands_at_its_best_hour_on_the_gardens_clock() -> None:
    event = _named(WEEK, "Spray the quay cannas")

    assert event["dtstart"].dt == datetime(2026, 11, 26, 17, 30, tzinfo=ZoneInfo("Africa/Nairobi"))
    assert event["dtend"].dt - event["dtstart"].dt == timedelta(minutes=35)
    assert event["dtstart"].params["TZID"] == "Africa/Nairobi"
    assert str(event["location"]) == "Quay bed, Fig shade"


def test_the_zone_of_the_garden_is_described_in_the_file() -> None:
    zones = icalendar.Calendar.from_ical(FILE).walk("VTIMEZONE")

    assert [str(each["tzid"]) for each in zones] == ["Africa/Nairobi"]


def test_a_spray_never_overruns_the_hours_that_are_fit() -> None:
    long = replace(spraying(), minutes=240)
    event = _named(replace(WEEK, plan=replace(invented_plan(), tasks=(long,))), "Spray")

    assert event["dtend"].dt == spraying().hours[0].end


def test_precautions_go_with_the_work_into_the_calendar() -> None:
    told = str(_named(WEEK, "Spray the quay cannas")["description"])

    assert "The product’s label and the law where you live come first." in told
    assert "Measure 15 ml of Shed oil and pour it in." in told
    assert told.index("Take care") < told.index("Mix 2 tankfuls")


def test_work_without_an_hour_takes_the_day_and_makes_nobody_busy() -> None:
    event = _named(WEEK, "Take every rusted leaf off")

    assert (event["dtstart"].dt, event["dtend"].dt) == (TODAY, TODAY + timedelta(days=1))
    assert event["dtstart"].params["VALUE"] == "DATE"
    assert str(event["transp"]) == "TRANSPARENT"


def test_a_look_on_two_days_stands_on_both() -> None:
    read = icalendar.Calendar.from_ical(FILE)
    days = [each["dtstart"].dt for each in read.walk("VEVENT") if str(each["summary"]).startswith("Turn leaves")]

    assert days == list(looking().days)


def test_the_same_task_keeps_its_name_all_week_and_another_weeks_has_another() -> None:
    later = replace(WEEK, passport=replace(WEEK.passport, made_at="2026-11-27T05:00:00+00:00"))
    next_week = replace(leaves_off(), days=(date(2026, 12, 2),))

    first = _named(WEEK, "Take every")["uid"]
    assert _named(later, "Take every")["uid"] == first
    assert _named(replace(WEEK, plan=replace(invented_plan(), tasks=(next_week,))), "Take every")["uid"] != first


def test_a_week_without_a_plan_still_has_its_tasks_in_the_calendar() -> None:
    assert len(_events(invented_week())) == 3


def test_nothing_to_do_is_an_empty_calendar() -> None:
    empty = render.calendar_bytes(replace(WEEK, plan=replace(invented_plan(), tasks=())))

    assert icalendar.Calendar.from_ical(empty).walk("VEVENT") == []


@pytest.mark.parametrize("name", ["Quay;bed,\\ \n\x00", "ü" * 120])
def test_a_strange_name_does_not_break_the_file(name: str) -> None:
    task = replace(leaves_off(), plantings=(name,), beds=(name,))
    file = render.calendar_bytes(replace(WEEK, plan=replace(invented_plan(), tasks=(task,))))

    assert len(icalendar.Calendar.from_ical(file).walk("VEVENT")) == 1
    assert max(map(len, file.split(b"\r\n"))) <= 75

"""At most three things to do, on the gardener's days and within the gardener's minutes."""

from dataclasses import replace
from datetime import date, timedelta

from tests.rooms.invented_plan import invented_plan
from tests.rooms.invented_week import TODAY, invented_week

from abaxial.garden.parts import Garden, Gardener
from abaxial.place import Place
from abaxial.report.answers.plan import Plan, PlanTask
from abaxial.report.answers.week import Band, PlantingWeek, Reason, SoilWater, Task, WhatIf
from abaxial.season import tasks
from abaxial.season.record import Known
from abaxial.weather import series
from abaxial.weather.observations import Notes

NOTHING = series.empty(0, 0)
PLACE = Place(0.0, 0.0, 0.0, "UTC")
EVERY_DAY = (0, 1, 2, 3, 4, 5, 6)


def known(rain_unknown_days: int = 0) -> Known:
    return Known(NOTHING, (), Notes(), (), None, 0, rain_unknown_days, {})


def quiet(name: str) -> PlantingWeek:
    """A planting with nothing due, nothing to gain and soil that is moist."""
    page = invented_week().plantings[0]
    return replace(
        page,
        planting=name,
        look_days=None,
        look_leaves=None,
        what_if=(),
        latent_nights=Band(0.0, 0.5, 1.0),
        soil=SoilWater(0.9, None, 0.0),
    )


def due(name: str, ahead: int = 1) -> PlantingWeek:
    days = (TODAY + timedelta(days=ahead), TODAY + timedelta(days=ahead + 3))
    return replace(quiet(name), look_days=days, look_leaves=(2, 4))


def could(name: str, change: str, gain_frac: float, *, possible: bool = True) -> PlantingWeek:
    row = WhatIf(change, Band(1, 2, 3), Band(0, 1, 2), Band(gain_frac, gain_frac, gain_frac), possible, 28)
    return replace(quiet(name), what_if=(row,))


def thirsty(name: str, days: int = 2) -> PlantingWeek:
    return replace(quiet(name), soil=SoilWater(0.4, days, 0.0))


def chosen(
    *pages: PlantingWeek,
    minutes: int = 60,
    weekdays: tuple[int, ...] = EVERY_DAY,
    rain_unknown_days: int = 0,
    plan: Plan | None = None,
) -> tuple[Task, ...]:
    garden = Garden("Trial", PLACE, (), (), Gardener(weekdays, minutes))
    return tasks.choose(garden, pages, known(rain_unknown_days), TODAY, plan)


def busy(minutes: int) -> Plan:
    """A plan with one task, tomorrow."""
    task = PlanTask("k1", "cut_down", ("A",), ("Quay",), (TODAY + timedelta(days=1),), minutes, Reason("saves", {}))
    return replace(invented_plan(), tasks=(task,))


def kinds(given: tuple[Task, ...]) -> list[str]:
    return [each.kind for each in given]


def test_where_nothing_presses_nothing_is_asked():
    assert chosen(quiet("A"), quiet("B")) == ()


def test_leaves_due_to_show_come_before_everything():
    pages = (due("A"), could("B", "water_at_dawn_on_soil", 0.6), thirsty("C"))

    assert kinds(chosen(*pages)) == ["turn_leaves", "water_at_dawn_on_soil", "water_soil"]


def test_never_more_than_three_things():
    pages = (
        due("A"),
        could("B", "water_at_dawn_on_soil", 0.6),
        could("C", "low_leaves_off", 0.6),
        thirsty("D"),
    )

    assert len(chosen(*pages, rain_unknown_days=5)) == 3


def test_plantings_with_the_same_days_are_walked_together():
    [task] = chosen(due("A"), due("B"), due("C", ahead=1))

    assert task.plantings == ("A", "B", "C")
    assert task.minutes == 3 * tasks.MINUTES["turn_leaves"]


def test_a_walk_never_takes_longer_than_the_gardener_has():
    given = chosen(*(due(f"P{number}") for number in range(30)), minutes=30)

    assert given
    assert all(each.minutes <= 30 for each in given)


def test_two_tasks_do_not_use_the_same_minutes():
    given = chosen(due("A"), due("B"), could("C", "low_leaves_off", 0.6), minutes=20)
    by_day: dict[date, int] = {}
    for task in given:
        for day in task.days:
            by_day[day] = by_day.get(day, 0) + task.minutes

    assert max(by_day.values()) <= 20


def test_work_falls_on_the_gardeners_days():
    saturday = (5,)
    given = chosen(could("A", "low_leaves_off", 0.6), thirsty("B"), weekdays=saturday)

    assert given
    assert {day.weekday() for each in given for day in each.days} == {5}


def test_walks_on_many_days_leave_the_last_place_to_what_would_change_something():
    walks = [due("A", ahead=0), due("B", ahead=1), due("C", ahead=2)]

    assert kinds(chosen(*walks)) == ["turn_leaves"] * 3
    assert kinds(chosen(*walks, could("D", "low_leaves_off", 0.6))) == ["turn_leaves"] * 2 + ["low_leaves_off"]


def test_what_is_due_after_this_week_waits():
    assert chosen(due("A", ahead=8)) == ()


def test_a_change_that_gains_little_or_is_done_already_is_not_asked():
    assert chosen(could("A", "low_leaves_off", 0.05)) == ()
    assert chosen(could("A", "low_leaves_off", 0.9, possible=False)) == ()


def test_spacing_and_sun_are_not_the_work_of_one_week():
    assert chosen(could("A", "wider_spacing", 0.9), could("B", "more_sun", 0.9)) == ()


def test_the_bed_that_gains_most_gives_the_reason():
    [task] = chosen(could("A", "low_leaves_off", 0.3), could("B", "low_leaves_off", 0.7))

    assert task.why.details["planting"] == "B"
    assert task.plantings[0] == "B"


def test_unwritten_rain_asks_for_one_line():
    assert kinds(chosen(quiet("A"), rain_unknown_days=1)) == ["write_down_rain"]


def test_soil_that_holds_for_a_week_asks_for_no_water():
    assert chosen(thirsty("A", days=6)) == ()


def test_what_is_planned_takes_its_minutes_first():
    page = due("A")

    assert kinds(chosen(page, plan=busy(50))) == ["turn_leaves"]
    assert chosen(page, plan=busy(55)) == ()


def test_where_there_is_a_plan_changes_of_habit_are_its_own_business():
    page = could("A", "water_at_dawn_on_soil", 0.6)

    assert kinds(chosen(page)) == ["water_at_dawn_on_soil"]
    assert chosen(page, plan=busy(5)) == ()


def test_what_needs_no_plan_follows_what_is_planned():
    plan = busy(10)
    garden = Garden("Trial", PLACE, (), (), Gardener(EVERY_DAY, 60))

    told = tasks.joined(plan, chosen(due("A"), plan=plan), garden).tasks
    assert [each.kind for each in told] == ["cut_down", "turn_leaves"]
    assert len({each.key for each in told}) == 2

"""At most three things to do this week, on the days and within the minutes the gardener has."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from abaxial.garden.parts import Garden
from abaxial.report.answers.plan import Plan, PlanTask
from abaxial.report.answers.week import PlantingWeek, Reason, Task
from abaxial.season.planning.doing import key_of
from abaxial.season.record import Known
from abaxial.season.story import WORTH_FRAC, days_after, working_day

AT_MOST = 3
# minutes for one planting of ten clumps (common practice, to be set by the person's own in the journal)
MINUTES = {
    "turn_leaves": 6,
    "water_at_dawn_on_soil": 10,
    "low_leaves_off": 15,
    "wider_spacing": 60,
    "more_sun": 60,
    "water_soil": 10,
    "write_down_rain": 1,
}
# changes of habit that a week can hold; spacing and sun are for the season and stay in the table
THIS_WEEK = ("water_at_dawn_on_soil", "low_leaves_off")


def choose(
    garden: Garden, pages: Sequence[PlantingWeek], known: Known, today: date, plan: Plan | None = None
) -> tuple[Task, ...]:
    """The tasks that need no plan. today : on the garden's clock. plan : whose tasks go first; None where there is none. Leaves
    due to show come first, then, without a plan, the change of habit that avoids most, then thirst, then the one line that would
    tell us more. Each goes to the first working day that still has the minutes; what does not fit into the week is left
    out."""
    minutes = garden.gardener.minutes
    turnings = list(_turnings(pages, today, minutes))
    # the last place is for what would change something, if there is anything of that kind
    candidates = [
        *turnings[: AT_MOST - 1],
        *(_changes(garden, pages, today, minutes) if plan is None else ()),
        *_waterings(garden, pages, today),
        *_writing(known, today),
        *turnings[AT_MOST - 1 :],
    ]
    week = [days_after(today, ahead) for ahead in range(7)]
    left = {day: minutes for day in week if day.weekday() in garden.gardener.weekdays}
    for busy in () if plan is None else plan.tasks:
        for day in busy.days:
            left[day] = left.get(day, 0) - busy.minutes
    chosen: list[Task] = []
    for task in candidates:
        placed = _placed(task, left)
        if placed is not None and len(chosen) < AT_MOST:
            chosen.append(placed)
    return tuple(chosen)


def _placed(task: Task, left: dict[date, int]) -> Task | None:
    """The task on days that have its minutes, which are then taken; None where there are none. Leaves are turned on
    their two days or not at all, a line is written down on any day."""
    if task.kind == "write_down_rain":
        return task
    days = task.days
    if len(days) == 1:
        days = tuple(day for day in left if day >= task.days[0] and left[day] >= task.minutes)[:1]
    if not days or any(left.get(day, task.minutes) < task.minutes for day in days):
        return None
    for day in days:
        left[day] = left.get(day, task.minutes) - task.minutes
    return replace(task, days=days)


def joined(plan: Plan, chosen: Sequence[Task], garden: Garden) -> Plan:
    """The plan with the tasks that need none after its own."""
    beds = {each.name: each.bed for each in garden.plantings}
    more = [
        PlanTask(
            key=key_of(each.kind, each.plantings, each.days),
            kind=each.kind,
            plantings=each.plantings,
            beds=tuple(dict.fromkeys(beds[name] for name in each.plantings if name in beds)),
            days=each.days,
            minutes=each.minutes,
            why=each.why,
        )
        for each in chosen
    ]
    return replace(plan, tasks=(*plan.tasks, *more))


def first_line(today: date) -> tuple[Task, ...]:
    """The one thing to do where nothing is known: write down the first line."""
    return (Task("write_down_rain", (), (today,), MINUTES["write_down_rain"], Reason("first_line", {"at": today})),)


def _turnings(pages: Sequence[PlantingWeek], today: date, minutes: int) -> Iterable[Task]:
    """Plantings whose two looking days are the same are walked together, as many as the minutes allow, the most pressing
    first; a day beyond this week waits."""
    by_days: dict[tuple[date, date], list[PlantingWeek]] = {}
    for page in pages:
        if page.look_days and (page.look_days[0] - today).days < 7:
            by_days.setdefault(page.look_days, []).append(page)
    for days, together in by_days.items():
        together = together[: max(minutes // MINUTES["turn_leaves"], 1)]
        yield Task(
            kind="turn_leaves",
            plantings=tuple(page.planting for page in together),
            days=days,
            minutes=MINUTES["turn_leaves"] * len(together),
            why=together[0].headline,
        )


def _changes(garden: Garden, pages: Sequence[PlantingWeek], today: date, minutes: int) -> Iterable[Task]:
    day = working_day(garden, today)
    for change in THIS_WEEK:
        gains = {
            page.planting: row.gain_frac.mid
            for page in pages
            for row in page.what_if
            if row.change == change and row.possible and row.gain_frac.mid >= WORTH_FRAC
            and (page.latent_nights.mid >= 0.05 or page.next_week_chance_frac >= 0.33)
        }  # fmt: skip
        if gains:
            best = sorted(gains, key=lambda name: -gains[name])[: max(min(minutes // MINUTES[change], 4), 1)]
            why = Reason("gain", {"change": change, "gain_frac": gains[best[0]], "planting": best[0]})
            yield Task(change, tuple(best), (day,), MINUTES[change] * len(best), why)


def _waterings(garden: Garden, pages: Sequence[PlantingWeek], today: date) -> Iterable[Task]:
    thirsty = [page for page in pages if page.soil.dry_in_days is not None and page.soil.dry_in_days <= 3]
    if thirsty:
        soonest = min(thirsty, key=lambda page: page.soil.dry_in_days or 0)
        days = soonest.soil.dry_in_days or 0
        why = Reason("soil_dry", {"available_frac": soonest.soil.available_frac, "dry_in_days": days})
        names = tuple(page.planting for page in thirsty)[:4]
        day = working_day(garden, days_after(today, max(days - 1, 0)))
        yield Task("water_soil", names, (day,), MINUTES["water_soil"] * len(names), why)


def _writing(known: Known, today: date) -> Iterable[Task]:
    if known.rain_unknown_days >= 1:
        why = Reason("rain_unknown", {"days": known.rain_unknown_days})
        yield Task("write_down_rain", (), (today,), MINUTES["write_down_rain"], why)

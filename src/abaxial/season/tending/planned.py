"""The tasks that somebody was told, kept as they were told: what is done is what was read, not what a newer plan would say."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from abaxial.garden.parts import Garden
from abaxial.report.answers.plan import PlanTask
from abaxial.season import week
from abaxial.season.present import Told

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.season.opening.shelf import Shelf

#: a task belongs to a week
WEEK_D = 7
_KEY, _MOST = "tasks told", 400


@dataclass(frozen=True)
class Planned:
    """One task as it was told. on : the day it was. product, unit : of the whole mix, "ml" or "g"; whole_l : of the mix, 0
    where nothing is mixed. The rest as in report.answers.plan.PlanTask."""

    key: str
    on: str
    kind: str
    plantings: tuple[str, ...]
    beds: tuple[str, ...]
    minutes: int
    bottle: str
    actives: tuple[str, ...]
    codes: tuple[str, ...]
    disposal: str
    product: float = 0.0
    unit: str = "ml"
    whole_l: float = 0.0


def planned_of(task: PlanTask, today: date) -> Planned:
    """A task of the plan as it is told today."""
    mixed = {} if task.mix is None else {
        "product": task.mix.doses[0].whole, "unit": task.mix.doses[0].unit, "whole_l": task.mix.whole_l
    }  # fmt: skip
    return Planned(
        task.key, today.isoformat(), task.kind, task.plantings, task.beds, task.minutes, task.bottle, task.actives,
        task.codes, task.disposal, **mixed,  # type: ignore[arg-type]
    )  # fmt: skip


def made_anew(garden: Garden, *, at: datetime, told: Told) -> tuple[Planned, ...]:
    """The tasks of this week's plan at a moment; none where there is no plan. Errors as in `week.week`."""
    answer = week.week(garden, at=at, told=told)
    return () if answer.plan is None else tuple(planned_of(each, answer.today) for each in answer.plan.tasks)


def remember(shelf: "Shelf | None", tasks: Sequence[PlanTask], today: date) -> None:
    """Put by what was told. shelf : None for a description, which keeps nothing."""
    if shelf is None or not tasks:
        return
    fresh = [planned_of(each, today) for each in tasks]
    keys = {each.key for each in fresh}
    kept = [*(each for each in _told(shelf) if each.key not in keys), *fresh][-_MOST:]
    shelf.put_by(_KEY, json.dumps([asdict(each) for each in kept]).encode())


def recalled(shelf: "Shelf | None", key: str, today: date) -> Planned | None:
    """The task that was told under a key within the last week; None where none was, or it was lost."""
    told = [] if shelf is None else _told(shelf)
    lately = [each for each in told if 0 <= (today - date.fromisoformat(each.on)).days < WEEK_D]
    return next((each for each in reversed(lately) if each.key == key), None)


def _told(shelf: "Shelf") -> list[Planned]:
    text = shelf.told(_KEY)
    try:
        tables = [] if text is None else json.loads(text)
        return [_from(table) for table in tables]
    except (ValueError, TypeError):
        # a cache of another version is as good as none
        return []


def _from(table: dict[str, object]) -> Planned:
    lists = {name: tuple(value) for name, value in table.items() if isinstance(value, list)}
    return Planned(**{**table, **lists})  # type: ignore[arg-type]

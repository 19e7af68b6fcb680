"""What to do: each task as an instruction, each change of habit as a name."""

from datetime import date

from abaxial.report.answers.week import Task
from abaxial.report.words.dates import days_listed
from abaxial.report.words.quantities import counted, listed

#: each kind of task as an instruction
DO = {
    "turn_leaves": "Turn the low leaves and look at the underside",
    "water_at_dawn_on_soil": "Water at dawn, on the soil",
    "low_leaves_off": "Take the lowest leaves off, and out of the garden",
    "wider_spacing": "Give the plants more room",
    "more_sun": "Let more sun in",
    "water_soil": "Water at the foot",
    "write_down_rain": "Write down the rain, also when it is none",
}

_CHANGES = {
    "as_now": "As you do it now",
    "water_at_dawn_on_soil": "Water at dawn, on the soil",
    "low_leaves_off": "Lowest leaves off",
    "wider_spacing": "Wider spacing",
    "more_sun": "More sun",
}


def task_words(task: Task) -> str:
    """The instruction and for whom, without the day."""
    who = listed(task.plantings)
    do = DO.get(task.kind, _plain(task.kind))
    return f"{do}: {who}" if who else do


def task_when(task: Task, today: date) -> str:
    """When, and how long it takes: "Thursday 26 November, about 20 minutes"; on two days, each time so long."""
    days = days_listed(task.days, today) or "any day this week"
    days = days[0].upper() + days[1:]
    about = "each time about" if len(task.days) > 1 else "about"
    return f"{days}, {about} {counted(task.minutes, 'minute', 'minutes')}" if task.minutes > 0 else days


def change_words(change: str) -> str:
    """A change of habit as the head of a table row."""
    return _CHANGES.get(change, _plain(change))


def leaves_words(leaves: tuple[int, int]) -> str:
    """Which leaves, counted from the youngest open one downward: "leaves 3 to 6 below the tip (1 is the youngest)"."""
    low, high = sorted(leaves)
    which = f"leaf {low}" if low == high else f"leaves {low} to {high}"
    return f"{which}, counted down from the youngest open leaf"


def ranks_words(leaves: tuple[int, int]) -> str:
    """The same for a table: "3–6"."""
    low, high = sorted(leaves)
    return f"{low}" if low == high else f"{low}–{high}"


def _plain(kind: str) -> str:
    return kind.replace("_", " ").capitalize()

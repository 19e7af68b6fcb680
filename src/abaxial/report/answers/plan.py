"""What to do this week and why, as frozen values: the part of the week's answer that the plan fills."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from abaxial.report.answers.reason import Band, Reason


@dataclass(frozen=True)
class Dose:
    """One product in a mix. per_tankful, whole : in unit, "ml" or "g"."""

    bottle: str
    unit: str
    per_tankful: float
    whole: float


@dataclass(frozen=True)
class Mix:
    """How much to mix. tankfuls : equal ones of tankful_l litres. left_over_l : beyond what the leaves take. steps : what
    to do, in order."""

    tankfuls: int
    tankful_l: float
    whole_l: float
    left_over_l: float
    doses: tuple[Dose, ...]
    steps: tuple[Reason, ...]


@dataclass(frozen=True)
class OpenHours:
    """Hours in which a spray may go on, on the garden's clock. best : when to begin. fit_frac : how sure they are."""

    start: datetime
    end: datetime
    best: datetime
    fit_frac: float


@dataclass(frozen=True)
class PlanTask:
    """One thing to do.

    key : a short name by which it is told to be done or declined; the same all week. kind : one of plan.programmes.step.KINDS,
    or "turn_leaves", "water_soil", "write_down_rain". days : on which; of a spray, on the first of which. minutes : in all.
    bottle : the gardener's name for it, "" where there is none. actives, codes : what is in it. wear : by its label. disposal :
    where what was cut goes: "bag_and_bin" or "". precautions : never empty where it can hurt. why : what it buys. unless :
    what would change the answer.
    """

    key: str
    kind: str
    plantings: tuple[str, ...]
    beds: tuple[str, ...]
    days: tuple[date, ...]
    minutes: int
    why: Reason
    bottle: str = ""
    actives: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    mix: Mix | None = None
    hours: tuple[OpenHours, ...] = ()
    wear: tuple[str, ...] = ()
    disposal: str = ""
    precautions: tuple[Reason, ...] = ()
    unless: Reason | None = None


@dataclass(frozen=True)
class PlanStep:
    """One thing foreseen. week : of the horizon, 0 the coming one."""

    week: int
    kind: str
    bottle: str


@dataclass(frozen=True)
class Choice:
    """What was chosen for one planting.

    steps : in order; none is to wait. instead : the best other programme, in order. saves : what it is better by than that,
    in the person's own money. sure_frac : in how many versions of the garden it is. healthy_area_m2_d, worst_rusted_frac :
    what it leads to over the weeks; waiting_area_m2_d, waiting_rusted_frac : what waiting leads to. changes : what a look
    would have to find for another choice. binding : rules and shortages that stood in the way of something better.
    """

    planting: str
    steps: tuple[PlanStep, ...]
    instead: tuple[PlanStep, ...]
    saves: Band
    sure_frac: float
    healthy_area_m2_d: Band
    waiting_area_m2_d: Band
    worst_rusted_frac: Band
    waiting_rusted_frac: Band
    changes: tuple[Reason, ...]
    binding: tuple[Reason, ...]


@dataclass(frozen=True)
class JointOffer:
    """One programme for all plantings that share a rust, with its price against the plan. taken : whether the plan is it.
    week_of : the Monday of the week it would be done in. leaves_again : when leaves would stand again. dearer : than what was
    chosen, in the person's own money; below 0 it is better. precautions : of its work,
    never empty."""

    rust_name: str
    plantings: tuple[str, ...]
    steps: tuple[PlanStep, ...]
    week_of: date
    leaves_again: date | None
    dearer: Band
    taken: bool
    precautions: tuple[Reason, ...] = ()


@dataclass(frozen=True)
class Plan:
    """What to do, in order of doing.

    tasks : this week's. choices : for every planting. not_to_do : what is not done and why. asks : what has to be told before
    more can be proposed (labels, what lies around a bed). no_hours : what closed the hours of a bottle for which none is fit.
    warnings : rules that are near. cost : expected, of the plan; bound : that no plan can be below; gap_frac : between them.
    values : what things are worth to the person, by name. weeks : of the horizon. ended : what ended the choice, "proved" (near
    enough to the best), "time" or "asked" (somebody stopped it). allowed_s : for how long it might try.
    """

    tasks: tuple[PlanTask, ...]
    choices: tuple[Choice, ...]
    joint: tuple[JointOffer, ...]
    not_to_do: tuple[Reason, ...]
    asks: tuple[Reason, ...]
    no_hours: tuple[Reason, ...]
    warnings: tuple[Reason, ...]
    cost: float
    bound: float
    gap_frac: float
    weeks: int
    values: Mapping[str, float]
    ended: str = "proved"
    allowed_s: float = 5.0

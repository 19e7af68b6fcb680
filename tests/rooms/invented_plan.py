"""An invented plan for the invented week: a spray, leaves off, a look, one joint offer; for the tests of the report room."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.rooms.invented_week import TODAY, invented_week

from abaxial.label.limits import usual_rules
from abaxial.label.precautions import Known, precautions_for
from abaxial.report.answers.plan import Choice, Dose, JointOffer, Mix, OpenHours, Plan, PlanStep, PlanTask
from abaxial.report.answers.week import Band, Reason, RemedyMark, WeekAnswer

ZONE = ZoneInfo("Africa/Nairobi")
OIL, GREEN = "Shed oil", "Green bottle"


def planned_week(plantings: int = 7) -> WeekAnswer:
    """The invented week with its plan, and with what was done lately."""
    week = invented_week(plantings)
    first = replace(week.plantings[0], remedies=remedies())
    return replace(week, plantings=(first, *week.plantings[1:]), plan=invented_plan())


def quiet_week() -> WeekAnswer:
    """A week in which the plan has nothing to do."""
    plan = invented_plan()
    wait = replace(plan.choices[2], steps=())
    return replace(invented_week(), plan=replace(plan, tasks=(), choices=(wait,), joint=(), not_to_do=(), no_hours=()))


def invented_plan() -> Plan:
    """A plan of six weeks."""
    return Plan(
        tasks=(leaves_off(), spraying(), looking()),
        choices=choices(),
        joint=(_offer(),),
        not_to_do=(
            Reason("too_many_running", {"code": "11", "turns": 3, "most": 2}),
            Reason("never_compost", {}),
            Reason("waiting_is_best", {"plantings": ("the wall beans", "the cistern pelargoniums")}),
        ),
        asks=(
            Reason("label_asked", {"bottle": GREEN, "fields": ("rain_fast_h", "most_applications")}),
            Reason("bed_asked", {"bed": "Gate border", "questions": ("hives_m", "children")}),
        ),
        no_hours=(_shut(),),
        warnings=(Reason("last_of_its_code", {"code": "11", "turns": 2, "most": 2}),),
        cost=41.3,
        bound=40.6,
        gap_frac=0.017,
        weeks=6,
        values={"leaf_money_m2_d": 0.05, "clump_money": 20.0, "hour_money": 15.0, "tail_frac": 0.1},
    )


def leaves_off() -> PlanTask:
    """Work that needs no sprayer, today."""
    return PlanTask(
        key="rusted-leaves-off-quay",
        kind="rusted_leaves_off",
        plantings=("the quay cannas",),
        beds=("Quay bed",),
        days=(TODAY,),
        minutes=25,
        why=Reason("saves", {"saved_money": 6.1, "low_money": 1.2, "high_money": 12.9, "sure_frac": 0.86}),
        disposal="bag_and_bin",
        precautions=_precautions("blade"),
    )


def spraying() -> PlanTask:
    """An oil on two plantings, tomorrow in the evening."""
    return PlanTask(
        key="oil-quay-fig",
        kind="oil",
        plantings=("the quay cannas", "prayer plants under the fig"),
        beds=("Quay bed", "Fig shade"),
        days=(_day(1),),
        minutes=35,
        why=Reason("saves", {"saved_money": 6.1, "low_money": 1.2, "high_money": 12.9, "sure_frac": 0.86}),
        bottle=OIL,
        actives=("mineral_oil",),
        codes=("NC",),
        mix=mix(),
        hours=(
            OpenHours(_at(1, 17), _at(1, 19), _at(1, 17, 30), 0.82),
            OpenHours(_at(2, 16), _at(2, 18), _at(2, 16), 0.8),
        ),
        wear=("gloves", "goggles"),
        precautions=(*_precautions("pesticide", "oil"), Reason("children_away_until_dry", {})),
        unless=Reason("look_changes", {"leaves": 40, "fewer_than": 3, "fewer_to": (), "more_than": 40}),
    )


def looking() -> PlanTask:
    """A look on two days, which nobody can be hurt by."""
    return PlanTask(
        key="look-gate",
        kind="look",
        plantings=("day lilies by the gate",),
        beds=("Gate border",),
        days=(_day(2), _day(5)),
        minutes=12,
        why=Reason("look_first", {}),
    )


def mix() -> Mix:
    """Two tankfuls of oil and water."""
    steps = (
        Reason("read_label", {}),
        Reason("dress", {}),
        Reason("try_with_water", {}),
        Reason("tankfuls", {"number": 2.0}),
        Reason("first_water", {"volume_l": 0.75}),
        Reason("measure_and_add", {"bottle": OIL, "amount": 15.0, "unit": "ml"}),
        Reason("stir", {}),
        Reason("fill_up", {"volume_l": 1.5}),
        Reason("spray_all_on_bed", {}),
        Reason("rinse_sprayer", {"times": 3.0, "volume_l": 0.5}),
        Reason("rinsings_on_bed", {}),
        Reason("wash", {}),
        Reason("write_down", {}),
    )
    return Mix(2, 1.5, 3.0, 0.1, (Dose(OIL, "ml", 15.0, 30.0),), steps)


def choices() -> tuple[Choice, ...]:
    """What was chosen for three plantings; the last waits."""
    oil = (PlanStep(0, "rusted_leaves_off", ""), PlanStep(0, "oil", OIL), PlanStep(2, "oil", OIL))
    green = (PlanStep(1, "fungicide", GREEN),)
    change = Reason(
        "look_changes", {"leaves": 40, "fewer_than": 3, "fewer_to": (), "more_than": 30, "more_to": ("cut_down",)}
    )
    bound = Reason("bound_by", {"rule": "run", "code": "11", "money": 2.4, "planting": "the quay cannas"})
    return (
        _choice("the quay cannas", oil, green, 0.06, changes=(change,), binding=(bound,)),
        _choice("prayer plants under the fig", (PlanStep(0, "oil", OIL),), (), 0.02),
        _choice("the wall beans", (), (PlanStep(0, "low_leaves_off", ""),), 0.04),
    )


def remedies() -> tuple[RemedyMark, ...]:
    """What was done to the quay cannas lately: leaves off, an oil, a curative, a cutting down."""
    return (
        RemedyMark(_day(-20), "rusted_leaves_off", "leaves off", None, False),
        RemedyMark(_day(-13), "oil", "oil", _day(-3), False),
        RemedyMark(_day(-6), "fungicide", "spray", _day(8), True),
    )


def _choice(
    planting: str,
    steps: tuple[PlanStep, ...],
    instead: tuple[PlanStep, ...],
    worst: float,
    *,
    changes: tuple[Reason, ...] = (),
    binding: tuple[Reason, ...] = (),
) -> Choice:
    return Choice(
        planting=planting,
        steps=steps,
        instead=instead,
        saves=Band(1.2, 6.1, 12.9),
        sure_frac=0.86,
        healthy_area_m2_d=Band(180.0, 226.0, 260.0),
        waiting_area_m2_d=Band(120.0, 171.0, 220.0),
        worst_rusted_frac=Band(0.5 * worst, worst, 2 * worst),
        waiting_rusted_frac=Band(1.5 * worst, 3 * worst, 6 * worst),
        changes=changes,
        binding=binding,
    )


def _offer() -> JointOffer:
    steps = (PlanStep(1, "cut_down", ""), PlanStep(1, "clear_litter", ""))
    return JointOffer(
        "canna rust",
        ("the quay cannas", "prayer plants under the fig", "the terrace cannas"),
        steps,
        date(2026, 11, 30),
        date(2027, 1, 12),
        Band(3.0, 14.0, 31.0),
        False,
        _precautions("blade"),
    )


def _shut() -> Reason:
    details = {
        "bottle": GREEN,
        "beds": ("South wall",),
        "closed_by": ("too_windy", "rain_to_come"),
        "days": 6,
        "alone": "too_windy",
        "alone_hours": 4,
    }
    return Reason("no_hours", details)


def _precautions(*works: str) -> tuple[Reason, ...]:
    return tuple(Reason(each.kind, each.details) for each in precautions_for(works, Known(usual_rules())))


def _at(day: int, hour: int, minute: int = 0) -> datetime:
    there = _day(day)
    return datetime(there.year, there.month, there.day, hour, minute, tzinfo=ZONE)


def _day(offset: int) -> date:
    return TODAY + timedelta(days=offset)

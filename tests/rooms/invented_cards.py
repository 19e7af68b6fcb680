"""Invented answers of the small commands: a shelf, a mix, hours, what was cut; for the tests of the report room."""

from datetime import date, datetime, timedelta

from tests.rooms.invented_plan import GREEN, OIL, ZONE, mix
from tests.rooms.invented_week import TODAY, invented_week

from abaxial.label.limits import usual_rules
from abaxial.label.mixing.card import USUAL
from abaxial.label.precautions import Known, precautions_for
from abaxial.report.answers import disposal, hours
from abaxial.report.answers.hours import BedHours, ClosedHours, HoursAnswer
from abaxial.report.answers.mix import MixAnswer
from abaxial.report.answers.plan import OpenHours
from abaxial.report.answers.shelf import NextUse, ShelfAnswer, ShelfBottle
from abaxial.report.answers.week import Band, Reason

PASSPORT = invented_week(1).passport
GARDEN = "Tamarisk Steps"


def invented_shelf() -> ShelfAnswer:
    """An oil, a fungicide without its whole label, a home brew."""
    refused = (
        Reason("too_soon", {"planting": "the wall beans", "other": OIL, "on": _day(-3), "days": 3, "least_d": 14}),
    )
    oil = ShelfBottle(
        OIL, "bottle", ("mineral_oil",), ("NC",), 420.0, "ml", None, (),
        (NextUse("the quay cannas", TODAY, ()), NextUse("the wall beans", _day(11), refused)),
    )  # fmt: skip
    green = ShelfBottle(
        GREEN, "bottle", ("azoxystrobin",), ("11",), 12.0, "g", date(2027, 3, 1), ("rain_fast_h",),
        (NextUse("the quay cannas", None, (Reason("label_incomplete", {"bottle": GREEN, "fields": ("rain_fast_h",)}),)),),
    )  # fmt: skip
    brew = ShelfBottle("Nettle water", "home_brew", (), (), None, "ml", None, (), ())
    warned = (Reason("last_of_the_year", {"planting": "the quay cannas", "times": 4, "most": 4, "over_d": 365}),)
    return ShelfAnswer(GARDEN, True, TODAY, (oil, green, brew), warned, (), PASSPORT)


def invented_mix() -> MixAnswer:
    """Two tankfuls of oil for one bed."""
    kinds = {each.kind: each.details for each in precautions_for(("pesticide", "oil"), Known(usual_rules()))}
    return MixAnswer(
        GARDEN, True, TODAY, "the quay cannas", "Quay bed", (OIL,), 6.0, 14.5, mix(), (), (),
        (Reason("raised_by_label", {}),), ("gloves", "goggles"),
        tuple(Reason(kind, kinds.get(kind, {})) for kind in dict.fromkeys((*kinds, *USUAL))), (), PASSPORT,
    )  # fmt: skip


def no_mix() -> MixAnswer:
    """A mix that is too small to measure."""
    small = Reason(
        "too_small", {"bottle": OIL, "unit": "ml", "amount": 0.21, "smallest": 5.0, "enough_for_l": 12.0}
    )  # fmt: skip
    return MixAnswer(
        GARDEN, True, TODAY, "the spare bed", "North slope", (OIL,), 0.4, 0.2, None, (small,), (), (), (), (), (), PASSPORT
    )  # fmt: skip


def invented_hours() -> HoursAnswer:
    """One bed with open hours, one with none, one with questions."""
    open_bed = BedHours(
        OIL, "Quay bed", ("the quay cannas",), 35, (OpenHours(_at(1, 17), _at(1, 19), _at(1, 17, 30), 0.82),),
        (
            ClosedHours(_at(0, 6), _at(0, 18), "too_windy", ("sun_on_oil",), 0.9),
            ClosedHours(_at(0, 18), _at(1, 6), "dark", (), 1.0),
            ClosedHours(_at(1, 6), _at(1, 17), "leaves_wet", ("rain_to_come",), 0.7),
        ), (), (),
    )  # fmt: skip
    shut_bed = BedHours(
        GREEN, "South wall", ("the wall beans",), 20, (),
        (ClosedHours(_at(0, 6), _at(1, 0), "rain_to_come", (), 0.8),),
        (Reason("rain_to_come", {"hours": 40, "alone": 3}), Reason("too_windy", {"hours": 12, "alone": 0})), (),
    )  # fmt: skip
    asked = BedHours(
        OIL, "Gate border", ("day lilies by the gate",), 20, (), (), (),
        (Reason("bed_asked", {"bed": "Gate border", "questions": ("hives_m", "children")}),),
    )  # fmt: skip
    care = tuple(Reason(*each) for each in precautions_for(("pesticide", "oil"), Known(usual_rules())))
    return hours.HoursAnswer(GARDEN, True, TODAY, (open_bed, shut_bed, asked), care, "2026-12-02 18:00", (), PASSPORT)


def invented_disposal() -> disposal.DisposalAnswer:
    """Rusted leaves: bagged and binned, blades cleaned, a heap that was too cool."""
    short = (disposal.Shortfall("hot_days", 15.0, 4.0), disposal.Shortfall("moisture", 0.51, None))
    heap = disposal.CompostJudged(
        False,
        ("too_cool_or_too_short",),
        (
            disposal.StandardJudged("turned row, fifteen hot days in a row", False, True, short),
            disposal.StandardJudged("two weeks at 55 °C", True, False, ()),
        ),
    )
    return disposal.DisposalAnswer(
        garden=GARDEN,
        invented=True,
        today=TODAY,
        plantings=("the quay cannas",),
        troubles=("rust",),
        way="bag_and_bin",
        before="keep_in_closed_bags",
        others=("burn",),
        refused=(
            disposal.RefusedWay("cold_compost", "too_cool"),
            disposal.RefusedWay("green_waste", "spreads_it_to_others"),
        ),
        cautions=("bag_inside_the_bed", "double_bag", "dry_day", "pick_up_fallen_leaves"),
        left_frac=Band(0.0, 0.01, 0.05),
        questions=("refuse_collection",),
        dilutions=(bleach(),),
        compost=heap,
        order=(disposal.WorkTurn("the wall beans", ("clean_clothes",)), disposal.WorkTurn("the quay cannas", ())),
        precautions=tuple(Reason(*each) for each in precautions_for(("blade", "bleach"), Known(usual_rules()))),
        unknown=(),
        passport=PASSPORT,
    )


def bleach() -> disposal.Dilution:
    """Half a litre for blades."""
    return disposal.Dilution(
        "bleach", "tools", 0.05, 52.5, 447.5, 0.00525, 10.0, 2.0, True,
        ("wash_off_soil_and_sap", "soak", "rinse", "dry", "oil"), ("label_first", "fresh_air", "never_mix"),
    )  # fmt: skip


def _at(day: int, hour: int, minute: int = 0) -> datetime:
    there = _day(day)
    return datetime(there.year, there.month, there.day, hour, minute, tzinfo=ZONE)


def _day(offset: int) -> date:
    return TODAY + timedelta(days=offset)

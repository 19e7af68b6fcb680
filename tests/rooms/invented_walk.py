"""An invented walk: three stops in an invented garden, for the tests of the report room."""

from datetime import timedelta

from tests.rooms.invented_week import TODAY, invented_week

from abaxial.report.answers.walk import Stop, WalkAnswer
from abaxial.report.answers.week import Band, Reason


def invented_walk() -> WalkAnswer:
    """Twenty-five minutes, the clean bed first."""
    stops = (
        _stop(1, 5, "lower", 20, 5, Reason("walk_stop_clean_first", {}), 9),
        _stop(2, 0, "lower", 40, 12, _uncertain(), 17),
        _stop(3, 3, "any", 1, 1, _due(), None),
    )
    return WalkAnswer(
        garden="Tamarisk Steps",
        invented=True,
        today=TODAY,
        minutes=30,
        headline=Reason("walk_plan", {"stops": 3, "minutes": 25, "leaves": 61}),
        stops=stops,
        not_worth=("day lilies by the gate", "the spare bed"),
        unknown=(Reason("grid_weather", {}),),
        passport=invented_week(1).passport,
    )


def _stop(order: int, number: int, part: str, leaves: int, plants: int, why: Reason, one_in: int | None) -> Stop:
    planting = invented_week().plantings[number]
    fewer = Reason("if_none_fewer_than", {"turned": leaves, "one_in": one_in}) if one_in else None
    return Stop(order, planting.planting, planting.bed, part, leaves, plants, leaves // 3 + 2, why, fewer)


def _uncertain() -> Reason:
    return Reason(
        "walk_stop_uncertain", {"planting": "the quay cannas", "latent": Band(0.01, 0.06, 0.2), "gain_frac": 0.4}
    )


def _due() -> Reason:
    nights = {
        "night": TODAY - timedelta(days=12),
        "first": TODAY - timedelta(days=1),
        "last": TODAY + timedelta(days=7),
    }
    return Reason("walk_stop_due", {"planting": "the wall beans", **nights})

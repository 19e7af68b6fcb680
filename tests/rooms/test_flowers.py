"""Whether flowers are open, as far as anybody looked; what that closes to spraying, and when it is asked."""

from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as some
from tests import label_cases
from tests.rooms.test_spray_hours import QUIET, air_of

from abaxial.garden.flowers import BELIEVED_D, flowers_open, flowers_open_in, unseen_in
from abaxial.garden.parts import Bed, Planting, Surroundings
from abaxial.journal.fold import Descent
from abaxial.journal.shelf.treatment import Treatment
from abaxial.label.bottle import Bottle
from abaxial.label.limits import usual_rules
from abaxial.label.rules import Refusal
from abaxial.label.window import hours_ahead
from abaxial.label.window.limits import read_limits
from abaxial.plan.prospects.permit import Law
from abaxial.report.words.speech import say
from abaxial.season.planning import law
from abaxial.season.planning.marks import marks_of
from abaxial.season.planning.moved import stand_as
from abaxial.season.planning.open_hours import Over, closed_to, to_look_at
from abaxial.season.present import Told

TODAY = date(2026, 3, 12)
DAYS = some.integers(-30, 30).map(lambda days: TODAY + timedelta(days=days))
LOOKS = some.lists(DAYS, max_size=3, unique=True).map(tuple)


def planting(
    seen: tuple[date, ...] = (), none: tuple[date, ...] = (), name: str = "Cannas", bed: str = "Quay"
) -> Planting:
    return Planting(name, bed, "canna", 6, 0.5, date(2025, 9, 1), flowers_seen=seen, no_flowers_seen=none)


def ago(days: int) -> tuple[date, ...]:
    return (TODAY - timedelta(days=days),)


# ------------------------------------------------------------------ what is known


@pytest.mark.parametrize(
    ("seen", "none", "known"),
    [
        ((), (), None),
        (ago(3), (), True),
        ((), ago(3), False),
        (ago(3), ago(2), False),
        (ago(2), ago(3), True),
        (ago(BELIEVED_D), (), True),
        ((), ago(BELIEVED_D + 1), None),
        (ago(0), (), True),
        ((), ago(-1), None),
        (ago(5), ago(-1), True),
    ],
)
def test_the_last_look_of_two_weeks_counts_and_nothing_older_or_still_to_come(
    seen: tuple[date, ...], none: tuple[date, ...], known: bool | None
):
    assert flowers_open(planting(seen, none), TODAY) is known


@given(LOOKS, LOOKS)
def test_flowers_are_only_said_to_be_closed_where_somebody_looked_and_saw_none_since(
    seen: tuple[date, ...], none: tuple[date, ...]
):
    if flowers_open(planting(seen, none), TODAY) is False:
        last = max(each for each in none if each <= TODAY)
        assert (TODAY - last).days <= BELIEVED_D
        assert not [each for each in seen if last <= each <= TODAY]


def test_a_bed_has_open_flowers_where_any_planting_has_and_none_only_where_all_are_known():
    open_, closed, unknown = planting(ago(1)), planting((), ago(1)), planting()
    elsewhere = planting(ago(1), bed="Wall")

    assert flowers_open_in("Quay", [closed, unknown, open_], TODAY) is True
    assert flowers_open_in("Quay", [closed, unknown, elsewhere], TODAY) is None
    assert flowers_open_in("Quay", [closed, closed, elsewhere], TODAY) is False
    assert unseen_in("Quay", [closed, unknown, open_, elsewhere], TODAY) == ("Cannas",)


# ------------------------------------------------------------------ what it closes, and what is asked

LIMITS = read_limits()
OIL, FUNGICIDE = label_cases.bottle("mineral_oil"), label_cases.bottle("azoxystrobin")
SHELF = Law([OIL, FUNGICIDE], [], usual_rules(), label_cases.materials())


def over(known: bool | None, **air: object) -> Over:
    return Over(air_of(**air), 0, QUIET, known, ("Cannas",) if known is None else ())


def asked(bottle: Bottle, above: Over) -> tuple[str, ...]:
    assert bottle.label is not None
    return to_look_at(bottle, bottle.label, above, SHELF, LIMITS)


def any_hour(bottle: Bottle, above: Over) -> bool:
    assert bottle.label is not None
    found, within = closed_to(bottle, bottle.label, above, SHELF, LIMITS)
    return bool(hours_ahead.windows(found, within, needed_h=1.0))


@pytest.mark.parametrize("bottle", [OIL, FUNGICIDE])
def test_while_bees_fly_nothing_is_sprayed_before_somebody_has_seen_that_no_flowers_are_open(bottle: Bottle):
    assert [any_hour(bottle, over(known)) for known in (False, None, True)] == [True, False, False]
    assert [asked(bottle, over(known)) for known in (False, None, True)] == [(), ("Cannas",), ()]


def test_what_harms_bees_spares_open_flowers_in_the_cool_of_the_morning_too():
    cool = {"temperature_c": (slice(None), 9.0), "shortwave_w_m2": (slice(None), 60.0)}

    assert not any_hour(OIL, over(True, **cool))
    assert any_hour(FUNGICIDE, over(True, **cool))


def test_nobody_is_sent_to_look_where_the_weather_closes_every_hour():
    assert asked(OIL, over(None, rain_mm=(slice(None), 2.0))) == ()


def ground(name: str, bed: str) -> Any:
    """As much of a ground as the asking looks at."""
    stand = SimpleNamespace(
        bed=Bed(bed, 4.0, surroundings=Surroundings(**QUIET._asdict())), planting=planting(name=name)
    )
    return SimpleNamespace(
        here=SimpleNamespace(stand=stand, biology=SimpleNamespace(rust=SimpleNamespace(name="rust")))
    )


def test_every_planting_is_asked_about_once_with_the_bottles_that_wait_for_it():
    grounds = [ground("Cannas", "Quay"), ground("Reeds", "Wall"), ground("Mint", "Gate")]
    unseen = {
        ("Quay", OIL.key): ("Cannas", "Lilies"), ("Quay", FUNGICIDE.key): ("Cannas", "Lilies"), ("Wall", OIL.key): ("Reeds",),
        ("Wall", FUNGICIDE.key): (), ("Gate", OIL.key): ("Mint",),
    }  # fmt: skip
    refused = [{}, {}, {OIL.key: (Refusal("site_not_named", {}),)}]

    [reason] = law.asks_of(SHELF, grounds, refused, unseen)

    assert reason.kind == "flowers_asked"
    assert reason.details == {"plantings": ("Cannas", "Lilies", "Reeds"), "bottles": (OIL.key, FUNGICIDE.key)}
    assert say(reason).startswith(
        "Are flowers open in Cannas, Lilies and Reeds, or weeds in flower under them? Please look"
    )
    assert "abaxial note flowering_seen" in say(reason)


def test_where_no_bottle_waits_for_it_nobody_is_asked_about_flowers():
    assert law.asks_of(SHELF, [ground("Cannas", "Quay")], [{}], {("Quay", OIL.key): ()}) == ()


# ------------------------------------------------------------------ what was moved

MOVED = (
    Descent("Wall cannas", "Cannas", "moved", date(2026, 3, 5)),
    Descent("Gate cannas", "Wall cannas", "moved", date(2026, 3, 9)),
)


@pytest.mark.parametrize(
    ("day", "names"),
    [
        (4, ("Cannas", "Wall cannas", "Gate cannas")),
        (5, ("Cannas", "Wall cannas", "Gate cannas")),
        (6, ("Cannas",)),
    ],
)
def test_what_was_done_before_a_move_was_done_to_what_was_moved(day: int, names: tuple[str, ...]):
    assert stand_as(["Cannas"], date(2026, 3, day), MOVED) == names


def test_a_moved_planting_keeps_the_sprayings_it_had_with_its_share_of_each():
    done = Treatment(
        date(2026, 3, 4), "fungicide", ("Cannas", "Mint"), bottle=FUNGICIDE.key, actives=("azoxystrobin",), product_ml=8.0,
        area_m2=6.0,
    )  # fmt: skip

    history = law.law_of(Told(bottles=[FUNGICIDE], done=[done], moved=MOVED), label_cases.materials()).history

    assert [(each.planting, each.product_ml, each.area_m2) for each in history] == [
        (name, 4.0, 3.0) for name in ("Cannas", "Mint", "Wall cannas", "Gate cannas")
    ]


@pytest.mark.parametrize(("remedy", "shown"), [("fungicide", True), ("low_leaves_off", True), ("destroyed", False)])
def test_the_figure_of_a_moved_planting_shows_what_was_done_before_but_not_what_stayed_behind(remedy: str, shown: bool):
    done = [Treatment(date(2026, 3, 4), remedy, ("Cannas",), actives=("azoxystrobin",))]
    materials, since = label_cases.materials(), date(2026, 2, 1)

    assert bool(marks_of("Gate cannas", done, materials, since, MOVED)) is shown
    assert len(marks_of("Cannas", done, materials, since, MOVED)) == 1
    assert marks_of("Mint", done, materials, since, MOVED) == ()

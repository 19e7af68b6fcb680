"""An invented answer of a week: seven plantings of an invented garden, for the tests of the report room."""

import math
from dataclasses import replace
from datetime import date, timedelta

from tests.rooms import invented_estimate

from abaxial.provenance import Passport
from abaxial.report.answers.week import (
    Band,
    DateBand,
    Infection,
    Night,
    PlantingWeek,
    Reason,
    SoilWater,
    Task,
    WeekAnswer,
    WhatIf,
)

TODAY = date(2026, 11, 25)
#: nights before today with rain, and how wet the leaves stayed in the open [h]
WET = {
    -27: 9,
    -26: 7,
    -22: 8,
    -21: 13,
    -20: 10,
    -15: 6,
    -13: 14,
    -12: 17,
    -11: 8,
    -6: 11,
    -5: 15,
    -2: 9,
    1: 10,
    2: 12,
    6: 9,
}


def invented_week(plantings: int = 7) -> WeekAnswer:
    """A week of as many plantings as asked for, each with an estimate; the first seven have names of their own."""
    week = week_without_estimate(plantings)
    beds = tuple(invented_estimate.with_estimate(each, number) for number, each in enumerate(week.plantings))
    return replace(week, plantings=beds, learned=invented_estimate.learned(), effective_versions=412.0)


def week_without_estimate(plantings: int = 7) -> WeekAnswer:
    """The same week from the weather alone."""
    beds = tuple(_planting(number) for number in range(plantings))
    return WeekAnswer(
        garden="Tamarisk Steps",
        invented=True,
        today=TODAY,
        headline=Reason(
            "shows_soon",
            {
                "planting": "the quay cannas",
                "night": _day(-12),
                "first": _day(-1),
                "last": _day(7),
                "chance_frac": 0.8,
            },
        ),
        tasks=_tasks(),
        plantings=beds,
        unknown=(Reason("rain_unknown", {"since": _day(-2)}), Reason("grid_weather", {})),
        weather_until="2026-11-25 06:00",
        forecast_until="2026-12-02 18:00",
        draws=1000,
        members=16,
        sources=("allen1998", "campbell1998", "mastrandrea2010"),
        passport=Passport(
            "0.1.0",
            "2026-11-25T06:00:00+00:00",
            7,
            (("invented weather of Tamarisk Steps", "0f3c2a9b11d04e77"),),
            (("canna_rust", "aa01bb02cc03dd04"),),
            (("draws", "1000"),),
        ),
    )


def _tasks() -> tuple[Task, ...]:
    why = Reason("wet_night", {"night": _day(-12), "wet_h": 17.2, "temperature_c": 19.4, "frac": 0.62, "rain_mm": 21.0})
    return (
        Task("turn_leaves", ("the quay cannas", "the wall beans"), (_day(1), _day(4)), 25, why),
        Task(
            "water_at_dawn_on_soil",
            ("the quay cannas",),
            (_day(0),),
            0,
            Reason("overhead_watering", {"local_hour": 19, "extra_h": 21.0}),
        ),
        Task("write_down_rain", (), (_day(0),), 2, Reason("rain_unknown", {"since": _day(-2)})),
    )


_NAMES = (
    ("the quay cannas", "Quay bed", "Canna", "canna rust", 14, 1.0),
    ("prayer plants under the fig", "Fig shade", "Maranta", "canna rust", 12, 1.15),
    ("day lilies by the gate", "Gate border", "Daylily", "daylily rust", 22, 0.85),
    ("the wall beans", "South wall", "Common bean", "bean rust", 30, 0.7),
    ("the terrace cannas", "Terrace", "Canna", "canna rust", 8, 0.6),
    ("the cistern pelargoniums", "Cistern", "Pelargonium", "pelargonium rust", 9, 0.35),
    ("the spare bed", "North slope", "Daylily", "daylily rust", 0, 0.0),
)


def _planting(number: int) -> PlantingWeek:
    name, bed, host, rust, clumps, damp = _NAMES[number % len(_NAMES)]
    name = name if number < len(_NAMES) else f"{name} {number // len(_NAMES) + 1}"
    nights = tuple(_night(offset, damp) for offset in range(-28, 11))
    infections = tuple(
        _infection(night, (14.0, 11.0, 17.0)[number % 3])
        for night in nights
        if night.chance_frac > 0.05 and not night.ahead
    )
    latent = sum(each.latent_frac.mid * each.infection_frac.mid for each in infections)
    pending = [each for each in infections if each.showing.mid >= TODAY]
    due = pending[0].first_showing if pending else None
    look = (_day(1), _day(4)) if due and due.low <= _day(6) else None
    return PlantingWeek(
        planting=name,
        bed=bed,
        host_name=host,
        rust_name=rust,
        clumps=clumps,
        borrowed=rust == "canna rust",
        headline=_headline(name, latent, look),
        nights=nights,
        infections=infections,
        latent_nights=Band(0.5 * latent, latent, 1.7 * latent),
        next_showing=due,
        look_days=look,
        look_leaves=(3, 6) if look else None,
        next_week_chance_frac=min(0.75 * damp, 0.97),
        what_if=_what_if(damp),
        soil=SoilWater(0.55, 6 if damp < 1 else None, 12.0),
        reasons=_reasons(rust, damp),
    )


def _headline(name: str, latent: float, look: tuple[date, date] | None) -> Reason:
    if look:
        details = {"planting": name, "night": _day(-12), "first": _day(-1), "last": _day(7), "chance_frac": 0.8}
        return Reason("shows_soon", details)
    if latent > 0.05:
        return Reason("hidden_for_now", {"planting": name, "nights": latent, "first": _day(9), "last": _day(15)})
    return Reason("quiet", {"planting": name, "until": _day(7)})


def _reasons(rust: str, damp: float) -> tuple[Reason, ...]:
    if damp == 0:
        return (Reason("no_leaves", {"planting": "the spare bed"}),)
    wet = Reason(
        "wet_night",
        {"night": _day(-12), "wet_h": 17 * min(damp, 1.2), "temperature_c": 19.4, "frac": 0.6 * min(damp, 1)},
    )
    shade = Reason("shade_keeps_wet", {"extra_h": 2.4 * damp})
    water = Reason("overhead_watering", {"local_hour": 19, "extra_h": 21.0 * damp})
    borrowed = (Reason("borrowed_parameters", {"rust": rust, "from": "eight related rusts"}),)
    return (wet, shade, water, *(borrowed if rust == "canna rust" else ()))


def _night(offset: int, damp: float) -> Night:
    wet_h = min(WET.get(offset, 2.0 + 1.5 * math.sin(1.7 * offset)) * damp, 23.0)
    share = 0.9 / (1 + math.exp(-(wet_h - 11) / 1.8)) if wet_h > 4 else 0.0
    doubt = 0.25 if offset >= 0 else 0.12
    return Night(
        day=_day(offset),
        wet_h_lower=_spread(wet_h, doubt),
        wet_h_upper=_spread(0.8 * wet_h, doubt),
        rain_mm=_spread(1.2 * wet_h if offset in WET else 0.0, doubt),
        infection_frac=Band(0.5 * share, share, min(1.5 * share, 1.0)),
        chance_frac=min(1.1 * share, 0.98),
        ahead=offset >= 0,
    )


def _infection(night: Night, latent_d: float) -> Infection:
    rise = []
    for day in range(46):
        slow, mid, fast = (_progress(day / (latent_d * pace)) for pace in (1.35, 1.0, 0.78))
        rise.append(Band(slow, mid, fast))
    shows = [night.day + timedelta(days=round(latent_d * pace)) for pace in (0.78, 1.0, 1.35)]
    first = [each - timedelta(days=2) for each in shows]
    hidden = sum(each > TODAY for each in shows) / 3
    return Infection(
        night=night.day,
        infection_frac=night.infection_frac,
        chance_frac=night.chance_frac,
        rise=tuple(rise),
        first_showing=DateBand(*first),
        showing=DateBand(*shows),
        latent_frac=Band(max(hidden - 0.3, 0.0), hidden, min(hidden + 0.3, 1.0)),
        leaves=(2, 6),
    )


def _progress(share: float) -> float:
    return share + 0.05 * math.sin(2 * math.pi * min(share, 1.0))


def _what_if(damp: float) -> tuple[WhatIf, ...]:
    if damp == 0:
        return ()
    now_h, now = 62.0 * damp, 1.6 * damp
    rows = [WhatIf("as_now", _spread(now_h, 0.15), _spread(now, 0.4), Band(0, 0, 0), True, 28)]
    for change, gain in (
        ("water_at_dawn_on_soil", 0.41),
        ("low_leaves_off", 0.18),
        ("wider_spacing", 0.12),
        ("more_sun", 0.27),
    ):
        rows.append(
            WhatIf(
                change,
                _spread(now_h * (1 - 0.6 * gain), 0.15),
                _spread(now * (1 - gain), 0.4),
                Band(gain - 0.22, gain, gain + 0.15),
                change != "water_at_dawn_on_soil" or damp > 0.5,
                28,
            )
        )
    return tuple(rows)


def hostile_week() -> WeekAnswer:
    """A week whose garden and plantings are named by somebody unkind."""
    week = invented_week(2)
    nasty = "<script>alert('x')</script> & #evil *bold* \"]})"
    first = replace(week.plantings[0], planting=nasty, bed="</svg><b>", host_name="$x$ `raw`")
    return replace(week, garden=nasty, plantings=(first, week.plantings[1]))


def _spread(mid: float, doubt: float) -> Band:
    return Band(mid * (1 - doubt), mid, mid * (1 + doubt))


def _day(offset: int) -> date:
    return TODAY + timedelta(days=offset)

"""Invented estimates for the plantings of the invented week: growing, clean, not looked at, steady, falling, gone."""

import math
from dataclasses import replace
from datetime import date, timedelta

from abaxial.report.answers.week import (
    Band,
    DayEstimate,
    Estimate,
    Forecast,
    Learned,
    Look,
    Origin,
    PlantingWeek,
    Reason,
)

TODAY = date(2026, 11, 25)
#: how the plantings of the invented week are doing, in their order
CARDS = ("card_growing", "card_clean", "card_unlooked", "card_steady", "card_falling", "card_clean", "card_gone")
_PACE = {"card_growing": 0.055, "card_clean": 0.02, "card_unlooked": 0.03, "card_steady": 0.002, "card_falling": -0.04}
_NOW = {"card_growing": 0.04, "card_clean": 0.001, "card_unlooked": 0.02, "card_steady": 0.03, "card_falling": 0.02}


def with_estimate(planting: PlantingWeek, number: int) -> PlantingWeek:
    """The planting with what is probably there; number chooses how it is doing."""
    kind = CARDS[number % len(CARDS)]
    if kind == "card_gone":
        return replace(planting, card=Reason(kind, {"planting": planting.planting}))
    estimate = estimate_of(kind, planting.planting)
    return replace(planting, estimate=estimate, card=Reason(kind, _details(kind, planting, estimate)))


def estimate_of(kind: str, planting: str) -> Estimate:
    """An invented estimate of one kind."""
    looks = {"card_unlooked": (), "card_clean": clean_looks()}.get(kind, counted_looks())
    days = tuple(_day(kind, offset, len(looks)) for offset in range(-28, 43))
    today = next(each for each in days if each.day == TODAY)
    share = today.latent_frac.mid / today.showing_frac.mid
    last = looks[-1].on if looks else TODAY
    moved = Reason(
        "moved_by_walk",
        {
            "on": last,
            "planting": planting,
            "turned": 60,
            "rusted": 9,
            "amount": "counted",
            "before": Band(0.003, 0.015, 0.06),
            "after": today.showing_frac,
        },
    )
    against = Reason(
        "look_disagrees",
        {
            "on": looks[0].on if looks else TODAY,
            "planting": planting,
            "turned": 40,
            "rusted": 0,
            "expected": Band(0.1, 0.2, 0.4),
            "tail_frac": 0.013,
        },
    )
    return Estimate(
        days=days,
        showing_frac=today.showing_frac,
        latent_frac=today.latent_frac,
        hidden_per_seen=Band(0.6 * share, share, 1.7 * share) if looks else None,
        any_rust_frac={"card_unlooked": 0.7, "card_clean": 0.21}.get(kind, 0.99),
        worse_frac={"card_growing": 0.82, "card_falling": 0.2}.get(kind, 0.5),
        forecasts=tuple(_forecast(each) for each in days if each.ahead and (each.day - TODAY).days % 7 == 0),
        origin=Origin(Band(0.4, 0.6, 0.8), Band(0.1, 0.3, 0.5), Band(0.02, 0.1, 0.2)),
        looks=looks,
        moved=(moved, Reason("moved_by_night", {"night": TODAY - timedelta(days=12), "share_frac": 0.44}))
        if looks
        else (),
        against=(against,) if kind == "card_growing" else (),
    )


def counted_looks() -> tuple[Look, ...]:
    """Four looks: nothing, some (not counted), a few, more."""
    return (
        Look(_on(-22), "lower", "counted", 40, 0, Band(0.0, 0.02, 0.06), None),
        Look(_on(-15), "any", "some", None, None, None, None),
        Look(_on(-9), "lower", "counted", 60, 5, Band(0.04, 0.09, 0.16), None),
        Look(_on(-2), "lower", "counted", 60, 9, Band(0.09, 0.15, 0.23), 0.035),
    )


def clean_looks() -> tuple[Look, ...]:
    """Two looks that found nothing."""
    return (
        Look(_on(-12), "lower", "none", None, None, None, None),
        Look(_on(-5), "lower", "counted", 60, 0, Band(0.0, 0.01, 0.04), None),
    )


def learned() -> tuple[Learned, ...]:
    """What the walks taught of two unknowns, and that they said nothing of a third."""
    return (
        Learned("outside_spores", "", Band(0.2, 1.0, 5.0), Band(0.4, 0.8, 1.6), ""),
        Learned("spread_m", "canna rust", Band(1.0, 3.0, 9.0), Band(1.1, 3.1, 9.0), "m"),
        Learned("detection_frac", "", Band(0.6, 0.8, 0.95), Band(0.7, 0.9, 0.97), ""),
    )


def _day(kind: str, offset: int, looks: int) -> DayEstimate:
    share = min(_NOW[kind] * math.exp(_PACE[kind] * offset), 0.6)
    doubt = (0.5 if looks else 1.4) + 0.018 * max(offset, 0)
    return DayEstimate(
        day=_on(offset),
        showing_frac=_spread(share, doubt),
        latent_frac=_spread(min(2.1 * share * (1 if offset < 10 else 0.9), 0.7), doubt),
        incidence_frac=_spread(1 - math.exp(-4.0 * share), doubt),
        ahead=offset > 0,
    )


def _spread(mid: float, doubt: float) -> Band:
    return Band(mid * math.exp(-doubt), mid, min(mid * math.exp(doubt), 0.95))


def _forecast(day: DayEstimate) -> Forecast:
    band = day.showing_frac
    return Forecast(day.day, "all", "showing_frac", {"0.1": band.low, "0.5": band.mid, "0.9": band.high})


def _details(kind: str, planting: PlantingWeek, estimate: Estimate) -> dict[str, object]:
    name, latent, showing = planting.planting, estimate.latent_frac, estimate.showing_frac
    if kind == "card_unlooked":
        where = {"planting": name, "bed": planting.bed, "any_rust_frac": estimate.any_rust_frac}
        return {**where, "latent": latent, "showing": showing}
    if kind == "card_clean":
        found = {"planting": name, "turned": 60, "last_look": _on(-5), "any_rust_frac": estimate.any_rust_frac}
        return {**found, "latent": latent}
    fortnight = next(each for each in estimate.days if each.day == _on(14))
    return {
        "planting": name,
        "showing": showing,
        "latent": latent,
        "hidden_per_seen": estimate.hidden_per_seen,
        "worse_frac": estimate.worse_frac,
        "in_two_weeks": fortnight.showing_frac,
        "last_look": _on(-2),
        "looks": len(estimate.looks),
    }


def _on(offset: int) -> date:
    return TODAY + timedelta(days=offset)

"""What is worth saying, as kinds and numbers: headlines, reasons, and what cannot be known."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from abaxial import hours
from abaxial.garden.parts import Garden
from abaxial.infection.outlook import Outlook
from abaxial.infection.pathogen import Pathogen
from abaxial.report.answers.week import (
    Band,
    DayEstimate,
    Estimate,
    Infection,
    Night,
    PlantingWeek,
    Reason,
    WhatIf,
)
from abaxial.season.record import Known
from abaxial.season.stand import Sky, Stand
from abaxial.weather.ensemble import WeatherEnsemble
from abaxial.weather.observations import WetnessObservation

# hidden infection worth a word, in nights of full infection
SOME_HIDDEN = 0.1
# and, where it is more doubtful than likely, at the upper end of its band
MAYBE_HIDDEN = 0.3
# share of a night still to show that makes it worth a date
STILL_HIDDEN_FRAC = 0.3
# a change of habit worth proposing avoids at least this share
WORTH_FRAC = 0.15
SOON_D = 14
# shares of leaf area from which rust is spoken of as showing, and as hidden; and of leaves, since many may show little
SHOWS_FRAC, HIDES_FRAC, LEAVES_FRAC = 0.005, 0.002, 0.05
# rust grows where so likely more shows in a fortnight, and the middle is so many times today's; it falls where less does
LIKELY_FRAC, COURSE_FACTOR = 0.6, 1.1
FORTNIGHT_D = 14


def days_after(day: date, days: int) -> date:
    """The date some days later."""
    return day + timedelta(days=days)


def working_day(garden: Garden, day: date) -> date:
    """The first day from `day` on that the gardener has."""
    return next(
        days_after(day, ahead) for ahead in range(8) if days_after(day, ahead).weekday() in garden.gardener.weekdays
    )


def moment_text(hour: int, zone: str) -> str:
    """An hour on the garden's clock, as year-month-day hour:minute."""
    return hours.local_moment(hour, zone).strftime("%Y-%m-%d %H:%M")


def has_leaves(each: Stand, day: int) -> bool:
    """Whether a planting has any leaf at the end of a day of the season."""
    return bool(each.growth.leaf_area_index_upper[day] + each.growth.leaf_area_index_lower[day] > 0.0)


def next_due(infections: Sequence[Infection], today: date) -> Infection | None:
    """The infection to look for: of those still largely hidden, on leaves still there, that begin to show within a week
    the weightiest, else the first to show."""
    hidden = [
        one for one in infections if one.night < today and one.leaves and one.latent_frac.mid >= STILL_HIDDEN_FRAC
    ]
    close = [one for one in hidden if (one.first_showing.mid - today).days <= 7]
    if close:
        return max(close, key=lambda one: one.infection_frac.mid * one.latent_frac.mid)
    return min(hidden, key=lambda one: one.first_showing.mid, default=None)


def planting_headline(
    each: Stand, infections: Sequence[Infection], seen: Outlook, estimate: Estimate, sky: Sky
) -> Reason:
    """The one line of a planting."""
    where: dict[str, object] = {"planting": each.planting.name, "bed": each.bed.name}
    today = hours.date_of(sky.when.first_day + sky.today)
    hidden = seen.latent_nights[1]
    if not has_leaves(each, sky.today):
        return Reason("no_leaves", where)
    by_walks = _headline_of_walks(estimate, next_due(infections, today), sky)
    if by_walks is not None:
        return replace(by_walks, details=where | dict(by_walks.details))
    soonest = next_due(infections, today)
    if soonest and hidden >= SOME_HIDDEN:
        details: dict[str, object] = {
            "night": soonest.night,
            "first": soonest.first_showing.low,
            "last": soonest.showing.high,
            "chance_frac": soonest.chance_frac,
            "nights": hidden,
        }
        soon = (soonest.first_showing.mid - today).days <= SOON_D
        return Reason("shows_soon" if soon else "hidden_for_now", where | details)
    if seen.next_week_chance_frac >= 0.33:
        risky = [day for day in range(sky.today, min(sky.today + 7, sky.days)) if seen.chance_frac[day] >= 0.33]
        ahead: dict[str, object] = {"nights": max(len(risky), 1), "chance_frac": float(seen.next_week_chance_frac)}
        if risky:
            ahead |= {
                "first": hours.date_of(sky.when.first_day + risky[0]),
                "last": hours.date_of(sky.when.first_day + risky[-1]),
            }
        return Reason("wet_nights_ahead", where | ahead)
    if soonest and seen.latent_nights[2] >= MAYBE_HIDDEN:
        unsure = {
            "nights": seen.latent_nights[2],
            "first": max(soonest.first_showing.low, sky.local_date),
            "last": soonest.showing.high,
        }
        return Reason("may_be_hidden", where | unsure)
    return Reason("quiet", where | {"until": days_after(sky.local_date, 7)})


def _headline_of_walks(estimate: Estimate, soonest: Infection | None, sky: Sky) -> Reason | None:
    """What walks have found or make likely; None where nobody looked, or there is little to speak of."""
    showing, latent = estimate.showing_frac, estimate.latent_frac
    leaves = _on(sky.local_date, estimate).incidence_frac
    shows = showing.mid >= SHOWS_FRAC or leaves.mid >= LEAVES_FRAC
    if shows and _rust_was_found(estimate):
        kind = "growing_rust" if _course(estimate, sky) == "growing" else "standing_rust"
        return Reason(kind, {"showing": showing, "latent": latent, "worse_frac": estimate.worse_frac})
    doubted = _found_against_all_belief(estimate)
    if doubted is not None and not shows:
        return doubted
    if shows or not estimate.looks or estimate.any_rust_frac < 0.5 or latent.mid < HIDES_FRAC:
        return None
    details: dict[str, object] = {"any_rust_frac": estimate.any_rust_frac, "latent": latent}
    if soonest is not None:
        details |= {"first": soonest.first_showing.low, "last": soonest.showing.high}
    return Reason("hidden_rust", details)


def _found_against_all_belief(estimate: Estimate) -> Reason | None:
    """The look of the last walk that found rust where next to none was to be expected, which one look cannot settle."""
    last = max((one.on for one in estimate.looks), default=None)
    said = [one for one in estimate.against if one.details["on"] == last]
    return next((one for one in said if _tells_of_rust(*(one.details[each] for each in _FINDS))), None)


def card(each: Stand, estimate: Estimate, sky: Sky) -> Reason:
    """What is going on in a planting, and how sure that is."""
    told: dict[str, object] = {"planting": each.planting.name, "bed": each.bed.name}
    if not has_leaves(each, sky.today):
        return Reason("card_gone", told)
    told |= {"showing": estimate.showing_frac, "latent": estimate.latent_frac}
    if not estimate.looks:
        return Reason("card_unlooked", told | {"any_rust_frac": estimate.any_rust_frac})
    told |= {"looks": len(estimate.looks), "last_look": max(one.on for one in estimate.looks)}
    if not _rust_was_found(estimate):
        turned = sum(one.turned or 0 for one in estimate.looks)
        return Reason("card_clean", told | {"turned": turned or None, "any_rust_frac": estimate.any_rust_frac})
    told |= {
        "hidden_per_seen": estimate.hidden_per_seen,
        "worse_frac": estimate.worse_frac,
        "in_two_weeks": _in_a_fortnight(estimate, sky),
    }
    kind = {"growing": "card_growing", "steady": "card_steady", "falling": "card_falling"}[_course(estimate, sky)]
    return Reason(kind, told)


def _rust_was_found(estimate: Estimate) -> bool:
    return any(_tells_of_rust(*(getattr(one, each) for each in _FINDS)) for one in estimate.looks)


def _tells_of_rust(rusted: object, severity_frac: object, amount: object) -> bool:
    """Whether a look found any; arguments as in _FINDS."""
    return bool(rusted or severity_frac) or amount in ("some", "many", "first")


def _course(estimate: Estimate, sky: Sky) -> str:
    """Whether more shows in a fortnight, with nothing done: growing, steady or falling."""
    now, then = estimate.showing_frac.mid, _in_a_fortnight(estimate, sky).mid
    if estimate.worse_frac >= LIKELY_FRAC and then >= COURSE_FACTOR * now:
        return "growing"
    return "falling" if estimate.worse_frac <= 1.0 - LIKELY_FRAC and then * COURSE_FACTOR <= now else "steady"


def _in_a_fortnight(estimate: Estimate, sky: Sky) -> Band:
    return _on(days_after(sky.local_date, FORTNIGHT_D), estimate).showing_frac


def _on(day: date, estimate: Estimate) -> DayEstimate:
    """The estimate of a day, of the last one where it reaches no further."""
    return next((one for one in estimate.days if one.day == day), estimate.days[-1])


# what a look tells of rust
_FINDS = ("rusted", "severity_frac", "amount")
#: headlines that rest on walks, of rust that shows, or that somebody found
OF_WALKS = ("growing_rust", "look_disagrees", "standing_rust", "hidden_rust")
#: headlines after which leaves are worth turning
TO_LOOK_FOR = (*OF_WALKS, "shows_soon", "hidden_for_now", "wet_nights_ahead", "may_be_hidden")
_ORDER = (*OF_WALKS, "shows_soon", "wet_nights_ahead", "hidden_for_now", "may_be_hidden", "quiet", "no_leaves")


def urgency(page: PlantingWeek) -> tuple[int, float]:
    """Sorting key: what needs a hand first, and the most hidden before the least; of what walks found, the most rusted."""
    place, estimate = _ORDER.index(page.headline.kind), page.estimate
    if estimate is None or page.headline.kind not in OF_WALKS:
        return place, -page.latent_nights.mid
    return place, -(estimate.showing_frac.mid + estimate.latent_frac.mid)


def headline(garden: Garden, pages: Sequence[PlantingWeek]) -> Reason:
    """The one line that matters: the first planting's, or that there is nothing to speak of."""
    return pages[0].headline if pages else Reason("empty_garden", {"garden": garden.name})


def reasons(
    each: Stand, shown: Sequence[Night], infections: Sequence[Infection], table: Sequence[WhatIf], rust: Pathogen
) -> tuple[Reason, ...]:
    """Why, most important first: the lived nights that did it, what in the bed keeps leaves wet, what is borrowed."""
    to_come = min((night.day for night in shown if night.ahead), default=date.max)
    lived = [one for one in infections if one.night < to_come]
    said = [_night_reason(one, shown) for one in _worst(lived)]
    kinds: dict[str, tuple[str, dict[str, object]]] = {
        "water_at_dawn_on_soil": ("overhead_watering", {"local_hour": each.bed.watering.local_hour}),
        "low_leaves_off": ("low_leaves", {}),
        "wider_spacing": ("crowded", {"spacing_m": each.planting.spacing_m}),
        "more_sun": ("shade_keeps_wet", {}),
    }
    now = next(one for one in table if one.change == "as_now")
    for one in sorted(table, key=lambda row: -row.gain_frac.mid):
        if one.change in kinds and one.possible and one.gain_frac.mid >= WORTH_FRAC:
            kind, details = kinds[one.change]
            extra = max(now.wet_h_per_week.mid - one.wet_h_per_week.mid, 0.0)
            said.append(Reason(kind, {**details, "extra_h": extra}))
    if rust.note and not rust.borrowed:
        said.append(Reason("rust_note", {"rust": rust.name, "text": rust.note}))
    if rust.borrowed:
        said.append(Reason("borrowed_parameters", {"rust": rust.name, "from": [one.name for one in rust.analogues]}))
    return tuple(said)


def unknown(garden: Garden, known: Known, ensemble: WeatherEnsemble, stands: Sequence[Stand]) -> tuple[Reason, ...]:
    """What cannot be known, or is doubtful, from the weather's own findings; each kind once."""
    findings = {one.kind: one for one in (*known.findings, *ensemble.findings)}
    said = [Reason(one.kind, dict(one.details)) for one in findings.values()]
    strange = [
        Reason("no_rust_known", {"planting": each.planting.name, "host": each.species.name})
        for each in stands
        if each.rust is None
    ]
    ends = Reason("forecast_ends", {"until": hours.local_moment(ensemble.forecast_end_hour, garden.place.zone).date()})
    return (*said, *strange, ends)


def disagreements(garden: Garden, against: Sequence[WetnessObservation]) -> tuple[Reason, ...]:
    """Notes on wet leaves that the weather file cannot be brought to agree with."""
    return tuple(
        Reason(
            "noted_disagrees", {"state": each.state, "bed": each.bed, "at": moment_text(each.hour, garden.place.zone)}
        )
        for each in against
    )


def sources(stands: Sequence[Stand]) -> tuple[str, ...]:
    """Keys of the works that the numbers of these plantings come from."""
    tables = [owner.parameters for each in stands for owner in (each.species, each.rust) if owner is not None]
    tables += [each.rust.epidemic for each in stands if each.rust is not None]
    keys = {parameter.source for table in tables for parameter in table.values()}
    return tuple(sorted(keys - {"practice"}))


def _worst(infections: Sequence[Infection]) -> list[Infection]:
    hidden = [one for one in infections if one.latent_frac.mid >= STILL_HIDDEN_FRAC]
    return sorted(hidden, key=lambda one: -one.infection_frac.mid * one.latent_frac.mid)[:2]


def _night_reason(one: Infection, shown: Iterable[Night]) -> Reason:
    night = next((each for each in shown if each.day == one.night), None)
    details: dict[str, object] = {"night": one.night, "frac": one.infection_frac.mid, "chance_frac": one.chance_frac}
    if night is not None:
        details |= {"wet_h": night.wet_h_lower.mid, "rain_mm": night.rain_mm.mid}
    return Reason("wet_night", details)

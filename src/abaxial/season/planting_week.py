"""One planting's page: its nights, what they let in, when it shows, and which leaves to turn."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from abaxial import hours
from abaxial.garden.parts import Garden
from abaxial.host import growth
from abaxial.infection import leaves, library, outlook
from abaxial.infection.curves import Curves
from abaxial.infection.draws import Draws
from abaxial.infection.kernel import Nights
from abaxial.infection.outlook import NightOutlook, Outlook
from abaxial.infection.pathogen import Pathogen
from abaxial.microclimate import bed_soil, exposure, nights
from abaxial.microclimate.nights import Floats
from abaxial.microclimate.wetness import Wetness
from abaxial.report.answers.week import (
    Band,
    DateBand,
    Estimate,
    Infection,
    Night,
    PlantingWeek,
    Reason,
    SoilWater,
    WhatIf,
)
from abaxial.season import story
from abaxial.season.stand import Sky, Stand
from abaxial.weather.observations import WetnessObservation

NIGHTS_BACK, NIGHTS_AHEAD = 28, 10
# no date is promised more narrowly than this many days before and after
LEAST_DOUBT_D = 3.0
# after a look, leaves have hardly changed for so many days
LOOK_AGAIN_D = 4


class Biology(NamedTuple):
    """One rust with the versions of its biology."""

    rust: Pathogen
    draws: Draws
    curves: Curves


class Here(NamedTuple):
    """A planting whose rust is known. wet_h : (2, days, members) hours wet of its lower and upper leaves. nights : what
    every night let into them, if spores were about. wet_ahead_frac : (hours from now on, members) water on its wettest face."""

    stand: Stand
    biology: Biology
    wet_h: Floats
    nights: Nights
    wet_ahead_frac: Floats


class Grown(NamedTuple):
    """A garden's plantings whose rust is known, under one sky. members : of wetness. library : their nights in one piece,
    None where there is no planting. against : notes on wet leaves that no member agrees with."""

    sky: Sky
    members: Floats
    library: Nights | None = None
    here: tuple[Here, ...] = ()
    against: tuple[WetnessObservation, ...] = ()


def library_of(stands: Sequence[tuple[int, Stand, Biology]], wet: Wetness, sky: Sky) -> Nights:
    """What every night lets into every planting, if spores were about, in one piece.

    stands : number of a planting among all, which says which rows of wetness are its lower and upper leaves; one or more.
    """
    on_leaves = [
        leaves.leaf_hours(wet, slice(2 * i, 2 * i + 2), biology.rust.face, sky.air, each.levels, sky.when)
        for i, each, biology in stands
    ]
    return library.make_library(on_leaves, [each.curves for _, _, each in stands], nights.day_starts(sky.when))


def outlook_of(here: Here, sky: Sky) -> Outlook:
    """What is latent now and when it will show."""
    leaves_now = here.stand.growth
    return outlook.summarise(
        here.nights,
        here.biology.draws,
        upper_weight_frac=growth.upper_weight_frac(leaves_now),
        kept_frac=growth.kept_frac(leaves_now, sky.today),
        today=sky.today,
        enough_frac=here.biology.rust["enough_frac"],
    )


def page(garden: Garden, sky: Sky, here: Here, estimate: Estimate, what_if: tuple[WhatIf, ...]) -> PlantingWeek:
    """One planting's week."""
    each, biology = here.stand, here.biology
    seen = outlook_of(here, sky)
    bare = not story.has_leaves(each, sky.today)
    infections = () if bare else tuple(_infection(each, night, sky) for night in seen.nights)
    line = story.planting_headline(each, infections, seen, estimate, sky)
    due = story.next_due(infections, _today(sky)) if line.kind in story.TO_LOOK_FOR else None
    nights_shown = _nights(sky, here.wet_h, seen)
    return PlantingWeek(
        planting=each.planting.name,
        bed=each.bed.name,
        host_name=each.species.name,
        rust_name=biology.rust.name,
        clumps=each.planting.clumps,
        borrowed=biology.rust.borrowed,
        headline=line,
        nights=nights_shown,
        infections=infections,
        latent_nights=Band(0.0, 0.0, 0.0) if bare else band(seen.latent_nights),
        next_showing=date_band(seen.next_showing_day, sky) if due else None,
        look_days=look_days(garden, line, due, estimate, sky),
        look_leaves=due.leaves if due else None,
        next_week_chance_frac=0.0 if bare else float(seen.next_week_chance_frac),
        what_if=what_if,
        soil=_soil(each, sky),
        reasons=story.reasons(each, nights_shown, infections, what_if, biology.rust),
        card=story.card(each, estimate, sky),
        estimate=estimate,
    )


def band(values: Sequence[float] | Floats) -> Band:
    """A band from its 10, 50 and 90 %."""
    return Band(*(float(value) for value in values))


def date_band(days: Sequence[float] | Floats, sky: Sky) -> DateBand:
    """Dates from day indices, never narrower than LEAST_DOUBT_D on either side. A day index at the outlook's end means
    some time after it."""
    low, mid, high = (float(value) for value in days)
    low, high = min(low, mid - LEAST_DOUBT_D), max(high, mid + LEAST_DOUBT_D)
    end = sky.days
    first, middle, last = (hours.date_of(sky.when.first_day + int(min(value, end))) for value in (low, mid, high))
    return DateBand(first, middle, last, high >= end)


def look_days(
    garden: Garden, line: Reason, due: Infection | None, estimate: Estimate, sky: Sky
) -> tuple[date, date] | None:
    """The two days on which to turn leaves, None where nothing is to be seen: the person's first working day once a tenth
    probably shows, and the next one at least three days later. Rust that shows already is looked at now, unless
    somebody did so in the last days; after a look that is hard to believe, the next day."""
    last = max((each.on for each in estimate.looks), default=sky.local_date)
    if line.kind == "look_disagrees":
        begin = story.days_after(last, 1)
    elif line.kind in story.OF_WALKS and (due is None or line.kind != "hidden_rust"):
        begin = story.days_after(last, LOOK_AGAIN_D)
    elif due is not None:
        begin = due.first_showing.mid
    else:
        return None
    first = story.working_day(garden, max(begin, sky.local_date))
    return first, story.working_day(garden, story.days_after(first, 3))


def _today(sky: Sky) -> date:
    return hours.date_of(sky.when.first_day + sky.today)


def _infection(each: Stand, night: NightOutlook, sky: Sky) -> Infection:
    ranks = growth.leaf_ranks_open_on(each.growth, night.day, sky.today)
    return Infection(
        night=hours.date_of(sky.when.first_day + night.day),
        infection_frac=band(night.infected_frac),
        chance_frac=float(night.chance_frac),
        rise=tuple(band(values) for values in night.rise),
        first_showing=date_band(night.first_showing_day, sky),
        showing=date_band(night.showing_day, sky),
        latent_frac=band(night.latent_frac),
        leaves=ranks,
    )


def _nights(sky: Sky, wet_h: Floats, seen: Outlook) -> tuple[Night, ...]:
    lower, upper = nights.band(wet_h[0]), nights.band(wet_h[1])
    rain = nights.band(nights.daily_sum(sky.ensemble.rain_mm, sky.when))
    first, end = max(sky.today - NIGHTS_BACK, 0), min(sky.today + NIGHTS_AHEAD, sky.days)
    return tuple(
        Night(
            day=hours.date_of(sky.when.first_day + day),
            wet_h_lower=band(lower[day]),
            wet_h_upper=band(upper[day]),
            rain_mm=band(rain[day]),
            infection_frac=band(seen.infected_frac[day]),
            chance_frac=float(seen.chance_frac[day]),
            ahead=day >= sky.today,
        )
        for day in range(first, end)
    )


def _soil(each: Stand, sky: Sky) -> SoilWater:
    overhead, at_foot = exposure.watering_mm(each.bed, sky.when)
    given = overhead + at_foot
    lived = given[: sky.ensemble.now_hour - sky.ensemble.first_hour]
    watered = lived[lived > 0.0]
    return SoilWater(
        available_frac=float(each.soil.available_frac[max(sky.today - 1, 0)]),
        dry_in_days=bed_soil.dry_in_days(each.soil, sky.today),
        last_watering_mm=float(watered[-1]) if watered.size else 0.0,
    )

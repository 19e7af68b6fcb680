"""One planting's page: its nights, what they let in, when it shows, and which leaves to turn."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from abaxial import hours
from abaxial.garden.parts import Garden
from abaxial.host import growth
from abaxial.infection import kernel, leaves, outlook
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
    Infection,
    Night,
    PlantingWeek,
    SoilWater,
    WhatIf,
)
from abaxial.season import story
from abaxial.season.stand import Sky, Stand

NIGHTS_BACK, NIGHTS_AHEAD = 28, 10
# no date is promised more narrowly than this many days before and after
LEAST_DOUBT_D = 3.0


class Biology(NamedTuple):
    """One rust with the versions of its biology."""

    rust: Pathogen
    draws: Draws
    curves: Curves


class Leaves(NamedTuple):
    """The leaves of one planting: which rows of wetness are theirs, lower then upper, and (2, days, members) hours wet."""

    wetness: Wetness
    rows: slice
    wet_h: Floats


def nights_of(each: Stand, own: Leaves, sky: Sky, biology: Biology) -> Nights:
    """What every night lets into one planting, if spores were about."""
    on_leaf = leaves.leaf_hours(own.wetness, own.rows, biology.rust.face, sky.air, each.levels, sky.when)
    return kernel.infect(on_leaf, biology.curves, nights.day_starts(sky.when))


def outlook_of(each: Stand, infected: Nights, sky: Sky, biology: Biology) -> Outlook:
    """What is latent now and when it will show."""
    return outlook.summarise(
        infected,
        biology.draws,
        upper_weight_frac=growth.upper_weight_frac(each.growth),
        kept_frac=growth.kept_frac(each.growth, sky.today),
        today=sky.today,
        enough_frac=biology.rust["enough_frac"],
    )


def page(
    garden: Garden, sky: Sky, each: Stand, biology: Biology, own: Leaves, what_if: tuple[WhatIf, ...]
) -> PlantingWeek:
    """One planting's week."""
    seen = outlook_of(each, nights_of(each, own, sky, biology), sky, biology)
    bare = not story.has_leaves(each, sky)
    infections = () if bare else tuple(_infection(each, night, sky) for night in seen.nights)
    line = story.planting_headline(each, infections, seen, sky)
    due = story.next_due(infections, _today(sky)) if line.kind in story.TO_LOOK_FOR else None
    nights_shown = _nights(sky, own.wet_h, seen)
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
        look_days=look_days(garden, due, sky) if due else None,
        look_leaves=due.leaves if due else None,
        next_week_chance_frac=0.0 if bare else float(seen.next_week_chance_frac),
        what_if=what_if,
        soil=_soil(each, sky),
        reasons=story.reasons(each, nights_shown, infections, what_if, biology.rust),
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


def look_days(garden: Garden, due: Infection, sky: Sky) -> tuple[date, date]:
    """The two days on which to turn leaves: the person's first working day once a tenth probably shows, and the next
    one at least three days later."""
    first = story.working_day(garden, max(due.first_showing.mid, sky.local_date))
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

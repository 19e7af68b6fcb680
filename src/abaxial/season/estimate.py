"""From walks to what is probably there: the season told in many versions, which are weighed by what was seen."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from abaxial import hours
from abaxial.assimilation import estimate, outcome, unknowns
from abaxial.assimilation.estimate import Asked, Posterior
from abaxial.assimilation.garden_story import Look
from abaxial.assimilation.outcome import Shares
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic import dispersal, leaf_area, simulate, stages
from abaxial.epidemic.simulate import Season
from abaxial.garden.parts import Garden
from abaxial.infection.kernel import Nights
from abaxial.report.answers import week as answers
from abaxial.report.answers.week import DayEstimate, Estimate, Forecast, Learned, Origin, PastForecasts, Reason
from abaxial.scouting.sightings import Sighting
from abaxial.season import checkpoints, story
from abaxial.season.planting_week import Grown, Here, band
from abaxial.season.present import Present
from abaxial.season.stand import Sky

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.season.opening.shelf import Shelf

DAYS_BACK, WEEKS_AHEAD = 28, 6
# one length for all seasons, the longest there is, so that luck does not depend on the day it is asked
SEASON_DAYS = 280
# so few equal versions leave the bands rough; and so rare a run of far-off looks speaks against the whole reckoning
FEW_VERSIONS, CONTRADICTED_FRAC = 100, 0.01
MOST_NAMED = 3


class Heard(NamedTuple):
    """What was seen, sorted. looks : that weigh the season. unused : why others do not, as reasons."""

    looks: tuple[Look, ...]
    unused: tuple[Reason, ...]


@dataclass(frozen=True)
class Reckoned:
    """What weather and walks say together. estimates : of each planting, in order. effective_versions : how many equally
    likely versions they are worth. unknown : what speaks against them. past : how forecasts have fared."""

    estimates: tuple[Estimate, ...]
    learned: tuple[Learned, ...]
    effective_versions: float
    unknown: tuple[Reason, ...]
    past: PastForecasts | None = None


def reckon(now: Present) -> Reckoned:
    """What is probably there in every planting whose rust is known, at a moment of a garden whose weather is known."""
    asked = asking(now)
    if asked is None:
        return Reckoned((), (), 0.0, () if now.grown is None else heard_of(now, now.grown).unused)
    told, here = posterior(asked), asked.grown.here
    shares = outcome.shares(told, now=asked.day, weeks=WEEKS_AHEAD)
    looks = asked.heard.looks
    return Reckoned(
        estimates=tuple(_estimate(told, place, each, looks, asked) for place, each in enumerate(shares)),
        learned=tuple(_learned(told, {each.biology.rust.key: each.biology.rust.name for each in here})),
        effective_versions=told.effective,
        unknown=(*_against_all(told), *asked.heard.unused),
        past=_past(told),
    )


class Asking(NamedTuple):
    """Everything an estimate is made from. day : at whose end it is asked. shelf : where an earlier one may be kept."""

    grown: Grown
    season: Season
    unknowns: Unknowns
    heard: Heard
    wanted: Asked
    day: int
    shelf: "Shelf | None"


def asking(now: Present) -> Asking | None:
    """What is to be estimated at a moment of a garden; None where there is no planting with a rust, or no weather."""
    grown = now.grown
    if grown is None or grown.library is None:
        return None
    season, unknown = season_of(now.garden, grown.here, grown.library)
    day, draws = look_day(grown.sky.local_date, grown.sky), grown.here[0].biology.draws
    members = grown.sky.ensemble.members
    wanted = Asked(
        versions=draws.total,
        weathers=members,
        biologies=draws.total // members,
        seed=now.luck.seed,
        today=grown.sky.today,
        first_day=max(day - DAYS_BACK, 0),
    )
    return Asking(grown, season, unknown, heard_of(now, grown), wanted, day, now.shelf)


def posterior(asked: Asking) -> Posterior:
    """The versions of a garden, weighed by what was seen; from where they stood after an earlier walk, if that was kept."""
    looks, shelf = asked.heard.looks, asked.shelf
    if shelf is None or not looks:
        return estimate.estimate(asked.season, asked.unknowns, looks, asked.wanted)
    wanted = asked.wanted, looks
    begun = checkpoints.resumed(shelf, asked.season, asked.unknowns, asked.grown, wanted)
    told = estimate.estimate(asked.season, asked.unknowns, looks, asked.wanted, begun)
    if begun is None or len(begun.weighed) < len(looks):
        checkpoints.kept(shelf, asked.grown, wanted, told.progress)
    return told


def season_of(garden: Garden, here: Sequence[Here], library: Nights) -> tuple[Season, Unknowns]:
    """A garden's epidemic, ready to run, and what is not known of it."""
    rusts = {each.biology.rust.key: each.biology for each in here}
    numbers = [list(rusts).index(each.biology.rust.key) for each in here]
    ground = dispersal.ground_of(
        [
            (
                each.stand.bed.east_m,
                each.stand.bed.north_m,
                each.stand.planting.clumps * each.stand.planting.spacing_m**2,
                number,
            )
            for each, number in zip(here, numbers, strict=True)
        ]
    )
    season = simulate.season_of(
        library,
        [each.curves for each in rusts.values()],
        leaf_area.leaf_days(
            [each.stand.growth for each in here], [each.stand.species["light_extinction"] for each in here]
        ),
        dispersal.spread_of(
            ground,
            [each.biology.rust.epidemic["gradient_exponent"].value for each in here],
            [each.biology.rust.epidemic["gradient_offset_m"].value for each in here],
            wind=(garden.wind.from_deg, garden.wind.steady_frac),
        ),
        [stages.latent_stages(each.rust["showing_span_d"], each.rust["shortest_latent_d"]) for each in rusts.values()],
    )
    names = [(each.stand.planting.name, number) for each, number in zip(here, numbers, strict=True)]
    return season, unknowns.unknowns_of([each.rust for each in rusts.values()], names, SEASON_DAYS)


def look_day(on: date, sky: Sky) -> int:
    """The garden day that ended as leaves were turned on a date: noon to noon, it began on the day before."""
    return hours.day_of(on) - sky.when.first_day - 1


def heard_of(now: Present, grown: Grown) -> Heard:
    """Sightings up to today as looks at the season. Those at plantings that are not here, or from before the season or
    the leaves, are left out and counted; of a planting without a rust there is nothing to weigh."""
    here, sky = grown.here, grown.sky
    places = {each.stand.planting.name: place for place, each in enumerate(here)}
    there = {each.name for each in now.garden.plantings}
    seen = [each for each in now.seen if each.on <= sky.local_date]
    strays = Counter(each.planting for each in seen if each.planting not in there)
    looks, older = [], 0
    for each in seen:
        day = min(look_day(each.on, sky), sky.today - 1)
        place = places.get(each.planting)
        if place is not None and day >= 0 and story.has_leaves(here[place].stand, day):
            looks.append(Look(each, place, day, here[place].stand.planting.clumps))
        elif place is not None:
            older += 1
    unused = [Reason("stray_sightings", {"planting": name, "count": count}) for name, count in strays.items()]
    if older:
        unused.append(Reason("older_looks", {"count": older}))
    return Heard(tuple(looks), tuple(unused))


def _estimate(told: Posterior, planting: int, found: Shares, looks: Sequence[Look], asked: Asking) -> Estimate:
    sky = asked.grown.sky
    return Estimate(
        days=tuple(
            DayEstimate(
                day=_date(each.day, sky),
                showing_frac=band(each.showing_frac),
                latent_frac=band(each.latent_frac),
                incidence_frac=band(each.incidence_frac),
                ahead=_date(each.day, sky) > sky.local_date,
            )
            for each in found.days
            if _date(each.day, sky) <= story.days_after(sky.local_date, 7 * WEEKS_AHEAD)
        ),
        showing_frac=band(found.showing_frac),
        latent_frac=band(found.latent_frac),
        hidden_per_seen=band(found.hidden_per_seen) if found.hidden_per_seen else None,
        any_rust_frac=found.any_frac,
        worse_frac=found.worse_frac,
        forecasts=tuple(
            Forecast(_date(each.day, sky), each.part, each.what, _quantiles(each.values_frac))
            for each in found.forecasts
        ),
        origin=Origin(*(band(each) for each in found.origin_frac)) if found.origin_frac else None,
        looks=tuple(_look(each.sighting) for each in looks if each.planting == planting),
        moved=(*list(_moved(told, planting))[: MOST_NAMED - 1], *_nights(told, planting, asked))[:MOST_NAMED],
        against=tuple(_against(told, planting))[:MOST_NAMED],
    )


def _date(day: int, sky: Sky) -> date:
    """The date on which leaves turned show what a garden day left."""
    return hours.date_of(sky.when.first_day + day + 1)


def _quantiles(values: Sequence[float]) -> Mapping[str, float]:
    return {f"{share:g}": value for share, value in zip(outcome.QUANTILES, values, strict=True)}


def _look(seen: Sighting) -> answers.Look:
    low, high = seen.severity_low_frac, seen.severity_high_frac
    counted = seen.rusted is not None and seen.unit == "leaf"
    amount, told = seen.amount, seen.rusted if seen.rusted is not None else seen.pustules_per_leaf
    if amount == "counted" and not counted and told is not None:
        # plants or blisters were counted, and no leaves
        amount = "some" if told > 0 else "none"
    turned, rusted = (seen.turned, seen.rusted) if counted else (None, None)
    on_leaves = turned is not None and rusted is not None and seen.part != "stem"
    return answers.Look(
        on=seen.on,
        part=seen.part,
        amount=amount,
        turned=turned,
        rusted=rusted,
        incidence=band(outcome.alone(turned or 0, rusted or 0)) if on_leaves else None,
        severity_frac=None if low is None or high is None else 0.5 * (low + high),
    )


def _moved(told: Posterior, planting: int) -> Iterator[Reason]:
    for each in outcome.swayed(told, planting):
        yield Reason(
            "moved_by_walk",
            {
                "on": each.on,
                "planting": told.unknowns.plantings[planting],
                "turned": each.turned,
                "rusted": each.rusted,
                "amount": each.amount,
                "before": band(each.before_frac),
                "after": band(each.after_frac),
            },
        )


def _nights(told: Posterior, planting: int, asked: Asking) -> Iterator[Reason]:
    """A night is named by the date of its evening."""
    for each in outcome.came_in(told, planting, asked.day):
        night = hours.date_of(asked.grown.sky.when.first_day + each.day)
        yield Reason("moved_by_night", {"night": night, "share_frac": each.share_frac})


def _against(told: Posterior, planting: int) -> Iterator[Reason]:
    for each in outcome.strange(told, planting):
        seen = _look(each.look.sighting)
        yield Reason(
            "look_disagrees",
            {
                "on": seen.on,
                "planting": told.unknowns.plantings[planting],
                "turned": seen.turned,
                "rusted": seen.rusted,
                "amount": seen.amount,
                "severity_frac": seen.severity_frac,
                "expected": band(each.expected),
                "expected_area": band(each.before),
                "tail_frac": each.tail_frac,
            },
        )


def _learned(told: Posterior, rusts: Mapping[str, str]) -> Iterator[Learned]:
    """Every unknown; a rust by its name."""
    for each in outcome.taught(told):
        yield Learned(each.name, rusts.get(each.of, each.of), band(each.before), band(each.after), each.unit)


def _past(told: Posterior) -> PastForecasts | None:
    found = outcome.past(told)
    return PastForecasts(*found) if found else None


def _against_all(told: Posterior) -> Iterator[Reason]:
    """What must be known of the estimate as a whole."""
    if not told.weighed:
        yield Reason("nobody_looked", {})
        return
    odd = outcome.contradiction(told)
    if odd.tail_frac < CONTRADICTED_FRAC:
        yield Reason("estimate_contradicted", {"looks": odd.looks, "of": odd.of, "tail_frac": odd.tail_frac})
    if told.effective < FEW_VERSIONS:
        yield Reason("few_versions", {"effective": told.effective})

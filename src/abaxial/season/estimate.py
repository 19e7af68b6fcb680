"""From walks to what is probably there: the season told in many versions, which are weighed by what was seen."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from abaxial import hours
from abaxial.assimilation import outcome
from abaxial.assimilation.estimate import Posterior
from abaxial.assimilation.garden_story import Look
from abaxial.assimilation.outcome import Shares
from abaxial.report.answers import week as answers
from abaxial.report.answers.week import DayEstimate, Estimate, Forecast, Learned, Origin, PastForecasts, Reason
from abaxial.scouting.sightings import Sighting
from abaxial.season import story
from abaxial.season.asking import Asking
from abaxial.season.planting_week import band
from abaxial.season.stand import Sky

WEEKS_AHEAD = 6
# so few equal versions leave the bands rough; and so rare a run of far-off looks speaks against the whole reckoning
FEW_VERSIONS, CONTRADICTED_FRAC = 100, 0.01
MOST_NAMED = 3


@dataclass(frozen=True)
class Reckoned:
    """What weather and walks say together. estimates : of each planting, in order. effective_versions : how many equally
    likely versions they are worth. unknown : what speaks against them. past : how forecasts have fared."""

    estimates: tuple[Estimate, ...]
    learned: tuple[Learned, ...]
    effective_versions: float
    unknown: tuple[Reason, ...]
    past: PastForecasts | None = None


def reckon(asked: Asking, told: Posterior) -> Reckoned:
    """What is probably there in every planting whose rust is known. told : from `asking.posterior`."""
    here = asked.grown.here
    shares = outcome.shares(told, now=asked.day, weeks=WEEKS_AHEAD)
    looks = asked.heard.looks
    return Reckoned(
        estimates=tuple(_estimate(told, place, each, looks, asked) for place, each in enumerate(shares)),
        learned=tuple(_learned(told, {each.biology.rust.key: each.biology.rust.name for each in here})),
        effective_versions=told.effective,
        unknown=(*_against_all(told), *asked.heard.unused),
        past=_past(told),
    )


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

"""Where the wind can have carried rust from one planting, and how likely its divisions have it from there."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from abaxial.assimilation.outcome.shares import band
from abaxial.collection import reach
from abaxial.collection.reach import Caught, Taker
from abaxial.collection.stock import Floats
from abaxial.plan.prospects import begin
from abaxial.report.answers.reason import Band
from abaxial.report.answers.stock import Traced, TraceStep, WindStep
from abaxial.season import asking
from abaxial.season.collection import safety
from abaxial.season.collection.known import Collection, leaves_per_clump, lesion_frac, rusted_frac, stock_of
from abaxial.season.planning.plots import row_of

#: among the origins of late infections, the other plantings
_NEAR = 1


class _Blown(NamedTuple):
    """What the wind carried. given : of each planting, for a square metre of its ground, (versions,). traced : number of the planting that is
    traced. kin : those that get the same rust, that one among them."""

    known: Collection
    given: Sequence[Floats]
    traced: int
    kin: tuple[int, ...]


def with_wind(traced: Traced, known: Collection) -> Traced:
    """What was traced, with where the wind can have carried it, and how likely each division has rust from there."""
    here = known.question.grown.here
    place = next(number for number, each in enumerate(here) if each.stand.planting.name == traced.planting)
    # a clump that is only tried out gave nothing off and caught nothing
    stands = [number for number, each in enumerate(here) if not safety.is_trial(each.stand.planting)]
    kin = tuple(each for each in stands if here[each].biology.rust.key == here[place].biology.rust.key)
    blown = _Blown(known, _given(known, traced.since), place, kin)
    others = [each for each in kin if each != place]
    return replace(
        traced,
        exposed=tuple(_with_chance(blown, each) for each in traced.exposed),
        wind_to=_likeliest_first([_step(known, each, _caught(blown, place, each)) for each in others]),
        wind_from=_likeliest_first([_step(known, each, _caught(blown, each, place)) for each in others]),
    )


def _likeliest_first(steps: Sequence[WindStep]) -> tuple[WindStep, ...]:
    return tuple(sorted(steps, key=lambda each: -each.caught_frac))


def _given(known: Collection, since: date) -> Sequence[Floats]:
    """Spores that each planting gave off from a date to today."""
    question, end = known.question, known.question.day + 1
    first = min(max(row_of(since, question.grown.sky), 0), end - 1)
    base = begin.begin(known.posterior, question.season, known.posterior.cloud.weather.size, (first, end))
    return [each.astype(float) for each in base.outcome.given]


def _step(known: Collection, place: int, found: Caught) -> WindStep:
    """place : of the planting that is told about."""
    stand = known.question.grown.here[place].stand
    return WindStep(
        planting=stand.planting.name,
        bed=stand.bed.name,
        share_frac=Band(*band(found.share_frac)),
        caught_frac=1.0 - float(found.clean_frac.mean()),
    )


def _with_chance(blown: _Blown, step: TraceStep) -> TraceStep:
    """A division with the chance that it brought rust along or caught it since; any other step as it is."""
    places = {blown.known.question.grown.here[each].stand.planting.name: each for each in blown.kin}
    child, mother = places.get(step.planting), places.get(step.via)
    if step.how != "division" or child is None or mother is None:
        return step
    found = _caught(blown, blown.traced, child, _mother_clean_frac(blown.known, child, mother, step.on))
    return replace(step, caught_frac=1.0 - float(found.clean_frac.mean()))


def _mother_clean_frac(known: Collection, child: int, mother: int, on: date) -> Floats:
    """Chance that every clump that was taken was clean on its day, (versions,). Before the record began they count as on its first
    day, when they were no cleaner."""
    row = asking.look_day(on, known.question.grown.sky) - known.posterior.first_day
    clean: Floats = stock_of(known, [mother], max(row, 0)).clean_frac[:, 0]
    taken: Floats = clean ** known.question.grown.here[child].stand.planting.clumps
    return taken


def _caught(blown: _Blown, giver: int, place: int, mother_clean_frac: Floats | float = 1.0) -> Caught:
    """What a planting has caught from another, the giver."""
    here, others = blown.known.question.grown.here, [each for each in blown.kin if each != place]
    beds = [here[each].stand.bed for each in others]
    grounds = [here[each].stand.planting for each in others]
    places = [
        (bed.east_m, bed.north_m, planting.clumps * planting.spacing_m**2)
        for bed, planting in zip(beds, grounds, strict=True)
    ]
    own, epidemic = here[place].stand.bed, here[place].biology.rust.epidemic
    return reach.caught(
        others.index(giver),
        reach.sources_of(places, [blown.given[each] for each in others]),
        Taker(own.east_m, own.north_m, _from_others(blown.known, place), mother_clean_frac),
        exponent=epidemic["gradient_exponent"].value,
        offset_m=epidemic["gradient_offset_m"].value,
    )


def _from_others(known: Collection, place: int) -> Floats:
    """Patches on a planting today that came from other plantings of late, (versions,)."""
    here, row = known.question.grown.here[place], known.question.day - known.posterior.first_day
    leaves = leaves_per_clump(here, known.question.day) * here.stand.planting.clumps
    rusted = rusted_frac(known.posterior, place, row) * known.posterior.origins[place, _NEAR]
    patches: Floats = rusted * leaves / lesion_frac(known.posterior, place)
    return patches

"""The main line: from the garden's weather to what hides in its leaves, where to look and what to change this week.

One night's way: its hours are read and doubted (record), shared by every bed (sky), bent by each bed (stand), become water
on each face of the leaf (wetness), become infection if spores were about (nights), and ripen until they show (outlook).
Whether spores were about is then told by what was seen (estimate).
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from abaxial import hours
from abaxial.garden.parts import Garden
from abaxial.infection import curves, draws
from abaxial.infection.kernel import Nights
from abaxial.journal.questions import Question
from abaxial.microclimate import nights, noticed, wetness
from abaxial.provenance import Passport, passport
from abaxial.report.answers.week import PlantingWeek, Reason, WeekAnswer
from abaxial.scouting.reading import read_sightings
from abaxial.scouting.sightings import Sighting
from abaxial.season import estimate, planting_week, record, stand, story, tasks, what_if
from abaxial.season.estimate import Reckoned
from abaxial.season.opening import description
from abaxial.season.planting_week import Biology, Grown, Here
from abaxial.season.record import Known
from abaxial.season.stand import Sky, Stand
from abaxial.weather.observations import WetnessObservation

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.records.weather_batches import WeatherBatch

MEMBERS = 16
OUTLOOK_DAYS = 42


def week(
    garden: Garden,
    *,
    at: datetime,
    sightings: Sequence[Sighting] | None = None,
    batches: "Sequence[WeatherBatch] | None" = None,
    questions: Sequence[Question] = (),
    draws: int = 1000,
    seed: int = 1,
) -> WeekAnswer:
    """The week of a garden as it stands at a moment.

    at : any zone. sightings : what was seen, of which what is later than `at` is not looked at; None to read the walks
    that the garden names. batches : weather from the garden's file, in the order in which it is believed; None to read
    the files that the garden names. questions : what its journal asks. draws : how many versions of the garden, at least
    16. seed : names the luck. Raises WeatherError, GardenError, ScoutingError or ParameterError where the input cannot
    be used.
    """
    seen = walks_of(garden) if sightings is None else sightings
    now_hour = hours.hour_of(at)
    known = record.weather_of(garden, now_hour, batches)
    asked = tuple(Reason(each.kind, each.details) for each in questions)
    if known.nothing is not None:
        answer = _cannot_know(garden, known, at, _passport(garden, known, (), at, draws, seed))
        return replace(answer, unknown=answer.unknown + asked)
    ensemble = record.ensemble_of(known, garden, now_hour, OUTLOOK_DAYS, MEMBERS, seed)
    sky = stand.sky_over(garden, ensemble)
    stands = stand.stands_in(garden, sky)
    biology = _biologies(stands, draws, seed)
    grown = _grown(garden, known, sky, stands, biology, seed)
    reckoned = estimate.reckon(garden, grown, seen, seed=seed)
    ordered = tuple(sorted(_pages(garden, grown, reckoned), key=story.urgency))
    return WeekAnswer(
        garden=garden.name,
        invented=garden.invented,
        today=sky.local_date,
        headline=story.headline(garden, ordered),
        tasks=tasks.choose(garden, ordered, known, sky.local_date),
        plantings=ordered,
        unknown=(
            *reckoned.unknown,
            *story.disagreements(garden, grown.against),
            *story.unknown(garden, known, ensemble, stands),
            *asked,
        ),
        weather_until=_until(garden, known),
        forecast_until=story.moment_text(ensemble.forecast_end_hour, garden.place.zone),
        draws=max((each.draws.total for each in biology.values()), default=draws),
        members=ensemble.members,
        sources=story.sources(stands),
        passport=_passport(garden, known, stands, at, draws, seed),
        learned=reckoned.learned,
        effective_versions=reckoned.effective_versions,
    )


def walks_of(garden: Garden) -> tuple[Sighting, ...]:
    """What was seen on the walks that a garden's description names. Raises ScoutingError for a walk that cannot be read,
    GardenError for one that names a planting which is not there."""
    read = read_sightings([each.options for each in garden.walks], Path(garden.folder), where=garden.name)
    return description.named(garden, read, where=garden.name)


def _grown(
    garden: Garden, known: Known, sky: Sky, stands: Sequence[Stand], biology: Mapping[str, Biology], seed: int
) -> Grown:
    """From the shared sky to the nights of every planting whose rust is known."""
    members = wetness.wetness_members(seed, sky.ensemble.members)
    if not stands:
        return Grown(sky, members)
    levels = [level for each in stands for level in each.levels]
    wet = wetness.leaf_wetness(sky.air, levels, sky.when, garden.place, members)
    against: tuple[WetnessObservation, ...] = ()
    if known.notes.wetness:
        noted = known.notes.wetness, wet, _rows_by_bed(stands), sky.ensemble.first_hour
        against = noticed.contradicted(*noted)
        kept = noticed.kept_members(noticed.member_weights(*noted), seed)
        sky, wet, members = stand.members_at(sky, kept), wet.members_at(kept), members[:, kept]
    with_rust = [(i, each, biology[each.rust.key]) for i, each in enumerate(stands) if each.rust is not None]
    if not with_rust:
        return Grown(sky, members, against=against)
    wet_h = nights.wet_h(wet, sky.when)
    library = planting_week.library_of(with_rust, wet, sky)
    here = tuple(
        Here(each, rust, wet_h[2 * i : 2 * i + 2], Nights(*(part[place] for part in library)))
        for place, (i, each, rust) in enumerate(with_rust)
    )
    return Grown(sky, members, library, here, against)


def _pages(garden: Garden, grown: Grown, reckoned: Reckoned) -> list[PlantingWeek]:
    """The page of every planting whose rust is known."""
    tables = what_if.changes(grown.sky, [(each.stand, each.biology) for each in grown.here], garden, grown.members)
    return [
        planting_week.page(garden, grown.sky, *each)
        for each in zip(grown.here, reckoned.estimates, tables, strict=True)
    ]


def _rows_by_bed(stands: Sequence[Stand]) -> dict[str, list[int]]:
    """The leaves of each bed, lower and upper in turn; "" stands for all."""
    rows: dict[str, list[int]] = {"": list(range(2 * len(stands)))}
    for number, each in enumerate(stands):
        rows.setdefault(each.bed.name, []).extend((2 * number, 2 * number + 1))
    return rows


def _biologies(stands: Sequence[Stand], count: int, seed: int) -> dict[str, Biology]:
    """Each rust of the garden once, with its versions."""
    result: dict[str, Biology] = {}
    for each in stands:
        if each.rust is not None and each.rust.key not in result:
            versions = draws.make_draws(each.rust, seed=seed, members=MEMBERS, at_least=count)
            result[each.rust.key] = Biology(each.rust, versions, curves.curves_of(versions))
    return result


def _cannot_know(garden: Garden, known: Known, at: datetime, made_of: Passport) -> WeekAnswer:
    """Neither network nor record: say what cannot be known, and the one line that would change that."""
    why = Reason("cannot_know", dict(known.nothing.details) | {"what": "weather"} if known.nothing else {})
    today = hours.local_moment(hours.hour_of(at), garden.place.zone).date()
    until = _until(garden, known)
    return WeekAnswer(
        garden=garden.name, invented=garden.invented, today=today, headline=why, tasks=tasks.first_line(today),
        plantings=(), unknown=(why,), weather_until=until, forecast_until=until, draws=0, members=0, sources=(),
        passport=made_of,
    )  # fmt: skip


def _until(garden: Garden, known: Known) -> str:
    """The hour after the last measured one, on the garden's clock; nothing where nothing was."""
    return story.moment_text(known.until_hour, garden.place.zone) if known.lived.hours else ""


def _passport(garden: Garden, known: Known, stands: Sequence[Stand], at: datetime, draws: int, seed: int) -> Passport:
    used = {each.species.key: each.species.digest for each in stands}
    used |= {each.rust.key: each.rust.digest for each in stands if each.rust is not None}
    settings = {"draws": str(draws), "members": str(MEMBERS), "outlook_days": str(OUTLOOK_DAYS)}
    made_at = at.astimezone(UTC).isoformat(timespec="seconds")
    return passport(made_at, seed, known.digests, used, {**settings, "garden": garden.name})

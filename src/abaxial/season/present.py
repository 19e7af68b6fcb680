"""A garden as it stands at a moment: what is known of its weather, its plantings, and the nights they have been through.

Every answer about a garden begins here.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from abaxial import hours
from abaxial.garden.parts import Garden
from abaxial.infection import curves, draws
from abaxial.infection.kernel import Nights
from abaxial.journal.fold import Descent
from abaxial.journal.questions import Question
from abaxial.journal.shelf.folding import Declined
from abaxial.journal.shelf.treatment import Treatment
from abaxial.label.bottle import Bottle
from abaxial.microclimate import nights, noticed, wetness
from abaxial.provenance import Passport, passport
from abaxial.scouting.sightings import Sighting
from abaxial.season import planting_week, record, stand
from abaxial.season.opening import description
from abaxial.season.opening.opened import Opened
from abaxial.season.planting_week import Biology, Grown, Here
from abaxial.season.record import Known
from abaxial.season.stand import Sky, Stand
from abaxial.weather.observations import WetnessObservation

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.records.weather_batches import WeatherBatch
    from abaxial.season.opening.shelf import Shelf

MEMBERS = 16
OUTLOOK_DAYS = 42


class Told(NamedTuple):
    """What a garden's own file tells besides its description.

    sightings : what was seen. batches : weather, in the order in which
    it is believed; None to read the files that it names. questions : what its journal asks. shelf : where what is computed
    may be kept for tomorrow. moved : plantings that were moved, in the order in which they began.
    declined : proposals turned down.
    """

    sightings: Sequence[Sighting] = ()
    batches: "Sequence[WeatherBatch] | None" = None
    questions: Sequence[Question] = ()
    shelf: "Shelf | None" = None
    bottles: Sequence[Bottle] = ()
    prices: Mapping[str, float] = MappingProxyType({})
    done: Sequence[Treatment] = ()
    values: Mapping[str, float] = MappingProxyType({})
    moved: Sequence[Descent] = ()
    declined: Sequence[Declined] = ()


def told_of(opened: Opened) -> Told:
    """What an opened garden tells."""
    return Told(
        opened.sightings, opened.batches, opened.questions, opened.shelf, opened.bottles, opened.prices, opened.done,
        opened.values, opened.moved, opened.declined,
    )  # fmt: skip


def told_by(garden: Garden, at: datetime) -> Told:
    """What a description tells by itself, up to a moment. Raises GardenError, ScoutingError or LabelError as its reader does."""
    return told_of(description.described(garden, at=at, where=garden.name))


class Luck(NamedTuple):
    """draws : how many versions of the garden, at least 16. seed : names the luck."""

    draws: int = 1000
    seed: int = 1


@dataclass(frozen=True)
class Present:
    """A garden at a moment. seen : on its walks. grown : its plantings; None where too little is known of its weather to say
    anything. stands : all of them, also those whose rust nobody knows."""

    garden: Garden
    at: datetime
    luck: Luck
    known: Known
    seen: tuple[Sighting, ...]
    stands: tuple[Stand, ...] = ()
    grown: Grown | None = None
    told: Told = field(default_factory=Told)

    @property
    def shelf(self) -> "Shelf | None":
        """Where what is computed may be kept for tomorrow."""
        return self.told.shelf


def present(garden: Garden, at: datetime, told: Told, luck: Luck) -> Present:
    """The garden at a moment, with nothing later looked at.

    Raises WeatherError, GardenError, ScoutingError or ParameterError where the input cannot be used.
    """
    seen = tuple(told.sightings)
    now_hour = hours.hour_of(at)
    known = record.weather_of(garden, now_hour, told.batches)
    if known.nothing is not None:
        return Present(garden, at, luck, known, seen, told=told)
    ensemble = record.ensemble_of(known, garden, now_hour, OUTLOOK_DAYS, MEMBERS, luck.seed)
    sky = stand.sky_over(garden, ensemble)
    stands = stand.stands_in(garden, sky)
    grown = _grown(garden, known, sky, stands, luck)
    return Present(garden, at, luck, known, seen, stands, grown, told)


def passport_of(now: Present) -> Passport:
    """What an answer about a garden was made of."""
    used = {each.species.key: each.species.digest for each in now.stands}
    used |= {each.rust.key: each.rust.digest for each in now.stands if each.rust is not None}
    settings = {
        "draws": str(now.luck.draws),
        "members": str(MEMBERS),
        "outlook_days": str(OUTLOOK_DAYS),
        "garden": now.garden.name,
    }
    made_at = now.at.astimezone(UTC).isoformat(timespec="seconds")
    return passport(made_at, now.luck.seed, now.known.digests, used, settings)


def _grown(garden: Garden, known: Known, sky: Sky, stands: Sequence[Stand], luck: Luck) -> Grown:
    """From the shared sky to the nights of every planting whose rust is known."""
    members = wetness.wetness_members(luck.seed, sky.ensemble.members)
    if not stands:
        return Grown(sky, members)
    levels = [level for each in stands for level in each.levels]
    wet = wetness.leaf_wetness(sky.air, levels, sky.when, garden.place, members)
    against: tuple[WetnessObservation, ...] = ()
    if known.notes.wetness:
        noted = known.notes.wetness, wet, _rows_by_bed(stands), sky.ensemble.first_hour
        against = noticed.contradicted(*noted)
        kept = noticed.kept_members(noticed.member_weights(*noted), luck.seed)
        sky, wet, members = stand.members_at(sky, kept), wet.members_at(kept), members[:, kept]
    biology = _biologies(stands, luck)
    with_rust = [(i, each, biology[each.rust.key]) for i, each in enumerate(stands) if each.rust is not None]
    if not with_rust:
        return Grown(sky, members, against=against)
    wet_h = nights.wet_h(wet, sky.when)
    library = planting_week.library_of(with_rust, wet, sky)
    here = tuple(
        Here(
            each,
            rust,
            wet_h[2 * i : 2 * i + 2],
            Nights(*(part[place] for part in library)),
            wetness.wetter_frac(wet, slice(2 * i, 2 * i + 2), sky.ensemble.now_hour - sky.ensemble.first_hour),
        )
        for place, (i, each, rust) in enumerate(with_rust)
    )
    return Grown(sky, members, library, here, against)


def _rows_by_bed(stands: Sequence[Stand]) -> dict[str, list[int]]:
    """The leaves of each bed, lower and upper in turn; "" stands for all."""
    rows: dict[str, list[int]] = {"": list(range(2 * len(stands)))}
    for number, each in enumerate(stands):
        rows.setdefault(each.bed.name, []).extend((2 * number, 2 * number + 1))
    return rows


def _biologies(stands: Sequence[Stand], luck: Luck) -> Mapping[str, Biology]:
    """Each rust of the garden once, with its versions."""
    result: dict[str, Biology] = {}
    for each in stands:
        if each.rust is not None and each.rust.key not in result:
            versions = draws.make_draws(each.rust, seed=luck.seed, members=MEMBERS, at_least=luck.draws)
            result[each.rust.key] = Biology(each.rust, versions, curves.curves_of(versions))
    return result

"""The hourly table of wet leaves: temperature, film and wetness for beds, or for open ground, from weather alone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from abaxial import hours
from abaxial.errors import RequestError, WeatherError
from abaxial.garden.parts import Bed, Garden
from abaxial.microclimate import exposure, wetness
from abaxial.microclimate.exposure import Exposure
from abaxial.microclimate.wetness import Wetness
from abaxial.provenance import Passport, passport
from abaxial.season import record, stand
from abaxial.season.stand import Sky
from abaxial.weather.series import Finding

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.records.weather_batches import WeatherBatch

HEADER = ("utc", "local", "bed", "level", "leaf_temperature_c", "film_mm", "wet", "wet_frac")
MEMBERS = 16
Row = tuple[str | int | float | None, ...]


@dataclass(frozen=True)
class WetTable:
    """Hours by bed and leaf level. header names the columns of rows; wet is 1 where at least half of the members are wet,
    wet_frac the mean over members, leaf temperature and film their means."""

    header: tuple[str, ...]
    rows: tuple[Row, ...]
    findings: tuple[Finding, ...]
    passport: Passport


def wet_table(
    garden: Garden,
    *,
    bed: str | None = None,
    at: datetime | None = None,
    batches: "Sequence[WeatherBatch] | None" = None,
    seed: int = 1,
) -> WetTable:
    """Every hour of the garden's weather up to a moment (all of them if none is given), for one bed or for all.

    batches : weather from the garden's file, in the order in which it is believed; None to read the files that the garden
    names.

    Beds without plants, and a weather file alone, are shown as a narrow leaf by itself over open ground, behind the bed's
    own obstacles. Raises RequestError for a bed that is not there, WeatherError where no hour can be worked out.
    """
    beds = _beds(garden, bed)
    now = hours.hour_of(at) if at is not None else record.END_OF_TIME
    known = record.weather_of(garden, now, batches)
    if known.nothing is not None:
        raise WeatherError(
            f"{garden.name}: there is no hour with both temperature and humidity.",
            remedy="Name a weather file that holds them, or fetch the hours of the place.",
        )
    ensemble = record.lived_ensemble(known, garden, MEMBERS, seed)
    sky = stand.sky_over(garden, ensemble)
    leaves = list(_leaves(garden, sky, beds))
    members = wetness.wetness_members(seed, MEMBERS)
    wet = wetness.leaf_wetness(sky.air, [each for _, _, each in leaves], sky.when, garden.place, members)
    made_at = hours.moment_of(min(now, ensemble.now_hour)).astimezone(UTC).isoformat()
    settings = {"members": str(MEMBERS), "garden": garden.name}
    return WetTable(
        header=HEADER,
        rows=tuple(_rows(garden, sky, leaves, wet)),
        findings=known.findings + ensemble.findings,
        passport=passport(made_at, seed, known.digests, {}, settings),
    )


def _beds(garden: Garden, name: str | None) -> Sequence[Bed]:
    chosen = [bed for bed in garden.beds if name is None or bed.name == name]
    if not chosen:
        there = ", ".join(bed.name for bed in garden.beds) or "none"
        raise RequestError(f"There is no bed called {name!r}.", remedy=f"The beds are: {there}.")
    return chosen


def _leaves(garden: Garden, sky: Sky, beds: Sequence[Bed]) -> Iterator[tuple[str, str, Exposure]]:
    """(name, level, exposure) of everything shown: both levels of each planting, one leaf where nothing grows."""
    stands = stand.stands_in(garden, sky)
    for bed in beds:
        here = [each for each in stands if each.bed.name == bed.name]
        for each in here:
            name = bed.name if len(here) == 1 else f"{bed.name}: {each.planting.name}"
            yield name, "lower", each.levels[0]
            yield name, "upper", each.levels[1]
        if not here:
            yield bed.name, "open", exposure.bare_bed(bed, sky.when, wetness.constants()["sensor_storage_mm"].value)


def _rows(garden: Garden, sky: Sky, leaves: Sequence[tuple[str, str, Exposure]], wet: Wetness) -> Iterator[Row]:
    summary = wetness.hourly_means(wet)
    for hour in range(sky.ensemble.now_hour - sky.ensemble.first_hour):
        number = sky.ensemble.first_hour + hour
        utc = hours.moment_of(number).strftime("%Y-%m-%dT%H:%MZ")
        local = hours.local_moment(number, garden.place.zone).strftime("%Y-%m-%d %H:%M")
        for leaf, (name, level, _) in enumerate(leaves):
            share, temperature, film = (values[leaf][hour] for values in summary)
            yield (utc, local, name, level, round(temperature, 2), round(film, 4), int(share >= 0.5), round(share, 3))

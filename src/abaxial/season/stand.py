"""A planting where it stands: its foliage, its soil and the exposure of its leaves, for every day of the run."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from abaxial import hours
from abaxial.garden.parts import Bed, Garden, Planting
from abaxial.host import growth, species
from abaxial.host.growth import Growth
from abaxial.host.species import Species
from abaxial.infection import pathogen
from abaxial.infection.pathogen import Pathogen
from abaxial.microclimate import air, bed_soil, exposure, nights, wetness
from abaxial.microclimate.bed_soil import BedSoil
from abaxial.microclimate.exposure import Canopy, Exposure, Floats, When
from abaxial.microclimate.noticed import Order
from abaxial.weather.ensemble import WeatherEnsemble

# hours before noon from which the night just ending is counted as lived
MORNING_H = 8
DAWN_H = 6
# days before a stretch of them that let films and spores settle
RUN_IN_D = 3


@dataclass(frozen=True)
class Sky:
    """The weather every bed shares. ensemble : all members. air : from air.open_air. when : hours, clock, sun, days.
    today : index of the garden day that is next to come or under way. local_date : on the garden's clock; between midnight
    and dawn it is the day after that garden day's."""

    ensemble: WeatherEnsemble
    air: Floats
    when: When
    today: int
    local_date: date

    @property
    def days(self) -> int:
        """Number of garden days."""
        return int(self.when.day[-1]) + 1


@dataclass(frozen=True)
class Stand:
    """One planting with everything that is computed for it before wetness. levels : lower, then upper leaves."""

    planting: Planting
    bed: Bed
    species: Species
    rust: Pathogen | None
    growth: Growth
    foliage: Canopy
    soil: BedSoil
    levels: tuple[Exposure, Exposure]


def sky_over(garden: Garden, ensemble: WeatherEnsemble) -> Sky:
    """The shared weather of a garden. From four in the morning of standard time on, last night belongs to the past."""
    when = exposure.when_of(ensemble.first_hour, ensemble.hours, garden.place)
    today = hours.garden_day(ensemble.now_hour + MORNING_H, garden.place.zone) - when.first_day
    local_date = hours.local_moment(ensemble.now_hour, garden.place.zone).date()
    return Sky(ensemble, air.open_air(ensemble, when), when, today, local_date)


def members_at(sky: Sky, order: Order) -> Sky:
    """The same sky with its members in another order."""
    return replace(sky, ensemble=sky.ensemble.members_at(order), air=sky.air[:, :, order])


def stands_in(garden: Garden, sky: Sky) -> tuple[Stand, ...]:
    """Every planting of a garden, where it stands."""
    if not garden.plantings:
        return ()
    folder = Path(garden.folder)
    temperature = nights.daily_mean(sky.ensemble.temperature_c.mean(axis=1), sky.when)
    kinds = {each.host: species.read_species(each.host, folder) for each in garden.plantings}
    rusts = {host: pathogen.pathogen_for(host, folder) for host in kinds}
    beds = [garden.bed_of(each) for each in garden.plantings]
    grown = [_grown(each, kinds[each.host], temperature, sky) for each in garden.plantings]
    foliages = [_foliage(each, kinds[planting.host]) for each, planting in zip(grown, garden.plantings, strict=True)]
    soils = _soils(garden, beds, foliages, sky)
    return tuple(
        Stand(planting, bed, kinds[planting.host], rusts[planting.host], leaves, foliage, soil,
              levels_of(bed, foliage, sky.when, soil.topsoil_wet_frac))
        for planting, bed, leaves, foliage, soil in zip(garden.plantings, beds, grown, foliages, soils, strict=True)
    )  # fmt: skip


def levels_of(bed: Bed, foliage: Canopy, when: When, topsoil_wet_frac: Floats) -> tuple[Exposure, Exposure]:
    """The lower and the upper leaves of foliage in a bed."""
    moist = wetness.constants()["moist_most_frac"].value
    return exposure.exposures(bed, foliage, when, topsoil_wet_frac, moist)


def levels_between(
    each: Stand, bed: Bed, foliage: Canopy, when: When, days: tuple[int, int]
) -> tuple[Exposure, Exposure]:
    """The same of a planting in another bed or foliage than its own, over some days. when : of those days. days : the first and
    the one after the last."""
    some = exposure.foliage_between(foliage, *days)
    return levels_of(bed, some, when, each.soil.topsoil_wet_frac[slice(*days)])


def watered_at_the_foot(bed: Bed) -> Bed:
    """A bed whose leaves no watering wets any more; what splashes up has the day to dry."""
    return replace(bed, watering=replace(bed.watering, manner="soil", local_hour=DAWN_H))


def with_less(foliage: Canopy, kept_frac: float) -> Canopy:
    """Foliage of which a share is kept, low and high alike."""
    return replace(
        foliage,
        leaf_area_index_upper=foliage.leaf_area_index_upper * kept_frac,
        leaf_area_index_lower=foliage.leaf_area_index_lower * kept_frac,
    )


def _grown(planting: Planting, kind: Species, temperature: Floats, sky: Sky) -> Growth:
    def rows(dates: tuple[date, ...]) -> list[int]:
        return [hours.day_of(each) - sky.when.first_day for each in dates]

    return growth.grow(
        kind,
        temperature,
        since_day=hours.day_of(planting.since) - sky.when.first_day,
        clumps=planting.clumps,
        spacing_m=planting.spacing_m,
        cuts=(rows(planting.cut_down), rows(planting.low_leaves_off)),
    )


def _foliage(leaves: Growth, kind: Species) -> Canopy:
    return Canopy(
        leaf_area_index_upper=leaves.leaf_area_index_upper,
        leaf_area_index_lower=leaves.leaf_area_index_lower,
        height_m=leaves.height_m,
        leaf_width_m=kind["leaf_width_m"],
        extinction=kind["light_extinction"],
        storage_mm=kind["water_storage_mm"],
    )


def _soils(garden: Garden, beds: Sequence[Bed], foliages: Sequence[Canopy], sky: Sky) -> list[BedSoil]:
    reference = bed_soil.reference_mm_d(sky.ensemble, garden.place, sky.when)
    return bed_soil.bed_soils(beds, foliages, sky.ensemble.rain_mm.mean(axis=1), reference, sky.when)

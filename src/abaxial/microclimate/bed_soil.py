"""Water in a bed's soil, day by day: what roots can reach, and how wet the surface is under the leaves."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from abaxial.garden.parts import Bed
from abaxial.microclimate import evapotranspiration, nights, soil_water, vapour
from abaxial.microclimate.exposure import Canopy, When, watering_mm
from abaxial.place import Place
from abaxial.provenance import read_parameter, read_table
from abaxial.weather import sun
from abaxial.weather.ensemble import WeatherEnsemble

Floats = NDArray[np.float64]
_FILE = Path(__file__).parent / "soils.toml"


@dataclass(frozen=True)
class BedSoil:
    """A bed's soil water. available_frac : (days,) of what the root zone can hold for plants, 0 to 1, at the day's end.
    thirsty_below_frac : share below which plants begin to feel it. topsoil_wet_frac : (days,) 0 dry to 1 wet.
    capacity_mm : what the root zone can hold for plants [mm]."""

    available_frac: Floats
    thirsty_below_frac: float
    topsoil_wet_frac: Floats
    capacity_mm: float


@cache
def soil_numbers(section: str) -> dict[str, float]:
    """Central values of one section of soils.toml, by name."""
    return {
        name: read_parameter(name, entry, limits=(0.0, 50.0), path=_FILE).value
        for name, entry in read_table(_FILE)[section].items()
    }


def reference_mm_d(ensemble: WeatherEnsemble, place: Place, when: When) -> Floats:
    """Evapotranspiration of short grass on each garden day [mm/d], (days,), of the mean member. Source: allen1998, Eq. 6."""

    def mean_member(values: Floats) -> Floats:
        return np.asarray(values.mean(axis=1))

    temperature = mean_member(ensemble.temperature_c)
    by_day = nights.day_starts(when)[:-1]
    coldest, warmest = np.minimum.reduceat(temperature, by_day), np.maximum.reduceat(temperature, by_day)
    vapour_kpa = vapour.vapour_pressure_kpa(temperature, mean_member(ensemble.relative_humidity_frac))
    joules = 3600.0 / 1e6
    sunlight = nights.daily_sum(mean_member(ensemble.shortwave_w_m2) * joules, when)
    clear = nights.daily_sum(sun.clear_sky_w_m2(when.sun_elevation_deg, place.elevation_m) * joules, when)
    reference = evapotranspiration.reference_mm_d(
        (coldest, warmest),
        nights.daily_mean(vapour_kpa, when),
        nights.daily_mean(mean_member(ensemble.wind_speed_m_s), when),
        sunlight,
        np.maximum(clear, 0.1),
        float(vapour.atmospheric_pressure_kpa(place.elevation_m)),
    )
    return np.asarray(np.maximum(reference, 0.0))


def bed_soils(
    beds: Sequence[Bed], foliages: Sequence[Canopy], rain_mm: Floats, reference_mm: Floats, when: When
) -> list[BedSoil]:
    """The buckets under several plantings, one bed and one foliage each.

    rain_mm : (hours,) of the mean member. reference_mm : (days,) from reference_mm_d. The soil starts full, which after a
    few weeks no longer matters. Source: allen1998, chapter 8.
    """
    use = soil_numbers("bed")
    easy, topsoil = use["easy_share_frac"], use["topsoil_mm"]
    water = nights.daily_sum(np.stack([rain_mm + sum(watering_mm(bed, when)) for bed in beds], axis=1), when)
    area = np.stack([each.leaf_area_index_upper + each.leaf_area_index_lower for each in foliages], axis=1)
    wanted = reference_mm[:, None] * evapotranspiration.cover_coefficient(
        area, use["bare_coefficient"], use["full_coefficient"]
    )
    capacity = np.array([_capacity_mm(bed.soil, use["root_depth_m"]) for bed in beds])
    lacking = soil_water.depletion_over_days_mm(0.0, water, wanted, available_mm=capacity, easy_share_frac=easy)
    drying = reference_mm[:, None] * np.exp(-0.5 * area)
    dry_top = soil_water.depletion_over_days_mm(0.0, water, drying, available_mm=topsoil, easy_share_frac=easy)
    return [
        BedSoil(1.0 - lacking[:, i] / capacity[i], 1.0 - easy, 1.0 - dry_top[:, i] / topsoil, float(capacity[i]))
        for i in range(len(beds))
    ]


def dry_in_days(soil: BedSoil, today: int, *, at_most: int = 14) -> int | None:
    """Days from today until plants begin to feel thirst, None if that is more than at_most or beyond the outlook."""
    ahead = soil.available_frac[today : today + at_most + 1]
    below = np.flatnonzero(ahead < soil.thirsty_below_frac)
    return int(below[0]) if below.size else None


def _capacity_mm(texture: str, root_depth_m: float) -> float:
    soil = soil_numbers(texture)
    return float(soil_water.available_water_mm(soil["field_capacity_frac"], soil["wilting_point_frac"], root_depth_m))

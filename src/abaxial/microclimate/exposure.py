"""How a leaf's place in its bed changes the open air: sun behind obstacles, sky between leaves, wind, watering."""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import hours as abaxial_hours
from abaxial.garden import horizon
from abaxial.garden.parts import Bed
from abaxial.microclimate import canopy
from abaxial.place import Place
from abaxial.weather import sun

Floats = NDArray[np.float64]

# measured wind is at 2 m over short grass; foliage is 0.65 of its height displaced and a tenth of it rough (campbell1998)
_GRASS_ROUGHNESS_M = 0.015
# water held by foliage above, per unit of its leaf area [mm] (dickinson1984)
_STORE_MM = 0.2


@dataclass(frozen=True)
class Canopy:
    """The foliage of a planting on each day.

    leaf_area_index_upper, leaf_area_index_lower : (days,) leaf area over ground area of the upper and lower half.
    height_m : (days,) of the foliage, above 0. leaf_width_m : of a leaf. extinction : of light by foliage.
    storage_mm : the most water one face of a leaf holds [mm].
    """

    leaf_area_index_upper: Floats
    leaf_area_index_lower: Floats
    height_m: Floats
    leaf_width_m: float
    extinction: float
    storage_mm: float


class Exposure(NamedTuple):
    """One leaf level of one planting: (hours,) and (days,) arrays as in kernel.Drivers, the leaf's width [m], and the most
    water one of its faces holds [mm]."""

    beam_frac: Floats
    overhead_mm: Floats
    sky_frac: Floats
    wind_frac: Floats
    through_frac: Floats
    store_mm: Floats
    moist_frac: Floats
    leaf_width_m: float
    storage_mm: float


class When(NamedTuple):
    """The hours a wetness run covers. hours : (hours,) since 1970 UTC; local_hour : (hours,) on the clock, 0 to 23;
    day : (hours,) index of the garden day, from 0. sun_elevation_deg, sun_azimuth_deg : (hours,) at mid-hour [degrees].
    first_day : number of the garden day with index 0."""

    hours: NDArray[np.int64]
    local_hour: NDArray[np.int64]
    day: NDArray[np.int64]
    sun_elevation_deg: Floats
    sun_azimuth_deg: Floats
    first_day: int


def exposures(
    bed: Bed, foliage: Canopy, when: When, topsoil_wet_frac: Floats, moist_most_frac: float
) -> tuple[Exposure, Exposure]:
    """The lower and the upper leaves of a planting, in that order.

    topsoil_wet_frac : (days,) 0 dry to 1 wet. moist_most_frac : moistening of calm air low in dense foliage over wet soil.
    """
    upper, lower = foliage.leaf_area_index_upper, foliage.leaf_area_index_lower
    k = foliage.extinction
    above = canopy.light_through_frac(k, upper)
    within_upper, within_lower = _mean_through(k, upper), above * _mean_through(k, lower)
    cover = 1.0 - canopy.light_through_frac(k, upper + lower)
    moist = moist_most_frac * topsoil_wet_frac * cover
    nothing = np.zeros_like(upper)
    return (
        _level(bed, foliage, when, 0.25, (within_lower, above, _STORE_MM * upper, moist)),
        _level(bed, foliage, when, 0.75, (within_upper, nothing + 1.0, nothing, 0.3 * moist)),
    )


def open_ground(when: When, storage_mm: float, *, leaf_width_m: float = 0.06) -> Exposure:
    """A narrow level leaf half a metre above short grass under the whole sky: where a wetness sensor would stand."""
    hours, days = np.ones(when.hours.size), np.ones(int(when.day.max(initial=0)) + 1)
    wind = float(canopy.wind_log_law_frac(0.5, 2.0, 0.0, _GRASS_ROUGHNESS_M))
    return Exposure(hours, hours * 0.0, days, days * wind, days, days * 0.0, days * 0.0, leaf_width_m, storage_mm)


def when_of(first_hour: int, hours: int, place: Place) -> When:
    """The hours from first_hour on, with the clock, the garden days and the sun of a place."""
    numbers = np.arange(first_hour, first_hour + hours)
    begin = abaxial_hours.garden_day(first_hour, place.zone)
    day = (numbers - abaxial_hours.first_hour_of(begin, place.zone)) // 24
    local = np.array([abaxial_hours.local_moment(int(each), place.zone).hour for each in numbers], np.int64)
    elevation, azimuth = sun.solar_position(numbers + 0.5, place.latitude_deg, place.longitude_deg)
    return When(numbers, local, day, elevation, azimuth, begin)


def days_between(when: When, first: int, end: int) -> tuple[slice, When]:
    """The hours of the garden days first to end - 1, as a slice and as a When whose days count from 0 again."""
    hours = slice(*(int(np.searchsorted(when.day, each)) for each in (first, end)))
    return hours, When(
        when.hours[hours],
        when.local_hour[hours],
        when.day[hours] - first,
        when.sun_elevation_deg[hours],
        when.sun_azimuth_deg[hours],
        when.first_day + first,
    )


def foliage_between(foliage: Canopy, first: int, end: int) -> Canopy:
    """The foliage of the days first to end - 1."""
    return replace(
        foliage,
        leaf_area_index_upper=foliage.leaf_area_index_upper[first:end],
        leaf_area_index_lower=foliage.leaf_area_index_lower[first:end],
        height_m=foliage.height_m[first:end],
    )


def bare_bed(bed: Bed, when: When, storage_mm: float) -> Exposure:
    """The same leaf over a bed where nothing grows: the bed's obstacles, shelter and watering, and no foliage."""
    leaf = open_ground(when, storage_mm)
    overhead, _ = watering_mm(bed, when)
    return leaf._replace(
        beam_frac=horizon.beam_transmission_frac(bed, when.sun_elevation_deg, when.sun_azimuth_deg, 0.5),
        overhead_mm=overhead,
        sky_frac=leaf.sky_frac * horizon.sky_view_frac(bed, 0.5),
        wind_frac=leaf.wind_frac * bed.shelter_frac,
    )


def watering_mm(bed: Bed, when: When) -> tuple[Floats, Floats]:
    """Water given overhead and at the foot [mm], each (hours,). Beds watered every few days keep their turn from run to
    run, counted in garden days since 1970."""
    turn = (when.first_day + when.day) % bed.watering.every_days == 0
    given = np.where(turn & (when.local_hour == bed.watering.local_hour), bed.watering.amount_mm, 0.0)
    none = np.zeros(when.hours.size)
    if bed.watering.manner == "overhead":
        return given, none
    return (none, given) if bed.watering.manner == "soil" else (none, none)


def _level(bed: Bed, foliage: Canopy, when: When, relative_height: float, light: tuple[Floats, ...]) -> Exposure:
    """One level: `light` holds, by day, the share of sky between leaves, of rain straight through, the water foliage
    above holds back, and the moistening of the air."""
    between, through, store, moist = light
    leaf_height_m = float(relative_height * np.mean(foliage.height_m))
    beam = horizon.beam_transmission_frac(bed, when.sun_elevation_deg, when.sun_azimuth_deg, leaf_height_m)
    sky = horizon.sky_view_frac(bed, leaf_height_m)
    overhead, _ = watering_mm(bed, when)
    return Exposure(
        beam_frac=beam * between[when.day],
        overhead_mm=overhead,
        sky_frac=sky * between,
        wind_frac=bed.shelter_frac * _wind_frac(foliage, relative_height),
        through_frac=through,
        store_mm=store,
        moist_frac=moist,
        leaf_width_m=foliage.leaf_width_m,
        storage_mm=foliage.storage_mm,
    )


def _mean_through(extinction: float, leaf_area_index: Floats) -> Floats:
    """Mean share of light over a layer of foliage: 1 where there is none."""
    path = np.maximum(extinction * leaf_area_index, 1e-6)
    return np.asarray((1.0 - np.exp(-path)) / path)


def _wind_frac(foliage: Canopy, relative_height: float) -> Floats:
    """Wind at a level as a share of wind at 2 m over short grass, (days,)."""
    height = np.maximum(foliage.height_m, 0.1)
    reference = np.log(10.0 / _GRASS_ROUGHNESS_M) / np.log(2.0 / _GRASS_ROUGHNESS_M)  # 2 m to 10 m over grass
    top = np.log((height - 0.65 * height) / (0.1 * height)) / np.log((10.0 - 0.65 * height) / (0.1 * height))
    area = np.maximum(foliage.leaf_area_index_upper + foliage.leaf_area_index_lower, 0.05)
    attenuation = canopy.wind_attenuation(area, foliage.leaf_width_m, height)
    return np.asarray(reference * canopy.wind_in_canopy_m_s(top, relative_height, attenuation))

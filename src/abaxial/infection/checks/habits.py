"""What growers know from practice, asked of the leaf and of the rust: what keeps leaves wet, and what lets rust in.

The place is on the equator at the equinox and the day is always the same: a mild grey day, neither dry nor foggy, with
one shower before sunrise. Only what is asked about changes.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from abaxial.garden.parts import Bed, Obstacle, Watering
from abaxial.infection import curves, draws, kernel, leaves
from abaxial.infection.pathogen import read_pathogen
from abaxial.microclimate import air, exposure, nights, wetness
from abaxial.microclimate.exposure import Canopy, Exposure, When
from abaxial.microclimate.wetness import Wetness
from abaxial.place import Place
from abaxial.weather import sun
from abaxial.weather.ensemble import WeatherEnsemble

Floats = NDArray[np.float64]

_PLACE = Place(0.0, 0.0, 0.0, "UTC")
_DAYS = 8
# noon of 17 March 2026, so that whole garden days follow
_FIRST_HOUR = 492_684
_OPEN = Bed("practice", 4.0)
_LEAF_AREA_INDEX = 1.0


def shade_extra_wet_h(light_frac: float) -> float:
    """Hours wet a day that a close crown adds [h]. light_frac : share of light it lets through, 0 to 1."""
    crown = Obstacle(0.0, 360.0, height_m=8.0, distance_m=0.8, transmission_frac=light_frac)
    return _wet_h(replace(_OPEN, obstacles=(crown,))) - _wet_h(_OPEN)


def shelter_extra_wet_h(shelter_frac: float) -> float:
    """Hours wet a day that still air adds [h]. shelter_frac : share of the open wind that is left, 0.05 to 1."""
    return _wet_h(replace(_OPEN, shelter_frac=shelter_frac)) - _wet_h(_OPEN)


def crowding_extra_wet_h(leaf_area_index: float) -> float:
    """Hours wet a day that crowded plants add to the low leaves [h]. leaf_area_index : above 1, the loose stand's."""
    return _wet_h(_OPEN, leaf_area_index=leaf_area_index) - _wet_h(_OPEN)


def low_foliage_extra_wet_h(leaf_area_index: float) -> float:
    """Hours by which the low leaves of a stand stay wet longer than the high ones [h a day]."""
    low, high = _wet_by_level(_OPEN, leaf_area_index=leaf_area_index)
    return low - high


def overhead_extra_wet_h(local_hour: int) -> float:
    """Hours wet a day that watering over the leaves adds to watering the soil at the same hour [h].

    local_hour : 0 to 23.
    """
    over, under = (
        replace(_OPEN, watering=Watering(manner, local_hour, amount_mm=5.0)) for manner in ("overhead", "soil")
    )
    return _wet_h(over) - _wet_h(under)


def showers_extra_infection(rust: str, shower_h: int) -> float:
    """What a week of showers and sun lets in beyond a dry week, in nights of full infection, if spores were about.

    rust : key of its file. shower_h : hours of rain each day before sunrise, above 0.
    """
    return _let_in(rust, shower_h) - _let_in(rust, 0)


def _wet_h(bed: Bed, leaf_area_index: float = _LEAF_AREA_INDEX) -> float:
    return _wet_by_level(bed, leaf_area_index=leaf_area_index)[0]


def _wet_by_level(bed: Bed, *, leaf_area_index: float) -> tuple[float, float]:
    """Hours wet a day of the low and of the high leaves, the first days left out."""
    when, _, levels, wet = _leaves(bed, leaf_area_index, shower_h=2)
    low, high = nights.wet_h(wet, when)[:, 2:-1].mean(axis=(1, 2))
    return float(low), float(high)


def _let_in(rust: str, shower_h: int) -> float:
    pathogen = read_pathogen(rust)
    when, sky, levels, wet = _leaves(_OPEN, _LEAF_AREA_INDEX, shower_h=shower_h)
    on_leaf = leaves.leaf_hours(wet, slice(0, 2), pathogen.face, sky, levels, when)
    seen = kernel.infect(on_leaf, curves.curves_of(draws.central(pathogen)), nights.day_starts(when))
    return float(seen.infected_frac[0].sum())


def _leaves(
    bed: Bed, leaf_area_index: float, *, shower_h: int
) -> tuple[When, Floats, tuple[Exposure, Exposure], Wetness]:
    when = exposure.when_of(_FIRST_HOUR, 24 * _DAYS, _PLACE)
    sky = air.open_air(_weather(when, shower_h), when)
    half = np.full(_DAYS + 1, leaf_area_index / 2.0)
    foliage = Canopy(half, half, np.full(_DAYS + 1, 0.8), leaf_width_m=0.1, extinction=0.5, storage_mm=0.1)
    moist = wetness.constants()["moist_most_frac"].value
    levels = exposure.exposures(bed, foliage, when, np.full(_DAYS + 1, 0.8), moist)
    return when, sky, levels, wetness.leaf_wetness(sky, levels, when, _PLACE, wetness.central_member())


def _weather(when: When, shower_h: int) -> WeatherEnsemble:
    """One member of the same day again and again: 22 °C by day and 18 by night, in air that alone brings no dew."""
    clear = sun.clear_sky_w_m2(when.sun_elevation_deg, _PLACE.elevation_m)
    day = when.sun_elevation_deg > 0.0
    raining = ((when.local_hour - 6 + shower_h) % 24) < shower_h
    columns: dict[str, Floats] = {
        "temperature_c": np.where(day, 22.0, 18.0),
        "relative_humidity_frac": np.where(raining, 0.95, np.where(day, 0.7, 0.8)),
        "wind_speed_m_s": np.full(when.hours.size, 1.0),
        "rain_mm": np.where(raining, 2.0, 0.0),
        "shortwave_w_m2": 0.5 * clear,
        "cloud_frac": np.full(when.hours.size, 0.8),
    }
    first = int(when.hours[0])
    end = first + when.hours.size
    return WeatherEnsemble(first, end, end, known_share_frac=1.0, **{name: v[:, None] for name, v in columns.items()})

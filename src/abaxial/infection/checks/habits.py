"""What growers know from practice, asked of the leaf and of the rust: what keeps leaves wet, and what lets rust in.

The place is on the equator at the equinox and the day is always the same: a mild and rather moist day, half clouded, with
one shower before sunrise. Only what is asked about changes.
"""

from dataclasses import replace
from typing import Any

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
    """Hours by which leaves wet at sunrise dry later under a close crown [h].

    light_frac : share of light the crown lets through, 0 to 1. Counted by day: at night a crown keeps dew away.
    """
    crown = Obstacle(0.0, 360.0, height_m=8.0, distance_m=0.8, transmission_frac=light_frac)
    return _wet_by_day_h(replace(_OPEN, obstacles=(crown,))) - _wet_by_day_h(_OPEN)


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


def overhead_dusk_over_noon_h() -> float:
    """Hours by which leaves watered at seven in the evening stay wet longer than those watered at noon [h a day]."""
    return overhead_extra_wet_h(19) - overhead_extra_wet_h(12)


def by_the_lower_face_frac(rust: str) -> float:
    """Share of a rust's infections that enter by the lower face alone: 1 or 0. rust : key of its file."""
    return 1.0 if read_pathogen(rust).face == "lower" else 0.0


def showers_extra_infected_frac(rust: str, shower_h: int) -> float:
    """By how much more of the spores on a leaf get in on a day of showers and sun than on a dry one, 0 to 1.

    rust : key of its file. shower_h : hours of rain each day before sunrise, above 0.
    """
    return _let_in_frac(rust, shower_h) - _let_in_frac(rust, 0)


def _wet_h(bed: Bed, leaf_area_index: float = _LEAF_AREA_INDEX) -> float:
    return _wet_by_level(bed, leaf_area_index=leaf_area_index)[0]


def _wet_by_level(bed: Bed, *, leaf_area_index: float) -> tuple[float, float]:
    """Hours wet a day of the low and of the high leaves, the first days left out."""
    when, _, _, wet = _leaves(bed, leaf_area_index, shower_h=2)
    low, high = nights.wet_h(wet, when)[:, 2:-1].mean(axis=(1, 2))
    return float(low), float(high)


def _wet_by_day_h(bed: Bed) -> float:
    """Hours a day with the sun up and the low leaves wet."""
    when, _, _, wet = _leaves(bed, _LEAF_AREA_INDEX, shower_h=2)
    low = np.maximum(wet.wet_lower_frac[0, :, 0], wet.wet_upper_frac[0, :, 0])
    return float(low[when.sun_elevation_deg > 0.0].sum()) / _DAYS


def _let_in_frac(rust: str, shower_h: int) -> float:
    pathogen = read_pathogen(rust)
    when, sky, levels, wet = _leaves(_OPEN, _LEAF_AREA_INDEX, shower_h=shower_h)
    on_leaf = leaves.leaf_hours(wet, slice(0, 2), pathogen.face, sky, levels, when)
    seen = kernel.infect(on_leaf, curves.curves_of(draws.central(pathogen)), nights.day_starts(when))
    return float(seen.infected_frac[0].mean())


def _leaves(
    bed: Bed, leaf_area_index: float, *, shower_h: int
) -> tuple[When, Floats, tuple[Exposure, Exposure], Wetness]:
    when = exposure.when_of(_FIRST_HOUR, 24 * _DAYS, _PLACE)
    sky = air.open_air(_weather(when, shower_h), when)
    half = np.full(_DAYS + 1, leaf_area_index / 2.0)
    foliage = Canopy(half, half, np.full(_DAYS + 1, 0.8), leaf_width_m=0.1, extinction=0.5, storage_mm=0.15)
    moist = wetness.constants()["moist_most_frac"].value
    levels = exposure.exposures(bed, foliage, when, np.full(_DAYS + 1, 0.8), moist)
    return when, sky, levels, wetness.leaf_wetness(sky, levels, when, _PLACE, wetness.central_member())


def _weather(when: When, shower_h: int) -> WeatherEnsemble:
    """One member of the same day again and again: 21 °C by day and 18 by night, in air that alone brings no dew."""
    clear = sun.clear_sky_w_m2(when.sun_elevation_deg, _PLACE.elevation_m)
    day = when.sun_elevation_deg > 0.0
    raining = ((when.local_hour - 6 + shower_h) % 24) < shower_h
    columns: dict[str, Any] = {
        "temperature_c": np.where(day, 21.0, 18.0),
        "relative_humidity_frac": np.where(raining, 0.97, np.where(day, 0.78, 0.82)),
        "wind_speed_m_s": np.full(when.hours.size, 0.8),
        "rain_mm": np.where(raining, 2.0, 0.0),
        "shortwave_w_m2": 0.5 * clear,
        "cloud_frac": np.full(when.hours.size, 0.8),
    }
    first = int(when.hours[0])
    end = first + when.hours.size
    return WeatherEnsemble(first, end, end, known_share_frac=1.0, **{name: v[:, None] for name, v in columns.items()})

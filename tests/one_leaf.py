"""One leaf under weather of our choosing, for the tests of the leaf kernel."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.microclimate import kernel, radiation, vapour

SOLUTE_MM = 0.001


class Hours(NamedTuple):
    """Weather at one leaf; numbers or (hours,)."""

    temperature_c: object = 20.0
    relative_humidity_frac: object = 0.9
    wind_m_s: object = 0.5
    rain_mm: object = 0.0
    sun_w_m2: object = 0.0
    cloud_frac: object = 0.0
    sky_frac: float = 1.0
    overhead_mm: object = 0.0
    moist_frac: float = 0.0
    leaf_width_m: float = 0.2
    exchange_factor: float = 0.7
    storage_mm: float = 0.15
    solute_mm: float = SOLUTE_MM


def drivers_of(weather: Hours, hours: int) -> tuple[kernel.Drivers, kernel.Leaf]:
    """The kernel's arguments for one leaf and one member."""

    def series(value: object) -> NDArray[np.float64]:
        return np.broadcast_to(np.asarray(value, float), (hours,)).copy()

    temperature, humidity = series(weather.temperature_c), series(weather.relative_humidity_frac)
    saturation = vapour.saturation_vapour_pressure_kpa(temperature)
    clear = radiation.clear_sky_emissivity_frac(saturation * humidity, temperature)
    sky = np.minimum(radiation.cloudy_sky_emissivity_frac(clear, series(weather.cloud_frac)), 1.0)
    longwave = (sky - 1.0) * radiation.longwave_w_m2(1.0, temperature)
    rows = (temperature, saturation * humidity, saturation, series(weather.wind_m_s), series(weather.rain_mm))
    air = np.stack([*rows, np.zeros(hours), series(weather.sun_w_m2), longwave], axis=1)[:, :, None]
    members = np.array([[weather.exchange_factor, 0.86, 0.08, 1.0, 0.3, 1.0]]).T
    one, none = np.ones((hours, 1)), np.zeros((hours, 1))
    # light reaches the leaf through sky_frac, so that shade hides sun and sky alike
    drivers = kernel.Drivers(
        np.ascontiguousarray(air), np.ascontiguousarray(members), one, series(weather.overhead_mm)[:, None],
        one * weather.sky_frac, one, one, none, one * weather.moist_frac, np.zeros(hours, np.int64),
    )  # fmt: skip
    leaf = kernel.Leaf(
        np.array([weather.leaf_width_m]),
        np.array([weather.storage_mm]),
        101.3,
        0.97,
        0.5,
        weather.solute_mm,
        0.0,
        0.02,
        0.5,
    )
    return drivers, leaf


def run(weather: Hours, hours: int, *, film_mm: float = 0.0) -> NDArray[np.float64]:
    """(hours, 4) with rows as in kernel.ANSWER, starting from a film on each face."""
    drivers, leaf = drivers_of(weather, hours)
    film = np.zeros((1, 3, 1))
    film[:, :2] = max(film_mm, weather.solute_mm)
    answer = np.empty((1, hours, 4, 1), np.float32)
    kernel.leaf_hours(film, drivers, leaf, answer)
    return answer[0, :, :, 0].astype(float)


def wet_hours(weather: Hours, hours: int, *, film_mm: float = 0.0) -> float:
    """Hours with water on the upper face [h]."""
    return float(run(weather, hours, film_mm=film_mm)[:, 0].sum())

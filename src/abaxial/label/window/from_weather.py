"""From the weather ahead to the hours over one bed: as far as it was forecast, and no further."""

from collections.abc import Collection

import numpy as np

from abaxial import hours
from abaxial.errors import FaultError, RequestError
from abaxial.label.window.closings import Air, Floats
from abaxial.microclimate import vapour
from abaxial.place import Place
from abaxial.weather import sun
from abaxial.weather.ensemble import WeatherEnsemble


def air_ahead(
    ensemble: WeatherEnsemble,
    wet_frac: Floats,
    *,
    place: Place,
    shelter_frac: float,
    at_work: tuple[int, int],
    weekdays: Collection[int] = range(7),
) -> Air | None:
    """The hours from now to the end of the forecast over one bed; None where nothing is forecast.

    wet_frac : (hours, members), all hours of the ensemble or those from now on; of the wetter face of the wetter level. shelter_frac : share of the wind that
    reaches the bed. at_work : hours of the clock from which and to which somebody could spray, 0 to 24, the second not
    counted. weekdays : on which they could, 0 is Monday. Raises FaultError where shapes do not agree, RequestError for hours of the clock that are none.
    """
    first = ensemble.now_hour - ensemble.first_hour
    if wet_frac.shape[0] not in (ensemble.hours, ensemble.hours - first) or wet_frac.shape[1:] != (ensemble.members,):
        raise FaultError(f"Wetness has shape {wet_frac.shape}, the weather {ensemble.temperature_c.shape}.")
    begin, end = at_work
    if not 0 <= begin < end <= 24:
        raise RequestError(
            f"Nobody works from {begin} to {end} o'clock.", remedy="Give two hours of one day, the earlier one first."
        )
    last = min(ensemble.forecast_end_hour - ensemble.first_hour, ensemble.hours)
    if not 0 <= first < last:
        return None
    ahead = np.arange(ensemble.first_hour + first, ensemble.first_hour + last)
    local = [hours.local_moment(int(each), place.zone) for each in ahead]
    there = [begin <= each.hour < end and each.weekday() in weekdays for each in local]
    return Air(
        temperature_c=ensemble.temperature_c[first:last],
        relative_humidity_frac=ensemble.relative_humidity_frac[first:last],
        wind_speed_m_s=ensemble.wind_speed_m_s[first:last] * shelter_frac,
        rain_mm=ensemble.rain_mm[first:last],
        cloud_frac=ensemble.cloud_frac[first:last],
        shortwave_w_m2=ensemble.shortwave_w_m2[first:last],
        wet_frac=wet_frac[len(wet_frac) - (ensemble.hours - first) :][: last - first],
        sun_elevation_deg=np.asarray(sun.solar_elevation_deg(ahead + 0.5, place), np.float64),
        pressure_kpa=float(vapour.atmospheric_pressure_kpa(place.elevation_m)),
        at_work=np.array(there, np.bool_),
    )

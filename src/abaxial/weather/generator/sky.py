"""The sky of a record: sunlight from cloud or cloud from sunlight, where only one of them is known."""

import numpy as np

from abaxial.place import Place
from abaxial.weather import disaggregation, doubt, sun
from abaxial.weather.generator.days import first_midnight
from abaxial.weather.series import Floats, Mark, Weather


def completed_sky(weather: Weather, place: Place) -> tuple[Floats, Floats]:
    """Share of clear-sky sun and cloud cover of each hour, each (hours,) from 0 to 1, the one from the other where only
    one is known; NaN where neither is. By night both are the day's own."""
    elevation_deg = sun.solar_elevation_deg(weather.first_hour + np.arange(weather.hours) + 0.5, place)
    clear = sun.clear_sky_w_m2(elevation_deg, place.elevation_m)
    light, cloud = believed(weather, "shortwave_w_m2"), believed(weather, "cloud_frac")
    known = np.isfinite(light)
    day = (weather.first_hour + np.arange(weather.hours) - first_midnight(weather.first_hour, place)) // 24
    got = np.bincount(day, np.where(known, light, 0.0))
    could = np.bincount(day, np.where(known, clear, 0.0))
    of_day = np.where(could > 1.0, np.clip(got / np.maximum(could, 1.0), 0.05, 1.0), np.nan)[day]
    by_hour = np.where(known & (elevation_deg > 10.0), np.clip(light / np.maximum(clear, 1.0), 0.02, 1.1), of_day)
    share = np.where(np.isfinite(by_hour), by_hour, disaggregation.dimmed_frac(cloud))
    return share, np.where(np.isfinite(cloud), cloud, disaggregation.cloud_from_dimming_frac(of_day))


def believed(weather: Weather, name: str) -> Floats:
    """Values that may be learnt from; NaN elsewhere."""
    marks = weather.marks[name]
    usable = doubt.is_believed(marks) & ((marks & Mark.FORECAST) == 0)
    return np.where(usable, weather.variable(name), np.nan)

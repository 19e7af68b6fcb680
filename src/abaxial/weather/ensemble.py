"""Members: several equally likely versions of the weather that was and will be."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from abaxial.weather.series import VARIABLES, Finding, Floats


@dataclass(frozen=True)
class WeatherEnsemble:
    """Hourly weather in several members, without gaps. Arrays have shape (hours, members); units as in Weather.

    first_hour : hours since 1970 UTC. now_hour : the first hour not yet lived. forecast_end_hour : from here on hours
    come from the generator (equal to now_hour where there is no forecast).
    known_share_frac : share of the lived hours' temperature, humidity and rain that was measured or fetched, 0 to 1.
    findings : what was noticed.
    """

    first_hour: int
    now_hour: int
    forecast_end_hour: int
    temperature_c: Floats
    relative_humidity_frac: Floats
    wind_speed_m_s: Floats
    rain_mm: Floats
    shortwave_w_m2: Floats
    cloud_frac: Floats
    known_share_frac: float
    findings: tuple[Finding, ...] = ()

    @property
    def hours(self) -> int:
        """Number of hours."""
        return int(self.temperature_c.shape[0])

    @property
    def members(self) -> int:
        """Number of members."""
        return int(self.temperature_c.shape[1])

    def members_at(self, order: NDArray[np.int64]) -> "WeatherEnsemble":
        """The same hours with the members in another order, some perhaps twice and some not at all."""
        return replace(self, **{name: getattr(self, name)[:, order] for name in VARIABLES})

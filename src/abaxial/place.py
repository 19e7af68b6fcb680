"""A place on the earth: where the sun stands and which clock the people use."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Place:
    """A point on the earth with its clock.

    latitude_deg  : north positive [degrees], -90 to 90.
    longitude_deg : east positive [degrees], -180 to 180.
    elevation_m   : above sea level [m], -430 to 6000.
    zone          : IANA time zone, such as "Pacific/Auckland".
    """

    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    zone: str

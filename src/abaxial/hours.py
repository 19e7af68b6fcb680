"""Time inside the house: whole hours since 1970 in UTC, each named by its start.

An hour is a plain integer, so hour 0 is 1970-01-01 00:00 to 01:00 UTC. A garden day is 24 of them, from the hour
nearest noon of the zone's standard time, all year; it is named by the date on which it begins, so that a night belongs
to one day and carries the date of its evening.
"""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from abaxial.errors import InputError

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def zone_named(name: str) -> ZoneInfo:
    """The IANA time zone of that name.

    Raises InputError if no such zone exists.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise InputError(
            f"There is no time zone called {name!r}.",
            remedy="Use an IANA name of the form Region/City, such as Africa/Kampala.",
        ) from None


def hour_of(moment: datetime) -> int:
    """The hour that holds a moment. Raises InputError if the moment has no zone."""
    if moment.tzinfo is None:
        raise InputError(f"The time {moment.isoformat()} has no zone.", remedy="Say which clock it was read from.")
    return int((moment - _EPOCH) // timedelta(hours=1))


def moment_of(hour: int) -> datetime:
    """The start of an hour, in UTC."""
    return _EPOCH + timedelta(hours=int(hour))


def local_moment(hour: int, zone: str) -> datetime:
    """The start of an hour on the clock of a zone."""
    return moment_of(hour).astimezone(zone_named(zone))


def standard_offset_h(zone: str) -> float:
    """Hours that standard time is ahead of UTC [h], -12 to 14: the smaller of January's and July's offset."""
    tz = zone_named(zone)
    offsets = [datetime(2025, month, 1, 12, tzinfo=tz).utcoffset() or timedelta() for month in (1, 7)]
    return min(offsets) / timedelta(hours=1)


def noon_hour_utc(zone: str) -> int:
    """UTC hour of the day, 0 to 23, nearest noon of standard time: where a garden day begins."""
    return int((12 - standard_offset_h(zone) + 0.5) // 1) % 24


def garden_day(hour: int, zone: str) -> int:
    """Number of the garden day that holds an hour, counted in days since 1970 by the local date of its noon."""
    begin_1970 = _first_hour_of_day_zero(zone)
    return (int(hour) - begin_1970) // 24


def first_hour_of(day: int, zone: str) -> int:
    """First hour of a garden day."""
    return _first_hour_of_day_zero(zone) + 24 * int(day)


def date_of(day: int) -> date:
    """The date a garden day is named by: the one on which it begins, at local noon."""
    return date(1970, 1, 1) + timedelta(days=int(day))


def day_of(named: date) -> int:
    """The garden day that begins at noon of a date."""
    return (named - date(1970, 1, 1)).days


def _first_hour_of_day_zero(zone: str) -> int:
    noon = noon_hour_utc(zone)
    # noon of 1 January 1970, local, may fall on the UTC day before (zones far east) or the same day
    return noon if (12 - standard_offset_h(zone)) >= -0.5 else noon - 24

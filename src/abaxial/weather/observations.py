"""What somebody noticed of rain or of wet leaves, with how wrong it may be: from a line of notes to an observation."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from difflib import get_close_matches
from typing import Literal, NoReturn

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import WeatherError
from abaxial.hours import hour_of, zone_named
from abaxial.place import Place
from abaxial.weather import doubt

State = Literal["dripping", "damp", "dry"]
STATES: tuple[State, ...] = ("dripping", "damp", "dry")
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_KEYS = ("rain_mm", "rain_in", "rain", "leaves", "since", "at", "bed", "level")
_NIGHTS = {"last night": True, "none last night": False}
_EXAMPLE = (
    'Write it like { rain_mm = 12, since = "Sunday", at = "2026-03-04 07:00" } '
    'or { leaves = "damp", at = "2026-03-04 07:00" }.'
)


@dataclass(frozen=True)
class RainObservation:
    """Rain over a stretch of hours.

    first_hour, end_hour : the hours covered, the last one not included. amount_mm : what fell [mm]; None where only
    `happened` is known. log_sd : standard deviation of the logarithm of the amount.
    """

    first_hour: int
    end_hour: int
    amount_mm: float | None
    log_sd: float
    happened: bool


@dataclass(frozen=True)
class WetnessObservation:
    """How leaves looked at one hour. bed : "" where not said; level : "lower", "upper" or ""."""

    hour: int
    state: State
    bed: str = ""
    level: str = ""


@dataclass(frozen=True)
class Notes:
    """All observations of a garden, in order of time."""

    rain: tuple[RainObservation, ...] = ()
    wetness: tuple[WetnessObservation, ...] = ()


def read_notes(noted: Sequence[Mapping[str, object]], place: Place, *, where: str = "notes") -> Notes:
    """The observations in a list of notes.

    noted : mappings with the keys of one note each; see `read_note`. where : the file they stand in, for messages.
    Raises WeatherError naming the note, the rule and the value.
    """
    read = [read_note(note, place, where=f"{where}, note {number}") for number, note in enumerate(noted, 1)]
    rain = sorted((each for each in read if isinstance(each, RainObservation)), key=lambda each: each.end_hour)
    wetness = sorted((each for each in read if isinstance(each, WetnessObservation)), key=lambda each: each.hour)
    return Notes(tuple(rain), tuple(wetness))


def read_note(note: Mapping[str, object], place: Place, *, where: str) -> RainObservation | WetnessObservation:
    """One note as an observation.

    Forms: {rain_mm or rain_in, since, at}; {rain = "last night" | "none last night" | "some" | "none", since, at};
    {leaves = "dripping" | "damp" | "dry", at, bed, level}. Times are of the place's clock: a date, a date with hour,
    or, for `since`, a weekday. A date alone means its morning for `at` and its first hour for `since`; without
    `since` a gauge covers the 24 hours before.
    """
    for key in note:
        if key not in _KEYS:
            near = get_close_matches(key, _KEYS, 1)
            _refuse(where, f"{key!r} is not something a note can say", f"Did you mean {near[0]!r}? " if near else "")
    said = [key for key in ("rain_mm", "rain_in", "rain", "leaves") if key in note]
    if len(said) != 1:
        _refuse(where, f"a note says one thing; this one says {', '.join(said) or 'nothing of rain or leaves'}", "")
    if "at" not in note:
        _refuse(where, "it does not say when it was seen", "Add at = date and hour. ")
    at = _moment(note["at"], place, where, hour=int(doubt.value("notes", "morning_h")))
    if "leaves" in note:
        return _leaves(note, at, where)
    if "rain" in note:
        return _rain_in_words(note, at, place, where)
    return _gauge(note, at, place, where)


def gauge_observation(first_hour: int, end_hour: int, amount_mm: float) -> RainObservation:
    """A gauge reading with its error: a share of the amount, and how finely a garden gauge is read.

    amount_mm : 0 or more [mm].
    """
    if amount_mm == 0.0:
        return RainObservation(first_hour, end_hour, 0.0, 0.0, False)
    fineness = doubt.value("rain", "gauge_reading_mm") / 2 / amount_mm
    log_sd = math.hypot(doubt.value("rain", "gauge_log_sd"), min(fineness, 1.0))
    return RainObservation(first_hour, end_hour, amount_mm, log_sd, True)


def wetness_likelihood(state: State, wet_frac: ArrayLike) -> NDArray[np.float64]:
    """Chance that a person says `state` of leaves of which a share is wet, 0 to 1, same shape as wet_frac.

    wet_frac : share of leaf surface with water on it, 0 to 1, any shape. The three states' chances add up to 1; none is
    ever zero, because one looks at a few leaves and not at the bed.
    """
    wet = np.asarray(wet_frac, float)
    softness, mistaken = doubt.value("notes", "word_softness_frac"), doubt.value("notes", "mistaken_frac")
    at_least_damp = 1.0 / (1.0 + np.exp(-(wet - doubt.value("notes", "damp_frac")) / softness))
    at_least_dripping = 1.0 / (1.0 + np.exp(-(wet - doubt.value("notes", "dripping_frac")) / softness))
    chances = {"dry": 1.0 - at_least_damp, "damp": at_least_damp - at_least_dripping, "dripping": at_least_dripping}
    return np.asarray((1.0 - mistaken) * chances[state] + mistaken / 3.0)


def _leaves(note: Mapping[str, object], at: datetime, where: str) -> WetnessObservation:
    state = next((each for each in STATES if each == note["leaves"]), None)
    if state is None:
        _refuse(where, f"leaves are {note['leaves']!r}; they can be dripping, damp or dry", "")
    level = str(note.get("level", ""))
    if level not in ("", "lower", "upper"):
        _refuse(where, f"level is {level!r}; it can be lower or upper", "")
    return WetnessObservation(hour_of(at), state, str(note.get("bed", "")), level)


def _rain_in_words(note: Mapping[str, object], at: datetime, place: Place, where: str) -> RainObservation:
    said = note["rain"]
    if said in ("some", "none"):
        if "since" not in note:
            _refuse(where, f"rain is {said!r} without saying since when", "Add since = date or weekday. ")
        first, end, happened = _since(note["since"], at, place, where), at, said == "some"
    elif isinstance(said, str) and said in _NIGHTS:
        evening = time(int(doubt.value("notes", "evening_h")))
        first = datetime.combine(at.date() - timedelta(days=1), evening, at.tzinfo)
        end = datetime.combine(at.date(), time(int(doubt.value("notes", "morning_h"))), at.tzinfo)
        happened = _NIGHTS[said]
    else:
        _refuse(where, f'rain is {said!r}; in words it can be "last night", "none last night", "some" or "none"', "")
    log_sd = doubt.value("rain", "happened_log_sd") if happened else 0.0
    return RainObservation(hour_of(first), hour_of(end), None if happened else 0.0, log_sd, happened)


def _gauge(note: Mapping[str, object], at: datetime, place: Place, where: str) -> RainObservation:
    key, factor, most = ("rain_mm", 1.0, 2000.0) if "rain_mm" in note else ("rain_in", 25.4, 80.0)
    amount = note[key]
    if isinstance(amount, bool) or not isinstance(amount, int | float) or not 0.0 <= amount <= most:
        _refuse(where, f"{key} is {amount!r}; it must be a number from 0 to {most:g}", "")
    first = _since(note["since"], at, place, where) if "since" in note else at - timedelta(hours=24)
    return gauge_observation(hour_of(first), hour_of(at), float(amount) * factor)


def _since(said: object, at: datetime, place: Place, where: str) -> datetime:
    if isinstance(said, str) and said.strip().lower() in _WEEKDAYS:
        back = (at.weekday() - _WEEKDAYS.index(said.strip().lower()) - 1) % 7 + 1
        first = datetime.combine(at.date() - timedelta(days=back), time(0), at.tzinfo)
    else:
        first = _moment(said, place, where, hour=0)
    if hour_of(first) >= hour_of(at):
        _refuse(
            where, f"it begins at {first:%Y-%m-%d %H:%M} and ends at {at:%Y-%m-%d %H:%M}", "since must lie before at. "
        )
    return first


def _moment(said: object, place: Place, where: str, *, hour: int) -> datetime:
    zone = zone_named(place.zone)
    read = _parsed(said)
    if isinstance(read, datetime):
        return read.astimezone(zone) if read.tzinfo else read.replace(tzinfo=zone)
    if isinstance(read, date):
        return datetime.combine(read, time(hour), zone)
    return _refuse(where, f"{said!r} is not a date, nor a date with an hour", "Write 2026-03-04 or 2026-03-04 07:00. ")


def _parsed(said: object) -> object:
    """A text as date or as date with hour, where it is one."""
    if not isinstance(said, str):
        return said
    text = said.strip()
    try:
        return date.fromisoformat(text) if len(text) == 10 else datetime.fromisoformat(text)
    except ValueError:
        return None


def _refuse(where: str, what: str, hint: str) -> NoReturn:
    raise WeatherError(f"{where}: {what}.", remedy=hint + _EXAMPLE, where=where)

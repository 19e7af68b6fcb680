"""What is known of a garden's weather at a moment: files read, doubted and joined, notes heeded, members made."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from abaxial import hours
from abaxial.errors import GardenError
from abaxial.garden.parts import Garden
from abaxial.weather import gaps, members, notebook, observations, quality, readers, series
from abaxial.weather.ensemble import WeatherEnsemble
from abaxial.weather.observations import Notes, RainObservation
from abaxial.weather.series import Finding, Weather

# latent rust can sleep through a cold season, so look back over most of a year
HISTORY_DAYS = 200
LEAST_HISTORY_DAYS = 35
# what the last fortnight must at least hold to speak of the present
RECENT_DAYS, LEAST_RECENT_DAYS = 14, 4
#: an hour later than any file's last
END_OF_TIME = 2**31


@dataclass(frozen=True)
class Known:
    """The weather as it was known at a moment.

    lived : all hours up to now, checked and filled. forecasts : series whose hours from now on are somebody's forecast.
    notes : rain and wetness the gardener noticed. nothing : why there is not enough to say anything, or None.
    until_hour : the hour after the last measured one. rain_unknown_days : of the last fortnight. digests : by file name.
    """

    lived: Weather
    forecasts: tuple[Weather, ...]
    notes: Notes
    findings: tuple[Finding, ...]
    nothing: Finding | None
    until_hour: int
    rain_unknown_days: int
    digests: Mapping[str, str]


def weather_of(garden: Garden, now_hour: int) -> Known:
    """Everything the garden's files and notes say up to an hour; nothing measured later is looked at.

    Raises WeatherError as the readers do, naming file, line, rule and value.
    """
    folder = Path(garden.folder)
    lived = series.empty(now_hour, 0)
    ahead: list[Weather] = []
    digests: dict[str, str] = {}
    notes = observations.read_notes([each.options for each in garden.noted], garden.place, where=garden.name)
    rain = list(notes.rain)
    for source in garden.weather:
        read = readers.read_all(
            {"form": source.form, "file": source.path, **source.options}, folder, garden.place, now_hour=now_hour
        )
        digests[source.path] = read[0].digest
        past = series.between(read[0], min(read[0].first_hour, now_hour), min(read[0].end_hour, now_hour))
        lived = series.merge(lived, past) if lived.hours else past
        if source.form == "forecast_json" and read[0].end_hour > now_hour:
            # an ensemble says more than a single forecast, and the file named last is the latest
            ahead = read if len(read) > 1 or len(ahead) <= 1 else ahead
        if source.form == "notebook":
            rain.extend(notebook.rain_of_notebook(folder / source.path, garden.place, source.options))
    _known_beds(garden, notes)
    heard = Notes(
        tuple(each for each in rain if each.end_hour <= now_hour),
        tuple(each for each in notes.wetness if each.hour < now_hour),
    )
    checked = _checked(lived, garden) if lived.hours else lived
    return Known(
        lived=checked,
        forecasts=tuple(ahead),
        notes=heard,
        findings=checked.findings + _quiet_since(checked, now_hour),
        nothing=_nothing(checked, heard, now_hour),
        until_hour=_last_known(checked),
        rain_unknown_days=_rain_unknown_days(checked, heard.rain, now_hour),
        digests=digests,
    )


def ensemble_of(
    known: Known, garden: Garden, now_hour: int, outlook_days: int, count: int, seed: int
) -> WeatherEnsemble:
    """Members from the start of the first garden day looked at to the end of the outlook."""
    zone = garden.place.zone
    begin = max(min(known.lived.first_hour, now_hour - 24 * LEAST_HISTORY_DAYS), now_hour - 24 * HISTORY_DAYS)
    # the first whole garden day
    first = hours.first_hour_of(hours.garden_day(begin + 23, zone), zone)
    end = hours.first_hour_of(hours.garden_day(now_hour, zone) + outlook_days + 1, zone)
    return members.make_ensemble(
        series.between(known.lived, first, now_hour),
        garden.place,
        now_hour=now_hour,
        end_hour=end,
        seed=seed,
        forecasts=known.forecasts,
        observations=known.notes.rain,
        members=count,
    )


def lived_ensemble(known: Known, garden: Garden, count: int, seed: int) -> WeatherEnsemble:
    """Members of all lived hours and of nothing else."""
    return members.make_ensemble(
        known.lived,
        garden.place,
        now_hour=known.lived.end_hour,
        end_hour=known.lived.end_hour,
        seed=seed,
        forecasts=(),
        observations=known.notes.rain,
        members=count,
    )


def _checked(weather: Weather, garden: Garden) -> Weather:
    """Suspect hours marked, a humidity ceiling corrected, short gaps filled."""
    marked = quality.correct_ceiling(quality.check(weather, garden.place))
    return gaps.fill(marked, garden.place)


def _known_beds(garden: Garden, notes: Notes) -> None:
    """Refuse a note on leaves of a bed that is not there."""
    there = [bed.name for bed in garden.beds]
    for note in notes.wetness:
        if note.bed and note.bed not in there:
            raise GardenError(
                f"{garden.name}: a note on wet leaves names the bed {note.bed!r}, which is not there.",
                remedy=f"The beds are: {', '.join(there) or 'none'}. Leave bed out to speak of all.",
            )


def _nothing(weather: Weather, heard: Notes, now_hour: int) -> Finding | None:
    """Why there is not enough to say anything: no record, or one that ended long ago, and nobody noticed rain or wet
    leaves in the last fortnight. One such line is enough to begin with; the rest is then drawn from what the place has."""
    lately = now_hour - 24 * RECENT_DAYS
    if any(each.end_hour > lately for each in heard.rain) or any(each.hour > lately for each in heard.wetness):
        return None
    return members.is_enough(weather) or _stale(weather, now_hour)


def _stale(weather: Weather, now_hour: int) -> Finding | None:
    """A record that says too little of the last fortnight to speak of what is in the leaves now."""
    lately = series.between(weather, now_hour - 24 * RECENT_DAYS, now_hour).temperature_c
    known = sum(value == value for value in lately.tolist())
    if now_hour == END_OF_TIME or known >= 24 * LEAST_RECENT_DAYS:
        return None
    last = _last_known(weather)
    return _silence(last, now_hour)


def _quiet_since(weather: Weather, now_hour: int) -> tuple[Finding, ...]:
    """A finding where the last day or more is missing."""
    last = _last_known(weather)
    if now_hour == END_OF_TIME or now_hour - last < 30 or not weather.hours:
        return ()
    return (_silence(last, now_hour),)


def _silence(last: int, now_hour: int) -> Finding:
    return Finding("record_stale", {"days": (now_hour - last) // 24, "until": hours.moment_of(last).date().isoformat()})


def _last_known(weather: Weather) -> int:
    for back in range(weather.hours - 1, -1, -1):
        if weather.temperature_c[back] == weather.temperature_c[back]:
            return weather.first_hour + back + 1
    return weather.first_hour


def _rain_unknown_days(weather: Weather, noted: Iterable[RainObservation], now_hour: int) -> int:
    """Days of the last fortnight in which neither a gauge nor a note says anything of half of the hours."""
    lately = series.between(weather, now_hour - 24 * 14, now_hour).rain_mm
    known = [value == value for value in lately]
    for note in noted:
        for hour in range(max(note.first_hour - now_hour + 24 * 14, 0), min(note.end_hour - now_hour, 0) + 24 * 14):
            known[hour] = True
    return sum(int(sum(known[day * 24 : day * 24 + 24]) < 12) for day in range(14))

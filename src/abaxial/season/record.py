"""What is known of a garden's weather at a moment: files read, doubted and joined, notes heeded, members made."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from abaxial import hours
from abaxial.errors import GardenError
from abaxial.garden.parts import Garden
from abaxial.weather import gaps, members, notebook, observations, quality, readers, series
from abaxial.weather.ensemble import WeatherEnsemble
from abaxial.weather.observations import Notes, RainObservation
from abaxial.weather.series import Finding, Weather

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.records.weather_batches import WeatherBatch

# latent rust can sleep through a cold season, so look back over most of a year
HISTORY_DAYS = 200
LEAST_HISTORY_DAYS = 35
# the first day looked at moves on by so much at a time
ANCHOR_DAYS = 28
# what the last fortnight must at least hold to speak of the present
RECENT_DAYS, LEAST_RECENT_DAYS = 14, 4
# forecasts made within this many hours of the newest are as good as it
FRESH_H = 24
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


class Arrived(NamedTuple):
    """Weather of one source. name : for the passport. foretells : whether its hours from now on are somebody's forecast.
    issued_hour : when that was made; 0 where nobody says. rain : gauge readings in it."""

    name: str
    members: Sequence[Weather]
    foretells: bool
    issued_hour: int
    rain: tuple[RainObservation, ...]


def weather_of(garden: Garden, now_hour: int, batches: "Sequence[WeatherBatch] | None" = None) -> Known:
    """Everything the garden's weather and notes say up to an hour; nothing measured later is looked at.

    batches : weather from the garden's file, in the order in which it is believed; None to read the files that the garden
    names. Raises WeatherError as the readers do, naming file, line, rule and value.
    """
    arrived = _from_files(garden, now_hour) if batches is None else _from_batches(garden, batches)
    lived = series.empty(now_hour, 0)
    for each in arrived:
        first = each.members[0]
        past = series.between(first, min(first.first_hour, now_hour), min(first.end_hour, now_hour))
        lived = series.merge(lived, past) if lived.hours else past
    notes = observations.read_notes([each.options for each in garden.noted], garden.place, where=garden.name)
    _known_beds(garden, notes)
    # a notebook that came again, longer, says the same of the days it had before
    gauges = {(rain.first_hour, rain.end_hour): rain for each in reversed(arrived) for rain in each.rain}
    heard = Notes(
        tuple(each for each in (*notes.rain, *gauges.values()) if each.end_hour <= now_hour),
        tuple(each for each in notes.wetness if each.hour < now_hour),
    )
    checked = _checked(lived, garden) if lived.hours else lived
    return Known(
        lived=checked,
        forecasts=tuple(_latest_forecast(arrived, now_hour)),
        notes=heard,
        findings=checked.findings + _quiet_since(checked, now_hour),
        nothing=_nothing(checked, heard, now_hour),
        until_hour=_last_known(checked),
        rain_unknown_days=_rain_unknown_days(checked, heard.rain, now_hour),
        digests={each.name: each.members[0].digest for each in arrived},
    )


def _from_files(garden: Garden, now_hour: int) -> list[Arrived]:
    """The files that the garden names, as they lie there now."""
    folder, found = Path(garden.folder), []
    for source in garden.weather:
        described = {"form": source.form, "file": source.path, **source.options}
        members = readers.read_all(described, folder, garden.place, now_hour=now_hour)
        is_notebook = source.form == "notebook"
        rain = notebook.rain_of_notebook(folder / source.path, garden.place, source.options) if is_notebook else ()
        found.append(Arrived(source.path, members, source.form == "forecast_json", 0, rain))
    return found


def _from_batches(garden: Garden, batches: "Sequence[WeatherBatch]") -> list[Arrived]:
    """The weather that lies in the garden's file."""
    found = []
    for each in batches:
        said = {key: value for key, value in each.reader.items() if key != "form"}
        is_notebook = each.kind == "notebook"
        rain = notebook.rain_of_notebook(Path(each.source), garden.place, said, each.raw_text) if is_notebook else ()
        issued = each.issued_at or each.received_at
        issued_hour = 0 if issued is None else hours.hour_of(issued)
        name = each.source if each.number is None else f"{each.source} ({each.number})"
        found.append(Arrived(name, each.members, each.kind == "forecast", issued_hour, rain))
    return found


def _latest_forecast(arrived: Sequence[Arrived], now_hour: int) -> Sequence[Weather]:
    """The members of the forecast to go by: of those made within a day of the newest an ensemble says more than a single
    one, and the one named last is the latest."""
    ahead = [each for each in arrived if each.foretells and each.members[0].end_hour > now_hour]
    newest = max((each.issued_hour for each in ahead), default=0)
    fresh = [each for each in ahead if newest - each.issued_hour < FRESH_H]
    many = [each for each in fresh if len(each.members) > 1] or fresh
    latest = [each for each in many if each.issued_hour == max(one.issued_hour for one in many)]
    return latest[-1].members if latest else ()


def ensemble_of(
    known: Known, garden: Garden, now_hour: int, outlook_days: int, count: int, seed: int
) -> WeatherEnsemble:
    """Members from the start of the first garden day looked at to the end of the outlook."""
    zone = garden.place.zone
    # anchored, so that what was computed of its first days holds good for weeks
    anchor = (now_hour - 24 * HISTORY_DAYS) // (24 * ANCHOR_DAYS) * (24 * ANCHOR_DAYS)
    begin = max(min(known.lived.first_hour, now_hour - 24 * LEAST_HISTORY_DAYS), anchor)
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

"""`abaxial weather`: add a file to the garden, or fetch the hours of its place."""

import os
import tempfile
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from abaxial.cli import options, output
from abaxial.cli.weather import look, sources

if TYPE_CHECKING:
    from abaxial.garden.parts import WeatherSource

#: what is asked of the service: the longest past it keeps beside a forecast, and as far ahead as is worth believing
_PAST_DAYS, _AHEAD_DAYS = 92, 7
#: the archive runs some days behind
_LATE_DAYS = 6


@click.group(short_help="Weather from a file or a forecast; how wet leaves were.")
def weather() -> None:
    """The garden's weather: add a file, fetch the hours of its place, look at it, check it, make it leaf wetness."""


weather.add_command(look.show)
weather.add_command(look.check)
weather.add_command(look.wet)


@weather.command(short_help="Add a weather file to the garden.")
@click.argument("file", type=click.Path(path_type=Path))
@options.garden_argument
@sources.form_option
@sources.layout_option
@options.written_at_option
def add(file: Path, garden: options.Place | None, form: str | None, layout: Path | None, at: str | None) -> None:
    """Read a weather file and, if it can be read, name it in the garden's description, where the file stays where it is; or
    lay it into the garden file. A file that has grown since may be added again: what was there before stands.

    A delimited file needs a layout that says which column is what; without one a proposal is shown, never used.

    \b
    Example:
      abaxial weather add station.epw garden.toml
      abaxial weather add station.csv home.abaxial --form delimited --layout layout.toml
    """
    from abaxial.season.opening import is_description

    place = options.garden_path(garden)
    described = options.garden_from(place)
    source = sources.source_of(file, form, layout)
    if not is_description(place):
        now = options.moment(at, described.place.zone)
        _lay_in(place, Arrival(source, file.parent, now, None), as_if=at is not None)
        return
    from abaxial.season.opening import Opened

    path = Path(place)
    [reading] = sources.readings(Opened(replace(described, weather=(source,), folder=str(file.parent)), ()))
    _name_in(path, os.path.relpath(file, path.parent), source.form, dict(source.options))
    click.echo(f"Added {file} to {path}: {reading.hours} hours. Look at it with: abaxial weather check {path}")


@weather.command(short_help="Fetch past and coming hours for the garden's place.")
@options.garden_argument
@click.option("--since", metavar="DATE", help="Fetch the older past too, from this date on.")
def fetch(garden: options.Place | None, since: str | None) -> None:
    """Fetch the hours of the last three months and the forecast for the garden's place from a public service, and keep
    them in files beside the description, or in the garden file. Nothing else in Abaxial goes to the network.

    \b
    Example:
      abaxial weather fetch garden.toml
      abaxial weather fetch garden.toml --since 2025-09-01
    """
    place = options.garden_path(garden)
    described = options.garden_from(place)
    now = options.moment(None, described.place.zone)
    from abaxial.fetch import forecast

    addresses = {
        "forecast": forecast.forecast_url(described.place, past_days=_PAST_DAYS, forecast_days=_AHEAD_DAYS),
        "ensemble": forecast.forecast_url(described.place, past_days=0, forecast_days=_AHEAD_DAYS, ensemble=True),
    }
    if since is not None:
        first = options.moment(since, described.place.zone, option="--since").date()
        addresses["history"] = forecast.history_url(described.place, first, now.date() - timedelta(days=_LATE_DAYS))
    stem = place.stem if isinstance(place, Path) else "fetched"
    for name, address in addresses.items():
        _fetch_one(place, f"{stem}_{name}.json", address, now)
    click.echo(f"Now: abaxial week {place}")


def _fetch_one(place: options.Place, name: str, address: str, now: datetime) -> None:
    """One answer of the service, read before it is kept, so that a broken one never takes the place of a good one."""
    from abaxial.fetch import download
    from abaxial.garden.parts import WeatherSource
    from abaxial.hours import hour_of
    from abaxial.season.opening import is_description
    from abaxial.weather import readers

    garden = options.garden_from(place)
    fetched = download.get_json_text(address, cache_folder=download_folder(), now=now)
    series = readers.parse_forecast(fetched.text, garden.place, now_hour=hour_of(now), source=name)
    if is_description(place):
        path = Path(place)
        output.write_whole(path.parent / name, fetched.text)
        if name not in [source.path for source in garden.weather]:
            _name_in(path, name, "forecast_json", {})
    else:
        with tempfile.TemporaryDirectory() as folder:
            (Path(folder) / name).write_text(fetched.text, encoding="utf-8")
            _lay_in(place, Arrival(WeatherSource(name, "forecast_json"), Path(folder), now, fetched.fetched_at))
    click.echo(f"{name}: {series[0].hours} hours, fetched {fetched.fetched_at:%Y-%m-%d %H:%M} UTC")


class Arrival(NamedTuple):
    """A weather file for a garden file. folder : where it lies. now : when it is read. issued_at : when it was made, where
    that is known."""

    source: "WeatherSource"
    folder: Path
    now: datetime
    issued_at: datetime | None


def _lay_in(place: options.Place, arrived: Arrival, *, as_if: bool = False) -> None:
    """Lay a weather file into a garden file, and say so. as_if : whether it came when `now` says, or now."""
    from abaxial.records.store import open_store
    from abaxial.season.opening.arriving import batch_of, take_in

    ground = options.garden_from(place).place
    batch = batch_of(arrived.source, arrived.folder, ground, now=arrived.now, issued_at=arrived.issued_at)
    with open_store(place) as kept:
        number, is_new = take_in(kept, replace(batch, received_at=arrived.now if as_if else None))
    if is_new:
        click.echo(
            f"Laid {batch.source} into {place} as number {number}: {batch.members[0].hours} hours. "
            f"Look at it with: abaxial weather check {place}"
        )
    else:
        click.echo(f"{batch.source} lies there already, as number {number}; nothing was changed.")


def download_folder() -> Path:
    """Where copies of fetched answers are kept for an hour."""
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "abaxial" / "fetched"


def _name_in(path: Path, file: str, form: str, stated: dict[str, object]) -> None:
    """Add the lines that name a weather file to the end of a description, keeping every line that is there."""
    from abaxial.garden.description import garden_from_text
    from abaxial.garden.writing import weather_block

    text = path.read_text(encoding="utf-8-sig").rstrip("\n")
    longer = f"{text}\n\n{weather_block(Path(file).as_posix(), form, stated)}"
    garden_from_text(longer, where=path.name, folder=str(path.parent))
    output.write_whole(path, longer)

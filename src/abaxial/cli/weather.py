"""`abaxial weather`: add a file to the garden's description, or fetch the hours of its place."""

import os
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import click

from abaxial.cli import options, output, weather_look, weather_source

#: what is asked of the service: the longest past it keeps beside a forecast, and as far ahead as is worth believing
_PAST_DAYS, _AHEAD_DAYS = 92, 7
#: the archive runs some days behind
_LATE_DAYS = 6


@click.group(short_help="Weather from a file or a forecast; how wet leaves were.")
def weather() -> None:
    """The garden's weather: add a file, fetch the hours of its place, look at it, check it, make it leaf wetness."""


weather.add_command(weather_look.show)
weather.add_command(weather_look.check)
weather.add_command(weather_look.wet)


@weather.command(short_help="Add a weather file to the garden's description.")
@click.argument("file", type=click.Path(path_type=Path))
@options.garden_argument
@weather_source.form_option
@weather_source.layout_option
def add(file: Path, garden: Path | None, form: str | None, layout: Path | None) -> None:
    """Read a weather file and, if it can be read, name it in the garden's description. The file stays where it is.

    A delimited file needs a layout that says which column is what; without one a proposal is shown, never used.

    \b
    Example:
      abaxial weather add station.epw garden.toml
      abaxial weather add station.csv garden.toml --form delimited --layout layout.toml
    """
    path = options.garden_path(garden)
    described = options.garden_from(path)
    source = weather_source.source_of(file, form, layout)
    [reading] = weather_source.readings(replace(described, weather=(source,), folder=str(file.parent)))
    _name_in(path, os.path.relpath(file, path.parent), source.form, dict(source.options))
    click.echo(f"Added {file} to {path}: {reading.hours} hours. Look at it with: abaxial weather check {path}")


@weather.command(short_help="Fetch past and coming hours for the garden's place.")
@options.garden_argument
@click.option("--since", metavar="DATE", help="Fetch the older past too, from this date on.")
def fetch(garden: Path | None, since: str | None) -> None:
    """Fetch the hours of the last three months and the forecast for the garden's place from a public service, and keep
    them in files beside the garden. Nothing else in Abaxial goes to the network.

    \b
    Example:
      abaxial weather fetch garden.toml
      abaxial weather fetch garden.toml --since 2025-09-01
    """
    path = options.garden_path(garden)
    described = options.garden_from(path)
    now = options.moment(None, described.place.zone)
    from abaxial.fetch import forecast

    addresses = {
        "forecast": forecast.forecast_url(described.place, past_days=_PAST_DAYS, forecast_days=_AHEAD_DAYS),
        "ensemble": forecast.forecast_url(described.place, past_days=0, forecast_days=_AHEAD_DAYS, ensemble=True),
    }
    if since is not None:
        first = options.moment(since, described.place.zone).date()
        addresses["history"] = forecast.history_url(described.place, first, now.date() - timedelta(days=_LATE_DAYS))
    for name, address in addresses.items():
        _fetch_one(path, f"{path.stem}_{name}.json", address, now)
    click.echo(f"Now: abaxial week {path}")


def _fetch_one(path: Path, name: str, address: str, now: datetime) -> None:
    """One answer of the service, read before it is kept, so that a broken one never takes the place of a good one."""
    from abaxial.fetch import download
    from abaxial.hours import hour_of
    from abaxial.weather import readers

    garden = options.garden_from(path)
    fetched = download.get_json_text(address, cache_folder=download_folder(), now=now)
    series = readers.parse_forecast(fetched.text, garden.place, now_hour=hour_of(now), source=name)
    output.write_whole(path.parent / name, fetched.text)
    if name not in [source.path for source in garden.weather]:
        _name_in(path, name, "forecast_json", {})
    click.echo(f"{name}: {series[0].hours} hours, fetched {fetched.fetched_at:%Y-%m-%d %H:%M} UTC")


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

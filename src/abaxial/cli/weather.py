"""`abaxial weather`: add a file to the garden's description, or fetch the hours of its place."""

import os
from dataclasses import replace
from pathlib import Path

import click

from abaxial.cli import options, output, weather_look, weather_source


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
def fetch(garden: Path | None) -> None:
    """Fetch the hours of the last three months and the forecast for the garden's place from a public service, and keep
    them in a file beside the garden. Nothing else in Abaxial goes to the network.

    \b
    Example:
      abaxial weather fetch garden.toml
    """
    path = options.garden_path(garden)
    described = options.garden_from(path)
    now = options.moment(None, described.place.zone)
    from abaxial.fetch import forecast

    fetched = forecast.fetch_weather(described.place, now=now)
    file = path.parent / f"{path.stem}_fetched.json"
    output.write_whole(file, fetched.text)
    if file.name not in [source.path for source in described.weather]:
        _name_in(path, file.name, "forecast_json", {})
    click.echo(f"Fetched to {file}. Now: abaxial week {path}")


def _name_in(path: Path, file: str, form: str, stated: dict[str, object]) -> None:
    """Add the lines that name a weather file to the end of a description, keeping every line that is there."""
    from abaxial.garden.description import garden_from_text
    from abaxial.garden.writing import weather_block

    text = path.read_text(encoding="utf-8-sig").rstrip("\n")
    longer = f"{text}\n\n{weather_block(Path(file).as_posix(), form, stated)}"
    garden_from_text(longer, where=path.name, folder=str(path.parent))
    output.write_whole(path, longer)

"""What a weather command is about: a described garden, or a weather file alone over open ground."""

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import options
from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.garden.parts import WeatherSource
    from abaxial.place import Place
    from abaxial.season.opening import Opened
    from abaxial.weather.series import Weather

FORMS = ("delimited", "epw", "tmy3", "forecast_json", "notebook")
_PLACE = {"latitude_deg": "--lat", "longitude_deg": "--lon", "elevation_m": "--elevation", "zone": "--zone"}

form_option = click.option("--form", type=click.Choice(FORMS), help="What kind of file it is.")
layout_option = click.option(
    "--layout",
    type=click.Path(path_type=Path),
    help="A TOML file of what must be declared: which column is what in which unit, the year of a typical year …",
)


def place_options(command: options.Command) -> options.Command:
    """--lat, --lon, --elevation and --zone, for a file that does not say where it was measured."""
    for option in (
        click.option("--zone", help="Time zone, such as Africa/Nairobi."),
        click.option("--elevation", "elevation_m", type=float, help="Height above the sea in metres."),
        click.option("--lon", "longitude_deg", type=float, help="Longitude in degrees, west negative."),
        click.option("--lat", "latitude_deg", type=float, help="Latitude in degrees, south negative."),
    ):
        command = option(command)
    return command


def about(given: options.Place | None, stated: Mapping[str, Any], *, at: str | None = None) -> "Opened":
    """The garden given, or a weather file alone as a garden of one open bed without plants.

    stated : form, layout, latitude_deg, longitude_deg, elevation_m, zone; each may be None. at : of a garden, only what
    had been received by then. Raises RequestError if the file's form or place is not known.
    """
    from abaxial.season.opening import Opened

    form: str | None = stated["form"] or (_form_by_ending(given) if isinstance(given, Path) else None)
    if form is None and _is_garden(given):
        return options.opened(given, at)[0]
    if not isinstance(given, Path):
        raise RequestError("--form is given without a file.", remedy="Name the weather file after the command.")
    from abaxial.garden.parts import Bed, Garden

    source = source_of(given, form, stated["layout"])
    alone = Garden(
        name=given.name,
        place=_place(given, str(form), stated),
        beds=(Bed(name="open ground", area_m2=1.0),),
        plantings=(),
        weather=(source,),
        folder=str(given.parent),
    )
    return Opened(alone, ())


def _is_garden(given: options.Place | None) -> bool:
    """Whether something is a garden, or a folder with one, and no weather file."""
    if not isinstance(given, Path) or given.is_dir():
        return True
    return given.suffix.lower() in (".toml", options.SUFFIX)


def source_of(file: Path, form: str | None, layout: Path | None) -> "WeatherSource":
    """A weather file with what is declared about it. Raises RequestError if it is not there or its form not known."""
    from abaxial.garden.parts import WeatherSource

    if not file.is_file():
        raise RequestError(f"There is no file {file}.", remedy="Check the name and the folder.")
    form = form or _form_by_ending(file)
    if form is None:
        raise RequestError(
            f"The form of {file} is not known.",
            remedy=f"Say it: --form {'|'.join(FORMS)}. A station's table is delimited.",
        )
    if form == "delimited" and layout is None:
        raise _no_layout(file)
    return WeatherSource(path=file.name, form=form, options=_layout_table(layout) if layout else {})


def readings(opened: "Opened") -> "list[Weather]":
    """Every weather file or batch of a garden, read, with doubtful hours marked and nothing filled."""
    from abaxial.hours import hour_of
    from abaxial.weather import quality, readers

    garden = opened.garden
    if opened.batches is not None:
        return [quality.check(each.members[0], garden.place) for each in opened.batches]
    folder, now_hour = Path(garden.folder), hour_of(options.moment(None, garden.place.zone))
    described = [{"file": each.path, "form": each.form, **each.options} for each in garden.weather]
    found = [readers.read(each, folder, garden.place, now_hour=now_hour) for each in described]
    return [quality.check(each, garden.place) for each in found]


def _form_by_ending(file: Path) -> str | None:
    """Only where the ending leaves no doubt."""
    return "epw" if file.suffix.lower() == ".epw" else None


def _layout_table(path: Path) -> dict[str, object]:
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise RequestError(f"{path} cannot be read as TOML: {error}.", remedy="Mend or name the layout file.") from None
    listed = table.get("weather")
    if isinstance(listed, list) and listed and isinstance(listed[0], dict):
        table = listed[0]
    return {key: value for key, value in table.items() if key not in ("file", "form")}


def _no_layout(file: Path) -> RequestError:
    from abaxial.weather.readers.propose import propose_layout

    proposal = propose_layout(file)
    reasons = "\n".join(f"# {reason}" for reason in proposal.reasons)
    return RequestError(
        f"{file} needs a layout: which column is what, in which unit, on which clock. It looks like this, but a look "
        f"is no proof:\n\n{proposal.toml}\n\n{reasons}\n",
        remedy="Check every line of it, save it as layout.toml, and add: --layout layout.toml.",
        where=str(file),
    )


def _place(file: Path, form: str, stated: Mapping[str, Any]) -> "Place":
    from abaxial.hours import zone_named
    from abaxial.place import Place

    missing = [option for name, option in _PLACE.items() if stated[name] is None]
    if missing and form == "epw":
        from abaxial.weather.readers.epw import epw_place

        return epw_place(file)
    if missing and form == "tmy3":
        from abaxial.weather.readers.tmy3 import tmy3_place

        return tmy3_place(file)
    if missing:
        raise RequestError(f"{file} does not say where it was measured.", remedy=f"Add {', '.join(missing)}.")
    zone_named(stated["zone"])
    if not (abs(stated["latitude_deg"]) <= 90 and abs(stated["longitude_deg"]) <= 180):
        raise RequestError(
            f"--lat {stated['latitude_deg']:g} --lon {stated['longitude_deg']:g} is no place on earth.",
            remedy="Latitude lies between -90 and 90, longitude between -180 and 180.",
        )
    return Place(*(stated[name] for name in _PLACE))

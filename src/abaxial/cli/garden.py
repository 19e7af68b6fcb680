"""`abaxial garden`: a new description, what a garden holds, and the garden file with its ways in and out."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import options, output
from abaxial.cli.journal import garden_file
from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.garden.parts import Bed, Garden


@click.group(short_help="Describe a garden; keep it in a file; show what it holds.")
def garden() -> None:
    """The garden: a description that a person can write in TOML, and the garden file with its journal and its weather."""


for each in (garden_file.import_, garden_file.export, garden_file.backup, garden_file.restore, garden_file.check):
    garden.add_command(each)


@garden.command(short_help="Write a commented description to fill in.")
@click.argument("file", default="garden.toml", type=click.Path(path_type=Path))
@click.option("--name", help="What you call the garden.")
@click.option("--lat", "latitude_deg", type=float, help="Latitude in degrees, south negative.")
@click.option("--lon", "longitude_deg", type=float, help="Longitude in degrees, west negative.")
@click.option("--elevation", "elevation_m", type=float, help="Height above the sea in metres.")
@click.option("--zone", help="The clock you live by, such as Africa/Nairobi.")
def new(file: Path, **given: Any) -> None:
    """Write a garden description with comments that say what to fill in. What is not given is left to fill in; nothing
    is assumed.

    \b
    Example:
      abaxial garden new
      abaxial garden new garden.toml --name Home --lat -1.29 --lon 36.82 --elevation 1660 --zone Africa/Nairobi
    """
    from abaxial.garden.description import garden_from_text
    from abaxial.garden.starter import starter_text

    if file.exists():
        raise RequestError(f"{file} is already there.", remedy="Give the new one another name.")
    output.check_folder(file)
    text = starter_text(given)
    if all(value is not None for value in given.values()):
        garden_from_text(text, where=file.name, folder=str(file.parent))
    output.write_whole(file, text)
    click.echo(f"Written: {file}. Open it, fill in the lines behind #, then: abaxial garden show {file}")


@garden.command(short_help="Show the beds, what stands in them and how much sky they see.")
@options.garden_argument
@options.json_option
def show(garden: options.Place | None, *, as_json: bool) -> None:
    """Show what a description, or the journal of a garden file, adds up to: beds with the share of sky they see, and the
    plantings in them.

    \b
    Example:
      abaxial garden show garden.toml
    """
    described = options.garden_from(garden)
    if as_json:
        from abaxial.garden.writing import garden_table

        click.echo(output.envelope("abaxial/garden-show/1", described.name, garden_table(described)), nl=False)
        return
    click.echo("\n".join(_lines(described)))


def _lines(described: "Garden") -> list[str]:
    place = described.place
    lines = [
        described.name,
        f"{place.latitude_deg:g}°, {place.longitude_deg:g}°, {place.elevation_m:g} m, {place.zone}",
    ]
    for bed in described.beds:
        lines += ["", bed.name, f"  {_exposure(bed)}", f"  {_habit(bed)}"]
        standing = [planting for planting in described.plantings if planting.bed == bed.name]
        lines += [
            f"  {each.name}: {each.clumps} × {each.host}, {each.spacing_m:g} m apart, since {each.since}"
            for each in standing
        ]
        if not standing:
            lines.append("  nothing planted")
    if not described.beds:
        lines += ["", "No beds yet: add a [[bed]] to the file."]
    if not described.weather:
        lines += ["", "No weather yet: abaxial weather fetch, or abaxial weather add FILE."]
    return lines


def _exposure(bed: "Bed") -> str:
    from abaxial.garden.horizon import sky_view_frac

    return (
        f"{bed.area_m2:g} m², {bed.soil}; sees {sky_view_frac(bed):.0%} of the sky, "
        f"gets {bed.shelter_frac:.0%} of the open wind"
    )


def _habit(bed: "Bed") -> str:
    watering = bed.watering
    if watering.manner == "none":
        return "not watered"
    how = "over the leaves" if watering.manner == "overhead" else "at the foot"
    often = "every day" if watering.every_days == 1 else f"every {watering.every_days} days"
    return f"watered {how} at {watering.local_hour}:00, {watering.amount_mm:g} mm {often}"

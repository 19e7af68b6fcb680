"""`abaxial weather show`, `check` and `wet`: what the weather files hold, what is doubtful in them, and how wet leaves were."""

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial.cli import options, output
from abaxial.cli.weather import sources
from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.season.opening import Opened
    from abaxial.weather.series import Weather

about_argument = click.argument("about", required=False, metavar="[GARDEN|FILE]", type=options.PLACE)


@click.command(short_help="What the weather files hold, month by month.")
@about_argument
@sources.form_option
@sources.layout_option
@sources.place_options
def show(about: options.Place | None, **stated: Any) -> None:
    """Show what the weather files of a garden, or one file alone, hold: for each month the hours there are, lowest and
    highest temperature, rain, and how many hours are doubtful. A dash means nobody wrote it down.

    \b
    Example:
      abaxial weather show garden.toml
      abaxial weather show station.epw
    """
    for reading in _some(sources.about(about, stated)):
        click.echo(f"{reading.source}: {reading.hours} hours")
        click.echo("month     hours   lowest °C  highest °C    rain mm   doubted")
        for month in _months(reading):
            click.echo("{:8} {:>6} {:>11} {:>11} {:>10} {:>9}".format(*month))
        click.echo("")


@click.command(short_help="What in the weather files is doubtful, and why.")
@about_argument
@sources.form_option
@sources.layout_option
@sources.place_options
@options.json_option
def check(about: options.Place | None, *, as_json: bool, **stated: Any) -> None:
    """Check the weather files of a garden, or one file alone. Doubtful values are named; nothing is changed.

    \b
    Example:
      abaxial weather check garden.toml
      abaxial weather check station.csv --form delimited --layout layout.toml \\
          --lat 36.1 --lon -79.95 --elevation 273 --zone America/New_York
    """
    opened = sources.about(about, stated)
    found = _some(opened)
    if as_json:
        from abaxial.report.answers.told import SourceChecked

        answer = [
            SourceChecked(each.source, each.hours, tuple({"kind": one.kind, **one.details} for one in each.findings))
            for each in found
        ]
        click.echo(output.envelope("abaxial/weather-check/1", opened.garden.name, answer), nl=False)
        return
    from abaxial.report.answers.week import Reason
    from abaxial.report.words.speech import say

    for each in found:
        click.echo(f"{each.source}: {each.hours} hours")
        for finding in each.findings:
            click.echo(f"  {say(Reason(finding.kind, finding.details))}")
        if not each.findings:
            click.echo("  Nothing doubtful.")


@click.command(short_help="Leaf temperature, water film and wetness, hour by hour.")
@about_argument
@sources.form_option
@sources.layout_option
@sources.place_options
@click.option("--bed", help="Only this bed of the garden.")
@options.at_option
@options.json_option
@click.option("--out", type=click.Path(path_type=Path), help="Write the table to this .csv or .json file.")
def wet(
    about: options.Place | None, *, bed: str | None, at: str | None, as_json: bool, out: Path | None, **stated: Any
) -> None:
    """The hourly table of leaf temperature, water film and wetness: for the beds of a garden, or from a weather file
    alone for a leaf over open ground. Comma-separated; times in UTC and on the garden's clock name the start of the hour.

    \b
    Example:
      abaxial weather wet garden.toml --bed Quay --out wet.csv
      abaxial weather wet station.epw --out wet.csv
      abaxial weather wet station.csv --form delimited --layout layout.toml \\
          --lat 36.1 --lon -79.95 --elevation 273 --zone America/New_York
    """
    output.check_endings((out,) if out else (), (".csv", ".json"))
    opened = sources.about(about, stated, at=at)
    garden = opened.garden
    if bed is not None and bed not in [each.name for each in garden.beds]:
        names = ", ".join(repr(each.name) for each in garden.beds) or "none"
        raise RequestError(f"There is no bed {bed!r} in {garden.name}.", remedy=f"Beds here: {names}.", where=bed)
    # a weather file alone has no present: all its hours count
    moment = options.moment(at, garden.place.zone) if at or garden.plantings else None
    options.say_if_compiling()
    from abaxial.season import wet as season_wet

    table = season_wet.wet_table(garden, bed=bed, at=moment, batches=opened.batches)
    if as_json or (out and out.suffix.lower() == ".json"):
        rows = [dict(zip(table.header, row, strict=True)) for row in table.rows]
        text = output.envelope("abaxial/weather-wet/1", garden.name, rows, at=moment.isoformat() if moment else None)
    else:
        text = _csv_text(table.header, table.rows)
    if out:
        output.write_all({out: text})
    else:
        click.echo(text, nl=False)


def _some(opened: "Opened") -> "list[Weather]":
    found = sources.readings(opened)
    if not found:
        raise RequestError(
            f"{opened.garden.name} has no weather.", remedy="Add some: abaxial weather fetch, or weather add FILE."
        )
    return found


def _months(weather: "Weather") -> list[tuple[str, int, str, str, str, int]]:
    """Month, hours with a temperature, lowest, highest, rain, hours with a doubtful value; a dash for what nobody wrote
    down."""
    import numpy as np

    from abaxial.hours import moment_of
    from abaxial.weather.series import SUSPECT

    months = np.array([moment_of(weather.first_hour + n).strftime("%Y-%m") for n in range(weather.hours)])
    doubted = np.any([(flags & SUSPECT) > 0 for flags in weather.marks.values()], axis=0)
    rows = []
    for month in np.unique(months):
        here = months == month
        warmth, rain = weather.temperature_c[here], weather.rain_mm[here]
        warmth, rain = warmth[np.isfinite(warmth)], rain[np.isfinite(rain)]
        low, high = (f"{warmth.min():.1f}", f"{warmth.max():.1f}") if warmth.size else ("–", "–")
        fallen = f"{rain.sum():.1f}" if rain.size else "–"
        rows.append((str(month), int(warmth.size), low, high, fallen, int(doubted[here].sum())))
    return rows


def _csv_text(header: Any, rows: Any) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()

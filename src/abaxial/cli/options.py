"""What all commands share: how a garden is found, what --at means, and the options that are the same everywhere."""

import tomllib
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from math import isnan
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from abaxial import settings
from abaxial.errors import RequestError

if TYPE_CHECKING:
    from abaxial.garden.parts import Garden
    from abaxial.season.opening import Opened

Command = Callable[..., Any]
#: a file, or the address of a database
Place = Path | str
SUFFIX = ".abaxial"


class _PlaceType(click.ParamType[Place]):
    """A file, or the address of a database, which is no path."""

    name = "path"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Place:
        """The value as a path, or as it is where it is an address."""
        return place_of(value) if isinstance(value, str) else value


class Amount(click.FloatRange):
    """A number within bounds; "nan" lies within none."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The value as a number."""
        read = super().convert(value, param, ctx)
        if isnan(read):
            self.fail(f"{value} is no number.", param, ctx)
        return float(read)


PLACE = _PlaceType()
garden_argument = click.argument("garden", required=False, type=PLACE)
at_option = click.option(
    "--at",
    metavar="DATE",
    help="Answer as of this date or time on the garden's clock (2026-03-12 is noon; 2026-03-12T06:30). Without it: now.",
)
written_at_option = click.option(
    "--at",
    metavar="DATE",
    help="As if it were this date or time on the garden's clock: what is written counts as received then. Without it: now.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
units_option = click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default=lambda: settings.value_of("ABAXIAL_UNITS"),
    help="Units on screen and in print. Without it: ABAXIAL_UNITS, else metric.",
)


def place_of(text: str) -> Place:
    """What is meant by a name: a file, or the address of a database."""
    return text if "://" in text else Path(text)


def garden_from(given: Place | None) -> "Garden":
    """The garden a command is about: the file or folder given, else ABAXIAL_GARDEN, else the only garden file here.

    Raises RequestError if that leaves none or several, GardenError if the file describes no garden.
    """
    from abaxial.season.opening import is_description, open_garden

    place = garden_path(given)
    if is_description(place):
        from abaxial.garden.description import read_garden

        return read_garden(Path(place))
    return open_garden(place, at=None).garden


def opened(given: Place | None, at: str | None) -> "tuple[Opened, datetime]":
    """The garden a command is about as it was known at a moment, and that moment; see garden_from and moment."""
    from abaxial.season.opening import is_description, open_garden

    place = garden_path(given)
    if at is None:
        now = moment(None, "UTC")
    elif is_description(place):
        now = moment(at, garden_from(place).place.zone)
    else:
        from abaxial.season.opening.garden_file import zone_of_file

        now = moment(at, zone_of_file(place))
    return open_garden(place, at=now), now


def garden_path(given: Place | None) -> Place:
    """The file, or the address, of the garden a command is about; see garden_from."""
    setting = settings.value_of("ABAXIAL_GARDEN")
    named = given or (place_of(setting) if setting else None)
    if named is not None and not (isinstance(named, Path) and named.is_dir()):
        return named
    folder = Path(named or "")
    found = [path for path in sorted(folder.glob("*.toml")) if _describes_a_garden(path)]
    found += sorted(folder.glob(f"*{SUFFIX}"))
    if len(found) == 1:
        return found[0]
    place = "here" if named is None else f"in {folder}"
    if not found:
        raise RequestError(
            f"There is no garden file {place}.",
            remedy="Describe one with: abaxial garden new. Or see the invented garden first: abaxial demo.",
        )
    names = ", ".join(path.name for path in found[:6])
    raise RequestError(
        f"There are {len(found)} garden files {place}: {names}.", remedy="Say which: name it after the command."
    )


def moment(text: str | None, zone: str, *, option: str = "--at") -> datetime:
    """The moment meant by --at on the clock of a zone; now where none is given. A date alone is its noon.

    option : which one it was given to, for messages. This is the only place where the clock is read. Raises RequestError for what is no date.
    """
    from abaxial.hours import zone_named

    if text is None:
        return datetime.now(UTC)
    try:
        if len(text.strip()) <= len("2026-03-12"):
            read = datetime.combine(date.fromisoformat(text.strip()), time(12))
        else:
            read = datetime.fromisoformat(text.strip())
    except ValueError:
        raise _no_date(text, option) from None
    if not 1900 <= read.year <= 2200:
        raise _no_date(text, option)
    return read if read.tzinfo else read.replace(tzinfo=zone_named(zone))


def say_if_compiling() -> None:
    """Tell once, before the wait, that the science is being compiled for this machine."""
    from abaxial import compiled

    if not compiled.is_warm():
        click.echo("Compiling for this machine, once: about half a minute.", err=True)


def _no_date(text: str, option: str) -> RequestError:
    return RequestError(
        f"{option} is {text!r}; it must be a date or a time from 1900 to 2200.",
        remedy="Write 2026-03-12 or 2026-03-12T06:30.",
        where=option,
    )


def _describes_a_garden(path: Path) -> bool:
    """A garden file has a [site]; one that cannot be read might be a garden with a slip in it."""
    try:
        return "site" in tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except tomllib.TOMLDecodeError:
        return "[site]" in path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return False

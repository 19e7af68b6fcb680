"""Which way a garden is opened: as a description that a person wrote, or as a file or database with a journal."""

from datetime import datetime
from pathlib import Path

from abaxial.season.opening import description
from abaxial.season.opening.opened import Opened, Place

_DATABASE = b"SQLite format 3\x00"


def open_garden(place: Place, *, at: datetime | None) -> Opened:
    """The garden in a description, a garden file or a database, as it was known at a moment.

    place : a path, or postgresql://…/database. at : with its zone; only what had been received by then, and had happened by
    the end of its date on the garden's clock, counts; None for everything. Raises RecordsError, GardenError or
    ScoutingError for what cannot be opened or understood.
    """
    if is_description(place):
        return description.open_description(Path(place), at=at)
    # the database loads slower than all the rest, and a description needs none
    from abaxial.season.opening import garden_file

    return garden_file.open_file(place, at=at)


def is_description(place: Place) -> bool:
    """Whether a place is a description in TOML, and not a garden file or a database."""
    if "://" in str(place):
        return False
    path = Path(place)
    if path.suffix.lower() in (".toml", ".abaxial"):
        return path.suffix.lower() == ".toml"
    try:
        with path.open("rb") as file:
            return file.read(len(_DATABASE)) != _DATABASE
    except OSError:
        return True

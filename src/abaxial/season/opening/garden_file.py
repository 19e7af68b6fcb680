"""A garden file or database opened: its journal folded, its weather in the order in which it is believed."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from abaxial import hours
from abaxial.errors import RecordsError
from abaxial.garden.parts import Garden
from abaxial.journal.entries import Entry
from abaxial.journal.fold import fold
from abaxial.records.opening import is_url
from abaxial.records.store import Store, open_store
from abaxial.records.weather_batches import in_standing
from abaxial.season.opening.opened import Opened, Place
from abaxial.season.opening.shelf import Shelf


def open_file(place: Place, *, at: datetime | None) -> Opened:
    """The garden in a file or database: entries and weather received by `at`, folded until its date on the garden's clock.

    Raises RecordsError for what cannot be opened, or where nothing that describes the garden had been received by then.
    """
    with open_store(place) as kept:
        entries = kept.entries(received_until=at)
        zone = _described(kept, entries, at).place.zone
        until = None if at is None else at.astimezone(hours.zone_named(zone)).date()
        folded = fold(entries, until=until, folder=folder_of(place))
        batches = in_standing(kept.weather(received_until=at))
        # described now, it was described at any date
        garden = folded.garden or _described(kept, entries, at)
    return Opened(
        garden,
        folded.sightings,
        folded.stray,
        folded.questions,
        batches,
        Shelf(place, at),
        bottles=folded.bottles,
        prices=folded.prices,
        done=folded.done,
        declined=folded.declined,
        values=folded.values,
        moved=tuple(each for each in folded.descent if each.how == "moved"),
        descent=folded.descent,
        former=folded.former,
    )


def zone_of_file(place: Place) -> str:
    """The name of the clock of the garden in a file or database."""
    with open_store(place) as kept:
        return _described(kept, kept.entries(), None).place.zone


def folder_of(place: Place) -> str:
    """The folder in which hosts and rusts of one's own are looked for."""
    return "." if is_url(place) else str(Path(place).parent)


def _described(kept: Store, entries: Sequence[Entry], at: datetime | None) -> Garden:
    garden = fold(entries).garden
    if garden is not None:
        return garden
    where = kept.opened.where
    if entries or at is None:
        raise RecordsError(
            f"{where}: its journal does not say where the garden lies.",
            remedy="Describe it in a file, and lay that in: abaxial garden import garden.toml …",
            where=where,
        )
    received = [each.received_at for each in kept.entries()[:1] if each.received_at is not None]
    first = f"the first entry came at {received[0]:%Y-%m-%d %H:%M} UTC" if received else "it is empty"
    raise RecordsError(
        f"{where}: nothing had been received by {at:%Y-%m-%d %H:%M}; {first}.",
        remedy="Ask for a later moment with --at. An older garden is laid in with: abaxial garden import … --at DATE.",
        where=where,
    )

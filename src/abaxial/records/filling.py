"""A garden made with what it holds from the beginning, in one transaction: it is there with all of it or not at all."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, insert, update

from abaxial.journal.entries import Entry
from abaxial.records import arrival, weather_batches
from abaxial.records.opening import database_clock, make_garden
from abaxial.records.tables import ENTRY, GARDEN
from abaxial.records.weather_batches import WeatherBatch


def make_filled(
    place: str | Path, entries: Iterable[Entry], batches: Iterable[WeatherBatch], *, received_at: datetime | None = None
) -> str:
    """Make a new garden with these entries and this weather, and give its id.

    received_at : when all of it came, the database's clock if None. Raises RecordsError, with nothing made, if the garden
    is there already, cannot be written, or something in it cannot be kept.
    """
    once = {each.id: each for each in entries}
    for each in once.values():
        arrival.refuse_unfit(each)

    def filling(connection: Connection, garden: int) -> None:
        moment = received_at or database_clock(connection)
        numbered = enumerate(once.values(), 1)
        arrived = [replace(each, seq=number, received_at=moment) for number, each in numbered]
        if arrived:
            connection.execute(insert(ENTRY), [arrival.row_of(each, garden=garden) for each in arrived])
            last = {"last_seq": len(arrived), "last_received_at": moment}
            connection.execute(update(GARDEN).where(GARDEN.c.number == garden).values(last))
        for batch in batches:
            weather_batches.lay_batch(connection, garden, replace(batch, received_at=moment))

    return make_garden(place, filling=filling)

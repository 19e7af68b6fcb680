"""The store: one garden's journal, weather and checkpoints, wherever they lie."""

from collections.abc import Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from types import TracebackType

from sqlalchemy import Connection, insert, select, update

from abaxial.errors import RecordsError
from abaxial.journal.canonical import same_content
from abaxial.journal.entries import Entry
from abaxial.records import arrival, backup, checkpoint, weather_batches
from abaxial.records.all_or_nothing import held, reading, writing
from abaxial.records.opening import WAIT_S, Opened, database_clock, is_url, make_garden, open_garden
from abaxial.records.tables import ENTRY, GARDEN
from abaxial.records.weather_batches import WeatherBatch

#: ids looked up at once; databases limit how many they take
_AT_ONCE = 500


@dataclass(frozen=True)
class Store:
    """One garden's records. To be used in a `with`, which closes it; threads may share it.

    Everything that writes does so in one transaction, or raises RecordsError and has written nothing.
    """

    opened: Opened

    @property
    def garden_id(self) -> str:
        """The garden's id, 32 hexadecimal digits."""
        return self.opened.garden_id

    def __enter__(self) -> "Store":
        """The store itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close it."""
        self.close()

    def close(self) -> None:
        """Let go of the file or the server."""
        self.opened.engine.dispose()

    def append(self, entries: Iterable[Entry], *, received_at: datetime | None = None) -> list[Entry]:
        """Take in entries, all or none, and give them back with seq and received_at, in the order they came in.

        received_at : the database's clock if None; never earlier than that of an entry before. An id that is there
        already is given back as it lies there if it says the same, whoever wrote it. Raises RecordsError if it says
        something else, or for an entry that cannot be kept.
        """
        arriving = list(entries)
        for each in arriving:
            arrival.refuse_unfit(each)
        if not arriving:
            return []
        with self._writing() as connection:
            garden = held(connection, self.opened.garden)
            moment = _not_before(garden["last_received_at"], received_at or database_clock(connection))
            known = self._lying(connection, [each.id for each in arriving])
            fresh: list[Entry] = []
            for each in arriving:
                if each.id not in known:
                    seq = garden["last_seq"] + len(fresh) + 1
                    fresh.append(replace(each, seq=seq, received_at=moment))
                    known[each.id] = fresh[-1]
                elif not same_content(each, known[each.id]):
                    raise _other_content(each, known[each.id])
            if fresh:
                rows = [arrival.row_of(each, garden=self.opened.garden) for each in fresh]
                connection.execute(insert(ENTRY), rows)
                last = {"last_seq": fresh[-1].seq, "last_received_at": moment}
                connection.execute(update(GARDEN).where(GARDEN.c.number == self.opened.garden).values(last))
        return [known[each.id] for each in arriving]

    def entries(self, *, after_seq: int = 0, received_until: datetime | None = None) -> list[Entry]:
        """The entries that came after a seq, in the order they came in; received_until : only what had come by then."""
        at = ENTRY.c
        asked = select(ENTRY).where(at.garden == self.opened.garden, at.seq > after_seq).order_by(at.seq)
        if received_until is not None:
            asked = asked.where(at.received_at <= received_until)
        with self._reading() as connection:
            return [arrival.entry_of(row) for row in connection.execute(asked).mappings()]

    def add_weather(self, batch: WeatherBatch) -> int:
        """Take in a batch of weather with all its hours, and give its number.

        The same batch again changes nothing and gives the number it has. Raises RecordsError for one without a series.
        """
        with self._writing() as connection:
            held(connection, self.opened.garden)
            arrived = replace(batch, received_at=batch.received_at or database_clock(connection))
            return weather_batches.lay_batch(connection, self.opened.garden, arrived)

    def weather(self, *, received_until: datetime | None = None, from_hour: int | None = None) -> list[WeatherBatch]:
        """The batches of weather in order of arrival, without those withdrawn.

        received_until : as it stood then. from_hour : leave out batches that end before that hour.
        """
        with self._reading() as connection:
            asked = weather_batches.visible(self.opened.garden, received_until)
            return list(weather_batches.batches_in(connection, asked, from_hour=from_hour))

    def withdraw_weather(self, number: int, *, withdrawn_at: datetime | None = None) -> None:
        """Mark a batch as read wrongly: from now on it is not seen, though it stays for what was known before.

        withdrawn_at : the database's clock if None. Raises RecordsError if no such batch stands.
        """
        with self._writing() as connection:
            held(connection, self.opened.garden)
            moment = withdrawn_at or database_clock(connection)
            if not weather_batches.withdraw(connection, self.opened.garden, number, moment):
                raise RecordsError(
                    f"{self.opened.where}: there is no batch {number} of weather, or it was withdrawn before.",
                    remedy="Check the number.",
                    where=self.opened.where,
                )

    def chain_digest(
        self, until_day: int, *, parameters: Mapping[str, str] | None = None, received_until: datetime | None = None
    ) -> str:
        """The hash of all that bears on the garden days up to `until_day`: entries, weather, and parameters by name.

        until_day : days since 1970, see `hours`. A checkpoint made from it is valid while it is unchanged.
        """
        entries = self.entries(received_until=received_until)
        with self._reading() as connection:
            return checkpoint.chain_of(
                connection,
                self.opened.garden,
                entries,
                until_day,
                parameters=parameters or {},
                received_until=received_until,
            )

    def put_checkpoint(self, key: str, digest: str, blob: bytes) -> None:
        """Keep what was computed under a key, in place of what was kept there. digest : of `chain_digest`."""
        with self._writing() as connection:
            held(connection, self.opened.garden)
            checkpoint.keep(connection, self.opened.garden, key, digest, blob)

    def checkpoint(self, key: str, digest: str) -> bytes | None:
        """What was kept under a key if it was made from the same; None if not."""
        with self._reading() as connection:
            return checkpoint.kept(connection, self.opened.garden, key, digest)

    def backup(self, path: str | Path) -> None:
        """Write the whole garden into a new garden file, while others may go on writing. Raises RecordsError if something
        of that name is there."""
        backup.write_backup(self.opened, Path(path))

    def check(self) -> list[str]:
        """What is wrong with the records, a sentence each; an empty list if nothing is."""
        try:
            with self._reading() as connection:
                return backup.problems_in(connection, self.opened.garden)
        except RecordsError as error:
            return [error.message]

    def _reading(self) -> AbstractContextManager[Connection]:
        return reading(self.opened.engine, self.opened.where)

    def _writing(self) -> AbstractContextManager[Connection]:
        if not self.opened.can_write:
            raise RecordsError(
                f"{self.opened.where} can only be read, so nothing was written.",
                remedy="Copy it to a place where you may write, or ask for the right.",
                where=self.opened.where,
            )
        return writing(self.opened.engine, self.opened.where, self.opened.wait_s)

    def _lying(self, connection: Connection, ids: Sequence[str]) -> dict[str, Entry]:
        """The entries of these ids that are there already."""
        found: dict[str, Entry] = {}
        for begin in range(0, len(ids), _AT_ONCE):
            asked = select(ENTRY).where(
                ENTRY.c.garden == self.opened.garden, ENTRY.c.id.in_(ids[begin : begin + _AT_ONCE])
            )
            found |= {row["id"]: arrival.entry_of(row) for row in connection.execute(asked).mappings()}
        return found


def open_store(
    place: str | Path, *, create: bool = False, garden_id: str | None = None, wait_s: float = WAIT_S
) -> Store:
    """The store in a garden file or in a PostgreSQL database.

    place : a path, or postgresql://…/database, with ?garden=ID where there are several gardens. create : make it first;
    garden_id : under this id, 32 hexadecimal digits. wait_s : how long to wait for others who write [s]. Raises
    RecordsError, with nothing changed, for what is not there (or is there, where it shall be made), no garden, damaged,
    or of a later version.
    """
    if not create:
        return Store(open_garden(place, wait_s=wait_s))
    made = make_garden(place, garden_id=garden_id, wait_s=wait_s)
    return Store(open_garden(_naming(place, made), wait_s=wait_s))


def _naming(place: str | Path, garden_id: str) -> str | Path:
    """A place with the id of the garden in it, where there may be several."""
    if not is_url(place) or "garden=" in str(place):
        return place
    return f"{place}{'&' if '?' in str(place) else '?'}garden={garden_id}"


def _not_before(last: datetime | None, moment: datetime) -> datetime:
    """The moment, or the last one where a clock was set back: what comes later never seems to have come before."""
    return moment if last is None else max(last, moment)


def _other_content(entry: Entry, there: Entry) -> RecordsError:
    return RecordsError(
        f"Entry {entry.id} ({entry.kind}) is there already and says something else: number {there.seq}, {there.kind}, "
        f"recorded {there.recorded_at:%Y-%m-%d %H:%M} UTC. Nothing was written.",
        remedy="Entries are never changed: write a correction, which has an id of its own.",
        where=entry.id,
    )

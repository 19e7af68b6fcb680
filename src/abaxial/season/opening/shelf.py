"""Where a garden file keeps what was computed: a cache beside the journal, which may be lost without loss."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from abaxial.errors import RecordsError
from abaxial.records.store import open_store
from abaxial.season.opening.opened import Place

#: stands where a digest would, for what does not hang on anything
_AS_TOLD = "as told"


@dataclass(frozen=True)
class Shelf:
    """The checkpoints of the garden file or database at a place, as known at a moment; None for everything received."""

    place: Place
    at: datetime | None

    def take(self, key: str, until_day: int, parameters: Mapping[str, str]) -> bytes | None:
        """What was kept under a key, if all that bears on the days up to `until_day` is unchanged since."""
        with open_store(self.place) as kept:
            digest = kept.chain_digest(until_day, parameters=parameters, received_until=self.at)
            return kept.checkpoint(key, digest)

    def keep(self, key: str, until_day: int, parameters: Mapping[str, str], blob: bytes) -> None:
        """Keep it, in place of what was kept under that key; nothing is kept where the file cannot be written now."""
        try:
            with open_store(self.place) as kept:
                digest = kept.chain_digest(until_day, parameters=parameters, received_until=self.at)
                kept.put_checkpoint(key, digest, blob)
        except RecordsError:
            return

    def put_by(self, key: str, blob: bytes) -> None:
        """Keep what somebody was told, whatever is written afterwards; nothing is kept where the file cannot be written."""
        try:
            with open_store(self.place) as kept:
                kept.put_checkpoint(key, _AS_TOLD, blob)
        except RecordsError:
            return

    def told(self, key: str) -> bytes | None:
        """What was put by under a key; None where nothing was, or it was lost."""
        with open_store(self.place) as kept:
            return kept.checkpoint(key, _AS_TOLD)

"""An entry of the journal: one thing that happened or was said."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

#: kinds of entry this version knows
KINDS = (
    "garden_described",
    "bed_laid",
    "bed_changed",
    "planting_made",
    "planting_moved",
    "division_taken",
    "cut_down",
    "leaves_taken_off",
    "destroyed",
    "walked",
    "flowering_seen",
    "rain_noted",
    "wetness_noted",
    "remedy_done",
    "material_bought",
    "task_declined",
    "minutes_set",
    "values_set",
    "note",
    "photo",
    "correction",
    "retraction",
)


@dataclass(frozen=True)
class Entry:
    """One thing that happened or was said; never changed once written.

    id          : 32 hexadecimal digits, made by whoever writes.
    kind        : one of KINDS, or a kind of a later version, which is kept.
    version     : of the kind's body, from 1.
    happened_from, happened_to : UTC; equal for a moment.
    recorded_at : when it was written down, UTC.
    corrects    : id of the entry that a correction or a retraction speaks of.
    body        : values that JSON can hold; see `kinds`.
    seq, received_at : given by the store on arrival; None before.
    """

    id: str
    kind: str
    version: int
    happened_from: datetime
    happened_to: datetime
    recorded_at: datetime
    author: str
    device: str
    corrects: str | None
    body: Mapping[str, object]
    seq: int | None = None
    received_at: datetime | None = None


def is_possible(moment: datetime) -> bool:
    """Whether a moment has a zone and lies in years that can be reckoned with."""
    return moment.tzinfo is not None and 1890 <= moment.year < 2200


def fold_order(entry: Entry) -> tuple[datetime, datetime, str]:
    """What entries are sorted by before they are folded: when it happened, when it was written down, id."""
    return entry.happened_from, entry.recorded_at, entry.id

"""What the smaller commands answer in JSON, as frozen values; their schemas are made from these."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from abaxial.report.answers.disposal import DisposalAnswer
from abaxial.report.answers.hours import HoursAnswer
from abaxial.report.answers.mix import MixAnswer
from abaxial.report.answers.shelf import ShelfAnswer
from abaxial.report.answers.stock import StockAnswer
from abaxial.report.answers.walk import WalkAnswer
from abaxial.report.answers.week import WeekAnswer


@dataclass(frozen=True)
class Line:
    """A line of the journal, field by field as it lies there. says : it in one sentence. stands : False where it was taken
    back; None where it was only just written."""

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
    seq: int | None
    received_at: datetime | None
    says: str
    stands: bool | None = None


@dataclass(frozen=True)
class Block:
    """Lines for a description. block : as they stand in it. says : what was seen, a sentence a look. written : into the file."""

    block: str
    says: tuple[str, ...]
    written: bool


@dataclass(frozen=True)
class LaidIn:
    """A weather file laid into a garden file."""

    source: str
    kind: str
    hours: int


@dataclass(frozen=True)
class Imported:
    """A garden file made from a description. entries, walks : lines of its journal, and how many of them are walks."""

    file: str
    entries: int
    walks: int
    weather: tuple[LaidIn, ...]


@dataclass(frozen=True)
class Checked:
    """Whether a garden file is as it was written. beds, plantings, looks : that it holds; None where it is damaged."""

    whole: bool
    problems: tuple[str, ...]
    beds: int | None = None
    plantings: int | None = None
    looks: int | None = None


@dataclass(frozen=True)
class SourceChecked:
    """What is doubtful about one source of weather. findings : each with its `kind` and numbers."""

    source: str
    hours: int
    findings: tuple[Mapping[str, object], ...]


#: what each command's answer is; a tuple is a list of them
ANSWERS: Mapping[str, object] = {
    "week": WeekAnswer,
    "walk": WalkAnswer,
    "shelf": ShelfAnswer,
    "mix": MixAnswer,
    "when": HoursAnswer,
    "dispose": DisposalAnswer,
    "stock": StockAnswer,
    "note": Line | tuple[Line, ...],
    "walk-seen": tuple[Line, ...] | Block,
    "garden-import": Imported,
    "garden-check": Checked,
    "garden-show": Mapping[str, object],
    "weather-check": tuple[SourceChecked, ...],
    "weather-wet": tuple[Mapping[str, object], ...],
    "check": Mapping[str, object],
}

"""A garden as it was known at a moment, with what was seen in it and the weather that came."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from abaxial.garden.parts import Garden
from abaxial.journal.questions import Question
from abaxial.scouting.sightings import Sighting

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.records.weather_batches import WeatherBatch

#: a file, or the address of a database
Place = Path | str


@dataclass(frozen=True)
class Opened:
    """A garden, opened.

    sightings : of plantings that stood on their day, by date, planting and part. stray : of those that did not.
    questions : what the journal asks. batches : its weather in the order in which it is believed; None for a description,
    whose weather lies in the files it names. chain : hash of all that bears on it, for what was computed from it; "" for
    a description, or where no moment was given.
    """

    garden: Garden
    sightings: tuple[Sighting, ...]
    stray: tuple[Sighting, ...] = ()
    questions: tuple[Question, ...] = ()
    batches: "tuple[WeatherBatch, ...] | None" = None
    chain: str = ""

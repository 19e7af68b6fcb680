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
    from abaxial.season.opening.shelf import Shelf

#: a file, or the address of a database
Place = Path | str


@dataclass(frozen=True)
class Opened:
    """A garden, opened.

    sightings : of plantings that stood on their day, by date, planting and part. stray : of those that did not.
    questions : what the journal asks. batches : its weather in the order in which it is believed; None for a description,
    whose weather lies in the files it names. shelf : where what is computed from it may be kept; None for a description.
    """

    garden: Garden
    sightings: tuple[Sighting, ...]
    stray: tuple[Sighting, ...] = ()
    questions: tuple[Question, ...] = ()
    batches: "tuple[WeatherBatch, ...] | None" = None
    shelf: "Shelf | None" = None

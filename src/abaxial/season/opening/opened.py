"""A garden as it was known at a moment, with what was seen in it and the weather that came."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from abaxial.garden.parts import Garden
from abaxial.journal.fold import Descent, Former
from abaxial.journal.questions import Question
from abaxial.journal.shelf.folding import Declined
from abaxial.journal.shelf.treatment import Treatment
from abaxial.label.bottle import Bottle
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
    bottles : on the gardener's shelf, with what is left in them. prices : of a millilitre or gram, by the bottle's name. done :
    what was done about rust, in order. declined : proposals turned down. values : what the gardener set.
    moved : plantings that were moved, with whence and when, in the order in which they began. descent : those that were moved
    or divided. former : plantings that stand no more.
    """

    garden: Garden
    sightings: tuple[Sighting, ...]
    stray: tuple[Sighting, ...] = ()
    questions: tuple[Question, ...] = ()
    batches: "tuple[WeatherBatch, ...] | None" = None
    shelf: "Shelf | None" = None
    bottles: tuple[Bottle, ...] = ()
    prices: Mapping[str, float] = field(default_factory=dict)
    done: tuple[Treatment, ...] = ()
    declined: tuple[Declined, ...] = ()
    values: Mapping[str, float] = field(default_factory=dict)
    moved: tuple[Descent, ...] = ()
    descent: tuple[Descent, ...] = ()
    former: tuple[Former, ...] = ()

"""Walks as people write them, in a garden description or in a CSV file, read into sightings; and written again."""

from abaxial.scouting.reading.spoken import read_spoken
from abaxial.scouting.reading.walks import COLUMNS, read_sightings
from abaxial.scouting.reading.writing import sightings_csv

__all__ = ["COLUMNS", "read_sightings", "read_spoken", "sightings_csv"]

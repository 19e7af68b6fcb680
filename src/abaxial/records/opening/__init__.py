"""Opens a garden's file or database, or makes one."""

from abaxial.records.opening.engines import SUFFIX, WAIT_S, Opened, database_clock, is_url
from abaxial.records.opening.existing import open_garden
from abaxial.records.opening.making import Filling, make_garden

__all__ = ["SUFFIX", "WAIT_S", "Filling", "Opened", "database_clock", "is_url", "make_garden", "open_garden"]

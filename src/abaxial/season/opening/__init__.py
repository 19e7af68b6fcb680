"""Opens a garden, wherever it lies: a description, a garden file or a database."""

from abaxial.season.opening.opened import Opened, Place
from abaxial.season.opening.place import is_description, open_garden

__all__ = ["Opened", "Place", "is_description", "open_garden"]

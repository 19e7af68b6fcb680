"""Several equally likely versions of the weather that was and will be."""

from abaxial.weather.members.known import is_enough
from abaxial.weather.members.make import make_ensemble

__all__ = ["is_enough", "make_ensemble"]

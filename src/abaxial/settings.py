"""What the environment may set: every setting, what it means, and what holds without it."""

import os
from dataclasses import dataclass


@dataclass(frozen=True)
class Setting:
    """One environment variable. meaning : one sentence. default : what holds when it is not set."""

    name: str
    meaning: str
    default: str


SETTINGS = (
    Setting("ABAXIAL_GARDEN", "The garden file to use when a command names none.", ""),
    Setting("ABAXIAL_UNITS", "Units on screen: metric or us.", "metric"),
    Setting("ABAXIAL_DEBUG", "1 shows where in the program an unexpected fault happened.", ""),
    Setting("ABAXIAL_FORECAST_URL", "Address of the forecast service, where another than the usual one is wanted.", ""),
)


def value_of(name: str) -> str:
    """What a setting is set to, or its default. Raises KeyError for a name that is no setting."""
    default = {setting.name: setting.default for setting in SETTINGS}[name]
    return os.environ.get(name, "").strip() or default

"""The family of errors, and what each says to a tired person at six in the morning.

AbaxialError                 something we can explain
├── InputError               what was given to us is wrong; exit code 2
│   ├── GardenError          the garden description
│   ├── WeatherError         a weather file, a notebook or a forecast
│   ├── ScoutingError        what was seen, as written down
│   ├── LabelError           a bottle, what is printed on it, or a wish to go beyond that
│   ├── RecordsError         the garden's file or database
│   ├── ParameterError       a host, pathogen or other parameter file
│   └── RequestError         a command, an option, a date
├── OfflineError             the network did not answer; exit code 2
└── FaultError               our own mistake; exit code 1
"""


class AbaxialError(Exception):
    """What went wrong, where, the rule and the value; `remedy` says what to do about it."""

    exit_code = 1

    def __init__(self, message: str, *, remedy: str = "", where: str = "") -> None:
        """message : one or two sentences; remedy : what to do; where : file, line or bed."""
        super().__init__(message)
        self.message = message
        self.remedy = remedy
        self.where = where


class InputError(AbaxialError):
    """What was given to us is wrong."""

    exit_code = 2


class GardenError(InputError):
    """The garden description does not describe a garden."""


class WeatherError(InputError):
    """A weather file, a notebook or a forecast cannot be read or believed."""


class ScoutingError(InputError):
    """What was seen cannot be read as it is written down."""


class LabelError(InputError):
    """A bottle or its label cannot be read or believed, or a rule was to be loosened."""


class RecordsError(InputError):
    """The garden's file or database cannot be opened, read or written."""


class ParameterError(InputError):
    """A parameter file breaks its rules."""


class RequestError(InputError):
    """A command, an option or a date that cannot be answered."""


class OfflineError(AbaxialError):
    """The network did not answer."""

    exit_code = 2


class FaultError(AbaxialError):
    """Our own mistake: please report it."""

"""What was seen on a walk, or noticed of rain and wet leaves, as the body of an entry and back."""

from collections.abc import Mapping, Sequence
from dataclasses import MISSING, fields
from datetime import date

from abaxial.errors import WeatherError
from abaxial.journal.canonical import told
from abaxial.place import Place
from abaxial.scouting.sightings import Sighting, broken_rule
from abaxial.weather.observations import read_note

_WHOLE = ("turned", "rusted")
_REAL = ("severity_low_frac", "severity_high_frac", "pustules_per_leaf")
#: the fields of a sighting that a body holds; the date is the entry's
FIELDS = tuple(each.name for each in fields(Sighting) if each.name != "on")
_DEFAULTS = {each.name: each.default for each in fields(Sighting) if each.default is not MISSING}
LONGEST = 4000


def seen_of(sighting: Sighting) -> dict[str, object]:
    """A sighting as one line of a body's `seen`; what equals its default is left out."""
    written = {name: getattr(sighting, name) for name in FIELDS}
    return {name: value for name, value in written.items() if name == "planting" or value != _DEFAULTS[name]}


def sightings_of(seen: object, on: date) -> tuple[Sighting, ...]:
    """The sightings of a body's `seen` that has no problems. on : date of the walk on the garden's clock."""
    lines = seen if isinstance(seen, Sequence) else ()
    return tuple(_sighting(line, on) for line in lines)


def seen_problems(seen: object) -> list[str]:
    """What is wrong with a body's `seen`, in short sentences."""
    if not isinstance(seen, list) or not seen:
        return ["seen must be a list of what was seen, with one thing at least."]
    return [f"seen {number}: {each}" for number, line in enumerate(seen, 1) for each in _line_problems(line)]


def note_problems(kind: str, options: Mapping[str, object], place: Place) -> list[str]:
    """What the reader of notes says against one."""
    try:
        read_note(options, place, where=kind)
    except WeatherError as error:
        return [error.message]
    except OverflowError:
        return [f"{kind}: its time lies outside the years that can be reckoned with."]
    return []


def noted_options(said: Mapping[str, object]) -> dict[str, object]:
    """The [[noted]] table of a description. said : the same as JSON."""
    return {key: told(value) for key, value in said.items()}


def _line_problems(line: object) -> list[str]:
    if not isinstance(line, Mapping):
        return ["it is not a table."]
    strange = [f"there is no {key!r}." for key in line if key not in FIELDS]
    wrong = strange + [
        f"{name} is of the wrong kind." for name in FIELDS if name in line and not _fits(name, line[name])
    ]
    if wrong or "planting" not in line:
        return wrong or ["it names no planting."]
    broken = broken_rule(_sighting(line, date(2000, 1, 1)))
    return [f"{broken.field}: {broken.rule}."] if broken else []


def _fits(name: str, value: object) -> bool:
    if value is None:
        return name in _WHOLE or name in _REAL
    if name in _WHOLE:
        return _is_whole(value)
    if name in _REAL:
        return not isinstance(value, bool) and isinstance(value, int | float)
    return isinstance(value, str) and len(value) <= LONGEST and (value.isprintable() or name == "note")


def _is_whole(value: object) -> bool:
    """Whether a number is whole; one that came through another program may wear a point."""
    return not isinstance(value, bool) and (isinstance(value, int) or (isinstance(value, float) and value.is_integer()))


def _sighting(line: Mapping[str, object], on: date) -> Sighting:
    given = {name: _house(name, value) for name, value in line.items()}
    return Sighting(on=on, **given)  # type: ignore[arg-type]


def _house(name: str, value: object) -> object:
    if isinstance(value, int | float):
        return int(value) if name in _WHOLE else float(value)
    return value

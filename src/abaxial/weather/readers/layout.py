"""The text of a file and its layout, as its owner declares it: nothing about a file is guessed silently."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal, cast

from abaxial import units
from abaxial.errors import InputError, WeatherError

Labels = Literal["start", "end", "instant"]
Doubled = Literal["error", "first", "last", "mean"]
Impossible = Literal["error", "mark"]

#: what a column may hold, and the quantity whose units it may be in
QUANTITIES: Mapping[str, str] = MappingProxyType(
    {
        "temperature": "temperature",
        "dew_point": "temperature",
        "humidity": "fraction",
        "wind": "speed",
        "rain": "depth",
        "shortwave": "irradiance",
        "cloud": "fraction",
    }
)
_CHOICES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "labels": ("start", "end", "instant"),
        "doubled": ("error", "first", "last", "mean"),
        "impossible": ("error", "mark"),
        "decimal": (".", ","),
    }
)


@dataclass(frozen=True)
class Column:
    """One column: its heading in the file, and the unit its numbers are in."""

    heading: str
    unit: str


@dataclass(frozen=True)
class Layout:
    """How to read one delimited file.

    columns       : what is measured (see QUANTITIES) to its column.
    time          : headings of the columns that make up the stamp, in order; their texts are joined by a space.
    time_format   : form of the joined stamp, in codes %Y %m %d %H %M.
    clock         : "utc", a fixed offset such as "+05:30", or an IANA zone whose clock the station follows.
    labels        : whether a stamp names the start or the end of what its row covers, or is the instant of reading
                    (sums and means are then taken to end at it).
    wind_height_m : height of the wind sensor [m], 0.5 to 150; needed where there is a wind column.
    separator, decimal, encoding : of the text. header_line : line of the headings, 0 if there are none; columns are
                    then called "1", "2" and so on. skip_lines : lines to pass over after it.
    missing       : texts that stand for no value. only : heading to the one text to keep, for files of many stations.
    doubled       : what to do with rows of one stamp that differ. impossible : refuse the file, or mark the value.
    later_clocks  : (line, clock) from which line on the station kept another clock.
    """

    columns: Mapping[str, Column]
    time: tuple[str, ...]
    time_format: str
    clock: str
    labels: Labels
    wind_height_m: float | None = None
    separator: str = ","
    decimal: str = "."
    encoding: str = "utf-8-sig"
    header_line: int = 1
    skip_lines: int = 0
    missing: tuple[str, ...] = ("", "NA")
    only: Mapping[str, str] = field(default_factory=dict)
    doubled: Doubled = "error"
    impossible: Impossible = "error"
    later_clocks: tuple[tuple[int, str], ...] = ()


def read_bytes(path: Path) -> bytes:
    """The content of a file. Raises WeatherError if there is none."""
    try:
        content = path.read_bytes()
    except OSError as error:
        raise WeatherError(
            f"{path} cannot be read: {error.strerror or error}.", remedy="Check the name and the folder."
        ) from None
    if not content.strip():
        raise WeatherError(f"{path} is empty.", remedy="Export it again from the station or logger.")
    return content


def decode(path: Path, content: bytes, encoding: str) -> str:
    """The text of a file. Raises WeatherError, with the line, if it is not in that encoding."""
    try:
        return content.decode(encoding)
    except LookupError:
        raise WeatherError(
            f"{path}: there is no encoding {encoding!r}.", remedy='Write encoding = "utf-8" or "latin-1".'
        ) from None
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise WeatherError(
            f"{path}, line {line}: a character is not {encoding}.", remedy='Try encoding = "latin-1".'
        ) from None


def layout_from(options: Mapping[str, Any], *, where: str) -> Layout:
    """A layout from a table of a TOML file. where : what to call that table in an error.

    Raises WeatherError naming the option, the rule and the value.
    """
    known = set(Layout.__dataclass_fields__) | {"form", "file"}
    strange = sorted(set(options) - known)
    if strange:
        raise WeatherError(
            f"{where}: there is no option {strange[0]!r} for a delimited file.",
            remedy=f"The options are {', '.join(sorted(known))}.",
        )
    for name in ("columns", "time", "time_format", "clock", "labels"):
        if name not in options:
            raise WeatherError(
                f"{where}: {name} is not declared.",
                remedy="`abaxial weather check FILE --form delimited` proposes a declaration to look over and paste.",
            )
    for name, choices in _CHOICES.items():
        if name in options and options[name] not in choices:
            raise WeatherError(
                f"{where}: {name} is {options[name]!r}.", remedy=f"Write one of {', '.join(map(repr, choices))}."
            )
    settings = {name: options[name] for name in options if name not in {"form", "file", "columns", "time", "missing"}}
    later = tuple((int(line), str(clock)) for line, clock in settings.pop("later_clocks", ()))
    columns = _columns(options["columns"], where)
    height = settings.pop("wind_height_m", None)
    if "wind" in columns and not (isinstance(height, int | float) and 0.5 <= height <= 150.0):
        raise WeatherError(
            f"{where}: wind_height_m is {height!r}; the height of the wind sensor must lie between 0.5 and 150 m.",
            remedy="Give it in metres. At airports it is usually 10, on garden stations about 2.",
        )
    return Layout(
        columns=columns,
        time=_texts(options["time"]),
        missing=_texts(options.get("missing", ("", "NA"))),
        wind_height_m=None if height is None else float(height),
        later_clocks=later,
        **settings,
    )


def _columns(table: object, where: str) -> dict[str, Column]:
    if not isinstance(table, Mapping) or not table:
        raise WeatherError(
            f"{where}: columns is empty.", remedy='Write, for example, temperature = { heading = "T", unit = "°C" }.'
        )
    columns = {}
    for name, entry in table.items():
        if name not in QUANTITIES:
            raise WeatherError(
                f"{where}: columns holds {name!r}, which is not read.", remedy=f"Name {', '.join(QUANTITIES)}."
            )
        if not isinstance(entry, Mapping) or set(entry) != {"heading", "unit"}:
            raise WeatherError(
                f"{where}: columns.{name} must have a heading and a unit.",
                remedy=f'Write {name} = {{ heading = "…", unit = "…" }}.',
            )
        try:
            unit = units.canonical(QUANTITIES[name], str(entry["unit"]))
        except InputError as error:
            raise WeatherError(f"{where}, columns.{name}: {error.message}", remedy=error.remedy) from None
        columns[name] = Column(str(entry["heading"]), unit)
    return columns


def _texts(value: object) -> tuple[str, ...]:
    if isinstance(value, str):
        return (value,)
    return tuple(str(each) for each in cast(tuple[object, ...], value))

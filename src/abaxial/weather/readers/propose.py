"""A proposal for the layout of a file nobody has declared: guessed from headings and values, with reasons, to be looked
over and pasted. Nothing reads a file by it."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from abaxial.errors import WeatherError
from abaxial.weather.readers.layout import decode, read_bytes

_SEEN_ROWS = 500
_HEADINGS = (
    ("dew_point", r"dew|dewp|\btd\b|taupunkt|ros"),
    ("temperature", r"temp|dry.?bulb|\bta?\b|t_?air|^t2m?\b"),
    ("humidity", r"hum|\brh\b|hurs|feuchte"),
    ("rain", r"rain|precip|\bprcp\b|lluvia|pluie|regen|^rr\b"),
    ("shortwave", r"solar|short.?wave|ghi|global|radiation|\brs\b"),
    ("cloud", r"cloud|sky.?cover|bedeckung|okta"),
    ("wind", r"wind.?sp|wspd|wind_?(?!dir|gust)|\bws\b|\bu2\b"),
)
_NOT = r"dir|gust|max|min|soil|source|uncert|qc|flag|chill|index"
_FORMS = (
    "%Y-%m-%d %H:%M:%S",
    "%Y-%m-%d %H:%M",
    "%Y-%m-%dT%H:%M:%SZ",
    "%Y-%m-%dT%H:%M:%S",
    "%Y-%m-%dT%H:%M",
    "%d.%m.%Y %H:%M",
    "%d/%m/%Y %H:%M",
    "%m/%d/%Y %H:%M",
    "%Y/%m/%d %H:%M",
    "%Y%m%d%H",
)
_UNITS = {
    "temperature": "°C",
    "dew_point": "°C",
    "humidity": "percent",
    "rain": "mm",
    "shortwave": "W/m²",
    "cloud": "percent",
    "wind": "m/s",
}


@dataclass(frozen=True)
class Proposal:
    """A layout to look over. toml : a block to paste and correct. reasons : why each line is as it is."""

    toml: str
    reasons: tuple[str, ...]


def propose_layout(path: Path) -> Proposal:
    """A proposal for the layout of a delimited file, from its first 500 rows. Never used by a reader.

    What a file cannot tell (clock, hour label, height of the wind sensor) is left for the person as "?".
    Raises WeatherError if the file is missing, empty, or has no headings we recognise.
    """
    text = decode(path, read_bytes(path), "utf-8-sig")
    lines = text.splitlines()[: _SEEN_ROWS + 1]
    separator = max((";", "\t", ","), key=lambda mark: lines[0].count(mark))
    rows = [row for row in csv.reader(lines, delimiter=separator) if row]
    headings, body = [cell.strip() for cell in rows[0]], [row for row in rows[1:] if len(row) == len(rows[0])]
    if len(headings) < 2 or not body:
        raise WeatherError(
            f"{path}, line 1: no headings divided by comma, semicolon or tab are found.",
            remedy="Write the layout by hand; `header_line` says where the headings stand.",
        )
    decimal = (
        ","
        if separator != "," and any(re.fullmatch(r"-?\d+,\d+", cell.strip()) for row in body for cell in row)
        else "."
    )
    reasons = [f"line 1 holds {lines[0].count(separator)} of {separator!r}"]
    time_line, time_reason = _time(headings, body)
    columns = []
    for name, (heading, unit, why) in _columns(headings, body, decimal).items():
        columns.append(f'{name} = {{ heading = "{heading}", unit = "{unit}" }}')
        reasons.append(f"{name}: {why}")
    if not columns:
        raise WeatherError(
            f"{path}, line 1: none of the headings {', '.join(headings)} names weather we know.",
            remedy="Write the layout by hand.",
        )
    toml = _toml(path.name, separator, decimal, [*time_line, *_stations(headings, body)], columns)
    return Proposal(toml, (*reasons, time_reason, "clock, labels and wind height: a file cannot tell"))


def _toml(name: str, separator: str, decimal: str, time: Sequence[str], columns: Sequence[str]) -> str:
    height = 'wind_height_m = "?"  # height of the wind sensor above the ground, in metres'
    lines = [
        'form = "delimited"',
        f'file = "{name}"',
        f'separator = "{separator}"'.replace("\t", "\\t"),
        f'decimal = "{decimal}"',
        *time,
        'clock = "?"  # "utc", a fixed offset such as "+02:00", or a zone such as "Europe/Paris"',
        'labels = "?"  # does a stamp name the "start" or the "end" of its hour, or the "instant" of reading?',
        *([height] if any(column.startswith("wind") for column in columns) else []),
        "[columns]",
        *columns,
    ]
    return "\n".join(lines) + "\n"


def _stations(headings: Sequence[str], body: Sequence[Sequence[str]]) -> list[str]:
    """A line to uncomment where a column of names suggests several stations."""
    for position, heading in enumerate(headings):
        names = {row[position].strip() for row in body}
        if len(names) <= 20 and all(re.fullmatch(r"[A-Za-z][\w .-]+", name) for name in names) and "NA" not in names:
            return [f'# only = {{ "{heading}" = "{min(names)}" }}  # if the file holds several stations']
    return []


def _time(headings: Sequence[str], body: Sequence[Sequence[str]]) -> tuple[list[str], str]:
    lower = [heading.lower() for heading in headings]
    parts = [part for part in ("year", "month", "day", "hour") if part in lower]
    if len(parts) == 4:
        names = ", ".join(f'"{headings[lower.index(part)]}"' for part in parts)
        return [f"time = [{names}]", 'time_format = "%Y %m %d %H"'], "time: year, month, day and hour have columns"
    for position, heading in enumerate(headings):
        for form in _FORMS:
            if all(_has_form(row[position], form) for row in body):
                other = ""
                if form in {"%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M"}:
                    other = "  # or month and day the other way round: look"
                return [f'time = "{heading}"', f'time_format = "{form}"{other}'], f"time: every {heading} has that form"
    return ['time = "?"', 'time_format = "?"'], "time: no column has a form we know"


def _has_form(cell: str, form: str) -> bool:
    pattern = re.escape(form).replace("%Y", r"\d{4}").replace("%m", r"(0?[1-9]|1[0-2])")
    for code, digits in (("%d", r"(0?[1-9]|[12]\d|3[01])"), ("%H", r"\d{1,2}"), ("%M", r"\d{2}"), ("%S", r"\d{2}")):
        pattern = pattern.replace(code, digits)
    return re.fullmatch(pattern, cell.strip()) is not None


def _columns(headings: Sequence[str], body: Sequence[Sequence[str]], decimal: str) -> dict[str, tuple[str, str, str]]:
    """What is measured, to heading, unit and reason."""
    found: dict[str, tuple[str, str, str]] = {}
    for position, heading in enumerate(headings):
        plain = heading.lower().replace("_", " ")
        if re.search(_NOT, plain):
            continue
        name = next((name for name, pattern in _HEADINGS if re.search(pattern, plain)), None)
        if name is None or name in found:
            continue
        values = [v for row in body if (v := _float(row[position], decimal)) is not None]
        if values:
            unit, why = _unit(name, heading, values)
            found[name] = (heading, unit, f"the heading says {heading!r}; {why}")
    return found


def _unit(name: str, heading: str, values: Sequence[float]) -> tuple[str, str]:
    plain, top = heading.lower(), max(values)
    said = f"values reach {top:g}"
    if name in {"temperature", "dew_point"} and (top > 50.0 or "f)" in plain or "°f" in plain):
        return "°F", f"{said}, too warm for °C" if top > 50.0 else "the heading says F"
    if name in {"humidity", "cloud"} and top <= 1.0:
        return "fraction", said
    if name == "rain" and ("in)" in plain or "inch" in plain):
        return "in", "the heading says inches"
    for mark, unit in (("km/h", "km/h"), ("kmh", "km/h"), ("mph", "mph"), ("kt", "kt"), ("knot", "kt")):
        if name == "wind" and mark in plain:
            return unit, f"the heading says {mark}"
    return _UNITS[name], f"{said}; look whether this unit is right"


def _float(cell: str, decimal: str) -> float | None:
    try:
        return float(cell.replace(",", ".") if decimal == "," else cell)
    except ValueError:
        return None

"""Delimited text files of weather stations and loggers, read as their layout declares them."""

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from abaxial import units
from abaxial.errors import WeatherError
from abaxial.place import Place
from abaxial.provenance import digest
from abaxial.weather.readers import clock as clocks
from abaxial.weather.readers import hourly, suspicion
from abaxial.weather.readers.layout import QUANTITIES, Layout, decode, read_bytes
from abaxial.weather.readers.measured import to_variables
from abaxial.weather.series import Finding, Floats, Mark, Marks, Weather

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class _Table:
    """The rows of a file with their line numbers, and the headings with their positions."""

    path: Path
    rows: list[list[str]]
    lines: list[int]
    positions: Mapping[str, int]

    def place_of(self, row: int) -> str:
        return f"{self.path}, line {self.lines[row]}"

    def cells(self, heading: str) -> list[str]:
        position = self.positions[heading]
        return [row[position].strip() for row in self.rows]


def read_delimited(path: Path, layout: Layout, place: Place) -> Weather:
    """The hourly series in a delimited file. place : where the station stands; its zone is not assumed for the clock.

    Raises WeatherError, naming file, line, rule and value, if the file is not as the layout says.
    """
    del place  # the same promise as the other readers; a station file is taken to stand in the garden
    content = read_bytes(path)
    table = _table(path, content, layout)
    seconds, order, findings = _moments(table, layout)
    values, flags, more = _values(table, layout)
    ordered = {name: column[order] for name, column in values.items()}
    ordered_flags = {name: column[order] for name, column in flags.items()}
    seconds = seconds[order]
    places = _Places(table, order)
    keep, stacked, doubles = hourly.without_doubles(
        seconds, np.column_stack(list(ordered.values())), layout.doubled, places
    )
    ordered = {name: stacked[keep, i] for i, name in enumerate(ordered)}
    seconds, kept_rows = seconds[keep], order[keep]
    if seconds.size < 2:
        raise WeatherError(
            f"{path} holds readings of only one moment, {table.place_of(0)}.",
            remedy="A series needs at least two, and a day of them before it says anything.",
        )
    weather = hourly.assemble(
        seconds,
        ordered,
        {name: column[keep] for name, column in ordered_flags.items()},
        labels=layout.labels,
        where=str(path),
        digest=digest(content),
    )
    more += _later_findings(weather, seconds, kept_rows, layout, table)
    return weather.with_findings(*findings, *doubles, *more)


class _Places(Sequence[str]):
    """Row, in order of time, to file and line, made only when asked for."""

    def __init__(self, table: _Table, order: Ints) -> None:
        self.table, self.order = table, order

    def __len__(self) -> int:
        return int(self.order.size)

    def __getitem__(self, row):  # type: ignore[no-untyped-def]
        return self.table.place_of(int(self.order[row]))


def _table(path: Path, content: bytes, layout: Layout) -> _Table:
    text = decode(path, content, layout.encoding)
    reader = csv.reader(text.splitlines(), delimiter=layout.separator, skipinitialspace=layout.separator == " ")
    rows, lines = [], []
    for row in reader:
        if row:
            rows.append(row)
            lines.append(reader.line_num)
    begin = next((i for i, line in enumerate(lines) if line >= layout.header_line), len(rows))
    if layout.header_line and begin < len(rows):
        headings, begin = [cell.strip() for cell in rows[begin]], begin + 1
    else:
        headings = [str(i + 1) for i in range(len(rows[0]) if rows else 0)]
    begin += layout.skip_lines
    wanted = [*layout.time, *(column.heading for column in layout.columns.values()), *layout.only]
    for heading in wanted:
        if headings.count(heading) != 1:
            raise WeatherError(
                f"{path}, line {max(layout.header_line, 1)}: {headings.count(heading) or 'no'} column"
                f"{'s are' if headings.count(heading) > 1 else ' is'} called {heading!r}.",
                remedy=f"The columns are {', '.join(map(repr, headings))}; check the separator and header_line too.",
            )
    positions = {heading: headings.index(heading) for heading in wanted}
    rows, lines = rows[begin:], lines[begin:]
    reach = max(positions.values())
    for row, line in zip(rows, lines, strict=True):
        if len(row) <= reach:
            raise WeatherError(
                f"{path}, line {line}: there are {len(row)} cells; the layout needs {reach + 1}.",
                remedy="Complete or remove the line; if it is the last one, the file was cut off.",
            )
    for heading, text_kept in layout.only.items():
        kept = [i for i, row in enumerate(rows) if row[positions[heading]].strip() == text_kept]
        rows, lines = [rows[i] for i in kept], [lines[i] for i in kept]
    if not rows:
        raise WeatherError(
            f"{path} has headings but no rows{' that match `only`' if layout.only else ''}.",
            remedy="Export it again, or check what `only` names.",
        )
    return _Table(path, rows, lines, positions)


def _moments(table: _Table, layout: Layout) -> tuple[Ints, Ints, tuple[Finding, ...]]:
    """UTC seconds of the rows, the order of time, and what was noticed."""
    parts = [table.cells(heading) for heading in layout.time]
    stamps = parts[0] if len(parts) == 1 else [" ".join(each) for each in zip(*parts, strict=True)]
    local = clocks.stamp_seconds(stamps, layout.time_format, table.place_of)
    backwards = local.size > 1 and bool(np.mean(np.diff(local) < 0) > 0.5)
    step = -1 if backwards else 1
    seconds, alone = np.empty_like(local), 0
    for first, last, clock in _segments(table.lines, layout):
        rows = slice(first, last)
        place_of = _shifted(table, first, last, step)
        utc, count = clocks.to_utc(local[rows][::step], clock, place_of)
        seconds[rows], alone = utc[::step], alone + count
    findings: tuple[Finding, ...] = ()
    if alone:
        findings += (Finding("repeated_hour_once", {"count": alone}),)
    disorder = np.flatnonzero(np.diff(seconds) * step < 0)
    if disorder.size:
        row = int(disorder[0]) + 1
        hours = float(abs(seconds[row] - seconds[row - 1])) / 3600.0
        findings += (Finding("time_goes_back", {"at": table.place_of(row), "by_h": hours, "count": disorder.size}),)
    return seconds, np.argsort(seconds, kind="stable"), findings


def _shifted(table: _Table, first: int, last: int, step: int) -> Callable[[int], str]:
    return lambda row: table.place_of(first + row if step > 0 else last - 1 - row)


def _segments(lines: Sequence[int], layout: Layout) -> list[tuple[int, int, str]]:
    """Stretches of rows of one clock: first row, row after the last, clock."""
    changes = sorted(layout.later_clocks)
    starts = [0] + [int(np.searchsorted(lines, line)) for line, _ in changes]
    names = [layout.clock] + [clock for _, clock in changes]
    ends = [*starts[1:], len(lines)]
    return [(a, b, name) for a, b, name in zip(starts, ends, names, strict=True) if b > a]


def _values(table: _Table, layout: Layout) -> tuple[dict[str, Floats], dict[str, Marks], tuple[Finding, ...]]:
    """Variables of the series, in the house's units, with marks, in the order of the file."""
    measured: dict[str, Floats] = {}
    marks: dict[str, Marks] = {}
    findings: tuple[Finding, ...] = ()
    for name, column in layout.columns.items():
        cells = table.cells(column.heading)
        values = units.convert(_numbers(cells, column.heading, layout, table), QUANTITIES[name], column.unit)
        suspicion.refuse_hidden_unit(name, values, column.unit, where=f"{table.path}, column {column.heading!r}")

        def shown(row: int, cells: list[str] = cells, heading: str = column.heading) -> str:
            return f"{table.place_of(row)}: {heading} is {cells[row]!r}"

        wrong, more = suspicion.impossible_values(name, values, shown, refuse=layout.impossible == "error")
        measured[name], findings = values, findings + more
        marks[name] = np.where(wrong, np.uint8(Mark.RANGE), np.uint8(0))
    values_by_variable, marks_by_variable, more = to_variables(measured, marks, wind_height_m=layout.wind_height_m)
    return values_by_variable, marks_by_variable, findings + more


def _numbers(cells: list[str], heading: str, layout: Layout, table: _Table) -> Floats:
    missing = set(layout.missing)
    as_numbers = {_number(text, layout.decimal) for text in missing} - {None}
    texts = cells if layout.decimal == "." else [cell.replace(",", ".") for cell in cells]
    try:
        values = np.array([np.nan if c in missing else float(t) for c, t in zip(cells, texts, strict=True)], np.float64)
    except ValueError:
        values = np.array([np.nan if c in missing else _number(c, layout.decimal) for c in cells], np.float64)
    for row in np.flatnonzero(~np.isfinite(values)):
        if cells[row] not in missing:
            raise WeatherError(
                f"{table.place_of(int(row))}: {heading} is {cells[row]!r}, which is not a number.",
                remedy=f"Correct the line, or declare missing = [{', '.join(map(repr, (*layout.missing, cells[row])))}].",
            )
    for number in as_numbers:
        values[values == number] = np.nan
    return values


def _number(text: str, decimal: str) -> float | None:
    try:
        return float(text if decimal == "." else text.replace(",", "."))
    except ValueError:
        return None


def _later_findings(weather: Weather, seconds: Ints, rows: Ints, layout: Layout, table: _Table) -> tuple[Finding, ...]:
    """What only shows once the hours stand in a row: rain in another unit, a clock changed in mid-file."""
    findings: tuple[Finding, ...] = ()
    if "rain" in layout.columns:
        found = suspicion.rain_unit(weather.rain_mm, layout.columns["rain"].unit, weather.hours)
        if found is not None:
            weather.marks["rain_mm"][weather.rain_mm > 0] |= np.uint8(Mark.RANGE)
            findings += (found,)
    jump = suspicion.clock_jump(weather)
    if jump is not None:
        at = int(np.searchsorted(seconds, (weather.first_hour + jump[0]) * 3600))
        place = table.place_of(int(rows[min(at, rows.size - 1)]))
        findings += (Finding("two_clocks", {"near": place, "shift_h": jump[1]}),)
    return findings

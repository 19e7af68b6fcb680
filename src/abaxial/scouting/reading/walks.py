"""The walks of a garden description, and the CSV files it names."""

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from abaxial.scouting import scales
from abaxial.scouting.reading.line import Line, shown
from abaxial.scouting.reading.look import sighting_of
from abaxial.scouting.sightings import Sighting

#: columns of a file, in the order in which we write them, and the name of each in a `seen` table
COLUMNS: Mapping[str, str] = {
    "planting": "planting", "date": "on", "part": "part", "amount": "amount", "unit": "unit",
    "leaves_turned": "turned", "leaves_rusted": "rusted", "incidence_percent": "incidence_percent",
    "severity_percent": "severity_percent", "severity_of": "severity_of", "scale": "scale", "score": "score",
    "pustules_per_leaf": "pustules_per_leaf", "by": "by", "note": "note",
}  # fmt: skip
_SEEN = (*(each for each in COLUMNS.values() if each != "on"), "incidence_frac", "severity_frac")


def read_sightings(options: Sequence[Mapping[str, object]], folder: Path, *, where: str) -> tuple[Sighting, ...]:
    """Everything seen on the walks of a garden description, in order of date, planting and part.

    options : the raw tables: a walk {on, by, minutes, seen = [ … ]}, or {file} naming a CSV file with the columns of
    `COLUMNS`. folder : where files, and scales of one's own, are looked for. where : the description's name, for messages.
    Raises ScoutingError naming file, line, column, rule and value.
    """
    found: list[Sighting] = []
    walks = 0
    for table in options:
        if "file" in table:
            found.extend(_file(table, folder, where))
        else:
            walks += 1
            found.extend(_walk(table, folder, f"{where}, walk {walks}"))
    return tuple(sorted(found, key=lambda each: (each.on, each.planting, each.part)))


def _walk(table: Mapping[str, object], folder: Path, where: str) -> Iterator[Sighting]:
    top = Line(table, where, folder)
    top.only(table, ("on", "by", "minutes", "seen"))
    on, by = top.day("on"), top.text("by")
    top.number("minutes", 0.0, 1440.0)
    seen = table.get("seen")
    if not isinstance(seen, list | tuple) or not seen:
        top.refuse("seen", "nothing is listed", 'Write seen = [{ planting = "…", turned = 20, rusted = 0 }].')
    for number, each in enumerate(seen, 1):
        place = f"{where}, seen {number}"
        if not isinstance(each, Mapping):
            top.refuse("seen", f"entry {number} is {shown(each)}, not a table", "Write each as { planting = … }.")
        line = Line({"by": by, **each, "on": on}, place, folder)
        line.only(each, _SEEN)
        yield sighting_of(line)


def _file(table: Mapping[str, object], folder: Path, where: str) -> Iterator[Sighting]:
    top = Line(table, f"{where}, walks_file", folder)
    top.only(table, ("file",))
    path = folder / top.text("file")
    try:
        text = path.read_bytes().decode("utf-8-sig")
        heading = next((line for line in text.splitlines() if line.strip()), "")
        separator = max(",;\t", key=heading.count)
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
        rows = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    except (OSError, ValueError, csv.Error) as error:
        said = "it is not UTF-8 text" if isinstance(error, UnicodeDecodeError) else str(error)
        top.refuse("file", f"{path} cannot be read: {said}", "Check the name, and save it as CSV in UTF-8.")
    spelled = {name: column for column, name in COLUMNS.items()}
    first = Line({}, f"{path}, line {rows[0][0] if rows else 1}", folder, spelled)
    names = [cell.strip().casefold() for cell in rows[0][1]] if rows else []
    while names and not names[-1]:
        names.pop()
    first.only(names, tuple(COLUMNS))
    for column in names:
        if names.count(column) > 1:
            first.refuse(column, "there are two columns of this name", "Keep one.")
    for column in ("planting", "date"):
        if column not in names:
            first.refuse(column, "there is no such column", "Give every column its name in the first line.")
    fields, read = [COLUMNS[name] for name in names], dict[str, scales.Scale]()
    for number, row in rows[1:]:
        cells = dict(zip(fields, row, strict=False))
        line = Line(cells, f"{path}, line {number}", folder, spelled, separator != ",", read)
        if len(row) > len(names) and any(cell.strip() for cell in row[len(names) :]):
            line.refuse(
                "line", f"it has {len(row)} cells under {len(names)} columns", "Put a note with commas in quotes."
            )
        yield sighting_of(line)

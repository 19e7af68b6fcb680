"""Every table of a garden as CSV in a folder, and a garden made from such a folder."""

import base64
import csv
import json
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import JSON, Column, Connection, Double, Integer, LargeBinary, Table

from abaxial.errors import RecordsError
from abaxial.journal.fold import Folded, fold
from abaxial.journal.shelf.record import COLUMNS, spray_record
from abaxial.records import arrival, backup
from abaxial.records.all_or_nothing import placed_folder, reading
from abaxial.records.opening import make_garden
from abaxial.records.store import Store
from abaxial.records.tables import ENTRY, GARDEN, KEPT, Moment
from abaxial.remedy.material import material_keys, read_material

#: the longest cell that is read; weather as it came may lie in one
_LONGEST_CELL = 2**31 - 1
#: the file of what was sprayed; it is not read back
SPRAY_RECORD = "spray_record.csv"


def write_tables(store: Store, folder: Path) -> None:
    """Write each table as FOLDER/table.csv: times in UTC, tables within a cell as JSON, bytes in base 64, nothing for None.

    Beside them lies spray_record.csv, worked out from the entries: a row for each application and planting.
    Raises RecordsError if the folder is there already, or cannot be written.
    """
    opened = store.opened
    with placed_folder(folder) as draft, reading(opened.engine, opened.where) as connection:
        _write(draft, GARDEN, iter([backup.garden_row(connection, opened.garden)]))
        for table in KEPT:
            _write(draft, table, backup.rows_in(connection, opened.garden, table))
        entries = [arrival.entry_of(row) for row in backup.rows_in(connection, opened.garden, ENTRY)]
        _write_spray_record(draft, fold(entries))


def _write_spray_record(folder: Path, folded: Folded) -> None:
    with (folder / SPRAY_RECORD).open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        former = [each.planting for each in folded.former]
        named = {active for each in folded.done for active in each.actives}
        codes = {key: read_material(key).codes for key in material_keys() if key in named}
        rows = [] if folded.garden is None else spray_record(folded.garden, former, folded.done, codes)
        writer.writerows([row[name] for name in COLUMNS] for row in rows)


def restore_tables(folder: Path, destination: str | Path) -> None:
    """Make the garden in a folder of tables anew, in a file or in a PostgreSQL database.

    Raises RecordsError, with nothing made, for a table that is missing, a cell that cannot be read, a garden that is not
    as it was written, or one that is there already.
    """
    described = next(_rows(folder, GARDEN), None)
    if described is None:
        raise RecordsError(f"{folder}: garden.csv has no row.", remedy="Write the tables again.", where=str(folder))

    def filling(connection: Connection, garden: int) -> None:
        backup.set_garden_row(connection, garden, described)
        for table in KEPT:
            backup.lay_rows(connection, garden, table, _rows(folder, table))
        backup.refuse_problems(connection, garden, str(folder))

    make_garden(destination, garden_id=str(described["id"]), filling=filling)


def _write(folder: Path, table: Table, rows: Iterator[Mapping[str, Any]]) -> None:
    columns = _columns(table)
    with (folder / f"{table.name}.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(columns)
        for row in rows:
            writer.writerow([_cell(column, row[name]) for name, column in columns.items()])


def _rows(folder: Path, table: Table) -> Iterator[dict[str, Any]]:
    columns, path, line = _columns(table), folder / f"{table.name}.csv", 1
    csv.field_size_limit(_LONGEST_CELL)
    try:
        with path.open(encoding="utf-8", newline="") as file:
            reader = csv.reader(file)
            heading = next(reader, [])
            if heading != list(columns):
                raise _wrong(path, 1, f"the columns must be {', '.join(columns)}")
            for cells in reader:
                line = reader.line_num
                if len(cells) != len(columns):
                    raise _wrong(path, line, f"there are {len(cells)} cells for {len(columns)} columns")
                pairs = zip(columns.items(), cells, strict=True)
                yield {name: _value(column, cell, path, line) for (name, column), cell in pairs}
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise _wrong(path, line, f"it cannot be read: {error}") from None


def _columns(table: Table) -> dict[str, Column[Any]]:
    """The columns of a table without a garden's number, which is another in every database."""
    return {each.name: each for each in table.columns if each.name not in ("garden", "number")}


def _cell(column: Column[Any], value: object) -> str:
    if value is None and not isinstance(column.type, JSON):
        return ""
    if isinstance(value, datetime):
        return value.isoformat(timespec="microseconds")
    if isinstance(value, bytes):
        return base64.b64encode(value).decode("ascii")
    if isinstance(column.type, JSON):
        return json.dumps(value, ensure_ascii=False, allow_nan=False)
    return repr(value) if isinstance(value, float) else str(value)


def _value(column: Column[Any], cell: str, path: Path, line: int) -> object:
    if cell == "" and column.nullable:
        return None
    try:
        if isinstance(column.type, Moment):
            return datetime.fromisoformat(cell)
        if isinstance(column.type, LargeBinary):
            return base64.b64decode(cell, validate=True)
        if isinstance(column.type, JSON):
            return json.loads(cell)
        # small whole numbers are of the same family
        if isinstance(column.type, Integer):
            return int(cell)
        return float(cell) if isinstance(column.type, Double) else cell
    except ValueError:
        raise _wrong(path, line, f"{column.name} is {cell[:40]!r}, which cannot be read") from None


def _wrong(path: Path, line: int, what: str) -> RecordsError:
    where = f"{path}, line {line}"
    return RecordsError(f"{where}: {what}.", remedy="Mend that line, or write the tables again.", where=where)

"""What the first hundred bytes of a file say: whether it is a garden file, and whether all of it is there."""

from pathlib import Path

from abaxial.errors import RecordsError
from abaxial.records.tables import APPLICATION_ID

_MAGIC = b"SQLite format 3\x00"
_HEAD = 100
_RESTORE = "Restore the last backup; keep this file until that has worked."


def refuse_unfit(path: Path) -> None:
    """Raise RecordsError for what is no garden file, or a part of one, before a database touches it."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD)
        size, pending = path.stat().st_size, has_log(path)
    except OSError as error:
        raise RecordsError(
            f"{path} cannot be opened: {error.strerror or error}.",
            remedy="Check the name, the folder and the right to read it.",
            where=str(path),
        ) from None
    if not head:
        raise RecordsError(f"{path} is empty.", remedy=_RESTORE, where=str(path))
    if len(head) < _HEAD or not head.startswith(_MAGIC):
        raise RecordsError(f"{path} is not a garden file.", remedy="Check the name.", where=str(path))
    if int.from_bytes(head[68:72], "big") != APPLICATION_ID:
        raise RecordsError(
            f"{path} is a database of another program.", remedy="Name the garden's own file.", where=str(path)
        )
    page = int.from_bytes(head[16:18], "big")
    whole = int.from_bytes(head[28:32], "big") * (65536 if page == 1 else page)
    # with a log beside it, the last pages may still lie in that
    if size < whole and not pending:
        raise RecordsError(f"{path} is cut short: {size} bytes are there of {whole}.", remedy=_RESTORE, where=str(path))


def has_log(path: Path) -> bool:
    """Whether a log with something in it lies beside a file: somebody writes just now, or was stopped while writing."""
    log = path.with_name(path.name + "-wal")
    return log.exists() and log.stat().st_size > 0

"""A garden file written as a description: the garden as it stands, its walks, and its weather files beside it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from itertools import groupby
from pathlib import Path, PurePosixPath

from abaxial.errors import RecordsError
from abaxial.garden.parts import Noted, WeatherSource
from abaxial.garden.writing import write_garden
from abaxial.journal.noticed import seen_of
from abaxial.records.all_or_nothing import placed, refuse_taken
from abaxial.records.weather_batches import WeatherBatch
from abaxial.scouting.sightings import Sighting
from abaxial.season.opening.garden_file import open_file
from abaxial.season.opening.opened import Place
from abaxial.season.opening.values import strange


def write_description(place: Place, path: Path, *, moment: datetime) -> list[Path]:
    """Write the garden in a file or database, as it stands at a moment, as a description, and each batch of its weather as a
    file beside it. Gives the paths, the description first.

    Raises RecordsError, with nothing left behind, where one of these names is taken.
    """
    opened = open_file(place, at=moment)
    batches = sorted(opened.batches or (), key=lambda each: each.number or 0)
    files = {path.parent / _file_name(path.stem, each): each for each in batches}
    for each in (path, *files):
        refuse_taken(each)
    weather = tuple(
        WeatherSource(name.name, str(batch.reader["form"]), _options(batch)) for name, batch in files.items()
    )
    walks = tuple(Noted(each) for each in _walks(opened.sightings))
    # what no description could be read with
    values = {name: value for name, value in opened.values.items() if not strange({name: value})}
    described = write_garden(replace(opened.garden, weather=weather, walks=walks, values=values))
    made: list[Path] = []
    try:
        for name, batch in files.items():
            _write(name, batch.raw_text)
            made.append(name)
        _write(path, described.encode())
    except BaseException:
        for name in made:
            with suppress(OSError):
                name.unlink()
        raise
    return [path, *made]


def _file_name(stem: str, batch: WeatherBatch) -> str:
    """The name that a batch had, behind the description's and its own number."""
    came_as = PurePosixPath(batch.source.replace("\\", "/")).name
    return f"{stem}_weather_{batch.number}_{came_as}"


def _options(batch: WeatherBatch) -> Mapping[str, object]:
    if "form" not in batch.reader:
        raise RecordsError(
            f"Batch {batch.number} of weather ({batch.source}) does not say of which form it is.",
            remedy="Write an archive instead.",
        )
    return {key: value for key, value in batch.reader.items() if key != "form"}


def _walks(sightings: Sequence[Sighting]) -> Iterator[dict[str, object]]:
    for on, seen in groupby(sightings, key=lambda each: each.on):
        yield {"on": on, "seen": _seen(seen)}


def _seen(sightings: Iterable[Sighting]) -> list[dict[str, object]]:
    rows = []
    for each in sightings:
        row = seen_of(each)
        # limits, as they were judged; which scale they were read from is for the journal only
        limits = [row.pop(name, None) for name in ("severity_low_frac", "severity_high_frac")]
        row.pop("scale", None)
        rows.append(row if limits[0] is None else {**row, "severity_frac": limits})
    return rows


def _write(path: Path, content: bytes) -> None:
    with placed(path) as draft:
        draft.write_bytes(content)

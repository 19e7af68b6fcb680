"""Sightings written as a CSV file."""

import csv
import io
from collections.abc import Iterable
from pathlib import Path

from abaxial.scouting import scales
from abaxial.scouting.reading.walks import COLUMNS
from abaxial.scouting.sightings import Sighting


def sightings_csv(sightings: Iterable[Sighting], folder: Path | None = None) -> str:
    """Sightings as the text of a CSV file that `read_sightings` reads again. folder : where scales of one's own lie."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    known = scales.scale_keys(folder)
    for each in sightings:
        low, high = each.severity_low_frac, each.severity_high_frac
        severity = score = ""
        if low is not None and high is not None:
            if each.scale in known:
                score = scales.score_of(scales.read_scale(each.scale, folder), low, high)
            if not score:
                severity = _percent(low) if low == high else f"{_percent(low)}-{_percent(high)}"
        counts = ["" if count is None else count for count in (each.turned, each.rusted)]
        pustules = "" if each.pustules_per_leaf is None else repr(each.pustules_per_leaf)
        row = [each.planting, each.on.isoformat(), each.part, each.amount, each.unit, *counts, "", severity]
        writer.writerow([*row, each.severity_of, each.scale if score else "", score, pustules, each.by, each.note])
    return text.getvalue()


def _percent(share: float) -> str:
    return f"{share * 100.0:.12g}"

"""How our wet hours over open ground compare with measured ones, and with the rule "humidity of 85 % or rain".

The measured hours are not ours to ship: give a folder of CSV files, one a station, with the columns time_utc (hour's start,
ISO 8601), temperature_c, humidity_percent, rain_mm, wind_m_s, sun_w_m2 (empty where not measured) and
wet_frac (0 to 1, the sensor's), and first lines `# latitude = …`, `# longitude = …`, `# elevation = …`, `# zone = …`.
Run as `scripts/study wetness_against_sensors FOLDER`; the TOML beside this file holds what was found.
"""

import csv
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from abaxial.garden.parts import Bed, Garden, WeatherSource
from abaxial.place import Place
from abaxial.season import wet

Floats = NDArray[np.float64]
_UNITS = {
    "temperature_c": ("temperature", "degC"),
    "humidity_percent": ("humidity", "percent"),
    "rain_mm": ("rain", "mm"),
    "wind_m_s": ("wind", "m/s"),
    "sun_w_m2": ("shortwave", "W/m2"),
}


@dataclass(frozen=True)
class Score:
    """Agreement with a sensor: kappa, share of hours right, and hours wet a day by both."""

    kappa: float
    right_frac: float
    wet_h_per_day: float
    measured_h_per_day: float


def score(wet_frac: Floats, measured_frac: Floats) -> Score:
    """Both (hours,), 0 to 1; an hour is wet from one half on; hours without either are left out."""
    both = np.isfinite(wet_frac) & np.isfinite(measured_frac)
    ours, theirs = wet_frac[both] >= 0.5, measured_frac[both] >= 0.5
    right = float((ours == theirs).mean())
    by_luck = float(ours.mean() * theirs.mean() + (1.0 - ours.mean()) * (1.0 - theirs.mean()))
    return Score((right - by_luck) / (1.0 - by_luck), right, 24.0 * float(ours.mean()), 24.0 * float(theirs.mean()))


def station(path: Path) -> tuple[Floats, Floats, Floats]:
    """Wet share of each hour of one station: ours, the rule's and the sensor's."""
    lines = path.read_text(encoding="utf-8").splitlines()
    head = dict(line[1:].split("=", 1) for line in lines if line.startswith("#"))
    told = {key.strip(): value.strip() for key, value in head.items()}
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    place = Place(float(told["latitude"]), float(told["longitude"]), float(told["elevation"]), told["zone"])
    there = {name: unit for name, unit in _UNITS.items() if any(row.get(name) for row in rows)}
    ours = _ours(rows, there, place)

    def column(name: str) -> Floats:
        return np.array([float(row.get(name) or "nan") for row in rows])

    rule = (column("humidity_percent") >= 85.0) | (np.nan_to_num(column("rain_mm")) > 0.0)
    measured = column("wet_frac")
    return np.array([ours.get(row["time_utc"][:16] + "Z", np.nan) for row in rows]), rule.astype(float), measured


def _ours(rows: list[dict[str, str]], there: dict[str, tuple[str, str]], place: Place) -> dict[str, float]:
    with tempfile.TemporaryDirectory() as folder:
        with (Path(folder) / "station.csv").open("w", encoding="utf-8", newline="") as file:
            table = csv.writer(file)
            table.writerow(("utc", *there))
            table.writerows((row["time_utc"][:16].replace("T", " "), *(row[name] for name in there)) for row in rows)
        layout = {
            "time": ["utc"], "time_format": "%Y-%m-%d %H:%M", "clock": "utc", "labels": "start", "wind_height_m": 2.0,
            "columns": {name: {"heading": heading, "unit": unit} for heading, (name, unit) in there.items()},
        }  # fmt: skip
        source = WeatherSource("station.csv", "delimited", layout)
        garden = Garden("station", place, (Bed("open ground", 1.0),), (), weather=(source,), folder=folder)
        return {str(row[0]): float(row[7] or 0.0) for row in wet.wet_table(garden).rows}


def main(folder: Path) -> None:
    """Print ours and the rule's agreement for each station and for all."""
    stations = {path.stem: station(path) for path in sorted(folder.glob("*.csv"))}
    stations["all"] = tuple(np.concatenate(each) for each in zip(*stations.values(), strict=True))  # type: ignore[assignment]
    for name, (ours, rule, measured) in stations.items():
        for who, values in (("ours", ours), ("rule", rule)):
            got = score(values, measured)
            print(f"{name:18} {who}  kappa {got.kappa:.3f}  right {got.right_frac:.3f}  "
                  f"wet {got.wet_h_per_day:.1f} h/d, measured {got.measured_h_per_day:.1f} h/d")  # fmt: skip


if __name__ == "__main__":
    main(Path(sys.argv[1]))

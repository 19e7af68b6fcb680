"""Weather simple enough to reckon with by hand, written as a station's file beside a garden, and the week it makes.

Hours are counted on the garden's clock. What a test does not say stays as in `Hour`: mild, half dry, still and overcast.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from abaxial import infection
from abaxial.garden import description
from abaxial.provenance import read_table
from abaxial.report.answers.week import PlantingWeek, WeekAnswer
from abaxial.season import week as season_week

EQUATOR = """
[site]
name = "Trial garden"
latitude_deg = 0.0
longitude_deg = 0.0
elevation_m = 0
zone = "UTC"
"""
# no sun and no sky: leaves have the temperature of the air
SHAFT = """
[[bed.obstacle]]
from_deg = 0
to_deg = 360
height_m = 400
distance_m = 0.5
"""
STATION = """
[[weather]]
file = "station.csv"
form = "delimited"
time = ["time"]
time_format = "%Y-%m-%d %H:%M"
clock = "utc"
labels = "start"
wind_height_m = 2
columns.temperature = { heading = "temp", unit = "C" }
columns.humidity = { heading = "rh", unit = "fraction" }
columns.wind = { heading = "wind", unit = "m/s" }
columns.rain = { heading = "rain", unit = "mm" }
columns.cloud = { heading = "cloud", unit = "fraction" }
columns.shortwave = { heading = "sun", unit = "W/m2" }
"""


@dataclass(frozen=True)
class Hour:
    """One hour of weather."""

    temperature_c: float = 20.0
    relative_humidity_frac: float = 0.5
    wind_m_s: float = 0.3
    rain_mm: float = 0.0
    cloud_frac: float = 1.0
    sun_w_m2: float = 0.0


def bed(*, obstacle: str = "", watering: str = "", name: str = "Quay") -> str:
    """A bed of a description; obstacle and watering as TOML."""
    given = f"watering = {watering}\n" if watering else ""
    return f'\n[[bed]]\nname = "{name}"\narea_m2 = 4\n{given}{obstacle}\n'


def planting(*, host: str = "daylily", clumps: int = 1, spacing_m: float = 3.0, **more: str) -> str:
    """A planting of a description; alone in much room unless said otherwise, so that nothing shades its leaves."""
    words = {"name": '"Lilies"', "bed": '"Quay"', "since": "2025-09-01", **more}
    rest = "".join(f"{key} = {value}\n" for key, value in words.items())
    return f'\n[[planting]]\nhost = "{host}"\nclumps = {clumps}\nspacing_m = {spacing_m}\n{rest}'


def write_station(folder: Path, hour_of: Callable[[datetime], Hour], *, at: datetime, days: int = 40) -> None:
    """Write station.csv, from some days before a moment up to it. Values flicker in the last digit as a sensor's do, so
    that none is taken to be stuck."""
    lines = ["time,temp,rh,wind,rain,cloud,sun"]
    for number in range(24 * days):
        moment = at - timedelta(hours=24 * days - number)
        hour, odd = hour_of(moment), number % 2
        lines.append(
            f"{moment:%Y-%m-%d %H:%M},{hour.temperature_c + 0.02 * odd:.2f},{hour.relative_humidity_frac - 0.001 * odd:.3f},"
            f"{hour.wind_m_s + 0.01 * odd:.2f},{hour.rain_mm + 0.01 * odd * (hour.rain_mm > 0):.2f},{hour.cloud_frac:.1f},"
            f"{max(hour.sun_w_m2 + 0.1 * odd * (hour.sun_w_m2 > 0), 0.0):.1f}"
        )
    (folder / "station.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def own_rust(
    folder: Path,
    host: str,
    rust: str,
    *,
    central: Mapping[str, float] | None = None,
    ranges: Mapping[str, tuple[float, float]] | None = None,
) -> None:
    """Write the garden's own file of a rust, rusts/RUST.toml: the installed one with other central values, each range no wider than its
    value, except those given."""
    installed = Path(infection.__file__).parent / "pathogens" / f"{rust}.toml"
    known = {name: float(entry["value"]) for name, entry in read_table(installed)["parameters"].items()}
    values, spans = {**known, **(central or {})}, dict(ranges or {})
    lines = ['name = "own rust"', 'latin = "Puccinia sua"', f'hosts = ["{host}"]', 'face = "lower"', 'note = "ours"']
    lines.append("[parameters]")
    for name, value in values.items():
        low, high = spans.get(name, (value, value))
        text = f"value = {value}, range = [{low}, {high}]"
        lines.append(f'{name} = {{ {text}, source = "practice", where = "a trial", how = "assumed" }}')
    (folder / "rusts").mkdir(exist_ok=True)
    (folder / "rusts" / f"{rust}.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def week_of(folder: Path, garden: str, *, at: datetime, draws: int = 256, seed: int = 1) -> WeekAnswer:
    """The week of a description, read with the files in its folder."""
    read = description.garden_from_text(garden, where="garden.toml", folder=folder)
    return season_week.week(read, at=at.replace(tzinfo=UTC), draws=draws, seed=seed)


def only_planting(answer: WeekAnswer) -> PlantingWeek:
    """The one planting of an answer."""
    (page,) = answer.plantings
    return page


def gain(page: PlantingWeek, change: str) -> float:
    """Hours wet in a week that a change of habit would take away, in the middle of its band."""
    rows = {row.change: row for row in page.what_if}
    return rows["as_now"].wet_h_per_week.mid - rows[change].wet_h_per_week.mid

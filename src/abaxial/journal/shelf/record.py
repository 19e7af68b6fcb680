"""The record of what was sprayed, as rows that an inspector or a spreadsheet can read."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime

from abaxial.garden.parts import Garden, Planting
from abaxial.journal.body.details import WEATHER
from abaxial.journal.shelf.treatment import Treatment

#: what every row holds; an empty cell is what nobody said
COLUMNS = (
    "application", "date", "started", "ended", "garden", "latitude_deg", "longitude_deg", "bed", "planting", "host",
    "eppo_host", "eppo_pest", "cultivar", "clumps", "shared_by", "remedy", "product", "registration", "actives",
    "codes", "product_ml", "product_g", "water_l", "area_m2", "rate", "equipment", "purpose", "growth_stage", *WEATHER,
    "applicator", "certificate", "reentry_until", "disposal", "missing",
)  # fmt: skip
_SAID = ("rate", "equipment", "purpose", "growth_stage", "certificate")


def spray_record(
    garden: Garden, former: Sequence[Planting], done: Iterable[Treatment], codes: Mapping[str, tuple[str, ...]]
) -> Iterator[dict[str, str]]:
    """A row by column for each application and planting, in order of time; one without plantings has one row.

    former : plantings that stand no more. codes : FRAC codes by active ingredient, as far as they are known. Product, water and ground are of the whole application; `shared_by` says on how
    many plantings it went. Times in ISO form with their distance from UTC; lists are parted by "; ".
    """
    known = {each.name: each for each in (*former, *garden.plantings)}
    for each in done:
        if each.is_application:
            for name in each.plantings or ("",):
                yield {**_row(garden, known.get(name), each, name), "codes": _cell(_codes(each, codes))}


def _row(garden: Garden, planting: Planting | None, treatment: Treatment, name: str) -> dict[str, str]:
    weather = treatment.said.get("weather", {})
    values: dict[str, object] = {
        **dict.fromkeys(COLUMNS),
        **{key: treatment.said.get(key) for key in _SAID},
        **{key: weather.get(key) for key in WEATHER if isinstance(weather, dict)},
        **{key: value for key, value in vars(treatment).items() if key in COLUMNS},
        "application": treatment.entry_id,
        "date": treatment.on,
        "garden": garden.name,
        "latitude_deg": garden.place.latitude_deg,
        "longitude_deg": garden.place.longitude_deg,
        "planting": name,
        "shared_by": len(treatment.plantings),
        "product": treatment.bottle,
    }
    if planting is not None:
        values |= {
            key: getattr(planting, key) for key in ("bed", "host", "eppo_host", "eppo_pest", "cultivar", "clumps")
        }
    return {key: _cell(value) for key, value in values.items()}


def _codes(treatment: Treatment, codes: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """What was recorded or printed, and what is known of the actives."""
    known = (code for active in treatment.actives for code in codes.get(active, ()))
    return tuple(dict.fromkeys([*treatment.codes, *known]))


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple | list):
        return "; ".join(str(each) for each in value)
    return f"{value:.10g}" if isinstance(value, float) else str(value)

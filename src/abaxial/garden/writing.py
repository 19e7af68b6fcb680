"""A garden written as the TOML text that describes it; reading the text gives the same garden again."""

import json
import math
from collections.abc import Iterable, Mapping
from datetime import date, time
from typing import Any

from abaxial.garden.description import NONE_NEAR, WEEKDAYS
from abaxial.garden.parts import FLOWERS, TAKEN_OFF, Bed, Garden, Obstacle, Planting, Watering, Wind


def write_garden(garden: Garden) -> str:
    """The description of a garden as TOML text; what equals its default and the folder are left out."""
    table = garden_table(garden)
    blocks = [_block(f"[{name}]", table[name]) for name in ("site", "gardener", "values") if table[name]]
    for bed in table["bed"]:
        blocks.append(_block("[[bed]]", {key: value for key, value in bed.items() if key != "obstacle"}))
        blocks.extend(_block("[[bed.obstacle]]", each) for each in bed["obstacle"])
    for name in ("planting", "weather", "noted", "walk", "walks_file"):
        blocks.extend(_block(f"[[{name}]]", each) for each in table[name])
    for name, inner in (("bottle", "label"), ("treatment", "details"), ("declined", "details")):
        for each in table[name]:
            blocks.append(_block(f"[[{name}]]", {key: value for key, value in each.items() if key != inner}))
            blocks.extend([_block(f"[{name}.{inner}]", each[inner])] if inner in each else [])
    return "\n".join(blocks)


def garden_table(garden: Garden) -> dict[str, Any]:
    """A garden as the plain tables of its description."""
    place = garden.place
    site: dict[str, object] = {
        "name": garden.name,
        "latitude_deg": place.latitude_deg,
        "longitude_deg": place.longitude_deg,
        "elevation_m": place.elevation_m,
        "zone": place.zone,
    }
    if garden.wind != Wind():
        site["wind"] = {"from_deg": garden.wind.from_deg, "steady_frac": garden.wind.steady_frac}
    walks = [dict(each.options) for each in garden.walks]
    return {
        "site": {**site, "invented": True} if garden.invented else site,
        "gardener": {
            "days": [WEEKDAYS[day] for day in garden.gardener.weekdays],
            "minutes": garden.gardener.minutes,
        },
        "bed": [_bed(bed) for bed in garden.beds],
        "planting": [_planting(planting) for planting in garden.plantings],
        "weather": [{"file": each.path, "form": each.form, **each.options} for each in garden.weather],
        "noted": [dict(each.options) for each in garden.noted],
        "walk": [each for each in walks if "file" not in each],
        "walks_file": [each for each in walks if "file" in each],
        "bottle": [dict(each.options) for each in garden.bottles],
        "treatment": [dict(each.options) for each in garden.treatments],
        "declined": [dict(each.options) for each in garden.declined],
        "values": dict(garden.values),
    }


def weather_block(file: str, form: str, options: Mapping[str, object]) -> str:
    """The [[weather]] lines that name a file, to be added to a description."""
    return _block("[[weather]]", {"file": file, "form": form, **options})


def walk_block(kind: str, options: Mapping[str, object]) -> str:
    """The lines of a walk, to be added to a description. kind : "walk" or "walks_file"."""
    return _block(f"[[{kind}]]", options)


def toml_value(value: object) -> str:
    """One value as TOML. Tables inside lists or options are written on one line.

    Raises TypeError for what TOML cannot hold.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(key)} = {toml_value(each)}" for key, each in value.items()) + " }"
    if isinstance(value, Iterable):
        return "[" + ", ".join(toml_value(each) for each in value) + "]"
    raise TypeError(f"TOML has no way to write {value!r}.")


def _block(heading: str, values: Mapping[str, object]) -> str:
    lines = [f"{_key(key)} = {toml_value(value)}" for key, value in values.items()]
    return "\n".join([heading, *lines, ""])


def _key(key: str) -> str:
    plain = key.replace("_", "").replace("-", "")
    return key if plain.isascii() and plain.isalnum() else toml_value(key)


def _bed(bed: Bed) -> dict[str, object]:
    values: dict[str, object] = {"name": bed.name, "area_m2": bed.area_m2, "soil": bed.soil}
    values["shelter_frac"] = bed.shelter_frac
    if bed.east_m or bed.north_m:
        values |= {"east_m": bed.east_m, "north_m": bed.north_m}
    if bed.watering != Watering():
        watering = bed.watering
        values["watering"] = {
            "manner": watering.manner,
            "local_hour": watering.local_hour,
            "amount_mm": watering.amount_mm,
            "every_days": watering.every_days,
        }
    near = {key: value for key, value in vars(bed.surroundings).items() if value is not None}
    if near:
        values["near"] = {key: NONE_NEAR if value == math.inf else value for key, value in near.items()}
    values["obstacle"] = [_obstacle(each) for each in bed.obstacles]
    return values


def _obstacle(obstacle: Obstacle) -> dict[str, object]:
    return {
        "from_deg": obstacle.from_deg,
        "to_deg": obstacle.to_deg,
        "height_m": obstacle.height_m,
        "distance_m": obstacle.distance_m,
        "transmission_frac": obstacle.transmission_frac,
    }


def _planting(planting: Planting) -> dict[str, object]:
    values: dict[str, object] = {"name": planting.name, "bed": planting.bed, "host": planting.host}
    if planting.cultivar:
        values["cultivar"] = planting.cultivar
    values |= {"clumps": planting.clumps, "spacing_m": planting.spacing_m, "since": planting.since}
    if planting.eaten is not None:
        values["eaten"] = planting.eaten
    if planting.worth_factor != 1.0:
        values["worth_factor"] = planting.worth_factor
    if not planting.replaceable:
        values["replaceable"] = False
    if planting.flower_stems_per_week:
        values["flower_stems_per_week"] = planting.flower_stems_per_week
    values |= {key: code for key in ("eppo_host", "eppo_pest") if (code := getattr(planting, key))}
    for key in TAKEN_OFF:
        if getattr(planting, key):
            values[key] = getattr(planting, key)
    if planting.disposals:
        values["disposals"] = [each._asdict() for each in planting.disposals]
    for key in FLOWERS:
        if getattr(planting, key):
            values[key] = getattr(planting, key)
    return values

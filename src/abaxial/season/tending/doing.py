"""A task of the plan, done: the lines of the journal that say so, with the weather of the hour where something was sprayed."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import NamedTuple

from abaxial import hours
from abaxial.errors import RequestError
from abaxial.garden.parts import Bed, Garden
from abaxial.label.window.closings import delta_t_k
from abaxial.microclimate import vapour
from abaxial.plan.programmes.step import SPRAYS
from abaxial.season.present import Told, present
from abaxial.season.tending.grounds import FEWEST
from abaxial.season.tending.planned import Planned

#: what each task is in the journal, besides those out of a bottle
_CUTS = {
    "cut_down": ("cut_down", {}),
    "destroy": ("destroyed", {}),
    "low_leaves_off": ("leaves_taken_off", {"which": "low"}),
    "rusted_leaves_off": ("leaves_taken_off", {"which": "rusted"}),
}
_REMEDIES = {"thin": "thinned", "clear_litter": "litter_cleared"}


class Line(NamedTuple):
    """One line of the journal to be. kind : of entry. body : its fields."""

    kind: str
    body: Mapping[str, object]


class Hour(NamedTuple):
    """When something was done. started, ended : on the garden's clock; None where nobody said at what hour."""

    started: datetime | None
    ended: datetime | None


def lines_of(task: Planned, garden: Garden, *, at: datetime, when: Hour, told: Told) -> tuple[Line, ...]:
    """The lines that say a task was done, one where the journal has room for all of it in one.

    at : when it is written. when : see Hour. Raises RequestError for a task that says nothing without what was found.
    """
    if task.kind in ("look", "turn_leaves", "write_down_rain"):
        raise RequestError(
            "That task is done by saying what was found.",
            remedy='Write it like: abaxial walk --seen "Quay cannas: 14 low, 2 rusted".',
            where=task.key,
        )
    if task.kind in SPRAYS:
        return (_sprayed(task, garden, at, when, told),)
    went = {"disposal": task.disposal} if task.disposal else {}
    if task.kind in _CUTS:
        kind, fixed = _CUTS[task.kind]
        return tuple(Line(kind, {"planting": name, **fixed, **went}) for name in task.plantings)
    if task.kind in _REMEDIES:
        body = {
            "remedy": _REMEDIES[task.kind],
            "plantings": list(task.plantings),
            **({"details": went} if went else {}),
        }
        return (Line("remedy_done", body),)
    return tuple(_watered(each) for each in garden.beds if each.name in task.beds)


def with_own_rate(record: Mapping[str, object], planned: Mapping[str, object]) -> dict[str, object]:
    """A record with the rate that its own amounts come to, where they are weaker than was planned. Stronger ones keep the
    planned rate, so that the journal asks about them."""
    for unit in ("ml", "g"):
        now, then = _strength(record, unit), _strength(planned, unit)
        if now is not None and then is not None and now < then:
            return {**record, "rate": f"{now:.4g} {unit}/l"}
    return dict(record)


def _strength(record: Mapping[str, object], unit: str) -> float | None:
    product, water = record.get(f"product_{unit}"), record.get("water_l")
    is_known = isinstance(product, int | float) and isinstance(water, int | float) and water > 0
    return product / water if is_known else None  # type: ignore[operator]


def declined(task: Planned) -> Line:
    """The line that turns a task down."""
    bottle = {"bottle": task.bottle} if task.bottle else {}
    return Line(
        "task_declined", {"task": task.kind, "plantings": list(task.plantings), "details": {"key": task.key, **bottle}}
    )


def hour_of(task: Planned, *, begun: datetime | None, now: datetime) -> Hour:
    """When a spray was. begun : where somebody said; else it counts as just finished, and took as long as was foreseen."""
    if begun is not None:
        return Hour(begun, None)
    return Hour(now - timedelta(minutes=task.minutes), now)


def weather_of_hour(garden: Garden, bed: Bed, *, hour: datetime, at: datetime, told: Told) -> Mapping[str, float]:
    """The weather over a bed in the hour of a moment, as spray records want it; empty where it is not known.

    Wind is that which reaches the bed. at : up to when anything is known.
    """
    now = present(garden, at, told, FEWEST)
    if now.grown is None:
        return {}
    ensemble = now.grown.sky.ensemble
    row = hours.hour_of(hour) - ensemble.first_hour
    if not 0 <= row <= ensemble.now_hour - ensemble.first_hour:
        return {}
    temperature, humidity = ensemble.temperature_c[row], ensemble.relative_humidity_frac[row]
    pressure_kpa = float(vapour.atmospheric_pressure_kpa(garden.place.elevation_m))
    return {
        "temperature_c": round(float(temperature.mean()), 1),
        "humidity_frac": round(min(float(humidity.mean()), 1.0), 2),
        "wind_m_s": round(float(ensemble.wind_speed_m_s[row].mean()) * bed.shelter_frac, 1),
        "delta_t_k": round(float(delta_t_k(temperature, humidity.clip(0.01, 1.0), pressure_kpa).mean()), 1),
    }


def _sprayed(task: Planned, garden: Garden, at: datetime, when: Hour, told: Told) -> Line:
    bed = next(each for each in garden.beds if each.name in task.beds)
    weather = {} if when.started is None else weather_of_hour(garden, bed, hour=when.started, at=at, told=told)
    record = {
        **_clock(when, garden.place.zone),
        **_amounts(task, garden),
        "purpose": "rust",
        "actives": list(task.actives),
        "codes": list(task.codes),
        "weather": weather,
    }
    details = {name: value for name, value in record.items() if value not in ({}, [], "")}
    body = {"remedy": task.kind, "plantings": list(task.plantings), "material": task.bottle, "details": details}
    return Line("remedy_done", body)


def _clock(when: Hour, zone: str) -> Mapping[str, str]:
    told = {"started": when.started, "ended": when.ended}
    there = hours.zone_named(zone)
    return {name: each.astimezone(there).strftime("%H:%M") for name, each in told.items() if each is not None}


def _amounts(task: Planned, garden: Garden) -> Mapping[str, object]:
    """What was mixed, as the task had it, and the ground it went on."""
    ground_m2 = sum(each.clumps * each.spacing_m**2 for each in garden.plantings if each.name in task.plantings)
    found: dict[str, object] = {"area_m2": round(ground_m2, 2)}
    if task.whole_l > 0.0:
        found |= {
            f"product_{task.unit}": round(task.product, 3),
            "water_l": round(task.whole_l, 3),
            "rate": f"{task.product / task.whole_l:.4g} {task.unit}/l",
        }
    return found


def _watered(bed: Bed) -> Line:
    """Watering at the foot from now on, at the same hour and as much of it."""
    was = bed.watering
    watering = {
        "manner": "soil", "local_hour": was.local_hour, "amount_mm": was.amount_mm, "every_days": was.every_days
    }  # fmt: skip
    return Line("bed_changed", {"bed": bed.name, "watering": watering})

"""The record of one remedy: its fields, what each may hold, and the words for what was done."""

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from difflib import get_close_matches
from typing import Any

from abaxial.garden.parts import DISPOSALS
from abaxial.garden.section import Section, shown
from abaxial.journal.canonical import told
from abaxial.journal.entries import is_possible

#: what is put on leaves out of a bottle, and everything else that is done
SPRAYED = ("fungicide", "oil")
REMEDIES = (
    *SPRAYED, "thinned", "spaced_wider", "watered_otherwise", "litter_cleared", "tools_cleaned", "other",
)  # fmt: skip
#: numbers with their limits; all may be absent
NUMBERS: Mapping[str, tuple[float, float]] = {
    "product_ml": (0.0, 100_000.0),
    "product_g": (0.0, 100_000.0),
    "water_l": (0.0, 10_000.0),
    "area_m2": (0.0, 1_000_000.0),
    "cover_lower_frac": (0.0, 1.0),
    "cover_upper_frac": (0.0, 1.0),
}
WEATHER: Mapping[str, tuple[float, float]] = {
    "temperature_c": (-40.0, 60.0),
    "humidity_frac": (0.0, 1.0),
    "wind_m_s": (0.0, 60.0),
    "delta_t_k": (0.0, 40.0),
}
TEXTS = ("rate", "equipment", "purpose", "applicator", "certificate", "registration", "growth_stage")
LISTS = ("codes", "actives")
CLOCKS = ("started", "ended")
#: every field of a record
FIELDS = (*CLOCKS, *NUMBERS, *TEXTS, *LISTS, "weather", "reentry_until", "disposal")
#: fields of a purchase besides the bottle's own
PURCHASE = ("kind", "left", "bought_on", "use_before", "label", "price")
MOST_PRICE = 1e9
#: of the general scale of growth, 00 to 99
_STAGE = re.compile("[0-9]{2}")


def details_problems(details: Mapping[str, object]) -> list[str]:
    """What is wrong with the known fields of a record, in short sentences. What is absent, empty or not known is not."""
    said = said_in(details)
    section = Section(said, "details", [])
    for name in said:
        _read(section, name)
    weather = section.inner("weather") if "weather" in said else Section({}, "", [])
    for name in weather.table:
        if name in WEATHER:
            weather.number(name, *WEATHER[name])
    return [each.message for each in section.mistakes]


def purchase_problems(details: Mapping[str, object]) -> list[str]:
    """What is wrong with the price of a purchase; what the bottle says is the business of `label`."""
    section = Section(said_in(details), "details", [])
    if "price" in section.table:
        section.number("price", 0.0, MOST_PRICE)
    return [each.message for each in section.mistakes]


def strange_words(table: Mapping[str, object]) -> list[str]:
    """What in a remedy's table nobody here knows, in short sentences with the likeliest meant; for whoever writes one
    now. What was written long ago is read as far as it goes."""
    details = table.get("details", {})
    known: list[tuple[str, tuple[str, ...], str]] = [(str(table.get("remedy", "")), REMEDIES, "remedy")]
    if isinstance(details, Mapping):
        known += [(str(name), FIELDS, "field of a record") for name in details]
        weather = details.get("weather", {})
        known += [(str(name), tuple(WEATHER), "weather") for name in (weather if isinstance(weather, Mapping) else ())]
    stage = details.get("growth_stage", "00") if isinstance(details, Mapping) else "00"
    unlike = "it must be two digits of the general scale of growth, such as 65 where half of the flowers are open."
    misread = [] if _STAGE.fullmatch(str(stage)) else [f"growth_stage is {shown(stage)}; {unlike}"]
    return [_strange(*each) for each in known if each[0] not in each[1]] + misread


def said_in(details: Mapping[str, object]) -> dict[str, Any]:
    """The fields of a record that say something, out of their marks."""
    said = _without_nothing(told(details))
    return said if isinstance(said, dict) else {}


def known_in(said: Mapping[str, Any]) -> dict[str, Any]:
    """Of the fields of a record those that are known here."""
    known = {key: value for key, value in said.items() if key in FIELDS}
    if "weather" in known:
        known["weather"] = {key: value for key, value in known["weather"].items() if key in WEATHER}
    return known


def day_of(value: object) -> object:
    """A text as a date, where it is one."""
    try:
        return date.fromisoformat(value) if isinstance(value, str) else value
    except ValueError:
        return value


def clock_of(value: object) -> time | None:
    """A clock hour such as "07:30"; None where it is not one."""
    if isinstance(value, time):
        return value.replace(tzinfo=None)
    try:
        return time.fromisoformat(value.strip()).replace(tzinfo=None) if isinstance(value, str) else None
    except ValueError:
        return None


def moment_in(value: object, zone: Any) -> datetime | None:
    """A date with its hour, on a garden's clock where it names no other; None where it is not one."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return None
    try:
        moment = datetime.fromisoformat(value.strip()) if isinstance(value, str) else value
    except ValueError:
        return None
    if not isinstance(moment, datetime):
        return None
    moment = moment if moment.tzinfo else moment.replace(tzinfo=zone)
    return moment if is_possible(moment) and 1891 <= moment.year <= 2198 else None


def _without_nothing(value: Any) -> Any:
    """A value without null, which stands for what is not known, at whatever depth."""
    if isinstance(value, Mapping):
        return {str(key): _without_nothing(each) for key, each in value.items() if each is not None}
    if isinstance(value, list | tuple):
        return [_without_nothing(each) for each in value if each is not None]
    return value


def _read(section: Section, name: str) -> None:
    value = section.table[name]
    if name in NUMBERS:
        section.number(name, *NUMBERS[name])
    elif name in TEXTS:
        section.text(name)
    elif name in LISTS:
        listed = section.items(name)
        if not listed or not all(isinstance(each, str) and each.strip() and each.isprintable() for each in listed):
            section.wrong(f"{name} is {shown(value)}; it must be a list of short texts.", "")
    elif name == "disposal":
        section.choice(name, DISPOSALS)
    elif name in CLOCKS and clock_of(value) is None:
        section.wrong(f"{name} is {shown(value)}; it must be a clock hour such as 07:30.", "")
    elif name == "reentry_until" and moment_in(value, UTC) is None:
        section.wrong(f"{name} is {shown(value)}; it must be a date with its hour, such as 2026-03-11 07:30.", "")


def _strange(word: str, known: tuple[str, ...], what: str) -> str:
    near = get_close_matches(word, known, n=1, cutoff=0.5)
    meant = f"did you mean {near[0]}?" if near else f"known are {', '.join(known)}."
    return f"{shown(word)} is no {what}; {meant}"

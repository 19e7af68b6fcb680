"""From a plain table, of the journal or of a TOML file, to a bottle; all mistakes are told at once."""

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any, TypeVar

from abaxial.errors import InputError, LabelError
from abaxial.garden.section import Section, shown
from abaxial.label.bottle import ASKED, SIGNALS, Bottle, Label, Rate
from abaxial.label.rates import (
    TANK_L,
    Stuff,
    amount,
    density_g_per_ml,
    litres,
    per_m2,
    rate_of,
    strength_of,
    water_l_per_m2,
)  # fmt: skip
from abaxial.units import convert

#: what is written where the label was read and says nothing of it
NOT_PRINTED = "not printed"
UNTIL_DRY = "until dry"
KINDS = ("bottle", "home_brew")
#: fields that no label is silent about
ALWAYS_PRINTED = ("actives", "rate", "sites", "pests", "reentry_h")
#: most water that a spraying takes [L/m²]
MOST_WATER_L_PER_M2 = 10.0
_BOTTLE = ("name", "kind", "left", "bought_on", "use_before", "label", "number", "remark")
#: what a label may say in several units: key to quantity, lowest and highest inside, and ending to unit
_MEASURED: Mapping[str, tuple[str, float, float, Mapping[str, str]]] = {
    "temperature_least": ("temperature", -10.0, 40.0, {"c": "°C", "f": "°F"}),
    "temperature_most": ("temperature", 0.0, 60.0, {"c": "°C", "f": "°F"}),
    "wind_most": ("speed", 0.1, 20.0, {"m_s": "m/s", "km_h": "km/h", "mph": "mph"}),
    "buffer": ("length", 0.0, 1000.0, {"m": "m", "ft": "ft"}),
}
_MAY = (
    "form", "density", "tank", "water", "sites_not", "most_over_d", "signal", "harvest_d", "spare_open_flowers",
    "licensed_only", "codes", "apart_d", "never_with",
    *(f"{key}_{ending}" for key, (_, _, _, endings) in _MEASURED.items() for ending in endings),
)  # fmt: skip
_LONGEST_LIST = 60
_EXCEPTION = re.compile(r"\b(?:except|excluding|not|no|never|unless|other than|without)\b", re.IGNORECASE)
_Read = TypeVar("_Read")


def read_bottle(body: Mapping[str, object], *, where: str) -> Bottle:
    """The bottle a table describes; the reference page of bottles lists its keys.

    A field of the label that is absent is asked for; one that says "not printed" is known to be silent. A home brew has no
    label. where : file or entry, for messages. Raises LabelError with every mistake, its rule and its value.
    """
    if not isinstance(body, Mapping):
        raise LabelError(f"{where}: {shown(body)} is not a bottle.", remedy="Write it as a table.", where=where)
    top = Section({str(key): value for key, value in body.items()}, where, [])
    top.only(*_BOTTLE)
    kind = top.choice("kind", KINDS, default="bottle")
    label, stuff = None, None
    if kind == "home_brew" and "label" in top.table:
        top.wrong("a home brew has no label.", 'Leave the label out, or write kind = "bottle".')
    elif "label" in top.table:
        label, stuff = _label(top.inner("label"))
    bottle = Bottle(
        key=top.text("name"),
        kind=kind,
        label=label,
        left=_said(top, "left", lambda text: amount(text, stuff)),
        bought_on=_day(top, "bought_on"),
        use_before=_day(top, "use_before"),
    )
    if top.mistakes:
        raise _error(top)
    return bottle


def _error(top: Section) -> LabelError:
    if len(top.mistakes) == 1:
        return LabelError(top.mistakes[0].message, remedy=top.mistakes[0].remedy, where=top.where)
    told = [f"  {each.message} {each.remedy}".rstrip() for each in top.mistakes]
    message = "\n".join([f"{top.where} has {len(told)} mistakes.", *told])
    return LabelError(message, remedy="Mend these with the label at hand, then try again.", where=top.where)


def _label(section: Section) -> tuple[Label, Stuff]:
    section.only(*ASKED, *_MAY)
    density = _said(section, "density", density_g_per_ml)
    form = section.choice("form", ("liquid", "powder"))
    stuff = Stuff(form, density)
    for key in ALWAYS_PRINTED:
        if section.table.get(key) == NOT_PRINTED:
            section.wrong(f"{key} is {NOT_PRINTED!r}.", "It always is; leave the field out until you have found it.")
    when_dry = section.table.get("reentry_h") == UNTIL_DRY
    actives, strength_unit = _actives(section, stuff)
    label = Label(
        form="powder" if form == "powder" else "liquid",
        actives=actives,
        strength_unit=strength_unit,
        rate=_rate(section, stuff),
        sites=_sites(section),
        pests=_texts(section, "pests"),
        interval_d=_whole(section, "interval_d", 1, 365),
        most_applications=_whole(section, "most_applications", 1, 52),
        most_product_per_m2=_said(section, "most_product", lambda text: per_m2(text, stuff)),
        reentry_h=0.0 if when_dry else _number(section, "reentry_h", 0.0, 720.0),
        reentry_when_dry=when_dry,
        rain_fast_h=_number(section, "rain_fast_h", 0.0, 96.0),
        protective=_texts(section, "protective"),
        registration="" if _silent(section, "registration") else section.text("registration"),
        density_g_per_ml=density,
        unwritten=tuple(name for name in ASKED if name not in section.table),
        **_besides(section),
    )
    return label, stuff


def _besides(section: Section) -> dict[str, Any]:
    """What a label may say without being asked."""
    apart = section.inner("apart_d")
    return {
        "most_over_d": section.whole("most_over_d", 30, 730, default=365),
        "sites_not": _texts(section, "sites_not"),
        "signal": section.choice("signal", SIGNALS, default=""),
        "temperature_least_c": _measured(section, "temperature_least"),
        "temperature_most_c": _measured(section, "temperature_most"),
        "wind_most_m_s": _measured(section, "wind_most"),
        "buffer_m": _measured(section, "buffer"),
        "harvest_d": _whole(section, "harvest_d", 0, 365),
        "spare_open_flowers": section.truth("spare_open_flowers", default=False),
        "licensed_only": section.truth("licensed_only", default=False),
        "codes": tuple(each.upper() for each in _texts(section, "codes")),
        "apart_d": {each: apart.whole(each, 0, 365) for each in apart.table},
        "never_with": _texts(section, "never_with"),
    }


def _actives(section: Section, stuff: Stuff) -> tuple[dict[str, float], str]:
    if _silent(section, "actives"):
        return {}, "g_per_g"
    inner = section.inner("actives")
    if not inner.table:
        inner.wrong("no active ingredient is named.", 'Write such as actives = { azoxystrobin = "250 g/l" }.')
    strengths, said = {}, set()
    for key in inner.table:
        if not key.strip() or not key.isprintable() or len(key) > _LONGEST_LIST:
            inner.wrong(f"{shown(key)} is not the name of an active ingredient.", "Write it as printed.")
        strength = _said(inner, key, lambda text: strength_of(text, stuff))
        if strength is not None:
            strengths[re.sub(r"[ -]+", "_", key.strip().lower())] = strength[0]
            said.add(strength[1])
    if len(said) > 1:
        inner.wrong("some strengths are by weight and some by volume.", "Give the density, or write all in one way.")
    if said == {"g_per_g"} and sum(strengths.values()) > 1.0 + 1e-9:
        inner.wrong(f"the strengths add up to {sum(strengths.values()):.0%} of the product.", "Look at them again.")
    return strengths, said.pop() if len(said) == 1 else "g_per_g"


def _rate(section: Section, stuff: Stuff) -> Rate | None:
    tank_l = _said(section, "tank", litres)
    if tank_l is not None and not TANK_L[0] <= tank_l <= TANK_L[1]:
        section.wrong(
            f"tank is {tank_l:g} l; it must lie between {TANK_L[0]:g} and {TANK_L[1]:g}.", "Look at its unit."
        )
    rate = _said(section, "rate", lambda text: rate_of(text, stuff, tank_l=tank_l))
    water = _said(section, "water", water_l_per_m2)
    if water is not None and water[1] > MOST_WATER_L_PER_M2:
        section.wrong(f"water is {water[1]:g} l/m2; the most is {MOST_WATER_L_PER_M2:g}.", "Look at its unit again.")
    if rate is None or water is None:
        return rate
    return rate._replace(least_l_per_m2=water[0], most_l_per_m2=water[1])


def _silent(section: Section, key: str) -> bool:
    """Whether a field is absent, or the label was read and says nothing."""
    return section.table.get(key, NOT_PRINTED) == NOT_PRINTED


def _said(section: Section, key: str, reader: Callable[[object], _Read]) -> _Read | None:
    """What a text under a key says; None if silent or wrong, which is noted."""
    if _silent(section, key):
        return None
    try:
        return reader(section.table[key])
    except InputError as error:
        section.wrong(f"{key}: {error.message}", error.remedy)
        return None


def _number(section: Section, key: str, low: float, high: float) -> float | None:
    return None if _silent(section, key) else section.number(key, low, high)


def _whole(section: Section, key: str, low: int, high: int) -> int | None:
    return None if _silent(section, key) else section.whole(key, low, high)


def _measured(section: Section, key: str) -> float | None:
    """A number whose unit is the end of its name."""
    quantity, low, high, endings = _MEASURED[key]
    given = [ending for ending in endings if not _silent(section, f"{key}_{ending}")]
    if not given:
        return None
    if len(given) > 1:
        section.wrong(f"{key} is given in {len(given)} units.", "Write it as the label does, once.")
    name = f"{key}_{given[0]}"
    raw = section.number(name, -1e6, 1e6)
    value = float(convert(raw, quantity, endings[given[0]]))
    if raw != -1e6 and not low <= value <= high:
        section.wrong(
            f"{name} is {raw:g}; no label says that.",
            f"It must lie between {low:g} and {high:g} {next(iter(endings))}.",
        )
        return None
    return value


def _texts(section: Section, key: str) -> tuple[str, ...]:
    """A list of short texts, at least one where there is a list at all."""
    if _silent(section, key):
        return ()
    texts = section.items(key)
    if not texts or not all(_is_short(each) for each in texts):
        section.wrong(
            f"{key} is {shown(section.table[key])}; it must be a list of short texts.", f'Write {key} = ["…"].'
        )
        return ()
    return tuple(str(each).strip() for each in texts)


def _sites(section: Section) -> tuple[str, ...]:
    """The sites a label names; what it excepts has a field of its own, so that it is not overlooked."""
    sites = _texts(section, "sites")
    for each in sites:
        if _EXCEPTION.search(each):
            section.wrong(f"sites holds {shown(each)}, an exception.", 'Write it by itself: sites_not = ["…"].')
    return sites


def _is_short(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip()) and value.isprintable() and len(value) <= _LONGEST_LIST


def _day(section: Section, key: str) -> date | None:
    value = section.table.get(key)
    if value is None:
        return None
    try:
        value = date.fromisoformat(value) if isinstance(value, str) else value
    except ValueError:
        value = None
    if isinstance(value, datetime) or not isinstance(value, date) or not 1900 <= value.year <= 2200:
        section.wrong(
            f"{key} is {shown(section.table[key])}; it must be a date from 1900 to 2200.", "Write year-month-day."
        )
        return None
    return value
